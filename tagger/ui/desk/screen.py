"""The desk: the one screen where a lot is tagged.

Every key comes here and is done in the order in which it was sent, one after the other, whatever
arrives in one packet. What is drawn follows when the keys are quiet."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.timer import Timer

from tagger.core.audit.poses import Poses
from tagger.core.model.text import printable
from tagger.core.session.loupe import LoupeMemory
from tagger.core.session.proposal import Deed, Proposal
from tagger.core.session.review import LOOK_AGAIN
from tagger.core.session.session import Session
from tagger.errors import Refused, TaggerError
from tagger.preview.pictures import Source
from tagger.preview.render_settings import RenderSettings
from tagger.services.garbage import all_is_loaded
from tagger.services.ports import BackgroundWork
from tagger.ui import help, theme
from tagger.ui.desk import findings, history, panel, welcome
from tagger.ui.desk.alike_keys import AlikeKeys
from tagger.ui.desk.background_monitor import BackgroundMonitor
from tagger.ui.desk.findings import Findings
from tagger.ui.desk.fix_keys import MendKeys
from tagger.ui.desk.help_keys import HelpKeys
from tagger.ui.desk.history_keys import HistoryKeys
from tagger.ui.desk.layout import lay_out
from tagger.ui.desk.loupe_keys import LoupeKeys
from tagger.ui.desk.overview_keys import OverviewKeys
from tagger.ui.desk.prefetch import Prefetch
from tagger.ui.desk.previews import Previews
from tagger.ui.desk.recognition_client import RecognitionClient, RecognitionMemory
from tagger.ui.desk.tag_keys import TagKeys
from tagger.ui.desk.welcome import Welcome
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Keymap
from tagger.ui.terminal.frame_scheduler import FrameScheduler
from tagger.ui.widgets.line_box import LineBox

if TYPE_CHECKING:  # loaded with the checklists, when the first card is on the screen
    from tagger.core.index.index import Indexed
    from tagger.core.matching.matcher import Matcher

# Reads all checklists; gives what there is meanwhile to its argument.
ReadLists = Callable[[Callable[["Indexed"], None]], "Indexed"]

QUIET = 1.0  # seconds without a key after which the store may bring lot.json up to date


class PictureCame(Message):
    """A wanted picture was decoded, or failed."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name


class ChecklistsRead(Message):
    """The lot's checklists are indexed, all or so far."""

    def __init__(self, matcher: Matcher, lists: Indexed) -> None:
        super().__init__()
        self.matcher = matcher
        self.lists = lists


class DeskScreen(TagKeys, MendKeys, LoupeKeys, AlikeKeys, HistoryKeys, OverviewKeys, HelpKeys):
    """Shows the card in front, the proposal, and the hint line."""

    DEFAULT_CSS = """
    DeskScreen { layout: vertical; background: #11161a; color: #d9d4c5; overflow: hidden; }
    DeskScreen > LineBox { height: 1; }
    DeskScreen > #body { height: 1fr; }
    DeskScreen #left { height: 100%; }
    DeskScreen #sides { height: 1fr; }
    DeskScreen #right { width: 1fr; height: 100%; }
    DeskScreen #panel { height: 1fr; }
    DeskScreen > #manual { display: none; height: 1fr; }
    DeskScreen > #past { display: none; height: 1fr; }
    DeskScreen > #closely { display: none; height: 1fr; }
    DeskScreen > #lot { display: none; height: 1fr; }
    DeskScreen #list { width: 1fr; height: 100%; }
    DeskScreen #beside { width: 50; height: 100%; }
    DeskScreen.-manual > #body, DeskScreen.-closely > #body { display: none; }
    DeskScreen.-overview > #body { display: none; }
    DeskScreen.-past > #body, DeskScreen.-past > #closely { display: none; }
    DeskScreen.-past > #lot { display: none; }
    DeskScreen.-overview > #lot { display: block; }
    DeskScreen.-manual > #lot { display: none; }
    DeskScreen.-manual > #manual { display: block; }
    DeskScreen.-closely > #closely { display: block; }
    DeskScreen.-past > #past { display: block; }
    """

    def __init__(
        self,
        session: Session,
        name: str,
        source: Source,
        read: ReadLists,
        keys: Keymap,
        loupes: tuple[LoupeMemory, LoupeMemory],
        work: BackgroundWork,
        stands: Poses,
        manner: RenderSettings,
        notice: str,
        first_time: Callable[[], None] | None = None,
        known: tuple[RecognitionMemory | None, str] = (None, ""),
        left: Callable[[], None] | None = None,
    ) -> None:
        """`first_time`: called at the first key where the program is opened for the first time on
        this machine. `known`: what remembers how cards look, and the lot's folder as it is known
        there. `left`: called when the desk is gone from the terminal."""
        super().__init__()
        self._session = session
        self._lot = name
        self._read = read
        self._keymap = keys
        self._previews = Previews(source, manner, loupes, self._picture_ready, stands)
        self._painting = FrameScheduler(
            self, lambda: session.desk.position, self._show, self._show_pictures, self._finer
        )
        self._upkeep = Prefetch(self, session, self._previews, self._later)
        self._watch = BackgroundMonitor(self, session, work)
        self._resembling = RecognitionClient(self, session, known[0], known[1], name)
        self._findings = Findings()
        self._history = history.History(session)
        self._welcome = Welcome(first_time)
        self._boxes = {
            "status": LineBox(theme.BAR, "status"), "panel": LineBox(theme.PLAIN, "panel"),
            "was": LineBox(theme.PLAIN, "was"), "message": LineBox(theme.PLAIN, "message"),
            "hint": LineBox(theme.BAR, "hint"), "keys": LineBox(theme.PLAIN, "keys"),
            "manual": LineBox(theme.PLAIN, "manual"), "past": LineBox(theme.PLAIN, "past"),
            "list": LineBox(theme.PLAIN, "list"),
        }  # fmt: skip
        self._line = HintLine()
        self._choice = 0
        self._message = notice
        self._alarm = False
        self._ready = self._reading = False
        self._lists: Indexed | None = None
        self._left = left
        self._waiting: deque[events.Key] = deque()
        self._quiet: Timer | None = None

    def compose(self) -> ComposeResult:
        """Top line, previews and panel, what was, message, hint, keys."""
        yield self._boxes["status"]
        with Horizontal(id="body"):
            yield from self._previews.compose(self._boxes["panel"])
        yield self._previews.closely
        with Horizontal(id="lot"):
            yield self._boxes["list"]
            yield self._previews.beside
        for id in ("manual", "past", "was", "message", "hint", "keys"):
            yield self._boxes[id]

    def on_mount(self) -> None:
        """Settle even where no key is pressed."""
        self._wait_for_quiet()

    def on_unmount(self) -> None:
        """Let go of the pictures, and end what goes on behind."""
        self._watch.close()
        self._resembling.close()
        self._previews.close()
        if self._left is not None:
            self._left()

    def _picture_ready(self, name: str) -> None:
        """Called from the decoding thread; `post_message` may be."""
        self.post_message(PictureCame(name))

    def _start_reading(self) -> None:
        """Read the checklists in the background, once: when the first card is on the screen, or a
        key waits for them.

        Two threads share one interpreter, and the first card would wait for a long list.
        """
        if not self._reading:
            self._reading = True
            self.call_after_refresh(
                self.run_worker, self._read_checklists, thread=True, exit_on_error=False
            )

    def _read_checklists(self) -> None:
        self._lists_came(self._read(self._lists_came))

    def _lists_came(self, lists: Indexed) -> None:
        """Called from the reading thread."""
        from tagger.core.matching.matcher import Matcher

        self.post_message(ChecklistsRead(Matcher(lists.index, self._session.scale), lists))

    def on_checklists_read(self, message: ChecklistsRead) -> None:
        """Hints mean what was read so far; when all is read, keys that waited are done."""
        self._session.matcher = message.matcher
        self._lists = message.lists
        self._ready = message.lists.whole
        if self._ready:
            all_is_loaded()
        problems = message.lists.problems if self._ready else ()
        if problems:
            first = problems[0].sentence() if problems[0].line else problems[0].problem
            count = (
                f"{len(problems)} problems (tagger checklist FILE lists them); "
                if len(problems) > 1
                else ""
            )
            self._say(f"{count}{first}", alarm=True)
        self._drain()

    # Keys

    def on_key(self, event: events.Key) -> None:
        """Take a key in turn. The default handling is left out: it would let some keys overtake
        others."""
        self._wait_for_quiet()
        event.stop()
        event.prevent_default()
        self._session.work.key(self._session.now())
        self._welcome.dismiss()
        self._waiting.append(event)
        self._painting.keys += 1
        self._drain()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text goes into the hint line, its first line only: a paste never tags a card."""
        event.stop()
        self._welcome.dismiss()
        first, *rest = event.text.strip().splitlines() or [""]
        self._type(first)
        if rest:
            self._say("Only the first line of the pasted text was taken.")
        self._later()

    def _drain(self) -> None:
        while self._waiting:
            event = self._waiting[0]
            command = self._keymap.command(event.key)
            if (
                command is not None
                and not self._ready
                and command.id not in ("help", "leave", "redraw")
            ):
                self._start_reading()
                break
            self._waiting.popleft()
            self._key(event)
        self._later()

    def _key(self, event: events.Key) -> None:
        command = self._keymap.command(event.key)
        if (
            command is not None
            and command.id == "again"
            and self._line.text
            and not self._repeats()
        ):
            command = None
        if self._helping and self._turn_help(event, command.id if command else ""):
            return
        if self._history.shown and self._turn_history(event.key, command.id if command else ""):
            return
        if self.has_class("-closely") and self._turn_closely(
            event.key, command.id if command else ""
        ):
            return
        if self._listing and self._turn_overview(event.key, command.id if command else ""):
            return
        if self._findings.shown and self._turn_findings(event.key, command.id if command else ""):
            return
        if command is not None:
            self._do(command.id)
        elif (edited := self._line.edited(event.key)) is not None:
            self._line, self._choice = edited, 0
        elif event.character is not None and event.is_printable:
            self._type(event.character)
        elif event.key == "ctrl+c":
            self._say(f"{self._keymap.shown('leave')} leaves. Everything is saved already.")

    def _type(self, text: str) -> None:
        if self._helping:
            self._find(self._search.typed(text))
            return
        self._line, self._choice = self._line.typed(text), 0
        self._say("")

    def _do(self, id: str) -> None:
        """Run one command; whatever goes wrong is a sentence on the screen."""
        try:
            said, clears = getattr(self, f"_do_{id}")()
        except Refused as error:
            self._say(error.message, alarm=True)
        except TaggerError as error:
            self._say(error.message, alarm=True)
        else:
            if clears:
                self._line, self._choice = HintLine(), 0
            if said is not None:
                self._say(said, alarm=said.startswith(LOOK_AGAIN))

    def _do_redraw(self) -> tuple[str, bool]:
        self.refresh(layout=True)
        return "", False

    def _do_leave(self) -> tuple[str, bool]:
        # the desk was opened from another screen, which is there again
        if len(self.app.screen_stack) > 1:
            self.dismiss()
        else:
            self.app.exit()
        return "", False

    def _wait_for_quiet(self) -> None:
        """Let the store settle once, a while after the last key; nothing ticks while nothing
        happens."""
        if self._quiet is not None:
            self._quiet.stop()
        self._quiet = self.set_timer(QUIET, self._settle)

    def _settle(self) -> None:
        self._previews.save()
        self._resembling.quiet()
        try:
            self._session.settle()
        except TaggerError as error:
            self._say(error.message, alarm=True)
            self._later()

    # Drawing

    def on_resize(self, event: events.Resize) -> None:
        """Lay the desk out for the new size."""
        self._arrange()

    def _arrange(self) -> None:
        self._previews.arrange(lay_out(*self.app.size, self._face, self._previews.names))
        self.call_after_refresh(self._painting.now)

    def on_side_view_resized(self) -> None:
        """Show the pictures that fit now."""
        self._later()

    def _say(self, message: str, alarm: bool = False) -> None:
        self._message, self._alarm = message, alarm

    def _later(self) -> None:
        """Draw once the keys that wait already are done."""
        self._painting.later()

    def _proposal(self) -> Proposal:
        if self._ready:
            return self._proposed()
        lists = self._lists
        if lists is None or not len(lists.index):
            return Proposal(Deed.WAIT, why="The checklists are still being read.")
        so_far = self._proposed()
        return replace(
            so_far, deed=Deed.WAIT, why=f"lists still being read: {lists.files} of {lists.of}"
        )

    def _proposed(self) -> Proposal:
        alike = self._resembling.alike
        return self._session.proposals.of(self._line.text, self._choice, alike)

    def _show(self) -> None:
        if not self.is_attached or not self.app.size.width:
            return
        if self._listing and not self.has_class("-manual"):
            self._show_overview()
            return
        session, keys, width = self._session, self._keymap, self.app.size.width
        proposal = self._proposal()
        panel_box = self._boxes["panel"]
        style = theme.RUST if self._alarm else theme.SEA
        self._boxes["status"].show(
            [panel.status(session, self._lot, width, self._findings.tell(keys))]
        )
        self._boxes["was"].show([panel.was_and_last(session, keys, width)])
        self._boxes["message"].show([Text(f" {printable(self._message)}", style)])
        typed = self._line.text
        line, empty = (self._search, help.SEARCH) if self._helping else (self._line, panel.HINT)
        self._boxes["hint"].show([panel.hint(line, width, empty=empty)])
        among = (
            help.KEYS if self._helping else history.KEYS if self._history.shown
            else self._findings.keys if self._findings.shown else ()
        )  # fmt: skip
        self._boxes["keys"].show([panel.key_line(session, proposal, typed, keys, width, among)])
        if self._helping:
            self._show_help(
                [id for id in panel.useful(session, proposal, typed) if keys.keys[id]], width
            )
            return
        if self._history.shown:
            self._show_history()
            return
        room = (panel_box.size.width - 1, panel_box.size.height)
        if self._welcome.shown:
            shown = welcome.lines(keys, room[0])
        elif self._findings.shown:
            shown = findings.panel(self._findings, session.arrangement, keys, *room)
        else:
            shown = panel.panel(session, proposal, keys, *room)
        panel_box.show([Text(" ").append_text(line) for line in shown])

    def _show_pictures(self) -> None:
        unseen = self._listing and not self._pictured
        covered = self._helping or self._history.shown or unseen
        if covered or not self.is_attached or not self.app.size.width:
            return
        if self._previews.show(self._session):
            self._start_reading()
            self._watch.begin()
        self._resembling.shown()
        self._upkeep.shown()

    def _finer(self, rows: int) -> bool:
        return (not self._listing or self._pictured) and self._previews.finer(rows)

    def on_picture_came(self, message: PictureCame) -> None:
        """Show a picture where it belongs to the card in front."""
        card, known = self._previews.listed or self._session.card, self._previews.known
        if (card is not None and message.name in (card.front, card.back)) or (
            known and message.name == known.name
        ):
            self._later()

"""The desk: the one screen where a lot is tagged.

Every key comes here and is done in the order in which it was sent, one after the other, whatever
arrives in one packet; what it means is a matter of the modes. What is drawn follows when the keys
are quiet."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.geometry import Size
from textual.message import Message
from textual.timer import Timer

from tagger.core.session.unfinished import UnfinishedHint
from tagger.errors import TaggerError
from tagger.services.garbage import all_is_loaded
from tagger.ui.desk.actions import Actions, Outcome
from tagger.ui.desk.background.background_monitor import (
    AuditReported,
    BackgroundMonitor,
    ScansCame,
    ScansRead,
    SheetSplit,
    StatusText,
)
from tagger.ui.desk.background.checklist_reader import ChecklistReader, ChecklistsRead, ListsAsked
from tagger.ui.desk.background.hub_monitor import HubMonitor, HubTold
from tagger.ui.desk.background.reading_client import CardsRead, ReadingClient
from tagger.ui.desk.background.recognition_client import RecognitionClient, Recognized
from tagger.ui.desk.background_news import BackgroundNews
from tagger.ui.desk.findings import Findings
from tagger.ui.desk.hint_entry import HintEntry
from tagger.ui.desk.looking import Looking
from tagger.ui.desk.modes.tagging import Tagging
from tagger.ui.desk.openers import Openers
from tagger.ui.desk.parts import DeskBoxes, DeskParts, DeskSetup
from tagger.ui.desk.pictures.prefetch import Prefetch
from tagger.ui.desk.pictures.previews import Previews
from tagger.ui.desk.tag_actions import TagActions
from tagger.ui.desk.welcome import Welcome
from tagger.ui.keys import Action
from tagger.ui.message_line import MessageLine
from tagger.ui.modes import ModeStack
from tagger.ui.terminal.frame_scheduler import FrameScheduler
from tagger.ui.widgets.line_screen import LineScreen
from tagger.ui.widgets.side_view import SideView

if TYPE_CHECKING:
    from tagger.core.model.scan_ref import ScanRef
    from tagger.ui.desk.background.checklist_reader import ShownReading

QUIET = 1.0  # seconds without a key after which the store may bring lot.json up to date
# What needs no checklist; all else waits until the lists are read, so that nothing is taken for
# what a longer list would have as another card.
WITHOUT_LISTS = frozenset((Action.HELP, Action.LEAVE, Action.REDRAW))


class PictureCame(Message):
    """A wanted picture was decoded, or failed."""

    def __init__(self, ref: ScanRef) -> None:
        super().__init__()
        self.ref = ref


class DeskScreen(LineScreen):
    """Shows the card in front, the proposal, and the hint line."""

    DEFAULT_CSS = """
    DeskScreen #left { height: 100%; }
    DeskScreen #sides { height: 1fr; }
    DeskScreen #right { width: 1fr; height: 100%; }
    DeskScreen #panel { height: 1fr; }
    DeskScreen > #past { display: none; height: 1fr; }
    DeskScreen > #closely { display: none; height: 1fr; }
    DeskScreen > #lot { display: none; height: 1fr; }
    DeskScreen #list { width: 1fr; height: 100%; }
    DeskScreen #beside { width: 50; height: 100%; }
    DeskScreen.-closely > #body { display: none; }
    DeskScreen.-overview > #body, DeskScreen.-proofs > #body { display: none; }
    DeskScreen.-manual > #proofs { display: none; }
    DeskScreen.-past > #body, DeskScreen.-past > #closely { display: none; }
    DeskScreen.-past > #lot { display: none; }
    DeskScreen.-overview > #lot { display: block; }
    DeskScreen.-manual > #lot { display: none; }
    DeskScreen.-closely > #closely { display: block; }
    DeskScreen.-past > #past { display: block; }
    DeskScreen.-manual > #past { display: none; }
    """

    def __init__(self, setup: DeskSetup) -> None:
        super().__init__()
        self._parts = parts = self._made(setup)
        parts.previews.printed.evidence_of = parts.reading.seen_of
        self._welcome = Welcome(setup.first_time)
        self._looking = Looking(parts)
        self._news = BackgroundNews(parts)
        self._upkeep = Prefetch(self, parts.session, parts.previews, parts.painting.later)
        self._tagging = Tagging(parts, self._welcome)
        parts.modes.push(self._tagging)
        parts.actions.bind(
            TagActions(parts).handlers,
            self._looking.handlers,
            Openers(parts, self._looking).handlers,
            {Action.REDRAW: self._redraw, Action.LEAVE: self._leave},
        )
        self._left = setup.left
        self._waiting: deque[events.Key] = deque()
        self._quiet: Timer | None = None
        self._size_laid_out: Size | None = None

    def _made(self, setup: DeskSetup) -> DeskParts:
        """The parts that know nothing of each other's keys."""
        session = setup.session
        hint, message = HintEntry(), MessageLine(setup.notice)
        memory, folder = setup.known
        return DeskParts(
            screen=self,
            session=session,
            lot=setup.lot,
            export=setup.export,
            keys=setup.keys,
            modes=ModeStack(self),
            hint=hint,
            unfinished=UnfinishedHint(session.view, setup.unfinished),
            message=message,
            actions=Actions(hint, message),
            boxes=DeskBoxes(),
            painting=FrameScheduler(
                self,
                lambda: session.view.cursor.position,
                self._show,
                self._show_pictures,
                lambda rows: self._parts.modes.front.pictured and self._parts.previews.finer(rows),
            ),
            previews=Previews(
                setup.source, setup.manner, setup.loupes, self._picture_ready, setup.poses
            ),
            lists=ChecklistReader(self, session, setup.read_lists, setup.ask_lists),
            findings=Findings(),
            background=BackgroundMonitor(self, session, setup.work),
            recognition=RecognitionClient(self, session, memory, folder, setup.lot),
            hub=HubMonitor(self, session, setup.hub),
            reading=ReadingClient(self, session, setup.readings),
        )

    def compose(self) -> ComposeResult:
        """Top line, previews and panel, what was, message, hint, keys."""
        boxes, previews = self._parts.boxes, self._parts.previews
        yield boxes.status
        with Horizontal(id="body"):
            yield from previews.compose(boxes.panel)
        yield previews.closely
        with Horizontal(id="lot"):
            yield boxes.list
            yield previews.beside
        yield from (boxes.manual, boxes.past, boxes.was, boxes.message, boxes.hint, boxes.keys)

    def on_mount(self) -> None:
        """Settle even where no key is pressed."""
        self._wait_for_quiet()

    def on_unmount(self) -> None:
        """Let go of the pictures, and end what goes on behind."""
        self._parts.painting.close()
        self._tagging.keep_hint()
        self._parts.background.close()
        self._parts.recognition.close()
        self._parts.hub.close()
        self._parts.reading.close()
        self._parts.previews.close()
        if self._left is not None:
            self._left()

    # Keys

    def on_key(self, event: events.Key) -> None:
        """Take a key in turn."""
        # Textual's own handling is left out: it would let some keys overtake others.
        event.stop()
        event.prevent_default()
        self._parts.background.key_came()
        self._wait_for_quiet()
        session = self._parts.session
        session.work.key(session.now())
        # what stands before the card answers its own keys
        in_front = self._parts.modes.front is self._tagging
        if self._welcome.closed_by(self._parts.keys.action(event.key)) and in_front:
            self._parts.painting.later()
            return
        self._waiting.append(event)
        self._parts.painting.keys += 1
        self._drain()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text is typed, its first line only: a paste never tags a card."""
        event.stop()
        self._welcome.dismiss()
        first, *rest = event.text.strip().splitlines() or [""]
        self._parts.modes.on_text(first)
        if rest:
            self._parts.message.say("Only the first line of the pasted text was used.")
        self._parts.painting.later()

    def _drain(self) -> None:
        """Do the keys that wait, up to one that needs a checklist that is not read yet."""
        while self._waiting:
            event = self._waiting[0]
            action = self._parts.keys.action(event.key)
            if not (self._parts.lists.ready or action is None or action in WITHOUT_LISTS):
                self._parts.lists.begin()
                break
            self._waiting.popleft()
            self._parts.modes.on_key(event, self._tagging.meant(event.key, action))
        self._parts.painting.later()

    def _redraw(self) -> Outcome:
        self.refresh(layout=True)
        return Outcome()

    def _leave(self) -> Outcome:
        # Where the desk was opened from another screen, that is there again.
        if len(self.app.screen_stack) > 1:
            self.dismiss()
        else:
            self.app.exit()
        return Outcome()

    def _wait_for_quiet(self) -> None:
        """Let the store settle once, a while after the last key; nothing ticks while nothing
        happens."""
        if self._quiet is not None:
            self._quiet.stop()
        self._quiet = self.set_timer(QUIET, self._settle)

    def _settle(self) -> None:
        self._tagging.keep_hint()
        self._parts.previews.save()
        self._parts.recognition.quiet()
        self._parts.background.read()
        self._news.tagged()
        try:
            self._parts.session.settle()
        except TaggerError as error:
            # that a card was not saved stays, until a key has answered it
            if not self._parts.message.alarm:
                self._parts.message.say(error.message, alarm=True)
                self._parts.painting.later()
        self._parts.hub.quiet()

    # What comes from behind. Bound by the messages' classes: a method that is found by a name would
    # no longer be found when the class has another one.

    @on(ChecklistsRead)
    def _checklists_read(self, message: ChecklistsRead) -> None:
        """Hints mean what was read so far; when all is read, keys that waited are done."""
        self._parts.lists.came(message)
        if self._parts.lists.ready:
            all_is_loaded()
            self._parts.reading.lists_changed()
        self._drain()

    @on(ListsAsked)
    def _lists_asked(self, message: ListsAsked) -> None:
        """Tell what is wrong with the lists, and show how new ones were read."""
        if message.told:
            self._parts.message.say(message.told, alarm=True)
        if message.readings:
            at_work = self._waiting or self._parts.modes.front is not self._tagging
            _ask_about(message.readings, self._parts, bool(at_work))
        self._parts.painting.later()

    def _picture_ready(self, ref: ScanRef) -> None:
        """Called from the decoding thread; `post_message` may be."""
        self.post_message(PictureCame(ref))

    @on(PictureCame)
    def _picture_came(self, message: PictureCame) -> None:
        if self._parts.previews.shows(message.ref, self._parts.session):
            self._parts.painting.later()

    @on(AuditReported)
    def _audit_reported(self, message: AuditReported) -> None:
        self._news.audit_reported(message)

    @on(ScansCame)
    def _scans_came(self, message: ScansCame) -> None:
        self._news.scans_came(message)

    @on(ScansRead)
    def _scans_read(self, message: ScansRead) -> None:
        self._news.scans_read(message)

    @on(SheetSplit)
    def _sheet_split(self, message: SheetSplit) -> None:
        self._news.sheet_split(message)

    @on(StatusText)
    def _status_text(self, message: StatusText) -> None:
        self._parts.message.say(message.sentence, alarm=message.alarm)
        self._parts.painting.later()

    @on(HubTold)
    def _hub_told(self, message: HubTold) -> None:
        self._news.hub_told(message)

    @on(Recognized)
    def _recognized(self, answer: Recognized) -> None:
        self._news.recognized(answer, self._tagging.undisturbed and not self._waiting)

    @on(CardsRead)
    def _cards_read(self, message: CardsRead) -> None:
        self._news.cards_read(message)

    # Drawing

    def on_resize(self, event: events.Resize) -> None:
        """Lay the desk out for the new size."""
        # it is told of several times while the desk is made
        if event.size != self._size_laid_out:
            self._size_laid_out = event.size
            self._looking.arrange()

    @on(SideView.Resized)
    def _view_resized(self) -> None:
        """Show the pictures that fit now."""
        self._parts.painting.later()

    def _seen(self) -> bool:
        return self.is_attached and self.app.size.width > 0

    def _show(self) -> None:
        if not self._seen():
            return
        if self._parts.lists.ready and self._parts.modes.front is self._tagging:
            undisturbed = self._tagging.undisturbed and not self._waiting
            self._news.looked(self._parts.reading.look(undisturbed))
        self._parts.modes.front.draw()

    def _show_pictures(self) -> bool:
        if not self._seen():
            return False
        if not self._parts.modes.front.pictured:
            return True
        if whole := self._parts.previews.show(self._parts.session):
            self._parts.lists.begin()
            self._parts.background.begin()
            self._upkeep.shown()
        self._parts.recognition.shown()
        self._parts.reading.shown()
        return whole


def _ask_about(readings: Sequence[ShownReading], parts: DeskParts, at_work: bool) -> None:
    """Show how new lists were read."""
    from tagger.ui.desk.modes.list_reading import ANOTHER_TIME, ListReadingMode

    if at_work or parts.hint.text:
        parts.message.say(ANOTHER_TIME)
    elif parts.lists.asker is not None:
        parts.modes.push(ListReadingMode(parts, readings, parts.lists.asker.seen))

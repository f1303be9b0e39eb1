"""The find screen: what is typed finds at once, over all lots; the cards that fit, where they lie,
how they look.

Keys are done in the order in which they came. Those that need the answer to what was typed before
them wait for it; typing never does."""

from __future__ import annotations

from collections import deque

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message

from tagger.core.model.text import printable
from tagger.errors import TaggerError
from tagger.preview.pictures import Source
from tagger.preview.render_settings import RenderSettings
from tagger.ui import theme
from tagger.ui.desk import panel
from tagger.ui.find import lines
from tagger.ui.find.hit_list import HitList
from tagger.ui.find.keys import find_command
from tagger.ui.find.latest_only_worker import LatestOnlyWorker
from tagger.ui.find.layout import room
from tagger.ui.find.marks import FindMarks
from tagger.ui.find.ports import Finder, Finds
from tagger.ui.find.views import HitViews
from tagger.ui.find.visits import FindVisits, afresh
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Keymap
from tagger.ui.terminal.frame_scheduler import FrameScheduler
from tagger.ui.widgets.line_box import LineBox


class PictureCame(Message):
    """A wanted picture was decoded, or failed."""


class Answered(Message):
    """What was asked last was answered."""

    def __init__(self, found: Finds | Exception) -> None:
        super().__init__()
        self.found = found


class ListsBeingRead(Message):
    """How many lots were read, of so many that are read."""

    def __init__(self, done: int, of: int) -> None:
        super().__init__()
        self.done, self.of = done, of


class FindScreen(FindMarks, FindVisits):
    """The list, the card at its cursor, and the hint line."""

    DEFAULT_CSS = """
    FindScreen { layout: vertical; background: #11161a; color: #d9d4c5; overflow: hidden; }
    FindScreen > LineBox { height: 1; }
    FindScreen > #body { height: 1fr; }
    FindScreen #list { height: 100%; }
    FindScreen #pictures { height: 100%; overflow: hidden; }
    FindScreen > #manual { display: none; height: 1fr; }
    FindScreen.-manual > #manual { display: block; }
    FindScreen.-manual > #body { display: none; }
    """

    def __init__(
        self, finder: Finder, source: Source, keys: Keymap, manner: RenderSettings, words: str = ""
    ) -> None:
        """`words` stand in the hint line from the beginning."""
        super().__init__()
        self._finder, self._keymap, self._manner = finder, keys, manner
        self._views = HitViews(source, manner, self._picture_came)
        self._searching = LatestOnlyWorker(
            lambda words: finder.search(words, self._tell), self._answered
        )
        self._found = HitList()
        self._painting = FrameScheduler(
            self, lambda: self._found.at + 1, self._show, self._show_pictures, self._finer
        )
        self._boxes = {
            "status": LineBox(theme.BAR, "status"), "list": LineBox(theme.PLAIN, "list"),
            "manual": LineBox(theme.PLAIN, "manual"), "about": LineBox(theme.PLAIN, "about"),
            "message": LineBox(theme.PLAIN, "message"), "hint": LineBox(theme.BAR, "hint"),
            "keys": LineBox(theme.PLAIN, "keys"),
        }  # fmt: skip
        self._line = HintLine().typed(words)
        self._asked: str | None = None  # the words that an answer is due for
        self._reading = ""
        self._message, self._alarm = "", False
        self._waiting: deque[events.Key] = deque()
        self._instead = False  # the pictures are shown instead of the list

    @property
    def is_current(self) -> bool:
        """Whether it is seen. Textual takes a screen behind another for seen as well; a change of
        it there would have both drawn in turn for ever."""
        stack = self.app.screen_stack
        return bool(stack) and stack[-1] is self

    def compose(self) -> ComposeResult:
        """Top line, list and pictures, where the card lies, message, hint, keys."""
        yield self._boxes["status"]
        with Horizontal(id="body"):
            yield self._boxes["list"]
            yield from self._views.compose()
        for id in ("manual", "about", "message", "hint", "keys"):
            yield self._boxes[id]

    def on_mount(self) -> None:
        """Have the lots read; what is typed meanwhile is shown at once."""
        self.call_after_refresh(self._ask, again=True)

    def on_unmount(self) -> None:
        """End what goes on behind."""
        self._searching.close()
        self._views.close()

    def _picture_came(self, name: str) -> None:
        """Called from the drawing thread."""
        self.post_message(PictureCame())

    # Searching

    def _tell(self, done: int, of: int) -> None:
        """Called from the searching thread."""
        self.post_message(ListsBeingRead(done, of))

    def _answered(self, found: Finds | Exception) -> None:
        """Called from the searching thread."""
        self.post_message(Answered(found))

    def _ask(self, again: bool = False) -> None:
        """Search for what is typed, where it is not what was asked last."""
        words = " ".join(self._line.text.split())
        if again or (self._asked if self._asked is not None else self._found.finds.words) != words:
            self._asked = words
            self._searching.ask(words)

    def _look_again(self) -> None:
        self._finder.again()
        self._ask(again=True)

    def on_lists_being_read(self, message: ListsBeingRead) -> None:
        """Say how far it is."""
        self._reading = f"reading lots: {message.done:,} of {message.of:,}"
        self._painting.later()

    def on_answered(self, message: Answered) -> None:
        """Show what was found, and do the keys that waited for it."""
        found, words = message.found, self._asked
        self._asked, self._reading = None, ""
        if isinstance(found, TaggerError):
            found = Finds(words or "", problem=found.message)
        elif isinstance(found, Exception):
            raise found
        self._found.show(found)
        if found.skipped:
            more = f" and {len(found.skipped) - 1} more" if len(found.skipped) > 1 else ""
            self._say(f"{found.skipped[0]}{more}", alarm=True)
        self._drain()

    # Keys

    def on_key(self, event: events.Key) -> None:
        """Take a key in turn; one that was sent after the desk was opened is the desk's."""
        event.stop()
        event.prevent_default()
        if self._visit is not None:
            self.app.screen.post_message(afresh(event))
            return
        if find_command(self._keymap, event.key) == "leave":
            self.app.exit()
            return
        self._waiting.append(event)
        self._painting.keys += 1
        self._drain()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text goes into the hint line, its first line only."""
        event.stop()
        self._type((event.text.strip().splitlines() or [""])[0])
        self._painting.later()

    def _drain(self) -> None:
        while self._waiting and self._visit is None:
            event = self._waiting[0]
            id = find_command(self._keymap, event.key)
            if id in ("take", "up", "page", "mark", "flip"):
                self._ask()
                if self._asked is not None:
                    break
            self._waiting.popleft()
            self._key(event, id)
        self._painting.later()

    def _key(self, event: events.Key, id: str) -> None:
        if self.has_class("-manual") and self._turn_help(event.key, id):
            return
        if id and (self._choice is None or not self._decide(id)):
            self._do(id, event.key)
        elif id:
            return
        elif (edited := self._line.edited(event.key)) is not None:
            self._edit(edited)
        elif event.character is not None and event.is_printable:
            self._type(event.character)
        elif event.key == "ctrl+c":
            self._say(f"{self._keymap.shown('leave')} leaves. Everything is saved already.")

    def _type(self, text: str) -> None:
        self._edit(self._line.typed(text))

    def _edit(self, line: HintLine) -> None:
        self._line, self._choice = line, None
        self._say("")

    def _do(self, id: str, key: str) -> None:
        """Run one command; whatever goes wrong is a sentence on the screen."""
        rows = max(1, self._rows - 2)
        try:
            match id:
                case "up":
                    self._move(-1 if key == "up" else 1)
                case "page":
                    self._move(-rows if key == "pageup" else rows)
                case "take":
                    self._open()
                case "mark":
                    self._ask_mark()
                case "flip":
                    self._here()
                    self._instead = not self._instead
                    self._arrange()
                case "undo":
                    self._undo()
                case "help":
                    self._help_top = 0
                    self.add_class("-manual")
                case "redraw":
                    self.refresh(layout=True)
                    self._look_again()
        except TaggerError as error:
            self._say(error.message, alarm=True)

    def _move(self, by: int) -> None:
        self._found.move(by)
        self._say("")

    # Drawing

    def on_resize(self, event: events.Resize) -> None:
        """Lay the screen out for the new size."""
        self._arrange()

    def _arrange(self) -> None:
        share = room(*self.app.size, self._instead)
        self._boxes["list"].display = share.list > 0
        self._boxes["list"].styles.width = share.list
        self._views.arrange(share)
        self.call_after_refresh(self._painting.now)

    def on_side_view_resized(self) -> None:
        """Show the pictures that fit now."""
        self._painting.later()

    def on_picture_came(self) -> None:
        """Show it, where it is of the card at the cursor."""
        self._painting.later()

    def _say(self, message: str, alarm: bool = False) -> None:
        self._message, self._alarm = message, alarm

    def _show(self) -> None:
        if not self.is_attached or not self.app.size.width or self._visit is not None:
            return
        self._ask()
        found, keys, boxes, width = self._found, self._keymap, self._boxes, self.app.size.width
        finds, helping = found.finds, self.has_class("-manual")
        lots = self._reading or f"{finds.lots:,} lot{'' if finds.lots == 1 else 's'}"
        boxes["status"].show([lines.top(found, finds.words, lots, width)])
        about, *rest = lines.about(found.here, width)
        said = [Text(f" {printable(self._message)}", theme.RUST if self._alarm else theme.SEA)]
        if self._choice is not None and found.here is not None:
            said = [Text(f" {printable(lines.asked(found.here, self._choice, keys))}", theme.BRASS)]
        boxes["about"].show([about])
        boxes["message"].show(said if self._message or self._choice is not None else rest[:1])
        boxes["hint"].show([panel.hint(self._line, width, empty=lines.EMPTY)])
        asking = self._choice is not None
        boxes["keys"].show(
            [lines.key_line(found, asking, self._instead, self._marked > 0, helping, keys, width)]
        )
        if helping:
            self._show_help(width)
        elif share := room(width, self.app.size.height, self._instead).list:
            boxes["list"].show(lines.body(found, share, self._rows))

    def _show_pictures(self) -> None:
        if self.is_attached and self._visit is None and room(*self.app.size, self._instead).view:
            self._views.show(self._found.near())

    def _finer(self, rows: int) -> bool:
        return self._visit is None and self._views.finer(rows)

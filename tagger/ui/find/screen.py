"""The find screen: what is typed finds at once, over all lots; the cards that fit, where they lie,
how they look.

Keys are done in the order in which they came. Those that need the answer to what was typed before
them wait for it; typing never does."""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message

from tagger.ui.find.hit_list import HitList
from tagger.ui.find.keys import FindAction, find_action
from tagger.ui.find.marks import Marks
from tagger.ui.find.modes.listing import Listing
from tagger.ui.find.parts import FindBoxes, FindParts, Typed
from tagger.ui.find.search import Answered, ListsBeingRead, TypedSearch
from tagger.ui.find.views import HitViews
from tagger.ui.find.visit import Visit
from tagger.ui.hint_line import HintLine
from tagger.ui.message_line import MessageLine
from tagger.ui.modes import ModeStack
from tagger.ui.terminal.frame_scheduler import FrameScheduler
from tagger.ui.widgets.line_screen import LineScreen
from tagger.ui.widgets.side_view import SideView

if TYPE_CHECKING:
    from tagger.core.model.scan_ref import ScanRef
    from tagger.preview.pictures import Source
    from tagger.preview.render_settings import RenderSettings
    from tagger.ui.find.ports import Copy, Finder
    from tagger.ui.keys import Keymap

# These are about the card at the cursor, which only the answer to what was typed before says.
NEED_THE_ANSWER = frozenset(
    (FindAction.TAKE, FindAction.UP, FindAction.PAGE, FindAction.MARK, FindAction.FLIP)
)


class HitPictureCame(Message):
    """A wanted picture was decoded, or failed."""


class FindScreen(LineScreen):
    """The list, the card at its cursor, and the hint line."""

    DEFAULT_CSS = """
    FindScreen #list { height: 100%; }
    FindScreen #pictures { height: 100%; overflow: hidden; }
    """

    def __init__(
        self, finder: Finder, source: Source, keys: Keymap, manner: RenderSettings, words: str = ""
    ) -> None:
        """`words` stand in the hint line from the beginning."""
        super().__init__()
        found, typed = HitList(), Typed(HintLine().typed(words))
        self._parts = parts = FindParts(
            screen=self,
            keys=keys,
            modes=ModeStack(self),
            typed=typed,
            found=found,
            search=TypedSearch(self, finder, lambda: typed.line.text, found),
            message=MessageLine(),
            boxes=FindBoxes(),
            views=HitViews(source, manner, self._picture_ready),
            painting=FrameScheduler(
                self, lambda: found.at + 1, self._show, self._show_pictures, self._finer
            ),
        )
        self._marks = Marks(parts, finder)
        self._visit = Visit(self, finder, manner, self._came_back)
        parts.modes.push(Listing(parts, self._marks, self._open, self._arrange))
        self._waiting: deque[events.Key] = deque()

    @property
    def is_current(self) -> bool:
        """Whether it is seen. Textual takes a screen behind another for seen as well; a change of
        it there would have both drawn in turn for ever."""
        stack = self.app.screen_stack
        return bool(stack) and stack[-1] is self

    def compose(self) -> ComposeResult:
        """Top line, list and pictures, where the card lies, message, hint, keys."""
        boxes = self._parts.boxes
        yield boxes.status
        with Horizontal(id="body"):
            yield boxes.list
            yield from self._parts.views.compose()
        yield from (boxes.manual, boxes.about, boxes.message, boxes.hint, boxes.keys)

    def on_mount(self) -> None:
        """Have the lots read; what is typed meanwhile is shown at once."""
        # After the first screen: reading two thousand lots takes the interpreter for a while.
        self.call_after_refresh(self._parts.search.ask, again=True)

    def on_unmount(self) -> None:
        """End what goes on behind."""
        self._parts.painting.close()
        self._parts.search.close()
        self._parts.views.close()

    # Lots that are opened

    def _open(self, copy: Copy) -> None:
        self._visit.begin(copy, self._waiting)

    def _came_back(self, said: str) -> None:
        self._marks.done(said)
        self._drain()

    # What comes from behind

    def _picture_ready(self, ref: ScanRef) -> None:
        """Called from the drawing thread."""
        self.post_message(HitPictureCame())

    @on(HitPictureCame)
    @on(SideView.Resized)
    def _pictures_changed(self) -> None:
        """Show those of the card at the cursor that fit now."""
        self._parts.painting.later()

    @on(ListsBeingRead)
    def _lists_being_read(self, message: ListsBeingRead) -> None:
        """Say how far it is."""
        self._parts.search.reading(message)
        self._parts.painting.later()

    @on(Answered)
    def _answer_came(self, message: Answered) -> None:
        """Show what was found, and do the keys that waited for it."""
        if skipped := self._parts.search.came(message):
            self._parts.message.say(skipped, alarm=True)
        self._drain()

    # Keys

    def on_key(self, event: events.Key) -> None:
        """Take a key in turn; one that was sent after the desk was opened is the desk's."""
        event.stop()
        event.prevent_default()
        if self._visit.going_on:
            self._visit.pass_on(event)
        elif find_action(self._parts.keys, event.key) is FindAction.LEAVE:
            # Also while a long list is read: nothing that waits is worth waiting for then.
            self.app.exit()
        else:
            self._waiting.append(event)
            self._parts.painting.keys += 1
            self._drain()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text goes into the hint line, its first line only."""
        event.stop()
        self._parts.modes.on_text((event.text.strip().splitlines() or [""])[0])
        self._parts.painting.later()

    def _drain(self) -> None:
        """Do the keys that wait, up to one that needs an answer that is still due."""
        search = self._parts.search
        while self._waiting and not self._visit.going_on:
            event = self._waiting[0]
            action = find_action(self._parts.keys, event.key, self._parts.typed.line.text)
            if action in NEED_THE_ANSWER:
                search.ask()
                if search.due:
                    break
            self._waiting.popleft()
            self._parts.modes.on_key(event, action)
        self._parts.painting.later()

    # Drawing

    def on_resize(self, event: events.Resize) -> None:
        """Lay the screen out for the new size."""
        self._arrange()

    def _arrange(self) -> None:
        share, box = self._parts.layout, self._parts.boxes.list
        box.display = share.list > 0
        box.styles.width = share.list
        self._parts.views.arrange(share)
        self.call_after_refresh(self._parts.painting.now)

    def _seen(self) -> bool:
        return self.is_attached and not self._visit.going_on

    def _show(self) -> None:
        if self._seen() and self.app.size.width:
            self._parts.search.ask()
            self._parts.modes.front.draw()

    def _show_pictures(self) -> bool:
        if self._seen() and self._parts.layout.view:
            self._parts.views.show(self._parts.found.near())
        return True  # the list does not wait for them

    def _finer(self, rows: int) -> bool:
        return self._seen() and self._parts.views.finer(rows)

"""What the find screen is made of, as each of its modes has it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rich.text import Text
from textual.geometry import Size
from textual.screen import Screen

from tagger.errors import Refused
from tagger.ui import theme
from tagger.ui.bottom_lines import hint
from tagger.ui.desk.layout import LINES
from tagger.ui.find import lines
from tagger.ui.find.layout import FindLayout, room
from tagger.ui.widgets.line_box import LineBox
from tagger.ui.wording import wrapped

if TYPE_CHECKING:
    from tagger.ui.find.hit_list import HitList
    from tagger.ui.find.keys import FindAction
    from tagger.ui.find.ports import Copy
    from tagger.ui.find.search import TypedSearch
    from tagger.ui.find.views import HitViews
    from tagger.ui.hint_line import HintLine
    from tagger.ui.keys import Keymap
    from tagger.ui.message_line import MessageLine
    from tagger.ui.modes import ModeStack
    from tagger.ui.terminal.frame_scheduler import FrameScheduler


@dataclass(frozen=True)
class FindBoxes:
    """The boxes of lines: around the list, the list itself, and the help."""

    status: LineBox = field(default_factory=lambda: LineBox(theme.BAR, "status"))
    list: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "list"))
    manual: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "manual"))
    about: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "about"))
    message: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "message"))
    hint: LineBox = field(default_factory=lambda: LineBox(theme.BAR, "hint"))
    keys: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "keys"))


@dataclass
class Typed:
    """The line that is typed into."""

    line: HintLine


@dataclass(frozen=True)
class FindParts:
    """The keys, what is typed, found and said; what is seen."""

    screen: Screen[None]
    keys: Keymap
    modes: ModeStack[FindAction]
    typed: Typed
    found: HitList
    search: TypedSearch
    message: MessageLine
    boxes: FindBoxes
    views: HitViews
    painting: FrameScheduler

    @property
    def size(self) -> Size:
        """The terminal's, in cells."""
        return self.screen.app.size

    @property
    def rows(self) -> int:
        """Rows of the list, its head with them."""
        # Two at least, on however low a screen: the head, and a card below it.
        return max(2, self.size.height - LINES)

    @property
    def layout(self) -> FindLayout:
        """Who has how much of the screen."""
        return room(*self.size, self.views.instead)

    def here(self) -> Copy:
        """The copy at the cursor. Raises Refused where there is none."""
        here = self.found.here
        if here is None:
            raise Refused("No card in the list; type other words.")
        return here

    def draw_frame(self, keys: Text, asked: str = "") -> None:
        """Draw the lines around the list; `asked` stands where otherwise something is said."""
        boxes, width = self.boxes, self.size.width
        # The words that were answered, not those that are typed by now: the list is theirs.
        finds = self.found.finds
        boxes.status.show([lines.top(self.found, finds.words, self.search.lots, width)])
        about, *rest = self._said(asked, lines.about(self.found.here, width))
        boxes.about.show([about])
        boxes.message.show(rest)
        boxes.message.grow(len(rest))
        boxes.hint.show([hint(self.typed.line, width, lines.EMPTY)])
        boxes.keys.show([keys])

    def _said(self, asked: str, about: list[Text]) -> list[Text]:
        """Where the card lies, and below it what is said or asked; what that has no room for in a
        line takes the place of the rest."""
        said = self.message.lines(self.size.width) if self.message.text else []
        if asked:
            said = wrapped(asked, self.size.width, theme.BRASS)
        # Where nothing is said, there is a line more for where the card lies.
        if not said:
            return about[:2]
        # A sentence that takes two lines is an error or a question: where the card lies can be read
        # again after it.
        return [*about[:1], *said] if len(said) == 1 else said

    def draw_list(self) -> None:
        """Draw the list, where it is seen."""
        if share := self.layout.list:
            self.boxes.list.show(lines.body(self.found, share, self.rows))

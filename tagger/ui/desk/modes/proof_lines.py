"""The page of proofs in words: where everything stands, and a few words beside each cut-out. State
is told by signs and words, and only then by colours."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rich.text import Text

from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.ui import theme
from tagger.ui.fit import middle
from tagger.ui.wording import cut, spread

if TYPE_CHECKING:
    from tagger.core.session.proofs.marks import ProofMarks
    from tagger.preview.pictures import Box

DIGITS = "1234567890"
# pixels of height that letters have at least, as in most fonts of small displays; with fewer, small
# letters run together. More rows than that, up to so many, where ten lines have room all the same.
LETTER, MOST_ROWS, TEN = 7, 5, 10
WORDS = 3  # rows of the words beside a cut-out
SIGNS = 3  # cells of the cursor, the digit and the sign
RIGHT, WRONG, OTHER = " ", "x", "*"


@dataclass(frozen=True, slots=True)
class ProofLayout:
    """A page's lines, the rows of each, and the cells of number, name and words."""

    lines: int
    rows: int
    number: int
    name: int
    words: int

    @property
    def boxes(self) -> tuple[Box, Box]:
        """The room of both cut-outs in square pixels, a cell left free beside each, and a pixel
        below."""
        high = self.rows * 2 - 1
        return (self.number - 1, high), (self.name - 1, high)


def lay_out(width: int, height: int, fine: int) -> ProofLayout:
    """How a page of so many cells is shared out; a cell has so many pixels, one above the other."""
    rows = max(WORDS, math.ceil((LETTER + 1) / fine), min(MOST_ROWS, height // TEN))
    # A name is read by its width, and the words beside it can be cut short.
    words = min(90, max(24, width * 3 // 10))
    number = min(20, max(13, width // 8))
    name = max(12, width - SIGNS - number - words)
    return ProofLayout(max(1, height // rows), rows, number, name, words)


def signs(marks: ProofMarks, layout: ProofLayout) -> list[Text]:
    """The column with the digits: the cursor, the line's digit, what is said of it."""
    found: list[Text] = []
    for at in range(len(marks.page.lines)):
        digit = DIGITS[at : at + 1] or " "
        here = at == marks.at
        line = Text("▸" if here else " ", theme.BRASS)
        line.append(digit, theme.BRASS).append(_sign(marks, at), theme.RUST)
        found += [line, *(Text() for _ in range(layout.rows - 1))]
    return found


def _sign(marks: ProofMarks, at: int) -> str:
    tags = marks.tags(at)
    if tags is None:
        return WRONG
    return RIGHT if tags == marks.page.lines[at].tags else OTHER


def words(marks: ProofMarks, layout: ProofLayout) -> list[Text]:
    """What each line is tagged as."""
    found: list[Text] = []
    for at in range(len(marks.page.lines)):
        lines = _words(marks, at, layout.words - 1)
        found += [*lines, *(Text() for _ in range(layout.rows - len(lines)))]
    return found


def _words(marks: ProofMarks, at: int, width: int) -> list[Text]:
    line, tags = marks.page.lines[at], marks.tags(at)
    shown = line.tags if tags is None else tags
    strong = theme.DIM if tags is None else theme.BRIGHT
    title = Text(middle(printable(shown.title), width), strong)
    before = marks.page.lines[at - 1].tags.set if at else shown.set
    # A set that is another one than above is what an eye that runs down would miss.
    set_style = theme.DIM if shown.set == before else theme.BRASS
    place = Text(f"card {line.position}", theme.DIM)
    of_set = Text(middle(printable(shown.set), width), set_style)
    return [title, spread(of_set, place, width), _state(marks, at, width)]


def _state(marks: ProofMarks, at: int, width: int) -> Text:
    line, tags = marks.page.lines[at], marks.tags(at)
    if not marks.is_seen(at):
        return cut(Text("not shown: for the desk", theme.RUST), width)
    if tags is None:
        return cut(Text("wrong: for the desk", theme.RUST), width)
    run = "" if (many := marks.print_run(at)) is None else f" ?/{many}"
    told = f"{tags.variant}{run} · {tags.condition or 'no condition'}"
    changed = tags != line.tags or tags.parallel
    return Text(middle(printable(told), width), theme.BRASS if changed else theme.PLAIN)


def about(marks: ProofMarks, width: int) -> Text:
    """Which cards the page has, and how many between them are left for the desk."""
    page = marks.page
    text = Text(f" Cards {page.first} to {page.last}, read on the scans", theme.DIM)
    if page.between:
        stay = "stays" if page.between == 1 else "stay"
        text.append(f" · {counted(page.between, 'card')} between {stay} for the desk", theme.PLAIN)
    return cut(text, width)


def what_enter_does(marks: ProofMarks, missing: int, done: str, width: int) -> Text:
    """What Enter would do now, behind what was `done` before as far as there is room."""
    does = _does(marks, missing, width)
    if not done:
        return does
    room = max(0, width - does.cell_len - 2)
    return spread(does, cut(Text(f"{printable(done)} ", theme.DIM), room), width)


def _does(marks: ProofMarks, missing: int, width: int) -> Text:
    if missing:
        return cut(Text(f" {counted(missing, 'line')} still to be drawn", theme.DIM), width)
    taken, left = len(marks.chosen()), len(marks.left())
    text = Text(f" Enter accepts {counted(taken, 'card')}", theme.SEA)
    if left:
        stay = "stays" if left == 1 else "stay"
        text.append(f"; {left} of the page {stay} for the desk", theme.RUST)
    return cut(text, width)

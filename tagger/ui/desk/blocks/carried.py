"""What is carried to the next cards."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.text import Text

from tagger.core.model.text import printable
from tagger.ui import theme
from tagger.ui.desk.blocks.worth import Block, Cost, Lines
from tagger.ui.fit import Forms, Part, fit_columns, middle
from tagger.ui.wording import cut, wrapped

if TYPE_CHECKING:
    from tagger.core.lot.carried import Carried

NOTHING = " nothing yet"
LEAST = 4  # cells to which a value is shortened
Pairs = Sequence[tuple[str, str]]


def carried(carried: Carried, width: int) -> Block:
    """A line for each field, or in as few lines as it takes."""
    stretch = carried.stretch
    head = "for the next cards"
    if stretch:
        head = f"for the next {stretch.left} cards" if stretch.left > 1 else "for the next card"
    # what does not end with the stretch stands under its heading as well
    ends = stretch.fields if stretch else tuple(name for name, _ in carried.pairs)
    pairs = [
        (name, printable(value if name in ends else f"{value} (after, too)"))
        for name, value in carried.pairs
    ]
    forms: Forms[Lines] = Forms(
        lambda: [Text(), *_under(head, [one for pair in pairs for one in _wrapped(*pair, width)])],
        lambda: [Text(), *_under(head, [_in_a_line(*pair, width) for pair in pairs])],
        lambda: [Text(), *_briefly(head, pairs, width)],
        lambda: _briefly(head, pairs, width),
        lambda: [_values(head, pairs, width)],
        list,
    )
    costs = (
        Cost.CARRIED_WRAPPED, Cost.CARRIED_LINES, Cost.CARRIED_GAP, Cost.CARRIED_PAIRS,
        Cost.CARRIED,
    )  # fmt: skip
    return Part(forms, costs)


def _in_a_line(name: str, value: str, width: int) -> Text:
    return Text(f" {name} ", theme.DIM).append(middle(value, width - len(name) - 3), theme.SEA)


def _wrapped(name: str, value: str, width: int) -> Lines:
    first, *rest = wrapped(f"{name} {value}", width, theme.SEA)
    first.stylize(theme.DIM, 0, len(name) + 2)
    return [first, *rest]


def _under(head: str, lines: Lines) -> Lines:
    return [Text(head, theme.BRASS), *(lines or [Text(NOTHING, theme.DIM)])]


def _briefly(head: str, pairs: Pairs, width: int) -> Lines:
    """The fields behind one another, over as many lines as they need."""
    lines = [Text(head, theme.BRASS)]
    for at, (name, value) in enumerate(pairs):
        pair = _in_a_line(name, value, width)
        if lines[-1].cell_len + pair.cell_len + 2 > width:
            lines.append(Text())
        elif at:
            lines[-1].append(" ·", theme.DIM)
        lines[-1].append_text(pair)
    if not pairs:
        lines[-1].append(NOTHING, theme.DIM)
    return [cut(line, width - 1) for line in lines]


def _values(head: str, pairs: Pairs, width: int) -> Text:
    """All in one line, the values alone."""
    line = Text(head, theme.BRASS)
    between = " · "
    room = width - len(head) - len(between) * len(pairs)
    shares = fit_columns([cell_len(value) for _, value in pairs], [LEAST] * len(pairs), room)
    for at, ((_, value), share) in enumerate(zip(pairs, shares, strict=True)):
        line.append(between if at else " ", theme.DIM).append(middle(value, share), theme.SEA)
    if not pairs:
        line.append(NOTHING, theme.DIM)
    return cut(line, width - 1)

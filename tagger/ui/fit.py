"""What is shown where not all has room: the one rule by which every screen is laid out.

What stands on a screen is made of parts. Each has its forms, from the full one to the least, and
says what each step down costs; the cheapest step is taken first, and what has room again in the end
is shown again (greedy degradation by priority). Rows of a panel, words of a line and columns of a
list are all fitted so; only what is measured differs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from typing import Any, Generic, NamedTuple, TypeVar

from rich.cells import cell_len, set_cell_size
from rich.text import Text

FormT = TypeVar("FormT")
ALWAYS = 100
"""Worth more than all that may be left out."""
LEAST_NAME = 4  # cells to which a name is shortened before it says nothing


class Forms(Sequence[FormT]):
    """Forms that are made when they are looked at: mostly the first one has room."""

    def __init__(self, *make: Callable[[], FormT]) -> None:
        self._make = make
        self._made: dict[int, FormT] = {}

    def __len__(self) -> int:
        return len(self._make)

    def __getitem__(self, at: Any) -> Any:
        """The form at this place, counted from 0."""
        if at not in self._made:
            self._made[at] = self._make[at]()
        return self._made[at]


class Part(NamedTuple, Generic[FormT]):
    """What stands together, in its forms; the last form is the least that is shown. `worth`: what
    each step to the next form costs; one number where all cost the same."""

    forms: Sequence[FormT]
    worth: int | tuple[int, ...] = ALWAYS

    def step(self, form: int) -> int:
        """What the step from a form to the next one costs."""
        return self.worth if isinstance(self.worth, int) else self.worth[form]


def fit(parts: Sequence[Part[FormT]], room: int, measure: Callable[[FormT], int]) -> list[FormT]:
    """The form of each part with which all fit into the room, each as full as can be; the least of
    all where they never do."""
    full = [part.forms[0] for part in parts]
    if sum(map(measure, full)) <= room:
        return full
    fitting = _Fitting(parts, room, measure)
    while fitting.over and fitting.step_down():
        pass
    fitting.step_up()
    return fitting.shown()


class _Fitting(Generic[FormT]):
    """Which form each part has by now."""

    def __init__(
        self, parts: Sequence[Part[FormT]], room: int, measure: Callable[[FormT], int]
    ) -> None:
        self._parts, self._room, self._measure = parts, room, measure
        self._at = [0] * len(parts)
        self._gave: list[tuple[int, int]] = []
        self._total = sum(self._size(i, 0) for i in range(len(parts)))

    def _size(self, i: int, form: int) -> int:
        return self._measure(self._parts[i].forms[form])

    @property
    def over(self) -> bool:
        """Whether they do not fit yet."""
        return self._total > self._room

    def shown(self) -> list[FormT]:
        """The forms themselves."""
        return [part.forms[form] for part, form in zip(self._parts, self._at, strict=True)]

    def step_down(self) -> bool:
        """Take the cheapest step; returns whether there was one."""
        steps = [
            (part.step(form), i)
            for i, (part, form) in enumerate(zip(self._parts, self._at, strict=True))
            if form + 1 < len(part.forms)
        ]
        if not steps:
            return False
        cost, i = min(steps)
        self._turn(i, self._at[i] + 1)
        self._gave.append((cost, i))
        return True

    def _turn(self, i: int, form: int) -> None:
        self._total += self._size(i, form) - self._size(i, self._at[i])
        self._at[i] = form

    def step_up(self) -> None:
        """Show again what has room again: a large part that gave way may have left more than was
        asked for. The dearest has it first."""
        for _, i in sorted(self._gave, key=lambda step: (-step[0], step[1])):
            spare = self._room - self._total + self._size(i, self._at[i])
            fuller = (form for form in range(self._at[i]) if self._size(i, form) <= spare)
            self._turn(i, next(fuller, self._at[i]))


def fit_line(parts: Sequence[Part[Text]], width: int) -> Text:
    """Parts of one line in at most so many cells, one behind the other."""
    line = Text()
    for text in fit(parts, width, lambda text: text.cell_len):
        line.append_text(text)
    return line


def fit_columns(needs: Sequence[int], least: Sequence[int], room: int) -> list[int]:
    """Cells for each column: what it needs, or where there is less room, the widest give way first,
    none below its least."""
    shares = [max(need, low) for need, low in zip(needs, least, strict=True)]
    while shares and (over := sum(shares) - room) > 0:
        spare = [share - low for share, low in zip(shares, least, strict=True)]
        at = spare.index(max(spare))
        if spare[at] <= 0:
            break
        # By halves: one long name must not cost its column all that the others keep.
        shares[at] -= min(over, max(1, spare[at] // 2))
    return shares


def middle(text: str, width: int) -> str:
    """Text in at most so many cells: its middle gives way, since both its ends tell more."""
    if cell_len(text) <= width:
        return text
    if width < LEAST_NAME:
        return _start(text, width)
    tail = (width - 1) // 2
    return f"{_start(text, width - 1 - tail)}…{_end(text, tail)}"


@lru_cache(512)
def apart(names: tuple[str, ...], width: int) -> tuple[str, ...]:
    """Names, each in at most so many cells. What they have in common gives way first, so that what
    tells them apart stays."""
    if all(cell_len(name) <= width for name in names):
        return names
    common = _common_by_family(names)
    shortened = tuple(_apart(name, *common[_family(name)], width) for name in names)
    # No two may look the same where they are not: there the ends are worth less.
    if len(set(shortened)) < len(set(names)):
        return tuple(middle(name, width) for name in names)
    return shortened


def _common_by_family(names: Iterable[str]) -> dict[str, tuple[int, int]]:
    """How much the names of each family have in common, at their beginnings and at their ends."""
    sisters: dict[str, list[str]] = {}
    for name in names:
        sisters.setdefault(_family(name), []).append(name)
    return {family: _common(tuple(of)) for family, of in sisters.items()}


def _family(name: str) -> str:
    """What sets of one family have in common at least: the year and the first word."""
    return " ".join(name.split(" ", 2)[:2])


def _common(names: tuple[str, ...]) -> tuple[int, int]:
    """How many characters all have in common at the beginning and at the end, as whole words."""
    if len(set(names)) < 2:
        return 0, 0
    head = len(_prefix(names))
    head = names[0].rfind(" ", 0, head) + 1
    rest = [name[head:][::-1] for name in names]
    tail = len(_prefix(rest))
    return head, max(0, rest[0].rfind(" ", 0, tail) + 1)


def _prefix(names: Sequence[str]) -> str:
    """What all begin with: what the first and the last of them in their order begin with."""
    first, last = min(names), max(names)
    differ = (at for at, (a, b) in enumerate(zip(first, last, strict=False)) if a != b)
    return first[: next(differ, len(first))]


def _apart(name: str, head: int, tail: int, width: int) -> str:
    if cell_len(name) <= width:
        return name
    own = name[head : len(name) - tail]
    if not own or cell_len(own) + LEAST_NAME > width:
        return middle(own or name, width)
    before, behind = name[:head], name[len(name) - tail :]
    left = width - cell_len(own)
    if cell_len(behind) > left // 2:
        behind = "…"
    return f"{_shorter_before(before, left - cell_len(behind))}{own}{behind}"


def _shorter_before(before: str, left: int) -> str:
    """What stands before a name's own part, in so many cells at most."""
    if cell_len(before) <= left:
        return before
    # The word before says of what it is: `Series` 1. The beginning of all, often a year, is next.
    word = before.rstrip().rpartition(" ")[2] + " "
    if cell_len(word) + LEAST_NAME <= left:
        return f"{_start(before, left - cell_len(word) - 1)}…{word}"
    return f"{_start(before, left - 1)}…"


def _start(text: str, width: int) -> str:
    return set_cell_size(text, max(0, width)).rstrip()


def _end(text: str, width: int) -> str:
    """The last cells of a text."""
    end = text[max(0, len(text) - width) :]
    while cell_len(end) > width:
        end = end[1:]
    return end.lstrip()

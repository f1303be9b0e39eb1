"""The same card in several rows: one row with all that these say."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.oddities import Oddity
from tagger.core.model.tags import is_base
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows
    from tagger.core.model.tags import Extra, Parallel

Tell = Callable[[int, Oddity], None]
"""Takes a row's line, 0 where it has none, and what is to be said of it."""


class _Folded(dict[int, str]):
    """Subjects as they are compared, by their numbers."""

    def __init__(self, subjects: Sequence[str]) -> None:
        self._subjects = subjects

    def __missing__(self, id: int) -> str:
        self[id] = found = fold(self._subjects[id])
        return found


def unite(rows: Rows, lines: array[int], tell: Tell) -> set[int]:
    """Make rows of the same set, number and subject, as they are compared, one row; the rows that
    are to go. `lines` has the line of each row, 0 where a double is nothing to speak of."""
    keys = rows.keys()
    # hardly a list names a card twice, and then nothing has to be compared
    if not rows.arrange(keys):
        return set()
    doubles = set[int]()
    for same in _same_cards(rows, keys):
        _one(rows, lines, same, tell)
        doubles.update(same[1:])
    return doubles


def _same_cards(rows: Rows, keys: Sequence[int]) -> Iterator[list[int]]:
    """The rows of each card that is there more than once."""
    again = {key for key, times in Counter(keys).items() if times > 1}
    found: dict[tuple[int, str], list[int]] = {}
    folded = _Folded(rows.subjects.values)
    for row, key in enumerate(keys):
        if key in again:
            found.setdefault((key, folded[rows.subjects.of[row]]), []).append(row)
    return (same for same in found.values() if len(same) > 1)


def _one(rows: Rows, lines: array[int], same: list[int], tell: Tell) -> None:
    """Make the first of some rows the one for all."""
    first = same[0]
    merged = merged_extra([rows.extras[row] for row in same], [rows.parallels[row] for row in same])
    for at, row in enumerate(same[1:], start=1):
        said = _differs(rows, first, row) or merged.left.get(at)
        plain = _adds_nothing(rows, first, row)
        if lines[row] and (said or plain):
            differs, kind = said or ("", "")
            one = f"the same card is in line {lines[first]}{differs}; counted once"
            tell(lines[row], Oddity(one, f"rows repeat a card{kind}; it counts once"))
    rows.extras.of[first] = rows.extras.id(merged.extra)
    teams = (rows.teams.of[row] for row in same if rows.teams[row])
    rows.teams.of[first] = next(teams, rows.teams.of[first])


def _adds_nothing(rows: Rows, first: int, row: int) -> bool:
    """Give the first of two rows the parallels of the other; whether that one is nothing but the
    same once more."""
    had, more = rows.parallels[first], rows.parallels[row]
    new = tuple(parallel for parallel in more if parallel not in had)
    if new:
        rows.add_parallels(first, new)
    # The base card may have a line of its own among those of its parallels.
    return not new and not (had and not more)


def _differs(rows: Rows, first: int, row: int) -> tuple[str, str] | None:
    """How the teams of two rows differ, of one row and of several; None where they do not."""
    one, two = rows.teams[first], rows.teams[row]
    if one and two and fold(one) != fold(two):
        return f", but its team is {printable(two, 40)} here", " with another team"
    return None


class Merged(NamedTuple):
    """Further columns of several rows as one; `left`: by row, what could not be kept."""

    extra: Extra
    left: dict[int, tuple[str, str]]


def merged_extra(extras: Sequence[Extra], parallels: Sequence[tuple[Parallel, ...]]) -> Merged:
    """The further columns of one card's rows: where they differ from parallel to parallel, each
    value goes into a column of its own, `price Gold`."""
    if len(set(extras)) == 1:
        return Merged(extras[0], {})
    found: list[tuple[str, str]] = []
    left: dict[int, tuple[str, str]] = {}
    by_row = [dict(reversed(extra)) for extra in extras]
    for name in dict.fromkeys(name for extra in extras for name, _ in extra):
        values = [each.get(name, "") for each in by_row]
        usual, others = _by_parallel(values, parallels)
        found.append((name, usual))
        for at, value in others.items():
            if _is_one(parallels[at]):
                found.append((f"{name} {parallels[at][0].name}", value))
            else:
                column = printable(name, 40)
                left[at] = (
                    f", but its '{column}' is {printable(value, 40)} here",
                    f" with another '{column}'",
                )
    return Merged(tuple(dict.fromkeys(found)), left)


def _by_parallel(
    values: Sequence[str], parallels: Sequence[tuple[Parallel, ...]]
) -> tuple[str, dict[int, str]]:
    """The value that holds for the card, and by row those that do not."""
    given = [(at, value) for at, value in enumerate(values) if value]
    if len({value for _, value in given}) < 2:
        return (given[0][1] if given else ""), {}
    plain = next((value for at, value in given if not _is_one(parallels[at])), None)
    usual = plain if plain is not None else ""
    return usual, {at: value for at, value in given if value != usual}


def _is_one(parallels: tuple[Parallel, ...]) -> bool:
    """Whether a row is of one parallel, and not of the plain card or of several."""
    return len(parallels) == 1 and not is_base(parallels[0].name)

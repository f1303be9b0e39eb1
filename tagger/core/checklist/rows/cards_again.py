"""Cards below a heading that stand above it as well: those once more, in another finish."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import is_bare_run, parse_parallels, unique
from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.model.column_names import SERIES_NAME
from tagger.core.model.tags import series_of
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tagger.core.checklist.columns import Rows
    from tagger.core.checklist.titles import Part
    from tagger.core.model.tags import Parallel

_FEWEST = 3  # cards


class CardsAgain:
    """The cards of no subset, looked at once each however many headings there are."""

    def __init__(self, rows: Rows) -> None:
        self._rows = rows
        self._seen: set[tuple[int, int, int]] = set()
        self._looked_at = 0

    def as_parallel(self, part: Part, begun: int) -> Part:
        """The part whose cards begin with a row, as a parallel where all of them stand above it and
        its name is one of a finish: `Press Proof`."""
        if not part.series or not is_finish(part.series) or not self.are_again(begun):
            return part
        return part._replace(series="", parallel=f"{part.series} {part.parallel}".strip())

    def change(self, begun: int, series: str, parallels: tuple[Parallel, ...]) -> None:
        """Give all cards from a row on some parallels in place of their subset."""
        rows = self._rows
        for row in range(begun, len(rows)):
            extra = tuple(one for one in rows.extras[row] if one != (SERIES_NAME, series))
            rows.extras.of[row] = rows.extras.id(extra)
            rows.parallels.of[row] = rows.parallels.id(parallels)

    def are_again(self, begun: int) -> bool:
        """Whether all cards from a row on, several of them, stand above it in no subset."""
        rows = self._rows
        for row in range(self._looked_at, begun):
            if not series_of(rows.extras[row]):
                self._seen.add(self._key(row))
        self._looked_at = max(begun, self._looked_at)
        again = [self._key(row) in self._seen for row in range(begun, len(rows))]
        return len(again) >= _FEWEST and all(again)

    def _key(self, row: int) -> tuple[int, int, int]:
        return _key(self._rows, row)


# `Base Set - Gold`, `Night Games (Gold)`
_BEHIND_PART = re.compile(
    r"^(?P<part>[^()]*?\S)(?:\s*[–—:|]\s*|\s+[-/]\s+|\s*[(\[])(?P<name>[^()\[\]]*[^\W\d_][^()\[\]]*)"
    r"[)\]]?$"
)


def parallels_behind_parts(rows: Rows) -> None:
    """Let the cards of `Base Set - Gold` be parallels of those of the base set, and the cards of
    `Night Games - Gold` of those of `Night Games`, where all of them, several, stand there as
    well."""
    parts = {series_of(extra) for extra in rows.extras.values} - {""}
    matches = {part: match for part in parts if (match := _BEHIND_PART.match(part))}
    if not matches:
        return
    of = _rows_of_parts(rows)
    cards = {part: {_key(rows, row) for row in some} for part, some in of.items()}
    for part, match in matches.items():
        over, own = _part_of(match["part"]), cards.get(_part_of(part), set())
        if len(own) >= _FEWEST and own <= cards.get(over, set()):
            _as_parallel(rows, of[_part_of(part)], match, series_of(rows.extras[of[over][0]]))


def _rows_of_parts(rows: Rows) -> dict[str, list[int]]:
    of: dict[str, list[int]] = {}
    for row in range(len(rows)):
        of.setdefault(_part_of(series_of(rows.extras[row])), []).append(row)
    return of


def _part_of(series: str) -> str:
    return "" if is_base_set(series) else fold(series)


def _key(rows: Rows, row: int) -> tuple[int, int, int]:
    return rows.sets.of[row], rows.numbers.of[row], rows.subjects.of[row]


def _as_parallel(rows: Rows, some: Sequence[int], match: re.Match[str], over: str) -> None:
    """Make a part's cards those of the part `over` it, with the parallel behind its name."""
    for row in some:
        extra = ((name, over if value == match[0] else value) for name, value in rows.extras[row])
        rows.extras.of[row] = rows.extras.id(tuple(one for one in extra if one[1]))
        made = unique(_with_name(match["name"], rows.parallels[row]))
        rows.parallels.of[row] = rows.parallels.id(made)


def _with_name(name: str, had: Sequence[Parallel]) -> list[Parallel]:
    """The parallel of a name with the print run among some, and the others of these."""
    run = next((one.run for one in had if is_bare_run(one)), None)
    named = parse_parallels(f"{name} /{run}" if run else name)
    return [*named, *(one for one in had if not is_bare_run(one))]

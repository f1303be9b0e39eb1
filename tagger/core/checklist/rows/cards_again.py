"""Cards below a heading that stand above it as well: those once more, in another finish."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.core.checklist.named.finishes import is_finish
from tagger.core.model.column_names import SERIES_NAME
from tagger.core.model.tags import series_of

if TYPE_CHECKING:
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
        rows = self._rows
        return rows.sets.of[row], rows.numbers.of[row], rows.subjects.of[row]

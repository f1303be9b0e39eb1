"""Small tables below the cards that are no cards: a key of short forms, counts by team."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import PLURAL_CARDS, meaning_of
from tagger.core.checklist.lines import filled
from tagger.core.checklist.raw.notes import is_total
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

# What stands above short forms that are explained (common practice, no source).
_KEYS = frozenset(
    ["key", "legend", "abbreviations", "codes", "legende", "abkurzungen", "zeichenerklarung",
     "abreviations", "leyenda", "abreviaturas", "legenda", "abbreviazioni", "afkortingen", "凡例"]
)  # fmt: skip
_COUNTED = PLURAL_CARDS | {"count", "anzahl", "total", "nombre", "cantidad", "quantita", "aantal"}


class Asides:
    """Whether lines of a table belong to a key or to counts that stand below its cards."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self.open = False
        self._totals = False  # whether it is of totals alone

    def begin_totals(self) -> None:
        """A total: further amounts may stand below it."""
        self.open = self._totals = True

    def holds(self, cells: Sequence[str]) -> bool:
        """Whether a line is part of an aside: its heading, or a pair below one."""
        texts = filled(cells)
        if _is_key(texts) or self._heads_counts(texts):
            self.open, self._totals = True, False
            return True
        self.open = self.open and self._is_pair(texts)
        return self.open

    def _heads_counts(self, texts: Sequence[str]) -> bool:
        """Whether a line has the headings of counts: `Team`, `Cards`."""
        if len(texts) != 2 or fold(texts[1].strip()) not in _COUNTED:
            return False
        return meaning_of(texts[0])[0] in ("team", "set", "series", "maker", "year")

    def _is_pair(self, texts: Sequence[str]) -> bool:
        """Whether a line is a pair of texts of which the first has no digit, as numbers have."""
        # a list of two columns has pairs for cards
        if len(texts) != 2 or len(self._plan.names) < 3 or is_total(texts):
            return False
        if self._totals and not any(map(str.isdigit, texts[1])):
            return False
        return not any(map(str.isdigit, texts[0]))


def _is_key(texts: Sequence[str]) -> bool:
    return len(texts) == 1 and fold(texts[0]).strip(" :.") in _KEYS

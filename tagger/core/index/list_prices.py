"""What a card costs in its checklist today, which may be another price than when it was tagged."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tagger.core.model.money import priced_now

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.model.tags import Extra, Tags


class PricesNow:
    """The prices of cards in one index of checklists; the row of a card is looked up once."""

    def __init__(self, index: Index) -> None:
        self.index = index
        self._rows: dict[tuple[str, str, str, Extra], Extra] = {}

    def tags(self, tags: Tags) -> Tags:
        """A card's tags with its list's price of today (`priced_now`): for what is shown, counted
        and filtered, and never kept."""
        # A card that was typed by hand may have the number of another card's row.
        if not tags.listed:
            return tags
        return priced_now(tags, self._row(tags))

    def _row(self, tags: Tags) -> Extra:
        key = tags.set, tags.number, tags.subject, tags.extra
        if key not in self._rows:
            step = self.index.find(tags)
            self._rows[key] = () if step is None else self.index.row(step).extra
        return self._rows[key]


class LatestPrices:
    """The same by an index that may become another one. `index` gives it, None where there is none
    yet: lists may still be on their way when a card is looked at."""

    def __init__(self, index: Callable[[], Index | None]) -> None:
        self._index = index
        self._now: PricesNow | None = None

    def tags(self, tags: Tags) -> Tags:
        """A card's tags as `PricesNow` gives them."""
        index = self._index()
        if index is None:
            return tags
        if self._now is None or self._now.index is not index:
            self._now = PricesNow(index)
        return self._now.tags(tags)

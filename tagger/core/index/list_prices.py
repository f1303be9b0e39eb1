"""What a card costs in its checklist today, which may be another price than when it was tagged."""

from __future__ import annotations

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

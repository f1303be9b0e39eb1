"""Cards that are taken out of their places."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.model.trade import PULLED
from tagger.core.session.stock_status import StockChange

if TYPE_CHECKING:
    from tagger.core.model.tags import Mark


def pulled(mark: Mark, today: str) -> Mark:
    """The mark of a card that was taken out of its place: a sold one stays sold, and waits no
    longer; any other is pulled."""
    # `gone` stays SOLD here: were it overwritten, the sale would fall out of the year's sums.
    if mark.to_pull:
        return replace(mark, trade=mark.trade._replace(pulled_on=today))
    return StockChange(PULLED, today=today).after(mark)

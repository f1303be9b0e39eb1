"""All lots in the order in which they were counted."""

from __future__ import annotations

from support.traders import binders, newsletter, pages  # noqa: F401 (these enter their shapes)
from support.traders.albums import THIRD
from support.traders.counter import SECOND
from support.traders.fairs import FOURTH
from support.traders.posts import FIFTH
from support.traders.stock import FIRST
from support.traders.strangers import SIXTH

LOTS = {
    "first": FIRST,
    "second": SECOND,
    "third": THIRD,
    "fourth": FOURTH,
    "fifth": FIFTH,
    "sixth": SIXTH,
}

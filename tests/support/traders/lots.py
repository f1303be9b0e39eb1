"""All lots by the order in which they were counted."""

from __future__ import annotations

from support.traders import binders, pages  # noqa: F401 (importing them enters their shapes)
from support.traders.stock import FIRST

LOTS = {"first": FIRST}

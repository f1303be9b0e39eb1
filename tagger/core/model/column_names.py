"""What columns are called that several rooms know by name."""

from __future__ import annotations

# the dealer's own price, and a list's further column; `price gold` is that of a parallel
PRICE = "price"

"""How a word was read."""

from __future__ import annotations

Read = tuple[float, str]  # a weight (natural logarithm), and what the word was read as
# The weight of a word that nothing on a card explains: such a card comes last, but it is shown.
UNREAD = -14.0

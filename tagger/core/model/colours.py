"""What parallels are mostly called."""

from __future__ import annotations

# Common practice, no source. Right before a serial number, no list is needed to know them.
COLOURS = frozenset((
    "gold", "silver", "bronze", "copper", "platinum", "black", "white", "red", "blue", "green",
    "orange", "purple", "pink", "yellow", "brown", "grey", "gray", "teal", "aqua", "violet",
    "foil", "holo", "rainbow",
))  # fmt: skip


def is_colour_of(typed: str, word: str) -> bool:
    """Whether a folded word is a colour typed in full, and another one goes on longer: `red` is
    then no slip of the finger in Reverse or Reef."""
    return typed in COLOURS and len(word) > len(typed)

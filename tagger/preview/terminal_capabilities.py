"""What can be chosen about previews, and what a terminal says of itself; loads no pixel library."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

DRAWINGS = ("half blocks", "quadrants", "sextants")
"""With characters; the first is the usual one, the last needs a font that not every terminal
has."""
GRAPHICS = ("kitty", "sixel")
"""With pixels, where the terminal knows how; `tagger show` only, and with the extra `graphics`."""


class Depth(StrEnum):
    """How many colours previews may use."""

    TRUE = "true"
    C256 = "256"
    C16 = "16"
    GREY = "grey"


def depth_of(environment: Mapping[str, str]) -> Depth:
    """The colours that a terminal says it has, by its environment: NO_COLOR (https://no-color.org),
    COLORTERM, TERM."""
    # First: it is what the user asked for, and the others are what the terminal can do.
    if environment.get("NO_COLOR"):
        return Depth.GREY
    if environment.get("COLORTERM", "").strip().lower() in ("truecolor", "24bit"):
        return Depth.TRUE
    term = environment.get("TERM", "").lower()
    # kitty's own name says nothing of colours, and it has them all.
    if "256color" in term or "kitty" in term:
        return Depth.C256
    return Depth.C16


def terminal_of(environment: Mapping[str, str]) -> str:
    """A name by which a terminal is known again: its kind, the program that it is, and the
    multiplexer in between."""
    kind, program = environment.get("TERM", ""), environment.get("TERM_PROGRAM", "")
    return " · ".join((kind, program, _multiplexer(environment)))


def _multiplexer(environment: Mapping[str, str]) -> str:
    # tmux inside of screen sets both, and it is tmux that draws.
    if environment.get("TMUX"):
        return "tmux"
    if environment.get("STY"):
        return "screen"
    return "direct"

"""The colours of the desk: paper, ink, brass and sea green. A colour never stands alone: a word
says the same."""

from __future__ import annotations

from typing import Final

from rich.style import Style

INK: Final = "#11161a"
LEDGE: Final = "#1c242a"

# Contrast over 4.5 to 1 on INK for all that is read (WCAG 2.2, 1.4.3), DIM among them.
PLAIN = Style(color="#d9d4c5", bgcolor=INK)
DIM = Style(color="#87908f", bgcolor=INK)
BRIGHT = Style(color="#fff8e6", bgcolor=INK, bold=True)
BRASS = Style(color="#f2b950", bgcolor=INK, bold=True)
SEA = Style(color="#7cc7b5", bgcolor=INK)
RUST = Style(color="#f0805e", bgcolor=INK, bold=True)
BAR = Style(color="#d9d4c5", bgcolor=LEDGE)
BAR_DIM = Style(color="#9aa3a0", bgcolor=LEDGE)
BAR_BRIGHT = Style(color="#f2b950", bgcolor=LEDGE, bold=True)
WARN = Style(color=INK, bgcolor="#f0805e", bold=True)
CURSOR = Style(color=INK, bgcolor="#f2b950")

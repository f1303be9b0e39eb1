"""A card number in large figures, three rows of cells high, so that a wrong digit is seen from a
chair's distance."""

from __future__ import annotations

# Five rows of three pixels each, our own drawing; `#` is ink.
_PIXELS = {
    "0": "### #.# #.# #.# ###", "1": ".#. ##. .#. .#. ###", "2": "### ..# ### #.. ###", "3": "### ..# .## ..# ###",
    "4": "#.# #.# ### ..# ..#", "5": "### #.. ### ..# ###", "6": "### #.. ### #.# ###", "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###", "9": "### #.# ### ..# ###", "-": "... ... ### ... ...", ".": "... ... ... ... .#.",
    "/": "..# ..# .#. #.. #..", "A": ".#. #.# ### #.# #.#", "B": "##. #.# ##. #.# ##.", "C": ".## #.. #.. #.. .##",
    "D": "##. #.# #.# #.# ##.", "E": "### #.. ##. #.. ###", "F": "### #.. ##. #.. #..", "G": ".## #.. #.# #.# .##",
    "H": "#.# #.# ### #.# #.#", "I": "### .#. .#. .#. ###", "J": "..# ..# ..# #.# .#.", "K": "#.# #.# ##. #.# #.#",
    "L": "#.. #.. #.. #.. ###", "M": "#.# ### ### #.# #.#", "N": "##. #.# #.# #.# #.#", "O": ".#. #.# #.# #.# .#.",
    "P": "##. #.# ##. #.. #..", "Q": ".#. #.# #.# ### .##", "R": "##. #.# ##. #.# #.#", "S": ".## #.. .#. ..# ##.",
    "T": "### .#. .#. .#. .#.", "U": "#.# #.# #.# #.# ###", "V": "#.# #.# #.# #.# .#.", "W": "#.# #.# ### ### #.#",
    "X": "#.# #.# .#. #.# #.#", "Y": "#.# #.# .#. .#. .#.", "Z": "### ..# .#. #.. ###",
}  # fmt: skip
_BLOCKS = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}
HEIGHT = 3


def large(number: str, width: int) -> list[str]:
    """The number as three lines of half blocks, or nothing where it does not fit into `width` cells
    or has a sign that is not drawn."""
    signs = number.upper().replace(" ", "")
    # A number that is drawn in part would be another number.
    if not signs or len(signs) * 4 - 1 > width or not set(signs) <= _PIXELS.keys():
        return []
    rows = _pixels(signs)
    # Two rows of pixels are one row of cells; the sixth is empty.
    rows.append("." * len(rows[0]))
    return [_cells(rows[y], rows[y + 1]) for y in (0, 2, 4)]


def _pixels(signs: str) -> list[str]:
    """Five rows of pixels, the signs a pixel apart."""
    glyphs = [_PIXELS[sign].split() for sign in signs]
    return [" ".join(glyph[row] for glyph in glyphs) for row in range(5)]


def _cells(upper: str, lower: str) -> str:
    """Two rows of pixels as one row of half blocks."""
    return "".join(_BLOCKS[a == "#", b == "#"] for a, b in zip(upper, lower, strict=True))

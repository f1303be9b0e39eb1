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
    glyphs = [_PIXELS.get(char) for char in number.upper() if char != " "]
    if not glyphs or len(glyphs) * 4 - 1 > width:
        return []
    drawn = [glyph.split() for glyph in glyphs if glyph is not None]
    if len(drawn) < len(glyphs):
        return []
    rows = [" ".join(glyph[row] for glyph in drawn).replace(".", " ") for row in range(5)]
    rows.append(" " * len(rows[0]))
    return [
        "".join(
            _BLOCKS[upper == "#", lower == "#"]
            for upper, lower in zip(rows[y], rows[y + 1], strict=True)
        )
        for y in (0, 2, 4)
    ]

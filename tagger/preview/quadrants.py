"""Quadrants: four pixels a cell in two colours, with the quadrant blocks U+2596 to U+259F. Pixels
are half as wide as high; most fonts have the glyphs."""

from __future__ import annotations

from tagger.preview.dither import glyphs
from tagger.preview.fitted_blocks import FittedBlocks

# By the quarters that are filled: 1 upper left, 2 upper right, 4 lower left, 8 lower right.
GLYPHS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
# The check is the same in each cell: two pixels by two go on from cell to cell by themselves.
QUADRANTS = FittedBlocks("quadrants", 2, 2, glyphs(GLYPHS, check=(9, 9)))

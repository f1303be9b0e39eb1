"""Small print made legible: grey, with all the contrast there is."""

from __future__ import annotations

from PIL import Image, ImageFilter, ImageOps

from tagger.preview.terminal_capabilities import Depth

# Among the 256 colours of a terminal these are greys; more of them cost bytes on the line and make
# no letter clearer.
LEVELS = (0, 38, 78, 108, 148, 188, 218, 255)
SPECKS = 1  # percent of the pixels that specks of dust may take at the end where the print is
# percent of the pixels that become as light (or dark) as the paper: its grain would only disturb
PAPER = 35

SHARPER = 80  # percent, see Pillow's UnsharpMask
# levels up to which a pixel is black and from which it is white where there is one grey besides
BLACK, WHITE = 90, 166
STEEP = 2.0  # how much sharper ink and paper part in letters of a few pixels

_STEPS = [min(LEVELS, key=lambda step: abs(step - level)) for level in range(256)]


def legible(picture: Image.Image) -> Image.Image:
    """An RGB picture in a few greys, spread from black to white; RGB, the same size."""
    grey = picture.convert("L")
    counts = grey.histogram()
    low, middle, high = (_level(counts, share) for share in (0.02, 0.5, 0.98))
    # By where the median lies: the paper has most of the pixels, whatever its colour.
    light = middle - low > high - middle  # there is more paper than print
    cutoff = (SPECKS, PAPER) if light else (PAPER, SPECKS)
    return ImageOps.autocontrast(grey, cutoff=cutoff).point(_STEPS).convert("RGB")


def inked(picture: Image.Image, depth: Depth) -> Image.Image:
    """Letters in levels from paper to ink, RGB, as a depth shows them best."""
    if depth is Depth.C16:
        # First what lies inside of letters is opened: of a bold 5 it would be filled, as of a 6.
        sharper = picture.filter(ImageFilter.UnsharpMask(1, SHARPER, 0))
        levels = [0] * BLACK + [127] * (WHITE - BLACK) + [255] * (256 - WHITE)
        return sharper.point(levels * 3)
    steep = (min(255, max(0, round((level - 127.5) * STEEP + 127.5))) for level in range(256))
    return picture.point([_STEPS[level] for level in steep] * 3)


def _level(counts: list[int], share: float) -> int:
    """The level that so much of the pixels do not exceed."""
    wanted, seen = share * sum(counts), 0
    for level, count in enumerate(counts):
        seen += count
        if seen >= wanted:
            return level
    return 255

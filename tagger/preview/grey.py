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
    """Letters in levels from ink to paper, RGB, as a depth shows them best: in sixteen colours
    without greys, which no two terminals have alike."""
    if depth is Depth.C16:
        # first what lies inside of letters is opened: of a bold 5 it would be filled, as of a 6
        picture = picture.filter(ImageFilter.UnsharpMask(1, SHARPER, 0))
        return picture.point(([0] * 128 + [255] * 128) * 3)
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

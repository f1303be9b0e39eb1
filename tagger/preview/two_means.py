"""Which two colours, and which pixels in which, draw a cell best.

A cell has more pixels than colours. Its pixels are parted in two where they differ most, each part
gets its mean, and each pixel goes to the nearer of the two once more: k-means with two means (S.
Lloyd, Least squares quantization in PCM, IEEE Trans. Inf. Theory 28, 1982), all cells of a picture
at once in Pillow's own loops."""

from __future__ import annotations

from typing import Any

from PIL import Image, ImageMath

from tagger.preview.dither import TwoColourCells

ROUNDS = 2  # a third one changes no cell that an eye would find
# levels, root of the mean square over red, green and blue: two colours no further apart are drawn
# as one
GRAIN = 12.0

Bands = list[Image.Image]  # red, green and blue as numbers with a fraction


def fitted(picture: Image.Image, across: int, down: int) -> TwoColourCells:
    """The cells of an RGB picture, `across` x `down` pixels each; where a cell is not filled the
    last column or row is repeated."""
    picture = _filled(picture, across, down)
    mask, inks, grounds = _parted(picture, across, down)
    bits, width = mask.tobytes(), picture.width
    cells, rows = width // across, picture.height // down
    masks: list[list[int]] = []
    for y in range(rows):
        lines = [
            bits[(y * down + line) * width : (y * down + line + 1) * width] for line in range(down)
        ]
        filled = [0] * cells
        for place in range(across * down):
            pixels = lines[place // across][place % across :: across]
            weight = 1 << place
            filled = [
                cell | weight if pixel else cell for cell, pixel in zip(filled, pixels, strict=True)
            ]
        masks.append(filled)
    return TwoColourCells(masks, _rgb(inks), _rgb(grounds))


def _filled(picture: Image.Image, across: int, down: int) -> Image.Image:
    width, height = -(-picture.width // across) * across, -(-picture.height // down) * down
    if (width, height) == picture.size:
        return picture
    out = Image.new("RGB", (width, height))
    # the last column and row stay where they are, and are laid down again
    for x in range(picture.width - 1, width):
        out.paste(picture.crop((picture.width - 1, 0, picture.width, picture.height)), (x, 0))
    out.paste(picture, (0, 0))
    for y in range(picture.height, height):
        out.paste(out.crop((0, picture.height - 1, width, picture.height)), (0, y))
    return out


def _parted(picture: Image.Image, across: int, down: int) -> tuple[Image.Image, Bands, Bands]:
    """The pixels with the ink as an L picture of 0 and 1; inks and grounds, a pixel a cell."""
    cell = (across, down)
    bands = [band.convert("F") for band in picture.split()]
    means = [band.reduce(cell) for band in bands]
    mask = _split(bands, [_spread(mean, picture.size) for mean in means])
    inks, grounds = _means(bands, means, mask, cell)
    for _ in range(ROUNDS):
        wide = [_spread(band, picture.size) for band in (*inks, *grounds)]
        mask = _math(_nearer, **dict(zip(_NAMES, (*bands, *wide), strict=True)))
        inks, grounds = _means(bands, means, mask, cell)
    even = _even_cells(mask.reduce(cell), inks, grounds)
    inks, grounds = (
        [_instead(e, even, mean) for e, mean in zip(part, means, strict=True)]
        for part in (inks, grounds)
    )
    return mask.convert("L"), inks, grounds


def _even_cells(share: Image.Image, inks: Bands, grounds: Bands) -> Image.Image:
    """1 for each cell whose two colours are as good as one; `share` is how much of it has the
    ink."""
    # Grain would cost bytes and show nothing. Where all pixels went to one of the two, the other
    # is the mean of none, and how far apart they are says nothing.
    named = dict(zip(_NAMES[3:], (*inks, *grounds), strict=True))
    return _math(
        lambda a: a["float"](_apart(a) * (a["s"] > 0.01) * (a["s"] < 0.99) < 3 * GRAIN**2),
        s=share,
        **named,
    )


def _instead(band: Image.Image, even: Image.Image, mean: Image.Image) -> Image.Image:
    return _math(lambda a: a["e"] * a["m"] + (1 - a["e"]) * a["b"], e=even, m=mean, b=band)


_NAMES = ("r", "g", "b", "ir", "ig", "ib", "gr", "gg", "gb")


def _split(bands: Bands, means: Bands) -> Image.Image:
    """Part each cell's pixels by which side of the mean they lie on, by how light they are (ITU-R
    BT.601)."""
    named = dict(zip(("r", "g", "b", "mr", "mg", "mb"), (*bands, *means), strict=True))
    return _math(
        lambda a: a["float"](
            (a["r"] - a["mr"]) * 0.299 + (a["g"] - a["mg"]) * 0.587 + (a["b"] - a["mb"]) * 0.114 > 0
        ),
        **named,
    )


def _nearer(a: dict[str, Any]) -> Any:
    """Whether a pixel is nearer to its cell's ink than to its ground: |p - g|² > |p - i|², sorted
    by p."""
    return a["float"](
        (a["r"] * 2 - a["ir"] - a["gr"]) * (a["ir"] - a["gr"])
        + (a["g"] * 2 - a["ig"] - a["gg"]) * (a["ig"] - a["gg"])
        + (a["b"] * 2 - a["ib"] - a["gb"]) * (a["ib"] - a["gb"])
        > 0
    )


def _apart(a: dict[str, Any]) -> Any:
    """The square of the distance of ink and ground."""
    red, green, blue = a["ir"] - a["gr"], a["ig"] - a["gg"], a["ib"] - a["gb"]
    return red * red + green * green + blue * blue


def _means(
    bands: Bands, means: Bands, mask: Image.Image, cell: tuple[int, int]
) -> tuple[Bands, Bands]:
    """The mean colour of the pixels with the ink, and of those without; of none it is black."""
    share = mask.reduce(cell)
    parts = [_math(lambda a: a["b"] * a["k"], b=band, k=mask).reduce(cell) for band in bands]
    inks = [_math(lambda a: a["p"] / a["max"](a["s"], 1e-6), p=part, s=share) for part in parts]
    grounds = [
        _math(lambda a: (a["t"] - a["p"]) / a["max"](1 - a["s"], 1e-6), t=mean, p=part, s=share)
        for mean, part in zip(means, parts, strict=True)
    ]
    return inks, grounds


def _spread(cells: Image.Image, size: tuple[int, int]) -> Image.Image:
    """A pixel a cell to a pixel a pixel."""
    return cells.resize(size, Image.Resampling.NEAREST)


def _rgb(bands: Bands) -> Image.Image:
    """Rounded to whole levels."""
    # Numbers with a fraction Pillow maps only by `level * scale + offset`, and it cuts them off.
    return Image.merge(
        "RGB", [band.point(lambda level: level * 1 + 0.5).convert("L") for band in bands]
    )


def _math(expression: Any, **named: Image.Image) -> Image.Image:
    result: Image.Image = ImageMath.lambda_eval(expression, **named)
    return result

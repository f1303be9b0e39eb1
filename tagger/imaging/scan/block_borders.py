"""A picture's rows of pixels around the borders between rows of blocks, by which damage is told:
half of all rows, some of them at a time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.imaging.card.kept_levels import Packed, greys_of, packed_rows

BLOCK = 8  # pixels: ITU-T T.81, A.3.3
AROUND = np.arange(-2, 2)  # two rows above a border and two below it
TOGETHER = 16  # borders that are looked at together, which a processor has room for near it
# Two of a pixel's three levels, which can be added up side by side, of two pixels as one number.
_HALF, _UP = np.uint64(0x00FF00FF_00FF00FF), np.uint64(8)
_ROUND, _EIGHTH, _EACH = np.uint32(0x00040004), np.uint32(3), np.uint32(0x00FF00FF)

Rows = npt.NDArray[np.int64]
Grey = npt.NDArray[np.uint8]


def border_rows(picture: Image.Image) -> Rows:
    """The first row of each row of blocks that has one above and goes on below."""
    return np.arange(BLOCK, picture.height - 4, BLOCK)


def border_greys(picture: Image.Image, rows: Rows) -> Grey:
    """The levels of grey around these borders: borders x 4 x width."""
    whole = greys_of(picture)
    if whole is not None:
        return np.asarray(whole[rows[:, None] + AROUND])
    return np.concatenate([_greys(packed) for packed in _pieces(picture, rows)])


def row_greys(picture: Image.Image, rows: Iterable[int]) -> Grey:
    """The levels of grey of single rows: rows x width."""
    whole = greys_of(picture)
    if whole is not None:
        return np.asarray(whole[np.fromiter(rows, np.int64)])
    return _greys(np.stack([packed_rows(picture, row, row + 1) for row in rows]))[:, 0]


def border_means(picture: Image.Image, rows: Rows) -> Grey:
    """The mean levels of each block's pixels in the rows around these borders: borders x 4 x blocks
    x 3. Of the last block it is those that the picture has."""
    return np.concatenate([_means(packed) for packed in _pieces(picture, rows)])


def _pieces(picture: Image.Image, rows: Rows) -> Iterator[Packed]:
    for start in range(0, len(rows), TOGETHER):
        some = rows[start : start + TOGETHER]
        first = int(some[0]) - 2
        packed = packed_rows(picture, first, int(some[-1]) + 2)
        yield packed[some[:, None] + AROUND - first]


def _greys(packed: Packed) -> Grey:
    size = (packed.shape[2], packed.shape[0] * packed.shape[1])
    picture = Image.frombuffer("RGBX", size, packed.view(np.uint8), "raw", "RGBX", 0, 1)
    return np.asarray(picture.convert("L")).reshape(packed.shape)


def _means(packed: Packed) -> Grey:
    across, rest = divmod(packed.shape[2], BLOCK)
    pairs = np.ascontiguousarray(packed[:, :, : across * BLOCK]).view(np.uint64)
    out = np.empty((*packed.shape[:2], across + (rest > 0), 3), np.uint8)
    whole = out[:, :, :across]
    red_blue, green = (_eights(half) for half in (pairs & _HALF, pairs >> _UP & _HALF))
    whole[..., 0], whole[..., 1], whole[..., 2] = red_blue, green, red_blue >> np.uint32(16)
    if rest:
        last = np.ascontiguousarray(packed[:, :, across * BLOCK :]).view(np.uint8)
        levels = last.reshape(*packed.shape[:2], rest, 4)[..., :3]
        out[:, :, across] = (levels.sum(axis=2) + rest // 2) // rest
    return out


def _eights(pairs: npt.NDArray[np.uint64]) -> Packed:
    """The rounded means of eight pixels each, of which every number has two."""
    four = pairs[..., ::2] + pairs[..., 1::2]
    eight = (four[..., ::2] + four[..., 1::2]).view(np.uint32)
    return np.asarray((eight[..., ::2] + eight[..., 1::2] + _ROUND) >> _EIGHTH & _EACH)

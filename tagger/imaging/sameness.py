"""Whether two scans show the same printing: a difference hash of 256 bits, compared by how many bits differ.

Taken of the straight crop, never of the raw scan: a hash of a crooked card with its margins says next to nothing. Cards
of one design with other players differ enough; parallels of one card do not, so these can be offered, not decided.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image

SIDE = 16
BITS = SIDE * SIDE
SAME = 44  # bits: another copy of the same printing differs by at most so many
Words = npt.NDArray[np.uint64]


@dataclass(frozen=True)
class Print:
    """The hash of a side as it lies and of the same side turned by 180 degrees, as numbers of 256 bits, and the mean
    colours of 4 x 4 fields in reading order (red, green, blue, 0 to 255) as 48 bytes."""

    upright: int
    turned: int
    colours: bytes

    def apart(self, other: Print) -> int:
        """How many of the 256 bits differ."""
        return (self.upright ^ other.upright).bit_count()

    def apart_turned(self, other: Print) -> int:
        """How many bits differ from the other side turned by 180 degrees."""
        return (self.upright ^ other.turned).bit_count()


def difference_hash(picture: Image.Image) -> int:
    """The difference hash of a picture: in its 17 x 16 greys, whether each is lighter than its left neighbour.

    Bits in reading order, the first the highest. The scheme and its size are those of `imagehash.dhash` with
    hash_size 16, so that the two can be compared.
    """
    grey = np.asarray(picture.convert("L").resize((SIDE + 1, SIDE), Image.Resampling.LANCZOS))
    return int.from_bytes(np.packbits(grey[:, 1:] > grey[:, :-1]).tobytes(), "big")


def print_of(crop: Image.Image) -> Print:
    """The hashes and colours of a straight crop, an RGB picture of any size."""
    small = crop.resize((170, 240), Image.Resampling.BOX, reducing_gap=3.0) if crop.width > 340 else crop
    fields = small.resize((4, 4), Image.Resampling.BOX)
    turned = small.transpose(Image.Transpose.ROTATE_180)
    return Print(difference_hash(small), difference_hash(turned), fields.tobytes())


def packed(hashes: Sequence[int]) -> Words:
    """Hashes as an array of n x 4 words, for `distances`."""
    data = b"".join(value.to_bytes(BITS // 8, "big") for value in hashes)
    return np.frombuffer(data, dtype=">u8").astype(np.uint64).reshape(-1, 4)


def distances(one: int, many: Words) -> npt.NDArray[np.int64]:
    """How many bits each of many hashes (n x 4 words) differs from one: n numbers from 0 to 256."""
    return np.bitwise_count(many ^ packed([one])).sum(axis=1).astype(np.int64)


def alike(one: int, many: Words, most: int = SAME) -> list[tuple[int, int]]:
    """The hashes that differ by at most so many bits, as (index, bits), nearest first."""
    bits = distances(one, many)
    near = np.nonzero(bits <= most)[0]
    return sorted(((int(at), int(bits[at])) for at in near), key=lambda pair: (pair[1], pair[0]))

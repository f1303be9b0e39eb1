"""Whether two scans show the same printing: a difference hash of 256 bits, compared by how many
bits differ.

Taken of the straight crop, never of the raw scan: a hash of a crooked card with its margins says
next to nothing. Cards of one design with other players differ enough; parallels of one card do not,
so these can be offered, not decided."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.core.audit.fingerprint import BITS, Fingerprint

SIDE = 16
REACH = 48  # scans: how far along the lot sides are compared
SAME = 44  # bits: another copy of the same printing differs by at most so many
Words = npt.NDArray[np.uint64]


def difference_hash(picture: Image.Image) -> int:
    """The difference hash of a picture: in its 17 x 16 greys, whether each is lighter than its left
    neighbour.

    Bits in reading order, the first the highest."""
    return _hash_of(_greys(picture))


def _greys(picture: Image.Image) -> npt.NDArray[np.uint8]:
    # Scheme and size of `imagehash.dhash` with hash_size 16, so that the two can be compared.
    return np.asarray(picture.convert("L").resize((SIDE + 1, SIDE), Image.Resampling.LANCZOS))


def _hash_of(grey: npt.NDArray[np.uint8]) -> int:
    return int.from_bytes(np.packbits(grey[:, 1:] > grey[:, :-1]).tobytes(), "big")


def print_of(crop: Image.Image) -> Fingerprint:
    """The hashes and colours of a straight crop, an RGB picture of any size."""
    small = crop
    # Three small pictures are made of it: a fine crop is made smaller once for all of them.
    if crop.width > 340:
        small = crop.resize((170, 240), Image.Resampling.BOX, reducing_gap=3.0)
    fields = small.resize((4, 4), Image.Resampling.BOX)
    grey = _greys(small)
    return Fingerprint(_hash_of(grey), _hash_of(grey[::-1, ::-1]), fields.tobytes())


def packed(hashes: Sequence[int]) -> Words:
    """Hashes as an array of n x 4 words, for `distances`."""
    data = b"".join(value.to_bytes(BITS // 8, "big") for value in hashes)
    return np.frombuffer(data, dtype=">u8").astype(np.uint64).reshape(-1, 4)


def distances(one: int, many: Words) -> npt.NDArray[np.int64]:
    """How many bits each of many hashes (n x 4 words) differs from one: n numbers from 0 to 256."""
    return np.asarray(np.bitwise_count(many ^ packed([one])).sum(axis=1), dtype=np.int64)


def alike(one: int, many: Words, most: int = SAME) -> list[tuple[int, int]]:
    """The hashes that differ by at most so many bits, as (index, bits), nearest first."""
    bits = distances(one, many)
    near = np.nonzero(bits <= most)[0]
    return sorted(((int(at), int(bits[at])) for at in near), key=lambda pair: (pair[1], pair[0]))


def alike_band(prints: Sequence[Fingerprint], reach: int = REACH) -> list[list[float]]:
    """How alike each scan is to those that follow it: row i has the likeness to i + 1, i + 2, ...
    up to `reach` on.

    Likeness is above 0 where two sides are rather of the same kind (fronts or backs of one set,
    turned or not), below 0 where not: (100 - bits) / 8 + (14 - tint) / 6, at most 6 and at least
    -6. The numbers were read off drawn sets."""
    upright = packed([one.upright for one in prints])
    turned = packed([one.turned for one in prints])
    colours = np.frombuffer(b"".join(one.colours for one in prints), np.uint8)
    # With a sign, since differences of levels go below 0.
    fields = colours.reshape(-1, 16, 3).astype(np.int16)
    rows: list[list[float]] = []
    for at in range(len(prints)):
        after = slice(at + 1, at + 1 + reach)
        ways = (upright[after], turned[after])
        bits = np.stack([np.bitwise_count(way ^ upright[at]).sum(axis=1) for way in ways])
        laid = (fields[after], fields[after, ::-1])
        tints = np.stack([np.abs(one - fields[at]).mean(axis=(1, 2)) for one in laid])
        score = (100.0 - bits) / 8 + (14.0 - tints) / 6
        rows.append(np.clip(score.max(axis=0), -6, 6).tolist())
    return rows

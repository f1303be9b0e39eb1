"""The known card that looks most like one, among a hundred thousand: first by the hashes of fronts,
then by all else for the few that are near.

The hashes of what is known are kept a word at a time, so that a search is a pass over memory in its
order. A card that was scanned upside down is looked for both ways round."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from tagger.core.audit.signature import (
    FAR,
    HASH,
    LIGHTS,
    LOOK_BYTES,
    SIDE_BYTES,
    WIDE,
    Signature,
    SignatureDistance,
    SignatureMatch,
    choose,
    kept_side,
    says_enough,
)

if TYPE_CHECKING:
    from tagger.core.audit.fingerprint import Fingerprint

_WORDS = HASH // 8
_FRONT, _BACK = slice(0, _WORDS), slice(_WORDS, 2 * _WORDS)
# looks that are gone through at a time: what is made on the way stays in the processor's cache
_CHUNK = 1 << 13
# Colours of a side turned over: all fields and all quarters the other way about, but of a quarter
# still red before blue.
_OVER = [
    *range(LIGHTS - 1, -1, -1),
    *(LIGHTS + at for at in (6, 7, 4, 5, 2, 3, 0, 1)),
]
_GAIN = (0.85, 1.18)  # by how much two scans of a card are lighter or darker

Rows = npt.NDArray[np.uint8]
Words = npt.NDArray[np.uint64]
Keys = npt.NDArray[np.int64]
Bits = npt.NDArray[np.uint16]
Places = npt.NDArray[np.int64]
Colours = npt.NDArray[np.float32]
Flags = npt.NDArray[np.bool_]

_LOOK = np.dtype(
    [
        ("front", np.uint64, _WORDS),
        ("front colours", np.uint8, SIDE_BYTES - HASH),
        ("back", np.uint64, _WORDS),
        ("back colours", np.uint8, SIDE_BYTES - HASH),
        ("card", np.uint64),
    ]
)
# Looks are read where they lie, so they must be laid out as `Signature.kept` writes them.
assert _LOOK.itemsize == LOOK_BYTES


class NearestNeighbourIndex:
    """Known looks by key, a whole number. 128 bytes a look, twice that while it grows. Of one
    thread at a time."""

    def __init__(self) -> None:
        self._count = 0
        self._keys: Keys = np.empty(0, np.int64)
        self._cards: Words = np.empty(0, np.uint64)
        self._hashes: Words = np.empty((2 * _WORDS, 0), np.uint64)
        self._colours: Rows = np.empty((2, 0, SIDE_BYTES - HASH), np.uint8)

    def __len__(self) -> int:
        return self._count

    def add(self, keys: Sequence[int] | Keys, looks: bytes) -> None:
        """Know these looks from now on: so many times LOOK_BYTES as there are keys. A key that is
        known, or comes again, gets the later look. Raises ValueError where the lengths do not fit
        together."""
        if len(looks) != len(keys) * LOOK_BYTES:
            raise ValueError(
                f"{len(keys)} looks are {len(keys) * LOOK_BYTES} bytes, not {len(looks)}"
            )
        rows = np.frombuffer(looks, _LOOK)
        # Back to front: `unique` gives the first place of each key, and the later look counts.
        new, last = np.unique(np.asarray(keys, np.int64)[::-1], return_index=True)
        rows = rows[::-1][last]
        self.remove(new)
        past = self._count + len(new)
        self._make_room(past)
        place = slice(self._count, past)
        self._keys[place], self._cards[place] = new, rows["card"]
        self._hashes[_FRONT, place], self._hashes[_BACK, place] = rows["front"].T, rows["back"].T
        self._colours[0, place], self._colours[1, place] = (
            rows["front colours"],
            rows["back colours"],
        )
        self._count = past

    def remove(self, keys: Collection[int] | Keys) -> None:
        """Know these no more; a key that is not known does no harm."""
        gone = np.isin(self._keys[: self._count], _array(keys))
        if gone.any():
            self._take(np.nonzero(~gone)[0], self._count - int(gone.sum()))

    def find(self, look: Signature, leave_out: Collection[int] = ()) -> SignatureMatch | None:
        """The known card that this one looks like, the keys in `leave_out` (its own, say) aside;
        None where none does, and without a front that says anything."""
        front = look.front
        # Backs of a set differ by too little to go by them alone.
        if front is None or not says_enough(front) or not self._count:
            return None
        bits, near = self._near(front)
        if leave_out:
            keep = ~np.isin(self._keys[near], _array(leave_out))
            bits, near = bits[keep], near[keep]
        return choose(self._seen(front, look.back, bits, near))

    def _near(self, front: Fingerprint) -> tuple[Bits, Places]:
        """How many bits the fronts within FAR differ, and where they are."""
        found = []
        for start in range(0, self._count, _CHUNK):
            bits, _ = _apart(front, self._hashes[_FRONT, start : min(start + _CHUNK, self._count)])
            at = np.nonzero(bits <= FAR)[0]
            found.append((bits[at], at + start))
        bits, places = (np.concatenate(each) for each in zip(*found, strict=True))
        return bits, places

    def _seen(
        self, front: Fingerprint, back: Fingerprint | None, bits: Bits, near: Places
    ) -> list[SignatureDistance]:
        """Those of the near ones that have a say, with all that can be compared of them."""
        backs = self._hashes[_BACK, near]
        both: Flags = np.asarray(backs.any(axis=0), np.bool_)
        if back is None or not says_enough(back):
            back, both = None, np.zeros_like(both)
        back_bits = bits if back is None else np.where(both, _apart(back, backs)[0], 0)
        say = np.nonzero(bits + np.where(both, back_bits, 0) <= WIDE)[0]
        near = near[say]
        tints = self._tints(0, front, near)
        back_tints = tints if back is None else self._tints(1, back, near)
        columns = (
            self._keys[near],
            self._cards[near],
            bits[say],
            tints,
            both[say],
            back_bits[say],
            back_tints,
        )
        rows = zip(*(column.tolist() for column in columns), strict=True)
        return [_distance(*row) for row in rows]

    def _tints(self, which: int, side: Fingerprint, places: Places) -> Colours:
        """By how many levels the colours of known fronts (0) or backs (1) differ from those of a
        side, the nearer way round and equally light."""
        _, over = _apart(side, self._hashes[(_FRONT, _BACK)[which], places])
        mine = _levels(np.frombuffer(kept_side(side), np.uint8)[None, HASH:])
        theirs = _levels(self._colours[which, places])
        gain = np.clip(
            mine[0, :LIGHTS].mean() / np.maximum(theirs[:, :LIGHTS].mean(axis=1), 1.0), *_GAIN
        )
        laid = np.where(over[:, None], mine[:, _OVER], mine)
        return np.asarray(np.abs(theirs * gain[:, None] - laid).mean(axis=1), np.float32)

    def _make_room(self, count: int) -> None:
        if count > len(self._keys):
            # A quarter more than is needed: cards come one by one as they are tagged, and each time
            # all that is known is copied. Places not in use yet repeat the last one that is.
            room = max(count, self._count + (self._count >> 2) + 64)
            self._take(np.minimum(np.arange(room), max(0, self._count - 1)), self._count)

    def _take(self, places: Places, count: int) -> None:
        """Keep what stands at these places, of which the first `count` are in use."""
        if not len(self._keys):
            self._keys, self._cards = (
                np.empty(len(places), np.int64),
                np.empty(len(places), np.uint64),
            )
            self._hashes = np.empty((2 * _WORDS, len(places)), np.uint64)
            self._colours = np.empty((2, len(places), SIDE_BYTES - HASH), np.uint8)
        else:
            self._keys, self._cards = self._keys[places], self._cards[places]
            self._hashes, self._colours = self._hashes[:, places], self._colours[:, places]
        self._count = count


def _distance(
    key: int, card: int, front: int, front_tint: float, both: bool, back: int, back_tint: float
) -> SignatureDistance:
    if not both:
        return SignatureDistance(key, card, front, front_tint)
    return SignatureDistance(key, card, front, front_tint, back, back_tint)


def _array(keys: Collection[int] | Keys) -> Keys:
    return np.fromiter(keys, np.int64, len(keys))


def _apart(side: Fingerprint, words: Words) -> tuple[Bits, Flags]:
    """How many bits each column of words differs from a side, the way round it is nearer, and
    whether that is turned over."""
    ways = []
    for value in (side.upright, side.turned):
        # Words in this machine's order, of bytes in that of `kept_side`: as the known ones are.
        one = np.frombuffer(value.to_bytes(HASH, "big"), np.uint64)
        # 256 bits may differ, one more than a byte can count.
        total = np.bitwise_count(words[0] ^ one[0]).astype(np.uint16)
        for at in range(1, _WORDS):
            total += np.bitwise_count(words[at] ^ one[at])
        ways.append(total)
    return np.minimum(*ways), np.asarray(ways[1] < ways[0], np.bool_)


def _levels(colours: Rows) -> Colours:
    """The lightness of each field and the tints of each quarter in levels: n x 24."""
    levels = colours.astype(np.float32)
    # A tint is kept as the half of a difference, so that it fits into a byte.
    levels[:, LIGHTS:] = 2 * (levels[:, LIGHTS:] - 128)
    return levels

"""The working picture's levels where they are looked at: of one that is held some times as coarse,
only these are made finer."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Packed = npt.NDArray[np.uint32]
"""The four bytes of a pixel as one number."""
Places = npt.NDArray[np.int64]
Numbers = npt.NDArray[np.float32]
TAPS = 4  # pixels, each way, that a finer one is made of


@dataclass(frozen=True)
class SeenLevels:
    """`held` has the pixels that there are of the picture one after the other: `high` times `wide`
    of them, the next one to the right `across` further, the next one below `down` further. The
    picture is looked at `times` as fine as that."""

    held: Packed
    high: int
    wide: int
    down: int
    across: int = 1
    times: int = 1

    @staticmethod
    def of(levels: npt.NDArray[np.uint8], times: int = 1) -> SeenLevels:
        """Those of these levels; a pixel is one number, which numpy fetches three times as fast."""
        packed = np.ascontiguousarray(levels).view(np.uint32).reshape(-1)
        high, wide = levels.shape[:2]
        return SeenLevels(packed, high, wide, wide, 1, times)

    @property
    def shape(self) -> tuple[int, int]:
        """Height and width as it is looked at."""
        return self.high * self.times, self.wide * self.times

    def turned(self) -> SeenLevels:
        """The same with its rows as columns."""
        return SeenLevels(self.held, self.wide, self.high, self.across, self.down, times=self.times)

    def at(self, x: Places, y: Places) -> Numbers:
        """The levels of single pixels that are in the picture: places x 3."""
        return self.bands(y[:, None], x[:, None], 1, 1)[:, 0]

    def bands(self, rows: Places, first: Places, steps: int, inward: int) -> Numbers:
        """The mean levels of the rows of each band (bands x rows) in so many pixels one after the
        other, from its `first` one on in each row, to the right (`inward` 1) or to the left (-1):
        bands x steps x 3. Beyond the picture it is as at its edge."""
        if self.times > 1:
            low = first if inward > 0 else first - steps + 1
            made = self._finer(rows, low, steps)
            return made[:, ::inward, :3]
        columns = first[:, :, None] + inward * np.arange(steps)
        seen = self._fetched(rows[:, :, None], columns).view(np.uint8)
        added = np.add.reduce(seen, axis=1, dtype=np.uint16).reshape(len(rows), steps, 4)
        mean: Numbers = added[:, :, :3].astype(np.float32) / np.float32(rows.shape[1])
        return mean

    def _fetched(self, rows: Places, columns: Places) -> Packed:
        rows = np.minimum(np.maximum(rows, 0), self.high - 1)
        columns = np.minimum(np.maximum(columns, 0), self.wide - 1)
        return self.held.take(rows * self.down + columns * self.across)

    def _finer(self, rows: Places, low: Places, steps: int) -> Numbers:
        """The same from the leftmost pixels on, between those that are held: by R. Keys, "Cubic
        Convolution Interpolation for Digital Image Processing", 1981, as Pillow's BICUBIC does."""
        whole, weights = _kernel(self.times)
        bands, many = rows.shape
        begins = low.min(axis=1) // self.times
        moved = low - begins[:, None] * self.times
        # Rows of a band that begin at the same place are weighed together.
        groups = int(moved.max()) + 1
        across = _across(self.times, steps, groups)
        top, phase = np.divmod(rows, self.times)
        own = moved[:, None] == np.arange(groups)[:, None]
        down = (own[..., None] * weights[phase][:, None]).reshape(bands, groups, many * TAPS)
        near = ((top + whole[phase])[..., None] + np.arange(TAPS)).reshape(bands, -1, 1)
        columns = (begins + whole[0])[:, None, None] + np.arange(across.shape[1] // groups)
        there = self._fetched(near, columns).view(np.uint8).astype(np.float32)
        made = across @ (down @ there).reshape(bands, -1, 4)
        # Divided last: what has been added up until then are whole parts of a level.
        return np.asarray(made / np.float32(many), dtype=np.float32)


@lru_cache(maxsize=4)
def _kernel(times: int) -> tuple[Places, Numbers]:
    """For each of the pixels that one is made into: how many before it the first of TAPS is, and
    what each of these counts for."""
    middle = (np.arange(times) + 0.5) / times - 0.5
    before = np.floor(middle)
    off = np.abs(middle[:, None] - before[:, None] - np.arange(-1, TAPS - 1))
    near = (1.5 * off - 2.5) * off * off + 1
    far = ((2.5 - 0.5 * off) * off - 4) * off + 2
    weights = np.where(off < 1, near, far).astype(np.float32)
    return before.astype(np.int64) - 1, weights


@lru_cache(maxsize=64)
def _across(times: int, steps: int, groups: int) -> Numbers:
    """What the pixels held of a row of each group count for in each of so many steps, the groups
    beginning one step after the other: steps x all of the groups' pixels."""
    whole, weights = _kernel(times)
    last = (steps + groups - 2) // times
    out = np.zeros((steps, groups, last + int(whole[-1] - whole[0]) + TAPS), np.float32)
    for step in range(steps):
        for group in range(groups):
            pixel, part = divmod(step + group, times)
            start = pixel + int(whole[part] - whole[0])
            out[step, group, start : start + TAPS] = weights[part]
    return out.reshape(steps, -1)

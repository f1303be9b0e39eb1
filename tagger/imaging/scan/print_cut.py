"""Print cut out of a scan, as large as there is room: what lies around the letters is left out, and
paper and ink are spread to black and white.

Where print was read is known only roughly: a reader widens what it found, so that letters take
about two thirds of the height (measured on 64 cards of `tagger demo`), and beside them lies the
ring of a badge or the line of a frame. Letters are what hangs together, is of one of both levels,
and does not go on beyond the place."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from PIL import Image

from tagger.imaging.connected import roots

# of the height of the place: how much lies around it in the piece; how far into it, from above and
# from the side, letters reach at least
AROUND, INTO, INTO_SIDE = 0.12, 0.22, 0.25
LEAST, MOST = 0.4, 1.0  # that letters take of its height
PAPER = 0.08  # of its height: paper beside the letters
SPECK = 0.06  # of its height: what is smaller both ways is dust
LINE = 0.15  # of its height: what is lower, and wider than that height, belongs to a frame
EMPTY, MIDDLE = 10, 0.3  # level of a row without ink; between which shares such rows part two lines
HIGHER, WIDER = 1.6, 1.25  # that letters are stretched where there is more room one way

_RUNS = re.compile(rb"\xff+|\x00+")


class _Blot(NamedTuple):
    """What hangs together in a piece: its level (255 or 0), and its left, top, right and lower
    end in pixels."""

    level: int
    left: int
    top: int
    right: int
    bottom: int


def cut_to_print(piece: Image.Image, size: tuple[int, int], shape: float) -> Image.Image:
    """The print in a piece of a scan, enlarged as far as `size` has room, beside it its paper. The
    piece is the place where print was read and AROUND of its height on each side, its pixels
    square; `size` is in pixels that are `shape` times as wide as high. A picture of levels of grey,
    paper black and ink white."""
    grey = piece.convert("L")
    letters = _letters(grey)
    cut = grey.crop(_seen_of(grey, letters))
    dark, light = _two_levels(cut.histogram())
    spread = max(1, light - dark)
    levels = [_held((level - dark) * 255 // spread) for level in range(256)]
    if _most(cut, levels) if letters is None else 255 - letters.level:
        # Light on dark, as all of the screen: dark letters would run into what parts the lines.
        levels = [255 - level for level in levels]
    return _fitted(_on_one_line(cut.point(levels)), size, shape)


def widened(
    region: tuple[float, float, float], box: tuple[int, int]
) -> tuple[tuple[float, float, float], tuple[int, int]]:
    """A piece with the place of print and what lies around it: of a place, its middle and width as
    shares of the scan, and its pixels."""
    more = round(AROUND * box[1])
    x, y, width = region
    wide = box[0] + 2 * more
    return (x, y, min(1.0, width * wide / box[0])), (wide, box[1] + 2 * more)


def _seen_of(grey: Image.Image, letters: _Blot | None) -> tuple[int, int, int, int]:
    """The part of a piece that is shown: its letters, or the middle of the place where they reach
    less far, and a little paper."""
    high = _height(grey)
    rim = high * AROUND
    if letters is None:
        # what could not be told from what lies around it is shown as it was read
        return _whole(rim, rim * 1.8, grey.width - rim, grey.height - rim * 1.8)
    # A letter that hangs together with what lies beside it is not known as one: whatever is known,
    # nearly all of the place is shown.
    side, top, more = rim + INTO_SIDE * high, rim + INTO * high, PAPER * high
    return _whole(
        min(side, letters.left) - more,
        min(top, letters.top),
        max(grey.width - side, letters.right) + more,
        max(grey.height - top, letters.bottom),
    )


def _height(grey: Image.Image) -> float:
    """Of the place where print was read, in pixels of its piece."""
    return grey.height / (1 + 2 * AROUND)


def _whole(*box: float) -> tuple[int, int, int, int]:
    left, top, right, bottom = (max(0, round(end)) for end in box)
    return left, top, max(left + 1, right), max(top + 1, bottom)


def _letters(grey: Image.Image) -> _Blot | None:
    """Around all letters, of the level of which they are; None where neither has any that are as
    high as letters are."""
    high = _height(grey)
    parts, best, found = list(_parts(_black_and_white(grey))), 0, None
    for level in (0, 255):
        own = [part for part in parts if part.level == level and _is_letter(part, grey, high)]
        # In all higher than those of the other level: what lies inside of letters is lower.
        heights = sum(part.bottom - part.top for part in own)
        if heights > best and LEAST * high <= _tall(around := _around(own)) <= MOST * high:
            best, found = heights, around
    return found


def _is_letter(part: _Blot, grey: Image.Image, high: float) -> bool:
    wide, tall = part.right - part.left, _tall(part)
    # what reaches the rim goes on beyond it: paper, a frame, the ring of a badge
    if not (part.left and part.top and part.right < grey.width and part.bottom < grey.height):
        return False
    is_line = wide > high and tall < LINE * high
    return max(wide, tall) > SPECK * high and not is_line


def _tall(part: _Blot) -> int:
    return part.bottom - part.top


def _around(parts: Sequence[_Blot]) -> _Blot:
    return _Blot(
        parts[0].level,
        min(part.left for part in parts), min(part.top for part in parts),
        max(part.right for part in parts), max(part.bottom for part in parts),
    )  # fmt: skip


def _black_and_white(grey: Image.Image) -> Image.Image:
    threshold = _threshold(grey.histogram())
    return grey.point([0 if level <= threshold else 255 for level in range(256)])


def _parts(picture: Image.Image) -> Iterator[_Blot]:
    """What hangs together, by runs of one level in each row."""
    width, pixels = picture.width, picture.tobytes()
    runs: list[tuple[int, int, int, int]] = []  # level, row, start, stop
    pairs: list[tuple[int, int]] = []
    before: list[int] = []
    for y in range(picture.height):
        line = pixels[y * width : (y + 1) * width]
        here = []
        for match in _RUNS.finditer(line):
            here.append(len(runs))
            runs.append((line[match.start()], y, match.start(), match.end()))
        pairs += _touching(runs, before, here)
        before = here
    ends: dict[int, list[int]] = {}
    for (level, y, start, stop), root in zip(runs, roots(len(runs), pairs), strict=True):
        end = ends.setdefault(root, [level, start, y, stop, y + 1])
        end[1:] = [min(end[1], start), min(end[2], y), max(end[3], stop), max(end[4], y + 1)]
    return (_Blot(*end) for end in ends.values())


def _touching(
    runs: Sequence[tuple[int, int, int, int]], above: Sequence[int], here: Sequence[int]
) -> Iterator[tuple[int, int]]:
    """Runs of one level, one above the other, in two rows."""
    at = 0
    for low in here:
        level, _, start, stop = runs[low]
        while at < len(above) and runs[above[at]][3] <= start:
            at += 1
        for high in above[at:]:
            if runs[high][2] >= stop:
                break
            if runs[high][0] == level:
                yield high, low


def _threshold(counts: Sequence[int]) -> int:
    """The level up to which pixels are dark: the one that parts both sides best (N. Otsu, A
    threshold selection method from gray-level histograms, IEEE Trans. SMC 9, 1979)."""
    count, total = sum(counts), sum(level * many for level, many in enumerate(counts))
    best, found = 0, -1.0
    below = below_sum = 0
    for level, many in enumerate(counts):
        below, below_sum = below + many, below_sum + level * many
        if 0 < below < count:
            apart = (total * below - below_sum * count) ** 2 / (below * (count - below))
            if apart > found:
                best, found = level, apart
    return best


def _two_levels(counts: Sequence[int]) -> tuple[int, int]:
    """The levels of what is dark and what is light: the medians on both sides of the threshold."""
    threshold = _threshold(counts)
    return _median(counts, 0, threshold + 1), _median(counts, threshold + 1, 256)


def _median(counts: Sequence[int], start: int, stop: int) -> int:
    half, seen = sum(counts[start:stop]) / 2, 0
    for level in range(start, stop):
        seen += counts[level]
        if seen >= half:
            return level
    return stop - 1


def _held(level: int) -> int:
    return min(255, max(0, level))


def _most(cut: Image.Image, levels: Sequence[int]) -> bool:
    """Whether most of a piece is light."""
    return 2 * sum(levels[level] for level in cut.tobytes()) > 255 * cut.width * cut.height


def _on_one_line(ink: Image.Image) -> Image.Image:
    """A name in two lines, as a given name over a surname, with both beside each other: one below
    the other they would be half as high."""
    rows = ink.resize((1, ink.height), Image.Resampling.BOX).tobytes()
    empty = bytes(255 * (level < EMPTY) for level in rows)
    gaps = [gap for gap in _RUNS.finditer(empty) if empty[gap.start()]]
    # What lies higher or lower is the gap below a dot or an accent, or above a tail.
    least, most = MIDDLE * ink.height, (1 - MIDDLE) * ink.height
    gap = next((gap for gap in gaps if gap.start() > least and gap.end() < most), None)
    if gap is None:
        return ink
    lines = [_trimmed(ink.crop((0, 0, ink.width, gap.start()))),
             _trimmed(ink.crop((0, gap.end(), ink.width, ink.height)))]  # fmt: skip
    high = max(line.height for line in lines)
    first, second = (line.resize((round(line.width * high / line.height), high)) for line in lines)
    both = Image.new("L", (first.width + high // 2 + second.width, high))
    both.paste(first, (0, 0))
    both.paste(second, (both.width - second.width, 0))
    return both


def _trimmed(ink: Image.Image) -> Image.Image:
    """Without the paper beside it."""
    around = ink.point([0] * EMPTY + [255] * (256 - EMPTY)).getbbox()
    return ink if around is None else ink.crop((around[0], 0, around[2], ink.height))


def _fitted(cut: Image.Image, size: tuple[int, int], shape: float) -> Image.Image:
    """As large as there is room; what is left is paper, as that of the letters."""
    width, height = size
    high, wide = height / cut.height, width * shape / cut.width
    across, down = min(wide, high * WIDER), min(high, wide * HIGHER)
    small = cut.resize(
        (min(width, max(1, round(cut.width * across / shape))),
         min(height, max(1, round(cut.height * down)))),
        Image.Resampling.BOX if across < 1 else Image.Resampling.BICUBIC,
    )  # fmt: skip
    whole = Image.new("L", size)
    whole.paste(small, (0, (height - small.height) // 2))
    return whole

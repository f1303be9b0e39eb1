"""The size of a lot's cards, read off the lot, and what is odd beside it: a card of another size,
one that is cut off, one without a margin.

One scan alone cannot tell: what stands out from the bed may be a card of another size, a card of
which a part is as dark as the bed, or a frame. What most scans of a lot agree on is its card."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import product
from statistics import median
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured

USUAL = (63.5, 88.9)  # mm, 2.5 x 3.5 in: common practice
GAME = (63.0, 88.0)  # mm, cards of most trading card games: common practice, no source
COMMON = (USUAL, GAME)
MM = 25.4  # an inch
DRAWN = 0.3  # mm off the lot's size, from which on edges were drawn towards another one
ALIKE = 1.0  # mm: cards of one size are cut as evenly as that, feeders stretch them as much
LIKE_LOT = 1.3  # mm off a size of the lot, within which a card is of that size
STRETCH = 0.018  # of a length: feeders make it longer or shorter by so much, most by far less
STRETCHED = 0.6  # mm along the feed, from which on a lot's cards are looked for as they were fed
SHADOW = 1.5  # mm that a shadow is wide right beside a card, at most
BORDER = 7.0  # mm around the print of usual cards, at most: common practice, no source
ODD = 2.0  # mm larger than that, from which on a card is said to be of another size
OVERLAP = 15.0  # mm by which two cards that went through together are longer than one
CUT = 1.5  # mm that must be missing before a card is called cut
SMALLER = 0.4  # mm that a scan with a bed around its cards must be smaller than one of them
CROPPED = 2.5  # mm that a scan is larger than the card, at most, where the machine crops to it
FEWEST, PART = 2, 0.2  # scans that make a size of the lot, of fronts and of backs; their share
# Where no size was measured for sure so many must agree, of the scans that say one and of all.
MOST, SOME = 0.5, 0.3
RARE = 0.05  # of the scans: so many may show more than the lot's cards, by dust or a streak
FILLED = 0.25  # of the scans of a machine that crops: in so many the card is seen to fill the scan
SIDES = ("left", "right", "upper", "lower")
ACROSS = (SIDES[:2], SIDES[2:])  # the sides at both ends of a width, of a height
MOST_AROUND = 6.0  # mm that a shadow or a sleeve adds to a card at most
PLAUSIBLE = (38.0, 160.0)  # mm: a card's short side at least, its long side at most
UNEVEN = 0.8  # mm that what a machine leaves across differs from that down, as cards lie crooked
EVEN = 1.0  # mm that the scans of a machine that crops differ by, usually

Size = tuple[float, float]  # mm, the short side first
Fault = tuple[str, str]  # which, and its measure in words


def lot_size(known: Iterable[Measured]) -> Size:
    """The size of a lot's cards in mm: the usual one, unless the scans agree on another.

    It is the largest size that a good part of the fronts as well as of the backs have: what is
    smaller may be what stands out of a card that is in part as dark as the bed."""
    known = [one for one in known if one.print is not None]
    page = _page(known)
    size = _of_both_sides(map(_measured_sizes, (known[::2], known[1::2])))
    # A machine that crops to the card shows no bed, so that what is measured there is a frame.
    if page is not None and _off(page, USUAL) <= CROPPED and not _has_bed(page, size):
        return USUAL
    size = size or _likely_size(known, page)
    return USUAL if size is None else _common(size)


def _likely_size(known: Sequence[Measured], page: Size | None) -> Size | None:
    """The size of the cards where none was measured on both of their sides, None where nothing
    speaks for one. `page`: of the scans."""
    fronts, backs = known[::2], known[1::2]
    size = _borne_out(fronts, backs) or _borne_out(backs, fronts)
    size = size or _of_both_sides(map(_likely_sizes, (fronts, backs))) or _outdone_by_none(known)
    if size is None and page is not None and _is_cropped(known, page):
        return page
    return size


def _has_bed(page: Size, size: Size | None) -> bool:
    """Whether scans of this size, which are nearly as large as usual cards, show smaller cards and
    a narrow bed around them. The border of a usual card is as wide across as down, and so is what a
    machine that crops leaves around it."""
    if size is None:
        return False
    if min(page[0] - size[0], page[1] - size[1]) > 2 * BORDER:
        return True
    return _unevenness(size) > ALIKE and _unevenness(page) > UNEVEN


def _unevenness(size: Size) -> float:
    """By how much more a size is off the usual one across than down, or less, in mm."""
    return abs((size[0] - USUAL[0]) - (size[1] - USUAL[1]))


def _common(size: Size) -> Size:
    """Which common size a measured one is, itself where it is none: two of them differ by less than
    single cards, but not by less than the middle of many."""
    nearest = min(COMMON, key=lambda one: _off(one, size))
    return nearest if _off(size, nearest) <= LIKE_LOT else size


def _of_both_sides(found: Iterable[Iterable[Size]]) -> Size | None:
    """The largest size that fronts and backs have, None where they do not agree."""
    # most scans agree on the very same size
    pairs = list(product(*map(dict.fromkeys, found)))
    both = [pair for pair in pairs if _off(*pair) <= ALIKE]
    # of few cards, each stretched otherwise, the middles of both sides differ
    both = both or [pair for pair in pairs if is_of_size(pair[0], pair[1], ALIKE)]
    if not both:
        return None
    one, other = max(both)
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2


def _borne_out(side: Sequence[Measured], other: Sequence[Measured]) -> Size | None:
    """The size that was measured on one side of the cards, where what stands out on most of the
    other sides is as large, or larger by a shadow; None where there is none."""
    shown = [one for one in other if one.shown != (0.0, 0.0) and not one.reached]
    for size in sorted(_measured_sizes(side), reverse=True):
        like = sum(_bears_out(one, size) for one in shown)
        if like >= max(FEWEST, MOST * len(shown)):
            return _without_shadow(size, other)
    return None


def _without_shadow(size: Size, other: Sequence[Measured]) -> Size:
    """A size that was measured on one side of the cards, or the one that lines on the other sides
    agree on: less on one way alone, by no more than a shadow that a dark card goes over into."""
    for seen in _likely_sizes(other):
        less = sorted(whole - line for whole, line in zip(size, seen, strict=True))
        if abs(less[0]) <= DRAWN and DRAWN < less[1] <= SHADOW:
            return seen
    return size


def _bears_out(one: Measured, size: Size) -> bool:
    """Whether what stands out on a scan is as large, or larger by a shadow where it was not
    measured past that."""
    over, measured = _over(one, size), one.card != (0.0, 0.0)
    return min(over) >= -ALIKE / 2 and max(over) <= (ALIKE if measured else 2 * ALIKE)


def _over(one: Measured, size: Size) -> Size:
    """By how many mm more is seen of a scan's card than one of this size has."""
    # What goes on to all four ends of the scan is the bed, with a pattern on it.
    shown = (0.0, 0.0) if len(one.reached) == len(SIDES) else one.shown
    short, long = map(max, _sorted(shown), _sorted(one.card))
    return short - size[0], long - size[1]


def _outdone_by_none(known: Sequence[Measured]) -> Size | None:
    """The largest size that a good part of the scans say, be it on one side of the cards alone,
    where next to none shows more than that; None where it may be the inside of a usual card's
    border, or what a strip leaves of it that is as dark as the bed."""
    sizes = [size for size in map(_likely, known) if size != (0.0, 0.0)]
    for size in sorted(_agreed(sizes, max(2 * FEWEST, SOME * len(known))), reverse=True):
        larger = sum(max(_over(one, size)) > 2 * ALIKE for one in known)
        if larger <= RARE * len(known) and not _is_part_of_usual(size):
            return size
    return None


def _is_part_of_usual(size: Size) -> bool:
    """Whether a size may be what is seen of a usual card, all of whose border, or a strip at one
    end of it, is as dark as the bed."""
    less = [whole - seen for whole, seen in zip(USUAL, size, strict=True)]
    return max(less) > LIKE_LOT and (abs(min(less)) <= LIKE_LOT or _unevenness(size) <= ALIKE)


def _measured_sizes(known: Sequence[Measured]) -> set[Size]:
    """The sizes that a good part of the scans have on which one was measured."""
    sizes = [_sorted(one.card) for one in known if one.card != (0.0, 0.0)]
    return _agreed(sizes, PART * len(sizes))


def _likely_sizes(known: Sequence[Measured]) -> set[Size]:
    """The sizes that most of these scans have by what one of them alone is not sure of."""
    sizes = [size for size in map(_likely, known) if size != (0.0, 0.0)]
    return _agreed(sizes, max(MOST * len(sizes), SOME * len(known)))


def _likely(one: Measured) -> Size:
    if one.card != (0.0, 0.0):
        return _sorted(one.card)
    return _sorted(one.lines) if one.corners is None else one.asked


def _agreed(sizes: Sequence[Size], least: float) -> set[Size]:
    """The sizes that at least so many of these are alike to."""
    found: set[Size] = set()
    ordered = sorted(sizes)
    for short, long in set(sizes):
        # each with each: nothing is called or sorted for each pair of a lot of a thousand cards
        start = bisect_left(ordered, (short - ALIKE, 0.0))
        past = bisect_right(ordered, (short + ALIKE, PLAUSIBLE[1] + long))
        alike = [other for other in ordered[start:past] if abs(long - other[1]) <= ALIKE]
        if len(alike) >= max(FEWEST, least):
            found.add((median(one for one, _ in alike), median(one for _, one in alike)))
    return found


def _is_cropped(known: Sequence[Measured], page: Size) -> bool:
    """Whether scans of this size are cards cut out to their edges: all but one size, and in most of
    them the card goes to the scan's edge."""
    if page[0] < PLAUSIBLE[0] or page[1] > PLAUSIBLE[1]:
        return False
    pages = [own for own in map(_page_of, known) if own is not None]
    uneven = median(_off(own, page) for own in pages)
    filled = sum(bool(one.reached) or _off(_sorted(one.shown), page) <= CROPPED for one in known)
    return uneven <= EVEN and filled >= FILLED * len(known)


def to_measure_again(known: Mapping[str, Measured]) -> tuple[Size, list[str]]:
    """The size of a lot's cards as they were fed, and the scans in which a card of that size was
    not looked for yet."""
    size = lot_size(known.values())
    if size == USUAL and (fed := _stretched(known.values())):
        return fed, [scan for scan, one in known.items() if _is_of_another(one, fed)]
    # What was cut to the card has no bed from which its edges would stand out.
    if size == USUAL or size == _page(known.values()):
        return size, []
    return size, [scan for scan, one in known.items() if _is_of_another(one, size)]


def _stretched(known: Iterable[Measured]) -> Size | None:
    """The size of usual cards that the feeder made longer or shorter on their way, where many scans
    agree on one; else None."""
    known = list(known)
    sizes = [size for size in map(_likely, known) if size != (0.0, 0.0)]
    for size in sorted(_agreed(sizes, max(2 * FEWEST, SOME * len(known))), reverse=True):
        least, most = sorted(abs(seen - whole) for seen, whole in zip(size, USUAL, strict=True))
        if least <= STRETCHED / 2 and most > STRETCHED and is_of_size(size, USUAL, most=0.0):
            return size
    return None


def _is_of_another(one: Measured, size: Size) -> bool:
    """Whether a scan was measured by another size than the lot's, and that may matter."""
    if one.print is None:
        return False
    # What is so near the usual size may have been drawn towards it.
    own = _edges_size(one) if size == GAME else _sorted(one.card)
    return _off(one.asked, size) > DRAWN and _off(own, size) > DRAWN


def _edges_size(one: Measured) -> Size:
    """The size in mm of the edges that were given, 0 where none were."""
    if one.corners is None or not one.dpi:
        return 0.0, 0.0
    a, b, c, d = one.corners
    across = (math.dist(a, b) + math.dist(d, c)) / 2
    down = (math.dist(a, d) + math.dist(b, c)) / 2
    return _sorted((across / one.dpi * MM, down / one.dpi * MM))


def settled(known: Mapping[str, Measured]) -> dict[str, Measured]:
    """What was measured, without the edges of what is not of the lot's size: there a frame was
    taken for the card, or a part of it is as dark as the bed."""
    size = lot_size(known.values())
    return {scan: _settled(one, size) for scan, one in known.items()}


def _settled(one: Measured, size: Size) -> Measured:
    if one.corners is None:
        return one
    # Edges that are not measured on four sides are those of the size that was asked for.
    if one.card == (0.0, 0.0):
        return one if _off(one.asked, size) <= LIKE_LOT else replace(one, corners=None)
    own = _sorted(one.card)
    kept = is_of_size(own, size) or is_of_size(own, USUAL)
    return one if kept else replace(one, corners=None)


def crops(known: Iterable[Measured]) -> bool:
    """Whether a lot's scans are no larger than its cards, as of a machine that crops to them."""
    known = list(known)
    page = _page(known)
    return page is not None and _off(page, lot_size(known)) <= CROPPED


def size_faults(known: Mapping[str, Measured]) -> dict[str, Fault]:
    """Of each scan whose card is odd beside the lot's (`cut`, `no margin`, `odd size`): which it
    is, and its measure in words."""
    size = lot_size(known.values())
    page = _page(known.values())
    cropped = crops(known.values())
    # Where next to no scan has room for it, the lot's size is not known rather than each card cut.
    roomy = page is None or _has_room(page, size)
    pages = Counter(map(_page_key, known.values()))
    found = {}
    for scan, one in known.items():
        if one.print is None or one.has("no card"):
            continue
        # Scans that are all as small are those of smaller cards; cut ones are each as it happens.
        alone = roomy and pages[_page_key(one)] < 2 * FEWEST
        fault = _cropped_fault(one, page) if cropped and page else _fault(one, size, alone)
        if fault is not None:
            found[scan] = fault
    return _without_odd(found, len(known))


def _without_odd(found: dict[str, Fault], count: int) -> dict[str, Fault]:
    """Faults without odd sizes, where most of so many scans have one: too few agree on a size."""
    odd = [scan for scan, (kind, _) in found.items() if kind == "odd size"]
    if len(odd) < 2 * FEWEST or len(odd) <= MOST * count:
        return found
    return {scan: fault for scan, fault in found.items() if scan not in odd}


def _page(known: Iterable[Measured]) -> Size | None:
    """The size of a lot's scans in mm as they usually are, None where too few say it."""
    pages = [page for page in map(_page_of, known) if page is not None]
    if len(pages) < 2 * FEWEST:
        return None
    return median(short for short, _ in pages), median(long for _, long in pages)


def _page_of(one: Measured) -> Size | None:
    if not one.dpi or 0 in one.size:
        return None
    return _sorted((one.size[0] / one.dpi * MM, one.size[1] / one.dpi * MM))


def _cropped_fault(one: Measured, page: Size) -> tuple[str, str] | None:
    """What is wrong with a scan of a machine that crops to the card: only a smaller scan is cut."""
    own = _page_of(one)
    if own is not None and max(page[0] - own[0], page[1] - own[1]) > CUT:
        return "cut", ", ".join(one.reached)
    return ("no margin", ", ".join(one.reached)) if one.reached else None


def _page_key(one: Measured) -> tuple[int, int]:
    """A scan's size in mm, by which those of one kind are counted; 0 where not known."""
    short, long = _page_of(one) or (0.0, 0.0)
    return round(short), round(long)


def _has_room(page: Size, size: Size) -> bool:
    """Whether a card of that size fits into a scan of this one."""
    return max(size[0] - page[0], size[1] - page[1]) <= SMALLER


def _fault(one: Measured, size: Size, roomy: bool) -> tuple[str, str] | None:
    """What is odd about the card of a scan, whose lot has room for such cards or not."""
    sides = ", ".join(one.reached)
    page = _page_of(one)
    # However little of it stands out: in so small a scan there is no room for all of the card.
    if page is not None and not _has_room(page, size) and (roomy or one.reached):
        return "cut", sides
    if one.reached and one.shown != (0.0, 0.0) and _missing(one, size) > CUT:
        return "cut", sides
    if one.reached:
        return "no margin", sides
    # Smaller than the lot's is also a card of which a part is as dark as the bed.
    seen = one.lines if _is_overlap(one, size) else one.card
    short, long = _sorted(seen)
    if max(short - size[0], long - size[1]) > ODD:
        return "odd size", f"{seen[0]:.1f} x {seen[1]:.1f} mm"
    return None


def _is_overlap(one: Measured, size: Size) -> bool:
    """Whether what stands out on a scan is two cards of a size, of which one lies on a part of the
    other: by far too long for one, and no broader."""
    if one.corners is not None or one.card != (0.0, 0.0):
        return False
    short, long = _sorted(one.lines)
    return short - size[0] <= ODD and OVERLAP <= long - size[1] <= size[1]


def _missing(one: Measured, size: Size) -> float:
    """How many mm are missing of a card that goes on beyond its scan.

    Its shadow or its sleeve stands out with it: on both sides of the way that none is missing, and
    so on one side of the other way."""
    wanted = size if one.shown[0] <= one.shown[1] else size[::-1]
    short_of = [whole - seen for whole, seen in zip(wanted, one.shown, strict=True)]
    beyond = [any(side in one.reached for side in pair) for pair in ACROSS]
    if all(beyond):
        return max(short_of)
    cut = beyond.index(True)
    around = min(MOST_AROUND, max(0.0, -short_of[1 - cut])) / 2
    return max(short_of[cut] + around, short_of[1 - cut])


def _sorted(size: Sequence[float]) -> Size:
    return min(size), max(size)


def is_of_size(one: Size, size: Size, most: float = LIKE_LOT) -> bool:
    """Whether a card that was seen as so large may be of a size: off it by so many mm at most, or
    as much as a feeder stretches."""
    both = zip(one, size, strict=True)
    return all(abs(seen - whole) <= most or is_fed(seen, whole) for seen, whole in both)


def is_fed(seen: float, whole: float) -> bool:
    """Whether a length may be another one as a feeder stretches it."""
    return abs(seen - whole) <= STRETCH * whole


def _off(one: Size, other: Size) -> float:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1]))

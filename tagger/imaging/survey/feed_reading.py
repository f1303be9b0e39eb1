"""Which scan of a lot shows which side, and where the feeding slipped.

A lot is read card by card (a semi-Markov model: a card takes two scans, or one, or three): each way
to read it costs what its slips cost and what its sides cost as a Gaussian process over the looks of
the scans (`side_kernel`). A beam search keeps the likeliest readings; round each slip a wider one
tells what else it could be."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from tagger.core.audit.slips import (
    Doubt,
    FeedReading,
    Reading,
    Slip,
    SlipKind,
    Traces,
    likelier_first,
)
from tagger.imaging.survey.feed_doubts import (
    Scored,
    at_least,
    is_told,
    nearest,
    share_of,
    stretches_of,
    suspects,
)
from tagger.imaging.survey.side_kernel import REACH, Factor, covariances, factor

# Nats. A slip in 400 cards; a scan too many shows its neighbour's side again, which says little
# where others around show the same.
SLIP, EXTRA, COMMON_SIDE, UNLIKE = 6.0, 4.5, 7.0, 12.0
AROUND_TWICE = 4  # scans to either side that are looked at for that
# A feeder that slipped once is more likely to slip again within the next scans.
AGAIN, SOON = 2.0, 14
WAITING = 4.0  # that the last side is still on its way, and nothing slipped
# How much more the looks say than scans would that err by themselves: read off tuning lots.
TRUST = 3.0
WIDTH, WIDE = 40, 120  # readings that are kept at each scan: along the lot, round a slip
MARGIN = 16.0  # nats below the best, from which on a reading is given up
AROUND = 48  # scans to either side of a slip, within which it is told what else it could be
# Slips, and scans to a slip: where there are more than both, the whole says nothing.
FEW, MOST_SLIPS = 5, 24
LEAST = 0.01  # a reading less likely than that is not told

NO_TRACES = Traces()
Same = Callable[[int, int], bool]
Floats = npt.NDArray[np.float64]


class _Card(NamedTuple):
    """One way in which a card comes out of the feeder: its sides (1 the first, -1 the second), what
    it is if it is a slip, and which of its scans tells so."""

    sides: tuple[int, ...]
    kind: SlipKind | None
    at: int = 0


WHOLE = _Card((1, -1), None)
UNFINISHED = _Card((1,), None)
CARDS = (
    WHOLE,
    _Card((-1, 1), SlipKind.SWAPPED),
    _Card((-1,), SlipKind.FIRST_MISSING),
    _Card((1,), SlipKind.SECOND_MISSING),
    _Card((1, 1, -1), SlipKind.EXTRA_SCAN, 1),
    _Card((1, -1, -1), SlipKind.EXTRA_SCAN, 2),
)


class _Link(NamedTuple):
    """The slips of a reading, the last one first."""

    before: _Link | None
    slip: Slip


@dataclass(frozen=True)
class _Bundle:
    """Readings that come to the same scan: their scores, the whitened sides of the scans before
    (the last one first), and their slips."""

    scores: Floats
    sides: Floats
    slips: list[_Link | None]

    def after_slip(self, at: int) -> Floats:
        """1 for each reading that has a slip shortly before a scan, else 0."""
        soon = [link is not None and at - link.slip.scan <= SOON for link in self.slips]
        return np.asarray(soon, dtype=np.float64)

    def best(self, width: int) -> _Bundle:
        """The likeliest of them."""
        order = np.argsort(-self.scores, kind="stable")[:width]
        order = order[self.scores[order] > self.scores[order[0]] - MARGIN]
        return _Bundle(self.scores[order], self.sides[order], [self.slips[at] for at in order])


def _together(bundles: Sequence[_Bundle]) -> _Bundle:
    return _Bundle(
        np.concatenate([one.scores for one in bundles]),
        np.concatenate([one.sides for one in bundles]),
        [slips for one in bundles for slips in one.slips],
    )


@dataclass
class _Search:
    """A beam search over part of a lot; places are those of the part."""

    looks: Factor
    same: Same
    lost: Floats
    joined: Floats
    width: int
    open_end: bool
    buckets: dict[int, list[_Bundle]] = field(default_factory=dict)

    def readings(self) -> list[Scored]:
        """The readings with their scores, the likeliest first."""
        count = len(self.looks.left)
        self.buckets = {0: [_Bundle(np.zeros(1), np.zeros((1, REACH)), [None])]}
        for at in range(count):
            if at in self.buckets:
                bundle = _together(self.buckets.pop(at)).best(self.width)
                for card in self._cards(at, count):
                    self._fed(bundle, at, card)
        ended = _together(self.buckets.pop(count)).best(self.width)
        return [
            (float(score), _unlinked(link))
            for score, link in zip(ended.scores, ended.slips, strict=True)
        ]

    def _cards(self, at: int, count: int) -> Iterator[_Card]:
        yield from (card for card in CARDS if at + len(card.sides) <= count)
        # Of a last scan that stands alone the other side may still be on its way.
        if at + 1 == count:
            yield UNFINISHED

    def _fed(self, bundle: _Bundle, at: int, card: _Card) -> None:
        """Each reading of the bundle with one more card."""
        scores, sides = bundle.scores - self._cost(at, card), bundle.sides
        if card.kind is not None:
            scores = scores + AGAIN * bundle.after_slip(at)
        for place, side in enumerate(card.sides, start=at):
            off = (side - sides @ self.looks.lower[place]) / self.looks.left[place]
            scores = scores - TRUST / 2 * off**2
            sides = np.concatenate([off[:, None], sides[:, :-1]], axis=1)
        links = bundle.slips
        if card.kind is not None:
            slip = Slip(card.kind, at + card.at)
            links = [_Link(link, slip) for link in links]
        self.buckets.setdefault(at + len(card.sides), []).append(_Bundle(scores, sides, links))

    def _cost(self, at: int, card: _Card) -> float:
        """What a card costs, but for its looks."""
        inside = float(self.joined[at + 1 : at + len(card.sides)].sum())
        cost = float(self.joined[at]) - inside
        match card.kind:
            case None:
                return cost + WAITING * (card is UNFINISHED and not self.open_end)
            case SlipKind.EXTRA_SCAN:
                return cost + self._twice(at + card.at)
            case SlipKind.FIRST_MISSING:
                return cost + SLIP - float(self.lost[at])
            case SlipKind.SECOND_MISSING:
                behind = self.lost[at + 1] if at + 1 < len(self.lost) else 0.0
                return cost + SLIP - float(behind)
        return cost + SLIP

    def _twice(self, at: int) -> float:
        """What it costs that a scan shows the side before it a second time."""
        if not self.same(at - 1, at):
            return UNLIKE
        past = min(len(self.looks.left), at + AROUND_TWICE + 1)
        around = (*range(max(0, at - AROUND_TWICE), at - 1), *range(at + 1, past))
        return COMMON_SIDE if any(self.same(at, other) for other in around) else EXTRA


def _unlinked(link: _Link | None) -> tuple[Slip, ...]:
    slips: list[Slip] = []
    while link is not None:
        link, slip = link
        slips.append(slip)
    return tuple(reversed(slips))


def read_feed(fields: Sequence[bytes], same: Same, traces: Traces = NO_TRACES) -> FeedReading:
    """How a lot was fed, whose scans are expected to show the first and the second side in turn.

    `fields` are as of `fields.fields_of`, empty for a scan that says nothing; `same` tells
    whether two scans may show the same printing."""
    if not fields:
        return FeedReading((), (), ())
    return _Lot(fields, same, traces).reading()


class _Lot:
    def __init__(self, fields: Sequence[bytes], same: Same, traces: Traces) -> None:
        self._count = len(fields)
        self._cover = covariances(fields)
        self._same = same
        self._lost = _padded(traces.lost, self._count)
        self._joined = _padded(traces.together, self._count)

    def reading(self) -> FeedReading:
        """The whole of it."""
        found = self._search(0, self._count, WIDTH)
        best = found[0][1]
        # So much never goes wrong: the sides do not come in turn, or nothing tells them apart.
        if len(best) > FEW + self._count / MOST_SLIPS:
            return _feed_reading((), self._count, ())
        stretches = stretches_of(suspects(found))
        doubts = [
            at_least(self._doubt(stretch, stretches, best), share_of(found, stretch, stretches))
            for stretch in stretches
        ]
        told = [doubt for doubt in doubts if is_told(doubt)]
        return _feed_reading(best, self._count, told)

    def _search(self, first: int, past: int, width: int) -> list[Scored]:
        """The readings of a part of the lot that begins with a card."""
        cover = self._cover[first:past].copy()
        # What lies before the part says nothing in it.
        for at in range(min(REACH, past - first)):
            cover[at, at:] = 0.0
        search = _Search(
            factor(cover),
            lambda one, other: self._same(first + one, first + other),
            self._lost[first:past],
            self._joined[first:past],
            width,
            past < self._count,
        )
        return [
            (score, tuple(Slip(slip.kind, slip.scan + first) for slip in slips))
            for score, slips in search.readings()
        ]

    def _doubt(self, stretch: range, stretches: Sequence[range], best: Sequence[Slip]) -> Doubt:
        """What may have happened in a stretch."""
        first = max(0, stretch.start - AROUND)
        first = _card_start(best, first)
        past = min(self._count, stretch.stop + AROUND)
        found = self._search(first, past, WIDE)
        top = found[0][0]
        shares: dict[tuple[Slip, ...], float] = {}
        for score, slips in found:
            here = tuple(slip for slip in slips if nearest(slip.scan, stretches) == stretch)
            shares[here] = shares.get(here, 0.0) + float(np.exp(score - top))
        whole = sum(shares.values())
        readings = [Reading(slips, share / whole) for slips, share in shares.items() if slips]
        readings.sort(key=likelier_first)
        # The likeliest one in any case: the lot as a whole may speak for it.
        likely = tuple(one for one in readings if one.share >= LEAST) or tuple(readings[:1])
        return Doubt(likely, shares.get((), 0.0) / whole)


def _padded(values: Sequence[float], count: int) -> Floats:
    return np.asarray(values or [0.0] * count, dtype=np.float64)


def _card_start(slips: Sequence[Slip], scan: int) -> int:
    """The first scan of a card, at or a little before a scan, as the lot is read."""
    return max((start for start, _ in _cards_of(slips, scan + 1)), default=0)


def _cards_of(slips: Sequence[Slip], count: int) -> Iterator[tuple[int, _Card]]:
    """The cards of a reading with their first scans."""
    kinds = {(slip.kind, slip.scan) for slip in slips}
    at = 0
    while at < count:
        card = next((one for one in CARDS[1:] if (one.kind, at + one.at) in kinds), WHOLE)
        yield at, card
        at += len(card.sides)


def _feed_reading(slips: Sequence[Slip], count: int, doubts: Sequence[Doubt]) -> FeedReading:
    cards = [card.sides for _, card in _cards_of(slips, count)]
    firsts = [side == 1 for sides in cards for side in sides]
    lengths = [len(sides) for sides in cards]
    # Of a last scan that stands alone the other side is still on its way.
    lengths[-1] -= len(firsts) - count
    return FeedReading(tuple(firsts[:count]), tuple(lengths), tuple(doubts))

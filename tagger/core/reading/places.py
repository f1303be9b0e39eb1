"""Where the cards of a set have their numbers, names and last lines: learned from cards that were
read whole, without anyone's help.

A box whose number belongs to a row whose name was read too is such a place, if several cards have
it there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from tagger.core.reading.printed import Box, Spot

LEARNED_FROM = 2  # cards that agree
# numbers that stand at a second place of their cards too, and of how many cards that is so
TWICE, NEARLY_ALL = 3, 0.75
APART = (0.07, 0.03)  # of the card, across and down: as good as one place
AT_END = 0.03  # of the card, along the line: as good as one end
# More would agree no better, and each is compared with all others when one is learned.
MOST_CARDS = 8  # that are remembered of a set
TALLER = 1.4  # times as high as wide a card is: 3.5 x 2.5 in, common practice
# what is read around a place, beyond it: names and numbers have different lengths
MOST_MORE = 1.2  # times two parts that one part around both may be
ROOM_NUMBER, ROOM_NAME, ROOM_LINE = (0.08, 0.03), (0.12, 0.025), (0.06, 0.02)

# where numbers and names are looked for while their places are not known
RIM = {
    "front": (Box(0.0, 0.0, 1.0, 1.0),),
    "back": (
        Box(0.0, 0.0, 1.0, 0.22),
        Box(0.0, 0.84, 1.0, 1.0),
        Box(0.0, 0.22, 0.08, 0.84),
        Box(0.92, 0.22, 1.0, 0.84),
    ),
}
Parts = dict[str, tuple[Box, ...]]


@dataclass(frozen=True)
class CardPlaces:
    """Where a card that was read whole has what names it, on the straight card: the boxes of its
    number, of its name, and of what names its set. `last_lines` are what it says of its making,
    where it names its set as well; `dated`: a year that speaks for its set or against it; `number`:
    the card's own."""

    numbers: tuple[Spot, ...]
    names: tuple[Spot, ...]
    lines: tuple[Spot, ...] = ()
    last_lines: frozenset[str] = frozenset()
    dated: bool = True
    number: str = ""


@dataclass
class SetPlaces:
    """The places of one set, learned card by card."""

    _cards: dict[object, CardPlaces] = field(default_factory=dict)
    numbers: tuple[Spot, ...] = ()
    """Where the number stands: of some sets at one place on most cards, at another on inserts; of
    some on both sides. Empty while that is not known."""

    last_lines: frozenset[str] = frozenset()
    """What cards say of their making that name the set as well."""

    @property
    def dated(self) -> bool:
        """Whether a year was read on any of its cards."""
        return any(card.dated for card in self._cards.values())

    @property
    def cards(self) -> int:
        """How many cards were read whole."""
        return len(self._cards)

    def learn(self, key: object, card: CardPlaces) -> None:
        """One more card, or the same again."""
        if key in self._cards or len(self._cards) < MOST_CARDS:
            self._cards[key] = card
            said = Counter(line for card in self._cards.values() for line in card.last_lines)
            self.last_lines = frozenset(
                line for line, count in said.items() if count >= LEARNED_FROM
            )
            self.numbers = _agreed(list(self._cards.values()))

    def parts(self) -> Parts:
        """What is read of the next card; empty while the number's place is not known."""
        if not self.numbers:
            return {}
        spots = [_widened(spot, ROOM_NUMBER) for spot in self.numbers]
        cards = list(self._cards.values())
        for spot in _each_place([card.names for card in cards], len(cards)):
            spots.append(_from_edge_to_edge(_widened(spot, ROOM_NAME), _runs_up(spot.box)))
        for spot in _each_place([card.lines for card in cards], len(cards)):
            spots.append(_widened(spot, ROOM_LINE))
        return _by_side(spots)


def _agreed(cards: Sequence[CardPlaces]) -> tuple[Spot, ...]:
    """The places at which enough cards have their number, each card counted at one alone: by
    chance a number stands elsewhere too. Then those at which nearly all have it once more."""
    having = [card for card in cards if card.numbers]
    found = _at_one([card.numbers for card in having], len(cards))
    for place in _of_nearly_all(having):
        # Without these the place would move from one to the other with the next card that is
        # learned, and what was read at the first would count for nothing.
        if _near(place, found) is None:
            found.append(place)
    return tuple(found)


def _of_nearly_all(cards: Sequence[CardPlaces]) -> Iterator[Spot]:
    """The places of nearly all cards, and of several numbers: a card that lies in the tray twice
    has all numbers that are printed on it in one place."""
    spots = [card.numbers for card in cards]
    for spot in (spot for own in spots for spot in own):
        near = _those_near(spot, spots)
        different = {cards[at].number for at in near}
        if len(different) >= TWICE and len(near) >= NEARLY_ALL * len(cards):
            yield _around(list(near.values()))


def _at_one(cards: Sequence[tuple[Spot, ...]], count: int) -> list[Spot]:
    left, found = list(cards), list[Spot]()
    while left:
        best = max((_those_near(spot, left) for spots in left for spot in spots), key=len)
        # A quarter of the cards at least: where fewer agree the number stands there by chance.
        if len(best) < LEARNED_FROM or 4 * len(best) < count:
            break
        found.append(_around(list(best.values())))
        # Greedy, the place of most cards first: what is left has its number elsewhere, as inserts
        # do.
        left = [spots for at, spots in enumerate(left) if at not in best]
    return found


def _those_near(spot: Spot, cards: Sequence[tuple[Spot, ...]]) -> dict[int, Spot]:
    """By card the place that is the same, of those that have it."""
    near = ((at, _near(spot, spots)) for at, spots in enumerate(cards))
    return {at: there for at, there in near if there is not None}


def _each_place(cards: Sequence[tuple[Spot, ...]], count: int) -> list[Spot]:
    """All places of lines that at least half of the cards have."""
    found: list[Spot] = []
    for spots in cards:
        for spot in spots:
            near = [place for other in cards if (place := _on_line(spot, other)) is not None]
            if 2 * len(near) >= count and _on_line(spot, found) is None:
                found.append(_around(near))
    return found


def _on_line(spot: Spot, others: Iterable[Spot]) -> Spot | None:
    """The one of some lines that stands where a line stands; it may be longer or shorter."""
    (x, y), box = _middle(spot.box), spot.box
    for other in others:
        (u, v), there = _middle(other.box), other.box
        if other.side != spot.side:
            continue
        if _runs_up(box):
            level, beside = abs(u - x), min(box.bottom, there.bottom) - max(box.top, there.top)
        else:
            level, beside = abs(v - y), min(box.right, there.right) - max(box.left, there.left)
        if level < APART[1] and beside > 0:
            return other
    return None


def _near(spot: Spot, others: Iterable[Spot]) -> Spot | None:
    for other in others:
        if other.side == spot.side and _is_near(spot.box, other.box):
            return other
    return None


def _is_near(box: Box, other: Box) -> bool:
    """By their middles, or by the ends that numbers of any length begin or end at."""
    (x, y), (u, v) = _middle(box), _middle(other)
    across, down = abs(u - x), abs(v - y)
    if across < APART[0] and down < APART[1]:
        return True
    if _runs_up(box):
        return across < APART[1] and _have_end((box.top, box.bottom), (other.top, other.bottom))
    return down < APART[1] and _have_end((box.left, box.right), (other.left, other.right))


def _have_end(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return any(abs(a - b) < AT_END for a, b in zip(one, other, strict=True))


def _middle(box: Box) -> tuple[float, float]:
    return (box.left + box.right) / 2, (box.top + box.bottom) / 2


def _around(spots: Sequence[Spot]) -> Spot:
    boxes = [spot.box for spot in spots]
    return Spot(
        spots[0].side,
        Box(
            min(box.left for box in boxes), min(box.top for box in boxes),
            max(box.right for box in boxes), max(box.bottom for box in boxes),
        ),
    )  # fmt: skip


def _widened(spot: Spot, by: tuple[float, float]) -> Spot:
    box = spot.box
    more, higher = by if not _runs_up(box) else (by[1] * TALLER, by[0] / TALLER)
    return Spot(
        spot.side,
        Box(
            max(0.0, box.left - more), max(0.0, box.top - higher),
            min(1.0, box.right + more), min(1.0, box.bottom + higher),
        ),
    )  # fmt: skip


def _runs_up(box: Box) -> bool:
    """Whether a line runs up or down."""
    # Shares of the two sides are not of one length, so the height is brought to that of the width;
    # half as much again, since a number of one digit is higher than wide.
    return (box.bottom - box.top) * TALLER > 1.5 * (box.right - box.left)


def _from_edge_to_edge(spot: Spot, runs_up: bool) -> Spot:
    """The next name may be longer."""
    if runs_up:
        return Spot(spot.side, spot.box._replace(top=0.0, bottom=1.0))
    return Spot(spot.side, spot.box._replace(left=0.0, right=1.0))


def _by_side(spots: Iterable[Spot]) -> Parts:
    parts: dict[str, list[Box]] = {}
    for spot in spots:
        _add(parts.setdefault(spot.side, []), spot.box)
    return {side: tuple(boxes) for side, boxes in parts.items()}


def _add(boxes: list[Box], box: Box) -> None:
    """Add a part; those that lie over each other become one, unless that takes in much that is in
    neither: a number that runs up the rim beside a name would have a whole table read."""
    for at, other in enumerate(boxes):
        if _overlap(box, other) and _is_little_more(_both(box, other), box, other):
            del boxes[at]
            # Again from the beginning: the larger box may lie over one that neither of the two did.
            _add(boxes, _both(box, other))
            return
    boxes.append(box)


def _overlap(box: Box, other: Box) -> bool:
    return (
        min(box.right, other.right) > max(box.left, other.left)
        and min(box.bottom, other.bottom) > max(box.top, other.top)
    )  # fmt: skip


def _is_little_more(both: Box, box: Box, other: Box) -> bool:
    return _area(both) < MOST_MORE * (_area(box) + _area(other))


def _area(box: Box) -> float:
    return (box.right - box.left) * (box.bottom - box.top)


def _both(box: Box, other: Box) -> Box:
    return _around([Spot("", box), Spot("", other)]).box

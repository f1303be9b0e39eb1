"""Where the cards of a lot may have their numbers: the cards are sorted by the design of their
backs as they are measured, and a few of each design are compared in another process. Where its
backs are one picture, and where cards have none, the number is looked for on the fronts."""

from __future__ import annotations

from concurrent.futures import BrokenExecutor, CancelledError, Future
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.audit.number_place import NumberPlace, NumberSpot
from tagger.core.audit.poses import MARGIN, PoseRule
from tagger.core.model.arrangement import Arrangement, Pair

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tagger.core.audit.fingerprint import Fingerprint
    from tagger.core.audit.measured import Measured
    from tagger.core.model.pose import Pose
    from tagger.imaging.survey.sides import Side
    from tagger.imaging.survey.workers import Workers

STEPS = (1, 3, 5)  # cards of a design after which its place is looked for, the last time for good
SURE = 3  # cards with other fronts whose backs are one picture: no number is on these
AT_ONCE = 2  # designs that are looked at
ALIKE = 3.0  # the likeness above which sides are of one design; plain ones look much alike
MEMBERS = 3  # sides of a design that a new one is compared with


class Posed(NamedTuple):
    """A scan and how it is to be seen."""

    scan: str
    pose: Pose


class Compared(NamedTuple):
    """The sides of a card that is compared with others: no front where that says nothing new."""

    front: Posed | None
    back: Posed | None


class Found(NamedTuple):
    """The side that the number is on, and its likeliest places there."""

    side: str = "back"
    spots: tuple[NumberSpot, ...] = ()


NOTHING = Found()


def place_on(folder: Path, cards: Sequence[Compared]) -> Found:
    """Where the number is on cards of one design, read from the disk."""
    # It compares pictures and loads numpy, which the desk's own process does without.
    from tagger.errors import PictureError
    from tagger.imaging.survey.number_places import number_spots
    from tagger.imaging.survey.sides import one_picture

    try:
        backs = _sides(folder, [card.back for card in cards])
        fronts = [card.front for card in cards if card.front is not None]
        on_front = not backs or (len(fronts) >= SURE and one_picture(backs))
        found = number_spots(_sides(folder, fronts), "front") if on_front else ()
        if found or not backs:
            return Found("front", found)
        return Found("back", number_spots(backs, "back"))
    except PictureError:
        return NOTHING


def _sides(folder: Path, scans: Sequence[Posed | None]) -> list[Side]:
    from tagger.imaging.reading.small_print import LONG
    from tagger.imaging.scan.pictures import read_picture
    from tagger.imaging.survey.sides import Side

    box = (LONG, LONG)
    shown = [posed for posed in scans if posed is not None]
    return [Side.of(read_picture(folder, scan, box, pose=pose)) for scan, pose in shown]


class _Seen(NamedTuple):
    """A side that was measured."""

    posed: Posed
    look: Fingerprint
    straight: bool


@dataclass
class _Design:
    """Cards that look alike on `side`, in the order in which they came; those of them that are
    compared, what was asked about them last, and where their number may be."""

    number: int
    side: str
    looks: list[Fingerprint]
    straight: bool
    cards: list[Pair] = field(default_factory=list)
    fronts: list[Fingerprint] = field(default_factory=list)
    others: list[Compared] = field(default_factory=list)
    copies: list[Compared] = field(default_factory=list)
    asked: tuple[Compared, ...] = ()
    answer: Future[Found] | None = None
    found: Found = NOTHING
    told: int = 0  # how many of the cards know this

    def begun_anew(self) -> None:
        """Without its cards; how they look and where their number is stays known."""
        for kept in (self.cards, self.fronts, self.others, self.copies):
            kept.clear()
        self.asked, self.told, self.answer = (), 0, None

    def take(self, card: Pair, front: _Seen | None, back: _Seen | None) -> None:
        """A card is of this design."""
        self.cards.append(card)
        posed = back and back.posed
        # A copy of a card, or a parallel of it, has the same number: only others say where it is.
        if front is not None and any(front.look.may_show_the_same(one) for one in self.fronts):
            self.copies.append(Compared(None if back else front.posed, posed))
        elif len(self.others) < STEPS[-1]:
            self.others.append(Compared(front and front.posed, posed))
            self.fronts += [front.look] if front else []

    def to_ask(self, to_the_end: bool) -> tuple[Compared, ...]:
        """The cards that are to be compared now; `to_the_end`: no more will come, and those that
        there are must do."""
        if to_the_end:
            return tuple([*self.others, *self.copies][: STEPS[-1]])
        count = len(self.others)
        return tuple(self.others[: max((step for step in STEPS if step <= count), default=0)])


class DesignsOfCards:
    """The designs of a lot's cards. Called by one thread; never waits."""

    def __init__(self, folder: Path, workers: Workers) -> None:
        self._folder, self._workers = folder, workers
        self._designs: list[_Design] = []
        self._answers: dict[tuple[Compared, ...], Found] = {}
        self.begin(Arrangement())

    def begin(self, arrangement: Arrangement) -> None:
        """Sort the cards of this arrangement from now on; a design keeps its number."""
        for design in self._designs:
            design.begun_anew()
        self._rule = PoseRule(arrangement.mending, MARGIN)
        self._turns = dict(arrangement.mending.turns)
        self._cards = {scan: pair for pair in arrangement.pairs for scan in pair.scans}
        self._seen: dict[str, _Seen | None] = {}

    def learn(self, scan: str, measured: Measured) -> None:
        """A scan was measured. A card is sorted when all its scans are."""
        card = self._cards.get(scan)
        if card is None:
            return
        look = measured.turned(self._turns.get(scan, 0)).print
        posed = Posed(scan, self._rule.pose(scan, measured))
        straight = measured.corners is not None
        self._seen[scan] = None if look is None else _Seen(posed, look, straight)
        if all(scan in self._seen for scan in card.scans):
            front, back = (self._seen.get(scan) if scan else None for scan in card.sides)
            side, shown = ("front", front) if card.back is None else ("back", back)
            if shown is not None:
                self._design_of(side, shown).take(card, front, back)

    def _design_of(self, side: str, seen: _Seen) -> _Design:
        """The one that a side is of, a new one where it looks like none."""
        alike = [
            (max(likeness(seen.look, other) for other in design.looks), -design.number)
            for design in self._designs
            if (design.side, design.straight) == (side, seen.straight)
        ]
        best = max(alike, default=(0.0, 0))
        if best[0] > ALIKE:
            design = self._designs[-best[1]]
            if len(design.looks) < MEMBERS:
                design.looks.append(seen.look)
            return design
        made = _Design(len(self._designs), side, [seen.look], seen.straight)
        self._designs.append(made)
        return made

    def ask(self, to_the_end: bool = False) -> None:
        """Have the places looked for where enough cards have come since the last time; `to_the_end`
        also where no more will come."""
        for design in self._designs:
            cards = design.to_ask(to_the_end)
            # Few at a time: what the audit finds is waited for as well.
            new = len(cards) > len(design.asked) and design.answer is None
            if new and len(self.waiting()) < AT_ONCE:
                design.asked = cards
                if cards in self._answers:
                    design.found = self._answers[cards]
                else:
                    design.answer = self._workers.submit(place_on, self._folder, cards)

    def waiting(self) -> list[Future[Found]]:
        """What was asked and not answered yet."""
        return [design.answer for design in self._designs if design.answer is not None]

    def news(self) -> dict[str, NumberPlace]:
        """The places on scans that are new since the last time, by scan; without spots on the side
        that the number is not on."""
        news: dict[str, NumberPlace] = {}
        for design in self._designs:
            if design.answer is not None and design.answer.done():
                found, design.answer = _answered(design.answer), None
                self._answers[design.asked] = found
                if found != design.found:
                    design.found, design.told = found, 0
            if design.found.spots and design.told < len(design.cards):
                news.update(_places(design))
                design.told = len(design.cards)
        return news


def _places(design: _Design) -> dict[str, NumberPlace]:
    """What the cards of a design are to know that do not know it yet."""
    here = NumberPlace(design.number, design.found.spots)
    nowhere = NumberPlace(design.number, ())
    return {
        scan: here if side == design.found.side else nowhere
        for card in design.cards[design.told :]
        for side, scan in (("front", card.front), ("back", card.back))
        if scan is not None
    }


def _answered(answer: Future[Found]) -> Found:
    """What was found; nothing where the process died of it, or of other work beside it."""
    # The loupe can do without, and must not end the audit; more cards ask for it anew.
    try:
        return answer.result()
    except (BrokenExecutor, CancelledError):
        return NOTHING


def likeness(one: Fingerprint, other: Fingerprint) -> float:
    """The higher the rather two sides that lie the same way are of one design: as
    `perceptual_hash.alike_band`, without numpy."""
    pairs = zip(one.colours, other.colours, strict=True)
    tint = sum(abs(a - b) for a, b in pairs) / len(one.colours)
    return (100.0 - one.hamming_distance(other)) / 8 + (14.0 - tint) / 6

"""What was read on a card, and what it says of the rows of the checklists.

How a card is read is no matter of the rules: they are handed `Readings`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple, Protocol

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Card


class Box(NamedTuple):
    """A place on a side, as shares (0 to 1) of its upright scan: turned as the dealer said, else as
    it lies."""

    left: float
    top: float
    right: float
    bottom: float


NOWHERE = Box(0.0, 0.0, 0.0, 0.0)


class Spot(NamedTuple):
    """A place on a card: `front` or `back`, and where on it. `turn`: by how many degrees clockwise
    the upright scan must be turned for what stands there to run from left to right."""

    side: str
    box: Box
    turn: int = 0


@dataclass(frozen=True, slots=True)
class PrintedText:
    """One line of print: which side it is on, what it says, how sure that is (0 to 1), and where it
    stands. `others` are further readings of a short text with their confidences, the likeliest
    first. `on_card` is its place as shares of the straight card: cards of one design have theirs
    there, however they lay in the scanner. `turn` is as in `Spot`."""

    side: str
    text: str
    confidence: float
    box: Box
    others: tuple[tuple[str, float], ...] = ()
    on_card: Box = NOWHERE
    turn: int = 0

    @property
    def spot(self) -> Spot:
        """Where it stands on the scan."""
        return Spot(self.side, self.box, self.turn)

    @property
    def on_side(self) -> Spot:
        """Where it stands on the straight card."""
        return Spot(self.side, self.on_card)


@dataclass(frozen=True, slots=True)
class CardReading:
    """What was read on a card. `whole`: everywhere, and not only where names and numbers are looked
    for. `upside_down`: the sides that lie the wrong way up; None where there was too little to
    tell."""

    texts: tuple[PrintedText, ...] = ()
    whole: bool = False
    upside_down: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a reading says of the rows of an index, by step.

    `weights` are natural logarithms relative to a row that nothing speaks for; a row that is absent
    has 0. `alone` is the row that what was read names by itself: its number and its name, nothing
    against it, and no other row as well. Only that one may be called sure, whatever is carried;
    None where there is none. `number_at` and `name_at` are where the number and the name of the
    weightiest row were read, None where they were not."""

    weights: Mapping[int, float] = field(default_factory=dict)
    alone: int | None = None
    number_at: Spot | None = None
    name_at: Spot | None = None

    def best(self, least: float) -> int | None:
        """The row that stands out by itself, else the weightiest of at least so much; None where
        there is none."""
        if self.alone is not None or not self.weights:
            return self.alone
        # The first of rows that weigh the same, as `Weighing` has it.
        step = max(self.weights, key=lambda step: (self.weights[step], -step))
        return step if self.weights[step] >= least else None


NOTHING_READ = Evidence()
"""What a card says of which nothing could be read."""


class Readings(Protocol):
    """What was read of the cards of a lot so far. Both are asked with each key, and answer at
    once."""

    def of(self, card: Card) -> CardReading | None:
        """What was read on a card; None where it was not read yet."""

    def evidence_of(self, card: Card) -> Evidence | None:
        """What that says of the rows of the checklists as they are now; None where it was not read
        yet."""

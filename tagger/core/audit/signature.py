"""Whether a card looks like one that was tagged before: what is remembered of both its sides, and
what is near enough.

A proposal only: the dealer sees the card it was taken from. Cards of one design in two parallels
look the same here, so that parallel and condition never follow from a look, and a serial number
belongs to one card alone."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from tagger.core.audit.fingerprint import BITS, Fingerprint
from tagger.core.model.tags import Tags
from tagger.core.model.text import fold

# bytes of a side: its hash, 16 fields' lightness, two tints of four quarters
HASH, LIGHTS, TINTS = BITS // 8, 16, 8
SIDE_BYTES = HASH + LIGHTS + TINTS
CARD_BYTES = 8
LOOK_BYTES = 2 * SIDE_BYTES + CARD_BYTES  # front, back, and which card of a checklist it is

# bits of a hash that are, or are not, set at least; a side as even as that could be any other
FAINT = 20
FAR = 84  # bits: farther than that no front is looked at
# bits that a level of colour weighs; the numbers here were read off drawn sets
FRONT_TINT, BACK_TINT = 6.0, 10.0
NEAR = 108.0  # the most that both sides may be apart
NEAR_FRONT = 33.0  # the same, where only the fronts can be held together
SURE = 74.0
MARGIN = 12.0  # by which any other card must be farther, twice that to be sure
WIDE = NEAR + 2 * MARGIN  # bits: farther than that nothing has a say


@dataclass(frozen=True, slots=True)
class Signature:
    """Both sides of a card as they were measured; None where a side is missing or could not be."""

    front: Fingerprint | None
    back: Fingerprint | None

    def kept(self, set: str, number: str, subject: str = "") -> bytes:
        """What is kept of it, LOOK_BYTES long. The set and the number say which card it is, the
        subject where there is no number: so that two cards that look alike are told from two copies
        of one."""
        # The NUL keeps a subject that is `12` from being the number 12.
        which = "\0".join((fold(set), fold(number) or "\0" + fold(subject)))
        digest = hashlib.blake2b(
            which.encode("utf-8", "surrogatepass"), digest_size=CARD_BYTES
        ).digest()
        return kept_side(self.front) + kept_side(self.back) + digest


def says_enough(side: Fingerprint | None) -> bool:
    """Whether a side has anything on it to be known by: a blank one has not."""
    return side is not None and FAINT <= side.upright.bit_count() <= BITS - FAINT


def kept_side(side: Fingerprint | None) -> bytes:
    """A side in SIDE_BYTES: its hash; the lightness of its fields, (red + 2 green + blue) / 4; and
    for each quarter the halves of red - green and of blue - green, 128 for none. A side that could
    be any other is zeros, colours that no side has and that are far from all."""
    if side is None or not says_enough(side):
        return bytes(SIDE_BYTES)
    reds, greens, blues = (side.colours[at::3] for at in range(3))
    # Green counts twice, as it does to the eye; whole numbers, so that all machines agree.
    lights = bytes((r + 2 * g + b + 2) >> 2 for r, g, b in zip(reds, greens, blues, strict=True))
    return side.upright.to_bytes(HASH, "big") + lights + _tints(reds, greens, blues)


def _tints(reds: bytes, greens: bytes, blues: bytes) -> bytes:
    """How far red and blue are from green in each quarter, in halves."""
    tints = bytearray()
    for corner in (0, 2, 8, 10):  # of a quarter's four fields the first, in reading order
        fields = (corner, corner + 1, corner + 4, corner + 5)
        green = sum(greens[at] for at in fields)
        tints += bytes(
            128 + (sum(other[at] for at in fields) - green) // 8 for other in (reds, blues)
        )
    return bytes(tints)


class SignatureDistance(NamedTuple):
    """A known card beside the one in question: how many bits their sides are apart, and how many
    levels (0 to 255) their colours once they are equally light. `card` is the same for copies of
    one card. The back is None where one of the two has none."""

    key: int
    card: int
    front: int
    front_tint: float
    back: int | None = None
    back_tint: float = 0.0

    @property
    def distance(self) -> float:
        """All that is between the two, in bits."""
        return (
            self.front
            + (self.back or 0)
            + FRONT_TINT * self.front_tint
            + BACK_TINT * self.back_tint
        )

    @property
    def near(self) -> bool:
        """Whether it could be a copy of the same card."""
        return self.distance <= (NEAR_FRONT if self.back is None else NEAR)


@dataclass(frozen=True, slots=True)
class SignatureMatch:
    """The known card that a card looks like, and by how many of 256 bits their sides differ; None
    for a back that could not be compared. `sure`: nothing else comes near. Parallel and condition
    are not part of it."""

    key: int
    distance_front: int
    distance_back: int | None
    sure: bool


def choose(seen: Iterable[SignatureDistance]) -> SignatureMatch | None:
    """The nearest of the known cards, where it is near enough and no other card is nearly as near.

    `seen` holds all that might be near, in any order. Of two copies at the same distance the one
    with the lower key is taken."""
    # What was compared by both sides goes first: a front alone is near a card more easily.
    ordered: Sequence[SignatureDistance] = sorted(
        seen, key=lambda one: (one.back is None, one.distance, one.key)
    )
    first = next((one for one in ordered if one.near), None)
    if first is None:
        return None
    room = _nearest_other(first, ordered) - first.distance
    if room < MARGIN:
        return None
    return SignatureMatch(first.key, first.front, first.back, _is_sure(first, room))


def _is_sure(match: SignatureDistance, room: float) -> bool:
    """Whether nothing else can be meant; `room` is by how much any other card is farther."""
    return match.back is not None and match.distance <= SURE and room >= 2 * MARGIN


def _nearest_other(first: SignatureDistance, seen: Sequence[SignatureDistance]) -> float:
    """The distance of the nearest other card that was compared by the same sides."""
    # Copies of the same card are near each other, and no reason for doubt. Bits of one side and
    # of two are no measure for one another.
    others = [
        one.distance
        for one in seen
        if one.card != first.card and (one.back is None) == (first.back is None)
    ]
    return min(others, default=float("inf"))


class CardSides(NamedTuple):
    """Which card it is on this machine: the lot's folder and the scans of its sides, as they are
    named there."""

    folder: str
    front: str | None
    back: str | None


@dataclass(frozen=True, slots=True)
class KnownCard:
    """A card that was tagged: its scans, its lot's name, what it was named as, and its look
    (`Look.kept`). All text is as it was given, to be made printable where it is shown."""

    scans: CardSides
    lot: str
    set: str
    number: str
    subject: str
    team: str
    look: bytes

    def offered(self) -> Tags:
        """What a copy of it may be proposed as: its set, number, subject and team. Never its serial
        number, its condition or its place, and not its parallel, which a look does not show."""
        return Tags(set=self.set, number=self.number, subject=self.subject, team=self.team)


def known_card(scans: CardSides, lot: str, tags: Tags, look: Signature) -> KnownCard:
    """A tagged card as it is remembered."""
    kept = look.kept(tags.set, tags.number, tags.subject)
    return KnownCard(scans, lot, tags.set, tags.number, tags.subject, tags.team, kept)

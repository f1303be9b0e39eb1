"""Which cards lie in the feeder, in which order: the lot, which is also the truth to compare tags
with."""

from __future__ import annotations

import csv
import io
import random
from dataclasses import dataclass, replace

from tagger.demo.art.wear import EXCELLENT, NEAR_MINT, VERY_GOOD
from tagger.demo.sets.checklists import rows
from tagger.demo.sets.scenario import FERRY, HARBOR_85, HARBOR_87, KEEPERS, SQUALL, ListedCard

TRUTH_HEADER = (
    "position", "front", "back", "set", "number", "subject", "team", "parallel", "serial",
    "condition",
    "place", "note", "state", "price",
)  # fmt: skip

# Presorted as a dealer does it: by set, numbers rising, doubles together. A parallel stands behind
# a slash.
_TRAY = (
    (FERRY, "4, 9, 17, 17, 31, 48, 52, 66, 88, 88, 105, 117, 117a, 126/Tidewash"),
    (HARBOR_85, "12, 22, 23, 41, 77, 101"),
    (
        HARBOR_87,
        "3, 8, 22, 23, 23, 24, 31, 40/Silver, 47, 60, 60, 60, 71, 95/Gold, 96/Gold, 98/Gold, "
        "103/Gold, 107/Gold,"
        "112/Gold, 123, 123/Lamp Red, 124, 150, 166/Gold, 181",
    ),
    (SQUALL, "5, 14, 14, 27, 38/Neon, 55, 63, 89, 120, 131/Midnight, 152, 170, RC-1, RC-4, RC-9"),
    (KEEPERS, "LH-2, LH-3, LH-3/Foil, LH-11"),
)
_FIRST_PLACE, _SECOND_PLACE = "box 12, row 1", "box 12, row 2"
# The first row is full amid a set, so that the place changes while all else is carried on.
_FIRST_PLACE_CARDS = 36
_EXCELLENT_CARDS, _VERY_GOOD_CARDS = 7, 4


@dataclass(frozen=True)
class LotCard:
    """One physical card of the lot; ``position`` counts from 1 in the order of feeding."""

    position: int
    row: ListedCard
    parallel: str
    serial: str
    condition: str
    place: str

    @property
    def front(self) -> str:
        """The file name of the front's scan."""
        return scan_name(2 * self.position - 1)

    @property
    def back(self) -> str:
        """The file name of the back's scan."""
        return scan_name(2 * self.position)


def scan_name(number: int) -> str:
    """The file name the scanner gives its ``number``-th picture, counted from 1."""
    return f"scan_{number:04d}.jpg"


def demo_lot(seed: int) -> tuple[LotCard, ...]:
    """The cards in the order of feeding. The seed decides serial numbers and conditions."""
    known = {(row.set, row.number): row for row in rows()}
    cards: list[LotCard] = []
    for set_name, tray in _TRAY:
        for entry in tray.split(","):
            number, _, parallel = entry.strip().partition("/")
            position = len(cards) + 1
            place = _FIRST_PLACE if position <= _FIRST_PLACE_CARDS else _SECOND_PLACE
            row = known[set_name, number]
            cards.append(
                LotCard(
                    position,
                    row,
                    parallel,
                    _serial(seed, position, row, parallel),
                    NEAR_MINT,
                    place,
                )
            )
    return _graded(cards, random.Random(f"{seed} conditions"))


def _serial(seed: int, position: int, row: ListedCard, parallel: str) -> str:
    # By seed and position, not by one stream for all: one card more would change every serial.
    run = next((p.run for p in row.parallels if p.name == parallel), None)
    return f"{random.Random(f'{seed} serial {position}').randint(1, run)}/{run}" if run else ""


def _graded(cards: list[LotCard], rng: random.Random) -> tuple[LotCard, ...]:
    """The cards with a few less than Near Mint; numbered parallels were kept well."""
    plain = [card.position for card in cards if not card.serial]
    # Without repeats, so that exactly as many cards are worn whatever the seed is.
    worn = rng.sample(plain, _EXCELLENT_CARDS + _VERY_GOOD_CARDS)
    grade = dict.fromkeys(worn[:_EXCELLENT_CARDS], EXCELLENT)
    grade.update(dict.fromkeys(worn[_EXCELLENT_CARDS:], VERY_GOOD))
    return tuple(replace(card, condition=grade.get(card.position, NEAR_MINT)) for card in cards)


def truth_text(cards: tuple[LotCard, ...]) -> str:
    """The truth as CSV text: one row a card in the order of feeding, lines ended by CRLF."""
    out = io.StringIO()
    # As RFC 4180 has it (section 2.1).
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(TRUTH_HEADER)
    for card in cards:
        row = card.row
        writer.writerow(
            (
                card.position, card.front, card.back, row.set, row.number, row.subject, row.team,
                card.parallel, card.serial, card.condition, card.place, "", "tagged", row.price,
            )
        )  # fmt: skip
    return out.getvalue()

"""What is said of the feeding: slips, two slips near each other, and cards upside down.

Lots are put together out of the measured scans of one machine. Each card's sides were drawn and
measured once; only their order, and which way they lie, differ from lot to lot."""

from __future__ import annotations

import os
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from PIL import Image
from support.scanning.cards import HIGH, WIDE, Deck, Design
from support.scanning.lots import drawn, in_turn

from bench.common.aims import Measure, at_least, at_most
from bench.scans.good_lots import findings_on
from bench.scans.one_machine import Task
from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.measured import Measured
from tagger.core.feeding.order import Sides
from tagger.core.feeding.pairing import first_intake
from tagger.core.fixes.fix import Fix, apply_fix
from tagger.core.model.arrangement import Arrangement
from tagger.errors import Refused
from tagger.imaging.survey.measure_lot import measure_scan

FRONT, BACK = 0, 1
FAULTS = {"swap": (BACK, FRONT), "missing front": (BACK,), "missing back": (FRONT,)}
FORMS = ("1 to 3 sets", "sets of ten", "blank backs")
PAIRS = ("any two", "front, then back")
SLIPS = (FindingKind.SLIPPED, FindingKind.SWAPPED, FindingKind.NOT_TOGETHER)
BLANK = 2  # designs that are drawn with blank backs as well
DOWN = 0.04  # of the cards lie upside down
HEAD = ("scanner", *FORMS, *PAIRS, "upside down", "of clean lots")

Card = tuple[Measured, Measured]


@dataclass
class Fed:
    """Of each kind of lot how often it came out so: `right`, `asked`, `wrong`."""

    counts: dict[str, Counter[str]] = field(default_factory=dict)

    def add(self, other: Fed) -> None:
        """What another machine's lots say, too."""
        for kind, counts in other.counts.items():
            self.counts.setdefault(kind, Counter()).update(counts)

    def count(self, kind: str, outcome: str, times: int = 1) -> None:
        """One more lot."""
        self.counts.setdefault(kind, Counter())[outcome] += times

    def cell(self, kind: str) -> str:
        """`right+asked/all`, and how many were wrong."""
        counts = self.counts.get(kind, Counter())
        wrong = f" {counts['wrong']} wrong" if counts["wrong"] else ""
        return f"{counts['right']}+{counts['asked']}/{counts.total()}{wrong}"


def fed(task: Task) -> Fed:
    """The lots of one machine."""
    os.nice(10)
    sets = _sets(task)
    out = Fed()
    for number in range(task.effort.faults):
        for form in FORMS:
            for fault in FAULTS:
                rng = random.Random(f"{task.seed} {form} {fault} {number}")
                out.count(form, _outcome(*_lot(_cards(sets, form, rng), [(fault, 0)], rng)))
            rng = random.Random(f"{task.seed} {form} none {number}")
            cards = _cards(sets, form, rng)
            out.count("of clean lots", _outcome(*_lot(cards, [], rng)))
        for pair in PAIRS:
            rng = random.Random(f"{task.seed} {pair} {number}")
            cards = _cards(sets, rng.choice(FORMS[:2]), rng)
            out.count(pair, _outcome(*_lot(cards, _two(pair, rng), rng)))
        _upside_down(sets, random.Random(f"{task.seed} down {number}"), out)
    return out


def _sets(task: Task) -> list[tuple[Design, list[Card]]]:
    """The measured cards of each design; the last ones have blank backs."""
    blank = [replace(one, name=f"{one.name}, blank", back=_blank) for one in task.designs[:BLANK]]
    out = []
    for design in (*task.designs, *blank):
        folder = task.folder / design.name
        deck = Deck(design, task.seed)
        lot = drawn(folder, in_turn([0], task.effort.cards), [deck], task.machine, task.seed)
        sides = [measure_scan(folder, name) for name in lot]
        out.append((design, list(zip(sides[::2], sides[1::2], strict=True))))
    return out


def _blank(deck: random.Random, card: random.Random) -> Image.Image:
    shade = deck.randint(214, 246)
    return Image.new("RGB", (WIDE, HIGH), (shade, shade - 4, shade - deck.randint(6, 30)))


def _cards(sets: Sequence[tuple[Design, list[Card]]], form: str, rng: random.Random) -> list[Card]:
    """The cards of a lot."""
    few = [cards for _, cards in (sets[-BLANK:] if form == FORMS[2] else sets[:-BLANK])]
    if form == FORMS[1]:
        chosen = rng.sample(few, min(len(few), rng.randint(2, 6)))
        return [card for cards in chosen for card in rng.sample(cards, min(10, len(cards)))]
    return [card for cards in rng.sample(few, min(len(few), rng.randint(1, 3))) for card in cards]


def _two(pair: str, rng: random.Random) -> list[tuple[str, int]]:
    """Two faults and how many cards the second is behind the first."""
    if pair == PAIRS[0]:
        first, second = (rng.choice(list(FAULTS)) for _ in range(2))
        return [(first, 0), (second, rng.randint(1, 6))]
    return [("missing front", 0), ("missing back", rng.randint(1, 3))]


def _lot(
    cards: Sequence[Card], faults: Sequence[tuple[str, int]], rng: random.Random
) -> tuple[dict[str, Measured], list[Sides]]:
    """The scans of a lot with these faults in feeding order, and its cards as they should be."""
    last = max((gap for _, gap in faults), default=0)
    start = rng.randrange(2, len(cards) - 2 - last)
    at = {start + gap: fault for fault, gap in faults}
    known: dict[str, Measured] = {}
    truth: list[Sides] = []
    for number, card in enumerate(cards):
        sides: list[str | None] = [None, None]
        for side in FAULTS.get(at.get(number, ""), (FRONT, BACK)):
            name = f"scan_{len(known) + 1:04d}.jpg"
            # The same card may be in a lot of another round, but a file is there once.
            known[name] = replace(card[side], digest=name)
            sides[side] = name
        truth.append((sides[FRONT], sides[BACK]))
    return known, truth


def _outcome(known: dict[str, Measured], truth: list[Sides]) -> str:
    """`right`: all is right after what is certain, and nothing more is asked; `asked`: it is not
    done unasked; `wrong`: it is not right and nothing is asked, or is asked where all is right."""
    found = [one for one in findings_on(known) if one.kind in SLIPS]
    arrangement, _ = first_intake(list(known))
    certain = [fix for one in found if one.certain for fix in one.fixes]
    asked = [one for one in found if one.ask]
    right = _after(arrangement, certain) == truth
    if not asked:
        return "right" if right else "wrong"
    return "wrong" if right else "asked"


def _after(arrangement: Arrangement, fixes: Sequence[Fix]) -> list[Sides] | None:
    for fix in fixes:
        next_id = 1 + max(pair.id for pair in arrangement.pairs)
        try:
            arrangement, _ = apply_fix(arrangement, {}, fix, next_id)
        except Refused:
            return None
    return [pair.sides for pair in arrangement.pairs]


def _upside_down(sets: Sequence[tuple[Design, list[Card]]], rng: random.Random, out: Fed) -> None:
    """A lot in which some cards, both sides, lie upside down; each card counts."""
    chosen = rng.sample(sets[:-BLANK], min(len(sets) - BLANK, rng.randint(1, 3)))
    known: dict[str, Measured] = {}
    down: dict[str, bool] = {}
    topped: dict[str, bool] = {}
    for design, cards in chosen:
        for card in cards:
            turned = rng.random() < DOWN
            for side in card:
                name = f"scan_{len(known) + 1:04d}.jpg"
                known[name] = replace(side.turned(180 if turned else 0), digest=name)
                down[name], topped[name] = turned, design.top
    found = [one for one in findings_on(known) if one.kind is FindingKind.UPSIDE_DOWN]
    for name in list(known)[::2]:
        outcome = _said(name, found)
        if not down[name]:
            out.count("upright", outcome)
        elif topped[name]:
            out.count("upside down", {"none": "wrong", "certain": "right"}.get(outcome, outcome))


def _said(name: str, found: Sequence[Finding]) -> str:
    told = [one for one in found if name in one.scans]
    if not told:
        return "none"
    return "certain" if any(one.certain for one in told) else "asked"


def row(name: str, said: Fed) -> tuple[str, ...]:
    """One row of the table."""
    return (name, *map(said.cell, HEAD[1:]))


def lines(said: Fed) -> Iterator[Measure]:
    """The lines under the table, beside what is aimed at."""
    for form, least in zip(FORMS, (0.99, 0.95, 0.9), strict=True):
        counts = said.counts[form]
        good = counts["right"] + counts["asked"]
        yield at_least(f"one slip, right or asked: {form}", good, counts.total(), least)
    for pair in PAIRS:
        counts = said.counts[pair]
        yield at_most(f"two slips, wrong unasked: {pair}", counts["wrong"], counts.total(), 0.03)
    clean = said.counts["of clean lots"]
    yield at_most("a slip in a clean lot", clean["wrong"], clean.total(), 0.01)
    down, up = said.counts["upside down"], said.counts["upright"]
    yield at_least("upside down: found", down.total() - down["wrong"], down.total(), 0.95)
    yield at_most("  false, of upright cards", up["asked"] + up["certain"], up.total(), 0.003)
    yield at_most("  false and said as certain", up["certain"], up.total(), 0.0005)

"""Findings from what was read on cards: sides whose print stands upside down, and cards that say
another year than the set that they are tagged as."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.fixes.display import Turn
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.core.reading.sets_read import PrintedSet, years_made

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Arrangement, Pair
    from tagger.core.model.tags import Mark
    from tagger.core.reading.printed import CardReading

ReadingOf = Callable[["Pair"], "CardReading | None"]
SIDES = ("front", "back")


def print_findings(
    arrangement: Arrangement,
    mark_of: Callable[[int], Mark],
    reading_of: ReadingOf,
    known: Iterable[Finding] = (),
) -> list[Finding]:
    """What was read that should be looked at; `mark_of` gives the mark of a card by its identity,
    `known` are findings by measuring, which are not told again. What was accepted is left out."""
    read = [(at, pair, reading_of(pair)) for at, pair in enumerate(arrangement.pairs, start=1)]
    there = [(at, pair, reading) for at, pair, reading in read if reading is not None]
    over = {scan for one in known if one.kind is FindingKind.UPSIDE_DOWN for scan in one.scans}
    found = [*_upside_down(there, over), *_other_years(mark_of, there)]
    accepted = arrangement.mending.accepted
    return [one for one in found if one.key not in accepted]


Read = Sequence[tuple[int, "Pair", "CardReading"]]


def _upside_down(read: Read, known: set[str]) -> Iterator[Finding]:
    """One finding for each run of fronts or backs."""
    for at, side in enumerate(SIDES):
        down = [
            (position, scan)
            for position, pair, reading in read
            if side in (reading.upside_down or ()) and (scan := pair.sides[at]) is not None
            if scan not in known
        ]
        for _, run in groupby(enumerate(down), key=lambda item: item[1][0] - item[0]):
            yield _turned(side, [item for _, item in run])


def _turned(side: str, run: Sequence[tuple[int, str]]) -> Finding:
    scans = tuple(scan for _, scan in run)
    first, last = run[0][0], run[-1][0]
    subject = f"{side} of card {first} is"
    if first != last:
        subject = f"{side}s of cards {first} to {last} are"
    return Finding(
        FindingKind.UPSIDE_DOWN, scans, first, f"{subject} upside down, by the print on it",
        "Rotate 180°.", (Turn(scans, 180),),
    )  # fmt: skip


def _other_years(mark_of: Callable[[int], Mark], read: Read) -> Iterator[Finding]:
    """One question for each set and year."""
    cards: dict[tuple[str, int], list[tuple[int, Pair]]] = defaultdict(list)
    for position, pair, reading in read:
        mark = mark_of(pair.id)
        if mark.in_stock:
            listed, made = PrintedSet.of(mark.tags.set).years, years_made(reading)
            # a card with two years says nothing
            if listed and len(made) == 1 and not listed & made:
                cards[mark.tags.set, min(made)].append((position, pair))
    for (name, year), those in cards.items():
        yield _question(name, year, those)


def _question(name: str, year: int, those: Sequence[tuple[int, Pair]]) -> Finding:
    (first, pair), shown = those[0], printable(name, 60)
    detail = f"card {first} is tagged {shown}, and the card says © {year}"
    if len(those) > 1:
        detail = (
            f"{counted(len(those), 'card')} are tagged {shown} and say © {year}, starting with "
            f"card {first}"
        )
    remedy = (
        "Check the set; some are printed the year before. If another set is meant, tag the cards "
        "again."
    )
    return Finding(FindingKind.OTHER_YEAR, pair.scans, first, detail, remedy, ask=True)

"""A lot of two sets as it lies in the hand, drawn from a seed: what each card is, and what its
dealer does with it."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from enum import Enum

from support.drawn import Truth, presorted, set_rows

SETS = ("1987 Harbor Light", "1991 Ferry Lines")
PARALLELS = "Gold /99; Silver; Blue /25"
RUNS = {"Gold": 99, "Blue": 25}
REASONS = {
    "d": "damaged",
    "v": "worth a closer look",
    "?": "which parallel?",
    "soft corner": "soft corner",
}
SHORT = {"Near Mint": "nm", "Excellent": "ex", "Very Good": "vg"}


class Way(Enum):
    """How a card is done the first time that it is seen."""

    PLAIN = "typed and taken"
    SLIP = "its name mistyped, taken while the panel is unsure"
    ASIDE = "set aside"
    UNLISTED = "in no checklist"


@dataclass(frozen=True)
class Dealt:
    """One card in the hand. `serial` is `12/99`; `word` is typed as the reason, or as the name of
    an unlisted one."""

    row: Truth
    parallel: str = ""
    serial: str = ""
    condition: str = "Near Mint"
    way: Way = Way.PLAIN
    word: str = ""


def rows(seed: int) -> list[Truth]:
    """The checklist: two sets of 400 cards."""
    return [row for at, name in enumerate(SETS) for row in set_rows(name, 400, seed=seed * 2 + at)]


def deal(seed: int, cards: int, silver: range, gold: range) -> list[Dealt]:
    """A presorted lot. The positions of `silver` and `gold` are stretches of that parallel; one
    card of the gold ones and the one behind it have the same serial number, which of one of them
    was misread."""
    source = random.Random(seed)
    listed = rows(seed)
    first = cards * 11 // 20
    tray = [
        *presorted(listed[:400], first, seed),
        *presorted(listed[400:], cards - first, seed + 1),
    ]
    used: set[tuple[Truth, str, str]] = set()
    lot = []
    for at, row in enumerate(tray, start=1):
        parallel = "Silver" if at in silver else "Gold" if at in gold else ""
        if source.random() < 0.12:
            parallel = source.choice(("", "Gold", "Blue", "Silver"))
        serial = ""
        while parallel in RUNS and (not serial or (row, parallel, serial) in used):
            serial = f"{source.randint(1, RUNS[parallel])}/{RUNS[parallel]}"
        used.add((row, parallel, serial))
        condition = source.choices(tuple(SHORT), (85, 10, 5))[0]
        way, word = source.choices(tuple(Way), (86, 4, 6, 4))[0], ""
        if way is Way.ASIDE:
            word = source.choice(tuple(REASONS))
        if way is Way.UNLISTED:
            word = (
                f"P{at} {source.choice(('zora', 'ully', 'quim'))} "
                f"{source.choice(('oakes', 'thill', 'yarrow'))}"
            )
            parallel = serial = ""
        lot.append(Dealt(row, parallel, serial, condition, way, word))
    doubles = [at for at in gold[1:-1] if lot[at].row == lot[at - 1].row]
    twice = source.choice(doubles or gold[1:-1])
    lot[twice - 1] = replace(lot[twice - 1], parallel="Gold", serial="77/99", way=Way.PLAIN)
    lot[twice] = lot[twice - 1]
    return lot

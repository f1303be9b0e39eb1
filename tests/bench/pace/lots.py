"""Lots for counting keys: what the cards in the hand say, their checklists, and pictures that only
fill the screen."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from support import alike_lots
from support.card_sets import Drawn
from support.drawn import Truth, draw_scans, set_rows

SETS = ("1987 Harbor Light", "1991 Copper Gate", "1988 Slate", "1994 Tidewater", "1990 Northway")
SIZES = (100, 250, 400, 180, 320)  # cards in each of them
PARALLELS = (("Gold", 99), ("Silver", 0), ("Blue Wave", 25), ("Emerald", 0))  # 0: not numbered
DOUBLES, IN_PARALLEL, STRETCH = 0.22, 0.10, 10
USUAL, WORSE = "Near Mint", ("Excellent", "Very Good")
TAGS = ("set", "number", "subject", "parallel", "serial", "condition", "note", "place")
GRADED_DOWN = 0.04  # of the cards are worse than the usual (our own estimate, no source)


@dataclass(frozen=True)
class Card:
    """A card in the hand. `stretch`: the cards after it, as far as the divider in the tray, are of
    its parallel too."""

    set: str
    number: str
    subject: str
    parallel: str = ""
    serial: str = ""
    condition: str = USUAL
    stretch: bool = False
    note: str = ""
    place: str = ""
    first: Card | None = None
    """As which it is tagged at first, to be corrected at once; None where it is tagged rightly."""

    @property
    def tags(self) -> tuple[str, ...]:
        """What is held against the export, see `TAGS`."""
        return tuple(getattr(self, name) for name in TAGS)


@dataclass(frozen=True)
class Lot:
    """Cards in feeding order, and the keys a card that are aimed at (None: only told). `known`: the
    cards of a lot of the same sets that was tagged on this machine before; where there are none,
    the pictures only fill the screen."""

    name: str
    cards: tuple[Card, ...]
    aim: float | None
    known: tuple[Card, ...] = ()
    listed: bool = True
    """Whether there are checklists of its sets."""


def checklists() -> list[list[Truth]]:
    """The five sets."""
    return [
        set_rows(name, size, seed)
        for seed, (name, size) in enumerate(zip(SETS, SIZES, strict=True), 31)
    ]


def checklist_text(rows: list[Truth]) -> str:
    """One set as a checklist file."""
    listed = "; ".join(f"{name} /{run}" if run else name for name, run in PARALLELS)
    return "set,number,subject,team,parallels\n" + "".join(
        f"{row.set},{row.number},{row.subject},{row.team},{listed}\n" for row in rows
    )


def lots(cards: int, seed: int) -> list[Lot]:
    """The lots that are tagged, so many cards each."""
    sets = checklists()
    kinds = {
        "presorted": lambda seed: _presorted(sets[:3], cards, random.Random(f"presorted {seed}")),
        "shuffled": lambda seed: _shuffled(sets[4], cards, random.Random(f"shuffled {seed}")),
        "mixed of five sets": lambda seed: _mixed(sets, cards, random.Random(f"mixed {seed}")),
    }
    aims = {"presorted": 1.7, "shuffled": 3.4, "mixed of five sets": 4.5}
    seen = {"presorted": 1.3, "shuffled": 1.5, "mixed of five sets": 3.1}
    return [
        *(Lot(name, made(seed), aims[name]) for name, made in kinds.items()),
        Lot("no list", _unlisted(cards, random.Random(f"no list {seed}")), 8.0, listed=False),
        Lot(
            "shuffled, with parallels",
            _scattered(sets[4], cards, random.Random(f"scattered {seed}")),
            None,
        ),
        *(
            Lot(
                f"{name}, look-alikes",
                made(seed),
                seen[name],
                made(f"{seed} before"),
            )
            for name, made in kinds.items()
        ),
    ]


UNLISTED_SETS = ("Quarrystone", "Old Ferry")  # of which no checklist exists
PLAYERS = 0.33  # different names for each card of a lot without a checklist
_PARTS = ("an", "bel", "cor", "dri", "fen", "gos", "hul", "ima", "jor", "kve", "lom", "nar", "osk")


def _unlisted(cards: int, rng: random.Random) -> tuple[Card, ...]:
    """Presorted cards of two sets with the same players, whose names are of another making than
    those of the checklists."""

    def word() -> str:
        return "".join(rng.sample(_PARTS, rng.choice((1, 2, 2, 3)))).capitalize()

    players = list(dict.fromkeys(f"{word()} {word()}" for _ in range(round(cards * PLAYERS))))
    tray: list[Card] = []
    for name in UNLISTED_SETS:
        rows = [Truth(name, str(at), rng.choice(players), "") for at in range(1, cards + 1)]
        tray += [_card(row, rng) for row in _ascending(rows, cards // 2, rng)]
    return tuple(tray)


def draw(folder: Path, cards: Sequence[Card], pictured: bool) -> None:
    """A lot's scans: copies of the cards' designs, 150 dpi, or else too small to be read: the
    typist has the cards."""
    if not pictured:
        draw_scans(folder, len(cards), size=(50, 70))
        return
    designs: dict[tuple[str, str], Drawn] = {}
    for name, size in zip(SETS, SIZES, strict=True):
        wanted = {card.number for card in cards if card.set == name}
        for at, design in enumerate(alike_lots.designs(name, size) if wanted else (), start=1):
            if str(at) in wanted:
                designs[name, str(at)] = design
    alike_lots.draw(folder, [designs[card.set, card.number] for card in cards], str(folder.name))


def _presorted(sets: list[list[Truth]], cards: int, rng: random.Random) -> tuple[Card, ...]:
    """One set after the other; in each the base cards, then stretches of parallels, each
    ascending."""
    tray: list[Card] = []
    kinds = list(PARALLELS)
    for at, rows in enumerate(sets):
        share = cards * (at + 1) // len(sets) - cards * at // len(sets)
        special = round(share * IN_PARALLEL)
        tray += [_card(row, rng) for row in _ascending(rows, share - special, rng)]
        while special > 0:
            length = special if special < STRETCH * 3 // 2 else STRETCH
            parallel = kinds[0]
            kinds = [*kinds[1:], parallel]
            part = [
                _as_parallel(_card(row, rng), parallel, rng)
                for row in _ascending(rows, length, rng, apart=8)
            ]
            tray += [replace(card, stretch=True) for card in part]
            special -= length
    return tuple(tray)


def _ascending(rows: list[Truth], count: int, rng: random.Random, apart: int = 1) -> list[Truth]:
    """Doubles and steps as `drawn.presorted` has them, steps `apart` times as long; over again at
    the set's end."""
    found, at = [], rng.randrange(3)
    for _ in range(count):
        found.append(rows[at % len(rows)])
        if rng.random() >= DOUBLES:
            at += rng.choices((1, 2, 3, 4), (70, 15, 10, 5))[0] + rng.randrange(apart)
    return found


def _shuffled(rows: list[Truth], cards: int, rng: random.Random) -> tuple[Card, ...]:
    """Different cards of one set in any order, with doubles anywhere."""
    once = rng.sample(rows, min(len(rows), round(cards * (1 - DOUBLES))))
    tray = [*once, *(rng.choice(once) for _ in range(cards - len(once)))]
    rng.shuffle(tray)
    return tuple(_card(row, rng) for row in tray)


def _mixed(sets: list[list[Truth]], cards: int, rng: random.Random) -> tuple[Card, ...]:
    return tuple(_card(rng.choice(rng.choice(sets)), rng) for _ in range(cards))


def _scattered(rows: list[Truth], cards: int, rng: random.Random) -> tuple[Card, ...]:
    return tuple(
        _as_parallel(card, rng.choice(PARALLELS), rng) if rng.random() < IN_PARALLEL else card
        for card in _shuffled(rows, cards, rng)
    )


def _card(row: Truth, rng: random.Random) -> Card:
    condition = rng.choice(WORSE) if rng.random() < GRADED_DOWN else USUAL
    return Card(row.set, row.number, row.subject, condition=condition)


def _as_parallel(card: Card, parallel: tuple[str, int], rng: random.Random) -> Card:
    name, run = parallel
    return replace(card, parallel=name, serial=f"{rng.randint(1, run)}/{run}" if run else "")

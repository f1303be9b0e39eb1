"""The invented world of these lists, and what each file means: its cards, made with the file."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field, replace

FIRST = (
    ["Orla", "Ivo", "Bram", "Tess", "Odo", "Lenka", "Piet", "Runa", "Hal", "Wilma", "Jory",
     "Nadia", "Cade", "Elke", "Tomas", "Brisa", "Kofi", "Maren", "Ludo", "Sanne", "Arvo",
     "Gwen", "Ilse", "Dario", "Petra", "Yusuf", "Mika", "Noor", "Axel", "Bodil", "Ciro",
     "Delia", "Ewan", "Fenna", "Gus", "Hedda", "Imre", "Jona", "Kester", "Livia"]
)  # fmt: skip
LAST = (
    ["Marrick", "Tolvane", "Ostrand", "Quillby", "Fennimore", "Brackwater", "Dunmore",
     "Sellick", "Harrowgate", "Pennavar", "Lindqvast", "Corvane", "Ashdell", "Wexcombe",
     "Torvik", "Bellancourt", "Grimsholt", "Vantongeren", "Okarie", "Maddersley", "Hollowick",
     "Strandby", "Iverness", "Caldwen", "Rooksby", "Zellander", "Thornquay", "Umberly",
     "Pellicane", "Drayborne", "Eastermark", "Galvorn", "Kestrelli", "Norrowby", "Saltmere",
     "Windlow"]
)  # fmt: skip
HARD = (
    ["Séan O'Farrowby", "Bjørn Åskvist", "J.R. Maddox-Pell", "Tiago da Costavela",
     "Lars Tolvane Jr.", "Mc Kellwick", "D'Arnaux Vell", "Zoë van der Hollen", "José Núñezar",
     "Wim 't Hoenderik", "Ike Dunmore III", "Anneliese von Trautstein"]
)  # fmt: skip
TEAMA = (
    ["Harbor", "Ember", "Northgate", "Saltmarsh", "Pinecrest", "Ironbridge", "Larkhill",
     "Foxhollow", "Greywater", "Millbrook", "Sundale", "Stormport"]
)  # fmt: skip
TEAMB = (
    ["Gulls", "Owls", "Comets", "Foundrymen", "Herons", "Rovers", "Lanterns", "Badgers",
     "Sailors", "Kites", "Wolves", "Anchors"]
)  # fmt: skip
SETA = (
    ["Harbor", "Prism", "Velvet", "Copper", "Meridian", "Lantern", "Polar", "Summit", "Orchard",
     "Cobalt", "Timber", "Mirage"]
)  # fmt: skip
SETB = (
    ["Light", "Series", "Stars", "Gallery", "Classics", "Edge", "Vision", "League", "Cards",
     "Premier", "Line", "Signals"]
)  # fmt: skip
COL = (
    ["Gold", "Red", "Silver", "Blue", "Green", "Orange", "Black", "Purple", "Emerald", "Ruby",
     "Sapphire", "Bronze"]
)  # fmt: skip


@dataclass(frozen=True)
class Row:
    """A card; `pars`: its parallels, each with its print run or None."""

    set: str
    number: str
    name: str
    team: str = ""
    pars: tuple[tuple[str, int | None], ...] = ()
    price: float | None = None
    subset: str = ""


@dataclass
class File:
    """A list: `rows` are its cards, `also` other right readings; `must_tell`: whether it is
    damaged, so that it is right only where something is told; `loose`: facts not judged."""

    name: str
    data: bytes
    rows: list[Row]
    must_tell: bool = False
    loose: dict[str, int] = field(default_factory=dict)
    also: list[list[Row]] = field(default_factory=list)


class World:
    """Names, teams, sets and cards by a seed."""

    def __init__(self, seed: str) -> None:
        self.r = random.Random(seed)
        self.names = [f"{first} {last}" for first in FIRST for last in LAST]
        self.r.shuffle(self.names)
        self._taken = 0

    def name(self, hard: bool = True) -> str:
        """A name that no other card has; one of eight is hard to read, and may come again."""
        if hard and self.r.random() < 0.12:
            return self.r.choice(HARD)
        self._taken += 1
        return self.names[self._taken]

    def teams(self, count: int = 6) -> list[str]:
        found: list[str] = []
        while len(found) < count:
            team = f"{self.r.choice(TEAMA)} {self.r.choice(TEAMB)}"
            if team not in found:
                found.append(team)
        return found

    def set(self, year: int = 0, y: bool = True) -> str:
        """The name of a set; `y`: with its year."""
        year = year or self.r.randint(1961, 2023)
        name = f"{self.r.choice(SETA)} {self.r.choice(SETB)}"
        return f"{year} {name}" if y else name

    def cols(self, count: int) -> list[str]:
        """Names of parallels."""
        return self.r.sample(COL, count)

    def price(self) -> float:
        return self.r.choice([0.1, 0.15, 0.2, 0.25, 0.5, 0.75, 1, 1.5, 2, 3.25, 4, 12, 18.5])

    def cards(
        self,
        count: int,
        set: str,
        start: int = 1,
        fmt: str = "{}",
        team: bool = True,
        price: bool = False,
        subset: str = "",
        pars: tuple[tuple[str, int | None], ...] = (),
        ascii: bool = False,
    ) -> list[Row]:
        """Cards of a set; `fmt` has their numbers, `ascii` leaves hard names out."""
        teams = self.teams()
        return [
            Row(
                set,
                fmt.format(number),
                self.name(hard=not ascii),
                self.r.choice(teams) if team else "",
                tuple(pars),
                self.price() if price else None,
                subset,
            )
            for number in range(start, start + count)
        ]


Maker = Callable[[World], File]
SHAPES: dict[str, Maker] = {}


def shape(maker: Maker) -> Maker:
    """Note a shape by its name."""
    SHAPES[maker.__name__] = maker
    return maker


def of_money(amount: float | None) -> str:
    return "" if amount is None else f"{amount:.2f}"


def with_each(rows: list[Row], **facts: object) -> list[Row]:
    """The cards with facts that all of them have."""
    return [replace(row, **facts) for row in rows]  # type: ignore[arg-type]

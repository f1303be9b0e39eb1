"""Invented cards, and what a list of them is: bytes under a file name, with the truth."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

Said = str | tuple[str, ...]
ANY = "*"
"""What the file has lost: any reading will do, but the damage must be told."""


@dataclass(frozen=True)
class Card:
    """One card as its list says it; a tuple has what a dealer would accept, the plainest first."""

    set: Said
    number: Said
    subject: Said
    team: Said = ""
    subset: Said = ""
    parallels: tuple[str, ...] = ()
    """Each with its print run: `Gold /50`."""
    price: Said = ""
    alias: Said = ""
    prices: tuple[tuple[str, str], ...] = ()
    """Prices of single parallels."""


@dataclass(frozen=True)
class Made:
    """A list file; `tells`: words of which one must be told, for what cannot be read."""

    name: str
    data: bytes
    cards: tuple[Card, ...]
    tells: tuple[str, ...] = ()
    convert: str = ""
    """The form that LibreOffice makes of it before it is read: `xlsx`, `ods`."""


Maker = Callable[["World"], Made]
MAKERS: dict[str, Maker] = {}
LATER: dict[str, Maker] = {}
"""Makers of the second round, written after the reader was changed for the first."""


def making(maker: Maker) -> Maker:
    """Enter the maker by its name."""
    assert maker.__name__ not in MAKERS
    MAKERS[maker.__name__] = maker
    return maker


FIRST = [
    "Orla", "Bram", "Tavi", "Nessa", "Jorik", "Pell", "Mirka", "Odo", "Sunniva", "Ilse",
    "Gideon", "Yorick", "Ansel", "Thea", "Corwin", "Brisa", "Dunstan", "Fenna", "Hob", "Wenda",
    "Lucan", "Petra", "Zeno", "Maeve", "Ruford", "Isolde", "Kasper", "Linnet",
]  # fmt: skip
LAST = [
    "Quillan", "Brenholt", "Tarrow", "Maddersby", "Okenfell", "Vastrel", "Windlass", "Ferncot",
    "Hobbleday", "Larkmoor", "Penhallick", "Stroud", "Gatterby", "O'Dell", "Ashgrove",
    "Yarrowden", "Mossop", "Kettlewick", "Drumgold", "Sallow", "Crake", "Umberfold",
    "Nettlecombe",
]  # fmt: skip
ACCENTED = [
    "José Peñalva",
    "Zoë Müllrose",
    "André Lefèvrac",
    "Bjørn Åskild",
    "Çelik Özdaman",
    "Jiří Novosadek",
]
PLACES = ["Harbor", "Ember", "Quarry", "Lantern", "Copper", "Saltmarsh", "Windmill", "Juniper"]
BEASTS = ["Herons", "Otters", "Badgers", "Kestrels", "Foxes", "Mariners", "Rooks", "Lynxes"]
SETS = ["Tidewater", "Lantern Hill", "Old Orchard", "Night Ferry", "Stone Bridge", "Amber Coast"]


@dataclass
class World:
    """Draws cards at random, the same for the same seed."""

    seed: str
    random: random.Random = field(init=False)

    def __post_init__(self) -> None:
        self.random = random.Random(self.seed)

    def people(self, count: int) -> list[str]:
        """Different names."""
        pairs = [f"{first} {last}" for first in FIRST for last in LAST]
        return self.random.sample(pairs, count)

    def teams(self, count: int) -> list[str]:
        """Different teams."""
        pairs = [f"{place} {beast}" for place in PLACES for beast in BEASTS]
        return self.random.sample(pairs, count)

    def set_name(self, year: int | None = None) -> str:
        """A set with its year."""
        return f"{year or self.random.randint(1952, 2021)} {self.random.choice(SETS)}"

    def price(self) -> str:
        """A price with two places."""
        return f"{self.random.choice([15, 25, 40, 75, 125, 350, 900, 2250]) / 100:.2f}"

    def cards(self, count: int, of: str | None = None, start: int = 1, **more: Said) -> list[Card]:
        """Cards numbered from `start` of one set; `more` is said of all of them."""
        name = of if of is not None else self.set_name()
        teams = self.teams(min(6, count))
        made = [
            Card(name, str(number), who, team=self.random.choice(teams), price=self.price())
            for number, who in enumerate(self.people(count), start)
        ]
        return without(made, **more)


def plain(said: Said) -> str:
    """What of it is written: the plainest."""
    return said if isinstance(said, str) else said[0]


def without(cards: Sequence[Card], **more: Said) -> list[Card]:
    """The cards, each with other values; `team=""` leaves the teams away."""
    return [replace(card, **more) for card in cards]  # type: ignore[arg-type]


def bare(cards: Sequence[Card]) -> list[Card]:
    """Only set, number and subject."""
    return without(cards, team="", price="")


def value(card: Card, name: str) -> str:
    """A cell of a field; parallels by semicolons; an unknown field is an empty cell."""
    if name == "parallels":
        return "; ".join(card.parallels)
    return plain(getattr(card, name, ""))


def grid(cards: Sequence[Card], heads: Sequence[str], fields: str) -> list[list[str]]:
    """A table with a line of headings."""
    return [list(heads), *[[value(card, name) for name in fields.split()] for card in cards]]

"""The card makers of the demo, their sets, and what a checklist lists."""

from __future__ import annotations

from dataclasses import dataclass

# The sport's own marks, on every back in this order.
STATS = ("G", "HL", "TW", "BUOY", "PCT")  # games, hauls, tows, buoys rounded, share of casts hauled

HARBOR_87 = "1987 Harbor Light"
HARBOR_85 = "1985 Harbor Light"
KEEPERS = "1987 Harbor Light Keepers"
SQUALL = "1992 Squall Line"
FERRY = "1974 Penny Ferry"


@dataclass(frozen=True)
class CardSet:
    """A set of cards: who made it, which design its cards have, and where its checklist is.

    ``number_pt`` is the size in points of the card number on the back.
    """

    name: str
    year: int
    maker: str
    design: str
    number_pt: float
    file: str


@dataclass(frozen=True)
class ListedParallel:
    """A variant of a card; ``run`` is how many were made, None where they are not numbered."""

    name: str
    run: int | None = None

    def written(self) -> str:
        """The parallel as a checklist has it: ``Gold /50`` or ``Silver``."""
        return f"{self.name} /{self.run}" if self.run else self.name


@dataclass(frozen=True)
class ListedCard:
    """One line of a checklist. ``price`` is empty where its set has none."""

    set: str
    number: str
    subject: str
    team: str
    parallels: tuple[ListedParallel, ...] = ()
    price: str = ""


SETS = (
    CardSet(FERRY, 1974, "Penny Ferry Sweet Co., Low Ness", "ferry", 9.0, "1974 Penny Ferry.txt"),
    CardSet(HARBOR_85, 1985, "Lantern Card Works", "pennant", 8.0, "1985 Harbor Light.txt"),
    CardSet(HARBOR_87, 1987, "Lantern Card Works", "boards", 8.0, "1987 Harbor Light.csv"),
    CardSet(SQUALL, 1992, "Kettle & Rook Printing", "squall", 7.5, "1992 Squall Line.csv"),
    CardSet(KEEPERS, 1987, "Lantern Card Works", "keepers", 7.0, "1987 Harbor Light.csv"),
)


def set_named(name: str) -> CardSet:
    """The set of that name. Raises KeyError where there is none."""
    for card_set in SETS:
        if card_set.name == name:
            return card_set
    raise KeyError(name)

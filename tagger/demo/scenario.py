"""The invented world of the demo: the sport of quayball, its clubs, its card makers and their sets.

Quayball is played on a timbered court beside the water, with a cork ball and a hooked stick, the
gaff."""

from __future__ import annotations

from dataclasses import dataclass

from tagger.demo.brush import Colour

POSITIONS = (
    "Helm",
    "Lookout",
    "Anchor",
    "Port Wing",
    "Starboard Wing",
    "Stoker",
    "Bosun",
    "Gaffer",
)
STATS = ("G", "HL", "TW", "BUOY", "PCT")  # games, hauls, tows, buoys rounded, share of casts hauled

HARBOR_87 = "1987 Harbor Light"
HARBOR_85 = "1985 Harbor Light"
KEEPERS = "1987 Harbor Light Keepers"
SQUALL = "1992 Squall Line"
FERRY = "1974 Penny Ferry"


@dataclass(frozen=True)
class Team:
    """A quayball club: its name, the letters on its shirt and its colours."""

    name: str
    letters: str
    main: Colour
    second: Colour
    trim: Colour
    badge: str  # disc, shield, diamond, flag or wheel


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
class Parallel:
    """A variant of a card; ``run`` is how many were made, None where they are not numbered."""

    name: str
    run: int | None = None

    def written(self) -> str:
        """The parallel as a checklist has it: ``Gold /50`` or ``Silver``."""
        return f"{self.name} /{self.run}" if self.run else self.name


@dataclass(frozen=True)
class Row:
    """One line of a checklist. ``price`` is empty where its set has none."""

    set: str
    number: str
    subject: str
    team: str
    parallels: tuple[Parallel, ...] = ()
    price: str = ""


TEAMS = (
    Team("Harbor Gulls", "HG", (27, 58, 110), (244, 244, 238), (246, 196, 64), "disc"),
    Team("Copper Bay Lamplighters", "CB", (158, 74, 38), (250, 226, 178), (40, 36, 44), "diamond"),
    Team("Milldam Herons", "MH", (86, 128, 156), (236, 240, 240), (196, 62, 52), "shield"),
    Team("Northquay Bells", "NB", (178, 32, 44), (248, 240, 226), (226, 178, 70), "shield"),
    Team("Ember Point Owls", "EP", (64, 44, 92), (238, 156, 62), (250, 238, 218), "disc"),
    Team("Stonewick Tinkers", "ST", (70, 76, 82), (188, 200, 204), (218, 74, 46), "wheel"),
    Team("Birch Ferry Foxes", "BF", (212, 98, 30), (250, 244, 232), (44, 66, 52), "flag"),
    Team("Low Ness Terns", "LN", (22, 124, 128), (246, 246, 240), (22, 44, 62), "flag"),
    Team("Saltmarsh Kites", "SK", (52, 112, 66), (240, 226, 166), (248, 248, 240), "diamond"),
    Team("Tarn Hollow Otters", "TH", (92, 60, 44), (152, 204, 202), (250, 240, 222), "disc"),
    Team("Orchard Row Drovers", "OR", (118, 28, 66), (232, 204, 120), (250, 244, 232), "wheel"),
    Team("Glass River Ferrymen", "GR", (44, 88, 176), (188, 220, 240), (250, 250, 246), "flag"),
    Team("Windle Cross Hares", "WC", (238, 196, 52), (38, 40, 48), (250, 248, 238), "shield"),
    Team("Port Vesper Larks", "PV", (30, 32, 44), (122, 196, 232), (236, 96, 128), "diamond"),
)

SETS = (
    CardSet(FERRY, 1974, "Penny Ferry Sweet Co., Low Ness", "ferry", 9.0, "1974 Penny Ferry.txt"),
    CardSet(HARBOR_85, 1985, "Lantern Card Works", "pennant", 8.0, "1985 Harbor Light.txt"),
    CardSet(HARBOR_87, 1987, "Lantern Card Works", "boards", 8.0, "1987 Harbor Light.csv"),
    CardSet(SQUALL, 1992, "Kettle & Rook Printing", "squall", 7.5, "1992 Squall Line.csv"),
    CardSet(KEEPERS, 1987, "Lantern Card Works", "keepers", 7.0, "1987 Harbor Light.csv"),
)


def team_named(name: str) -> Team:
    """The club of that name; for a card of two clubs, the first.

    Raises KeyError where there is none.
    """
    first = name.split(" / ")[0]
    for team in TEAMS:
        if team.name == first:
            return team
    raise KeyError(name)


def set_named(name: str) -> CardSet:
    """The set of that name. Raises KeyError where there is none."""
    for card_set in SETS:
        if card_set.name == name:
            return card_set
    raise KeyError(name)

"""The invented sport and its clubs.

Quayball is played on a timbered court beside the water, with a cork ball and a hooked stick, the
gaff."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.demo.art.brush import Colour

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


@dataclass(frozen=True)
class Team:
    """A quayball club: its name, the letters on its shirt and its colours."""

    name: str
    letters: str
    main: Colour
    second: Colour
    trim: Colour
    badge: str  # disc, shield, diamond, flag or wheel


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


def team_named(name: str) -> Team:
    """The club of that name; for a card of two clubs, the first.

    Raises KeyError where there is none.
    """
    # A card of two people has both clubs; its colours are those of the first.
    first = name.split(" / ")[0]
    for team in TEAMS:
        if team.name == first:
            return team
    raise KeyError(name)

"""A tray of 300 cards in 12 groups as a dealer would feed it: of its dividers one is missing, one
came twice, one was turned with its group, one is soiled."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count
from pathlib import Path

from PIL import Image, ImageDraw

from support.card_sets import card_set
from support.fed_dividers import divider_side, scan_into
from tagger.core.dividers.divider import Divider

HARBOR, POND, BRIDGE = "1987 Harbor Light", "1985 Mill Pond", "1991 Stone Bridge"
OF_SET, IN_GROUP = 120, 25
MISSING, TWICE, TURNED, SOILED = 2, 4, 7, 9  # groups, counted from 0
GROUPS = (
    Divider(HARBOR, "Gold", "Near Mint", "box 1, row 1"),
    Divider(HARBOR, "", "Near Mint", "box 1, row 1"),
    Divider(HARBOR, "", "Excellent", "box 1, row 2"),
    Divider(POND, "Silver Foil", "Near Mint", "box 1, row 2"),
    Divider(POND, "", "Near Mint", "box 1, row 2"),
    Divider(BRIDGE, "", "Very Good", "box 2, row 1"),
    Divider(BRIDGE, "Gold", "Near Mint", "box 2, row 1"),
    Divider(POND, "Silver Foil", "Excellent", "box 2, row 1"),
    Divider(HARBOR, "Gold", "Excellent", "box 2, row 2"),
    Divider(BRIDGE, "", "Near Mint", "box 2, row 2"),
    Divider(POND, "", "Good", "box 2, row 3"),
    Divider(HARBOR, "", "Near Mint", "box 2, row 3"),
)  # fmt: skip


@dataclass(frozen=True)
class Fed:
    """A card as it lay in the tray: its group's divider, its number, and its front and back."""

    divider: Divider
    number: str
    front: str
    back: str

    @property
    def row(self) -> tuple[str, ...]:
        """It as the export has it."""
        of = self.divider
        said = (of.set, self.number, of.parallel, of.condition, of.place)
        return (*said, self.front, self.back)


@dataclass(frozen=True)
class Part:
    """What is fed at once: the names of its scans, and the cards on them by their groups."""

    scans: list[str]
    groups: list[list[Fed]]


def checklist() -> str:
    """The three sets as CSV."""
    rows = ["set,number,subject,parallels"]
    names = count()
    for name, parallels in ((HARBOR, "Gold/99"), (POND, "Silver Foil"), (BRIDGE, "Gold")):
        rows += [f"{name},{at},Ada{next(names)} Marsh,{parallels}" for at in range(1, OF_SET + 1)]
    return "\n".join(rows)


def fed_in_three(folder: Path) -> list[Part]:
    """Scan the tray into a folder; what was fed in each of three parts."""
    cards = card_set("tray of groups", IN_GROUP * len(GROUPS), "held")
    parts: list[Part] = []
    at = 1
    for first in range(0, len(GROUPS), 4):
        begun, groups = at, []
        for index in range(first, first + 4):
            sides: list[Image.Image] = _dividers(index)
            at += len(sides)
            mine = cards[index * IN_GROUP : (index + 1) * IN_GROUP]
            own = [side for card in mine for side in (card.front, card.back)]
            sides += [side.resize((500, 700)).convert("RGB") for side in own]
            if index == TURNED:
                sides = [side.rotate(180) for side in sides]
            scan_into(folder, sides, first=at - len(_dividers(index)))
            groups.append(list(_cards(index, at)))
            at += len(own)
        parts.append(Part([_name(number) for number in range(begun, at)], groups))
    return parts


def _cards(index: int, at: int) -> list[Fed]:
    # sorted as a dealer does, with gaps
    numbers = range(1 + index % 3, OF_SET, 4)[:IN_GROUP]
    return [
        Fed(GROUPS[index], str(number), _name(at + 2 * card), _name(at + 2 * card + 1))
        for card, number in enumerate(numbers)
    ]


def _dividers(index: int) -> list[Image.Image]:
    """The sides of what was fed in front of a group."""
    if index == MISSING:
        return []
    if index == SOILED:
        soiled = divider_side(GROUPS[index], 0)
        ImageDraw.Draw(soiled).rectangle((150, 600, 620, 1010), "grey")
        return [soiled, soiled]
    both = [divider_side(GROUPS[index], at) for at in (0, 1)]
    return both * 2 if index == TWICE else both


def _name(number: int) -> str:
    return f"scan_{number:04d}.jpg"

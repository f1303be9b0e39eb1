"""A tray of groups tagged by number alone, with dividers and without: keys, and wrong tags."""

from __future__ import annotations

import contextlib
import random
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from tagger.core.checklist.checklist import Checklist
from tagger.core.dividers.divider import FRONT, Divider, payload_text
from tagger.core.fixes.dividers import LeaveOutDividers
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.arrangement import PlacedDivider
from tagger.core.model.tags import Parallel, Row
from tagger.core.session.fixer import Fixer
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.store.lot.lot_file import LotFile

CARDS, GROUPS, OF_SET = 300, 12, 200
SETS = ("1987 Harbor Light", "1985 Mill Pond", "1991 Stone Bridge", "1979 North Quay")
PARALLELS = (Parallel("Gold", 99), Parallel("Silver Foil"))
CONDITIONS = {"nm": "Near Mint", "ex": "Excellent"}


@dataclass(frozen=True)
class Group:
    """A group of a tray: its divider, how a dealer types it shortly, and the numbers in it."""

    divider: Divider
    typed: str
    numbers: list[int]


def tray(rng: random.Random) -> list[Group]:
    """Twelve groups of 25 cards, no two beside each other alike."""
    out: list[Group] = []
    for _ in range(GROUPS):
        name, parallel = rng.choice(SETS), rng.choice(("", "Gold", "Silver Foil"))
        short = rng.choice(list(CONDITIONS))
        divider = Divider(name, parallel, CONDITIONS[short], f"box {len(out) // 4 + 1}")
        words = [name[2:4], name.split()[1][:3], (parallel or "base").split()[0][:4], short]
        words.append(f"at={divider.place}")
        numbers = sorted(rng.sample(range(1, OF_SET), CARDS // GROUPS))
        out.append(Group(divider, " ".join(words).lower(), numbers))
    return out


def rows() -> Checklist:
    """All cards of all sets."""
    names = count()
    made = [
        Row(name, str(number), f"Ada{next(names)} Marsh{number}", parallels=PARALLELS)
        for name in SETS
        for number in range(1, OF_SET + 1)
    ]
    return Checklist(made)


def tagged(folder: Path, groups: list[Group], with_dividers: bool) -> tuple[int, int]:
    """Keys, and wrong tags."""
    scans, placed = _scans(groups, with_dividers)
    session = Session(LotFile(folder, "tray"))
    session.take_in(scans)
    session.candidates.matcher = Matcher(Index(rows()), session.scale)
    if with_dividers:
        Fixer(session).mend([LeaveOutDividers(tuple(placed))])
    keys = 0
    for group in groups:
        if not with_dividers:
            keys += _carried(session, group)
        for number in group.numbers:
            session.accept(str(number))
            keys += len(str(number)) + 1
    wrong = sum(not right for right in _judged(session, groups))
    session.close()
    return keys, wrong


def _carried(session: Session, group: Group) -> int:
    """What a dealer types at the border of a group, shortly, and F5; F6 for base cards."""
    typed, keys = group.typed.replace(" base", ""), 0
    if not group.divider.parallel and session.view.carried.get("parallel"):
        session.drop("parallel")
        keys += len("par") + 1
    with contextlib.suppress(Refused):  # all of it is carried already, and the dealer sees that
        session.carry(typed)
        keys += len(typed) + 1
    return keys


def _scans(groups: list[Group], with_dividers: bool) -> tuple[list[str], list[PlacedDivider]]:
    scans: list[str] = []
    placed: list[PlacedDivider] = []

    def two() -> list[str]:
        scans.extend(f"scan_{len(scans) + 1:05d}.jpg" for _ in range(1))
        scans.append(f"scan_{len(scans) + 1:05d}.jpg")
        return scans[-2:]

    for group in groups:
        if with_dividers:
            front, back = two()
            placed.append(PlacedDivider(front, back, payload_text(group.divider, FRONT)))
        for _ in group.numbers:
            two()
    return scans, placed


def _judged(session: Session, groups: list[Group]) -> list[bool]:
    meant = [(group.divider, number) for group in groups for number in group.numbers]
    out = []
    for position, (divider, number) in enumerate(meant, start=1):
        tags = session.view.card_at(position).mark.tags
        out.append(
            (tags.set, tags.number, tags.parallel, tags.condition, tags.place)
            == (divider.set, str(number), divider.parallel, divider.condition, divider.place)
        )
    return out

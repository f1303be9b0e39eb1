"""A lot of six cards at work, kept on disk, and what can be seen of it."""

from __future__ import annotations

from pathlib import Path

from support.memory import MemoryStore
from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Parallel, Row, Tags
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile, read_lot

LIGHT, POND = "1987 Harbor Light", "1985 Mill Pond"
BOTH = (Parallel("Gold", 99), Parallel("Silver"))
NAMES = (
    "Ada Marsh",
    "Bo Lund",
    "Cyr Torwick",
    "Dela Kasley",
    "Edo Ferstad",
    "Fenn Holby",
    "Gil Norett",
    "Hana Wimuna",
)
MATCHER = Matcher(
    Index(
        Checklist(
            (
                *(
                    Row(LIGHT, str(number), name, "Gulls", BOTH)
                    for number, name in enumerate(NAMES, 1)
                ),
                *(
                    Row(POND, str(number), name, "Foxes")
                    for number, name in enumerate(reversed(NAMES), 1)
                ),
            )
        )
    )
)
SCANS = [f"scan_{number}.jpg" for number in range(1, 13)]


def opened(home: Path) -> Session:
    """A session at the lot of six cards that is kept in a folder."""
    session = Session(LotFile(home, "box 12"), clock=lambda: 1000.0)
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    return session


def take(session: Session, hint: str) -> Tags:
    """Take the first reading of a hint and return the tags that the card then has."""
    position = session.view.cursor.position
    session.take(session.candidates.of(hint)[0])
    return session.view.card_at(position).mark.tags


def facts(session: Session) -> tuple[object, ...]:
    """All that can be seen of a lot."""
    cards = [session.view.card_at(position) for position in range(1, session.view.cards + 1)]
    return (
        cards,
        session.view.cursor,
        session.view.sides,
        session.view.counts(),
        session.view.checklists,
        session.last_change(),
    )


def kept(home: Path) -> tuple[object, ...]:
    """What can be seen of a lot as its files say now, all but its history."""
    store = MemoryStore()
    store.lot = read_lot(home)
    return facts(Session(store))[:-1]

"""A lot to make tables of, kept on disk: five cards with a checklist, and the forms of a table as
bytes."""

from __future__ import annotations

from pathlib import Path

from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.lot.lot import LotState
from tagger.core.matching.matcher import Matcher
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.session.session import Session
from tagger.exchange.table import Table
from tagger.exchange.table_writer import FORMS
from tagger.store.lot.lot_file import LotFile, read_lot

LIST = """set,number,name,team,parallels,Price,Rarity
1987 Harbor Light,23,Ada Marsh,Gulls,Gold /99,1.50,common
1987 Harbor Light,24,"=Bo ""Bear"" Lund",Foxes,Tin /25,12.00,rare
1987 Harbor Light,007,Cyr Torwick,Foxes,,,
"""


def lot_folder(top: Path) -> Path:
    """Gold 23; 23 set aside; 24; untagged; 23 again."""
    folder = top / "box 12"
    folder.mkdir()
    names = [f"scan_{number}.jpg" for number in range(1, 11)]
    for name in names:
        (folder / name).write_bytes(b"x")
    checklist = top / "harbor.csv"
    checklist.write_text(LIST)
    session = Session(LotFile(folder, "box 12"))
    session.candidates.matcher = Matcher(Index(parse_checklist(LIST.encode(), "list.csv", "list")))
    session.take_in(names, [str(checklist)])
    session.take(session.candidates.of("23 g 12/99 nm at=box 3, row 2")[0])
    session.take(session.candidates.of("23 note=see back")[0])
    session.step(-1)
    session.set_aside("two names")
    session.take(session.candidates.of("24")[0])
    session.step(1)
    session.take(session.candidates.of("23")[0])
    session.close()
    return folder


def tags_of(folder: Path, position: int) -> Tags:
    """What the card at a position is on disk."""
    return read_lot(folder).card_at(position).mark.tags


def lot_of(*tags: Tags) -> LotState:
    """A lot in memory with these cards, all tagged."""
    pairs = tuple(Pair(id, f"{id}f.jpg", f"{id}b.jpg") for id in range(1, len(tags) + 1))
    return LotState(
        Arrangement(pairs=pairs), {id: Mark(State.TAGGED, one) for id, one in enumerate(tags, 1)}
    )


def as_bytes(table: Table, ending: str, lot: str = "lot") -> bytes:
    """The file that a table becomes."""
    parts: list[bytes] = []
    FORMS[ending](table, lot, parts.append)
    return b"".join(parts)

"""A lot on disk with its checklist beside it, tagged by hints."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder


def listed_lot(top: Path, checklist: str, cards: int, hints: Sequence[str]) -> LotPlace:
    """A lot of so many cards in the list of lots: the first tagged with the best candidate of each
    hint, the next as one that is in no checklist, the rest untagged."""
    place = LotPlace(top / "box", top / "box")
    place.folder.mkdir()
    (top / "harbor.csv").write_text(checklist)
    session = Session(LotFile(place.home, place.name))
    session.candidates.matcher = Matcher(
        Index(parse_checklist(checklist.encode(), "harbor.csv", "harbor"))
    )
    scans = [f"scan_{number}.jpg" for number in range(1, 2 * cards + 1)]
    session.take_in(scans, [str(top / "harbor.csv")])
    for hint in hints:
        session.take(session.candidates.of(hint)[0])
    session.take_unlisted("77 name=nobody")
    session.close()
    LotList(data_folder()).opened(place)
    return place

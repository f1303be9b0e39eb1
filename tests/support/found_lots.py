"""Lots with known tags on this machine, for what is found over all of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from support import drawn
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder


def card(
    number: str, subject: str, place: str = "", parallel: str = "", set: str = "1987 Harbor Light"
) -> Tags:
    """A card of an invented set."""
    return Tags(set, number, subject, parallel=parallel, place=place, condition="Near Mint")


def tagged_lot(folder: Path, cards: Sequence[Tags], size: tuple[int, int] = (41, 56)) -> LotPlace:
    """A lot with scans and these tags, on the list of lots."""
    drawn.draw_scans(folder, len(cards), size=size)
    place = LotPlace(folder, folder)
    store = LotFile(folder, place.name)
    session = Session(store, clock=lambda: 1.0)
    session.take_in(sorted(path.name for path in folder.glob("*.jpg")))
    given = [
        Marking(pair.id, session.view.mark(pair.id), Mark(State.TAGGED, tags))
        for pair, tags in zip(session.view.arrangement.pairs, cards, strict=True)
    ]
    session.enter("tagged", tuple(given))
    session.close()
    LotList(data_folder()).opened(place)
    return place


def three_lots(top: Path) -> list[LotPlace]:
    """Ada Marsh lies in all of them, in the first one twice."""
    row = "box 3, row 2"
    cards = [
        [
            card("45", "Lee Gold", row), card("23", "Ada Marsh", row), card("47", "Ivo Lund", row),
            card("23", "Ada Marsh", row, "Gold"),
        ],
        [card("7", "Bo Torwick", "box 4"), card("23", "Ada Marsh", "box 4")],
        [card("23", "Ada Marsh", "tray"), card("8", "Mara Kasova", "tray"), card("9",
        "Nils Vosby", "tray")],
    ]  # fmt: skip
    return [
        tagged_lot(top / f"box {number}", tags)
        for number, tags in zip((12, 13, 14), cards, strict=True)
    ]

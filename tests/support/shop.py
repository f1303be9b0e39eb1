"""Lots of a small shop: tagged cards without pictures, by the program's own door."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tagger.config import Settings
from tagger.core.lot.lot import LotState
from tagger.core.lot.running import stock_number
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.services.opening import change
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import lot_place

HARBOR, POND = "1987 Harbor Light", "1985 Mill Pond"


def harbor(number: str, subject: str, condition: str = "Near Mint", **more: str) -> Tags:
    """A card of one set."""
    return Tags(HARBOR, number, subject, condition=condition, place="box 7", **more)


def lot_of(folder: Path, cards: Sequence[Tags]) -> Path:
    """A lot with these cards, each tagged, on this machine's list."""
    folder.mkdir(parents=True)
    for scan in range(1, 2 * len(cards) + 1):
        (folder / f"scan_{scan:04d}.jpg").touch()
    with change(lot_place(folder, None), Settings()) as session:
        view = session.view
        session.enter(
            "tagged",
            [
                Marking(view.card_at(at).id, view.card_at(at).mark, Mark(State.TAGGED, tags))
                for at, tags in enumerate(cards, start=1)
            ],
        )
    return folder


def kept(folder: Path) -> LotState:
    """The lot as it stands on disk."""
    return read_lot(folder)


def marks(folder: Path) -> list[Mark]:
    """The marks of a lot's cards in feeding order."""
    lot = kept(folder)
    return [lot.mark(pair.id) for pair in lot.arrangement.pairs]


def numbers(folder: Path) -> list[str]:
    """The stock numbers of a lot's cards in feeding order."""
    lot = kept(folder)
    return [stock_number(lot.part, mark) for mark in marks(folder)]

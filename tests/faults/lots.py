"""A small lot, made by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from faults.edits import scans

from tagger.core.feeding.pairing import first_intake
from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import Change, FolderRead
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.store.files import SystemFiles
from tagger.store.lot.lot_file import LotFile, read_lot


def opened(home: Path, files: Any = None, cards: int = 3) -> LotFile:
    """A lot of some cards."""
    store = LotFile(home, "lot", files or SystemFiles())
    if not store.lot.cards:
        store.note(FolderRead(*first_intake(scans(cards * 2))))
    return store


def tag(store: LotFile, position: int, subject: str) -> None:
    """Tag one card."""
    card = store.lot.card_at(position)
    after = Mark(State.TAGGED, Tags(subject=subject, listed=False, extra=(("price", "0.25"),)))
    desk = store.lot.cursor
    store.enter(
        Change(
            f"card {position}",
            1.0,
            desk,
            Cursor(position + 1),
            (Marking(card.id, card.mark, after),),
        )
    )


def subjects(home: Path) -> list[str]:
    """The subjects that the files say."""
    return sorted(mark.tags.subject for mark in read_lot(home).marks.values())

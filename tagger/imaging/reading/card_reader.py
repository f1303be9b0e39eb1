"""A card as it is read: both sides, whole or where names and numbers are looked for."""

from __future__ import annotations

import resource
from functools import lru_cache
from typing import TYPE_CHECKING

from tagger.core.reading.printed import CardReading, PrintedText
from tagger.errors import PictureError
from tagger.imaging.reading.models import Networks
from tagger.imaging.reading.side_reader import WHOLE, SideReader
from tagger.imaging.reading.straightened import straight_card

if TYPE_CHECKING:
    from pathlib import Path

    from tagger.imaging.reading.asked import CardAsked, ModelFiles


def read_card(folder: Path, asked: CardAsked, files: ModelFiles) -> CardReading:
    """What is read on a card. A side that cannot be read is left out. Raises ReadingError where the
    networks cannot be used."""
    reader = _reader(files)
    texts: list[PrintedText] = []
    over: set[str] = set()
    told = False
    for side, scan in asked.sides.items():
        if asked.parts and side not in asked.parts:
            continue
        try:
            card = straight_card(folder, scan)
        except PictureError:
            continue
        read = reader.read(side, card, tuple(asked.parts.get(side, WHOLE)))
        texts += read.texts
        told |= read.turned is not None
        if read.turned == 180:
            over.add(side)
    return CardReading(tuple(texts), not asked.parts, frozenset(over) if told else None)


def memory_taken() -> int:
    """How many bytes this process had at most."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


@lru_cache(1)  # to load the networks takes longer than to read a card
def _reader(files: ModelFiles) -> SideReader:
    return SideReader(Networks(files))

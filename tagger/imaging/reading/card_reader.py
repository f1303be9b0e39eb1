"""A card as it is read: both sides, whole or where names and numbers are looked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from tagger.core.reading.printed import Box, CardReading, PrintedText
from tagger.errors import PictureError
from tagger.imaging.reading.models import ModelFiles, Networks
from tagger.imaging.reading.side_reader import WHOLE, SideReader
from tagger.imaging.reading.straightened import SideAsked, straight_card


@dataclass(frozen=True, slots=True)
class CardAsked:
    """A card that is to be read: its sides by `front` and `back`, and for each the parts that are
    looked at, all of it where none are named."""

    sides: Mapping[str, SideAsked]
    parts: Mapping[str, Sequence[Box]] = field(default_factory=dict)


def read_card(folder: Path, asked: CardAsked, files: ModelFiles) -> CardReading:
    """What is read on a card. A side that cannot be read is left out. Raises ReadingError where the
    networks cannot be used."""
    reader = _reader(files)
    texts: list[PrintedText] = []
    over: set[str] = set()
    told = False
    for side, scan in asked.sides.items():
        try:
            card = straight_card(folder, scan)
        except PictureError:
            continue
        read = reader.read(side, card, tuple(asked.parts.get(side, WHOLE)))
        texts += read.texts
        told |= read.turned is not None
        if read.turned == 180:
            over.add(side)
    whole = all(side not in asked.parts for side in asked.sides)
    return CardReading(tuple(texts), whole, frozenset(over) if told else None)


@lru_cache(1)  # to load the networks takes longer than to read a card
def _reader(files: ModelFiles) -> SideReader:
    return SideReader(Networks(files))

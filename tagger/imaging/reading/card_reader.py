"""A card as it is read: both sides, whole or where names and numbers are looked for."""

from __future__ import annotations

import resource
import sys
from contextlib import suppress
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
    # The kernel's other figure, `ru_maxrss`, begins with what the process that started this one
    # held (getrusage(2): it outlives exec), and a desk with long lists holds more than a reader.
    with suppress(OSError), open("/proc/self/status", encoding="ascii", errors="replace") as status:
        for line in status:
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) << 10
    unit = 1 if sys.platform == "darwin" else 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit


@lru_cache(1)  # to load the networks takes longer than to read a card
def _reader(files: ModelFiles) -> SideReader:
    return SideReader(Networks(files))

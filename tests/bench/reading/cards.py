"""Cards drawn, scanned and read: whole, and as a lot is read; kept in a folder so that rules can be
judged again without reading again."""

from __future__ import annotations

import pickle
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from bench.reading.fonts import fonts_of
from bench.reading.layouts import design, drawn
from bench.reading.press.tray import HALVES, cards_of, press_families, print_card
from bench.reading.scanned import scan
from bench.reading.worlds import Family, families
from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.model.tags import Row
from tagger.core.reading.book import CardKey, ReadingBook
from tagger.core.reading.printed import CardReading
from tagger.imaging.reading.asked import CardAsked, ModelFiles, SideAsked, model_files
from tagger.imaging.reading.card_reader import read_card


@dataclass(frozen=True)
class Shown:
    """A card: its row, its key in a lot, and its family's place."""

    row: Row
    key: CardKey
    family: int


@dataclass
class Tray:
    """Cards in order, by sets, with what was read of them."""

    name: str
    folder: Path
    families: list[Family]
    cards: list[Shown]
    whole: dict[CardKey, CardReading] = field(default_factory=dict)
    seconds: list[float] = field(default_factory=list)
    """CPU seconds of each whole reading."""


def drawn_tray(half: str, dpi: int, sets: int, of_each: int, folder: Path) -> Tray:
    """Cards of a half, drawn and scanned where they are not yet."""
    folder.mkdir(parents=True, exist_ok=True)
    if half in HALVES:
        return _pressed_tray(half, dpi, sets, of_each, folder)
    fonts, noise = fonts_of(half), np.random.default_rng(dpi)
    tray = Tray(f"{half} {dpi}", folder, families(half, sets), [])
    for at, family in enumerate(tray.families):
        look = design(half, at, family.own, fonts)
        for card in range(of_each):
            row = family.own.rows[(3 + 2 * card) % len(family.own.rows)]
            front, back = f"{at:02}-{card:02}a.jpg", f"{at:02}-{card:02}b.jpg"
            if not (folder / back).exists():
                for side, name in zip(drawn(half, at, look, row), (front, back), strict=True):
                    scan(side, folder / name, dpi, noise)
            tray.cards.append(Shown(row, CardKey(front, 0, back, 0), at))
    return tray


def _pressed_tray(half: str, dpi: int, sets: int, of_each: int, folder: Path) -> Tray:
    tray = Tray(f"{half} {dpi}", folder, press_families(half, dpi, sets), [])
    for at, family in enumerate(tray.families):
        for card, row in enumerate(cards_of(family, of_each)):
            front, back = f"{at:02}-{card:02}a.jpg", f"{at:02}-{card:02}b.jpg"
            if not (folder / back).exists():
                print_card(half, dpi, at, family, row, (folder / front, folder / back))
            tray.cards.append(Shown(row, CardKey(front, 0, back, 0), at))
    return tray


def read_whole(tray: Tray) -> Iterator[int]:
    """Read each card whole; kept beside the scans. After each card how many were."""
    kept, files = tray.folder / "whole.pickle", model_files()
    if kept.exists():
        tray.whole, tray.seconds = pickle.loads(kept.read_bytes())
    for count, card in enumerate(tray.cards, start=1):
        if card.key not in tray.whole:
            start = time.process_time()
            tray.whole[card.key] = read_card(tray.folder, asked(card.key), files)
            tray.seconds.append(time.process_time() - start)
            kept.write_bytes(pickle.dumps((tray.whole, tray.seconds)))
        yield count


@dataclass
class AsLot:
    """What came of a lot that was read card by card: the book, and CPU seconds by card for the
    first three of a set and those after."""

    book: ReadingBook
    first: list[float] = field(default_factory=list)
    later: list[float] = field(default_factory=list)


def read_as_lot(tray: Tray, index: Index, files: ModelFiles) -> AsLot:
    """Read a tray as a lot is read, whole readings taken from those that were made."""
    lot, met = AsLot(ReadingBook()), dict[int, int]()
    lot.book.use(index)
    kept = tray.folder / "parts.pickle"
    parts_read = pickle.loads(kept.read_bytes()) if kept.exists() else {}
    for card in tray.cards:
        spent = 0.0
        while (parts := lot.book.wanted(card.key)) is not None:
            if not parts and card.key in tray.whole:
                at = list(tray.whole).index(card.key)
                reading, seconds = tray.whole[card.key], tray.seconds[at]
            else:
                name = (card.key, repr(sorted(parts.items())))
                if name not in parts_read:
                    start = time.process_time()
                    reading = read_card(tray.folder, asked(card.key, parts), files)
                    parts_read[name] = reading, time.process_time() - start
                    kept.write_bytes(pickle.dumps(parts_read))
                reading, seconds = parts_read[name]
            spent += seconds
            lot.book.put(card.key, reading)
        met[card.family] = met.get(card.family, 0) + 1
        (lot.first if met[card.family] <= 3 else lot.later).append(spent)
    return lot


def asked(key: CardKey, parts: dict[str, Sequence] | None = None) -> CardAsked:
    """A card as it is asked for."""
    sides = {"front": SideAsked(key.front or ""), "back": SideAsked(key.back or "")}
    return CardAsked(sides, parts or {})


def index_of(rows: Sequence[Row]) -> Index:
    """The index of some rows."""
    return Index(Checklist(rows))

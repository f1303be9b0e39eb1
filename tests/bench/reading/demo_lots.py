"""Cards of the demo, which shares nothing with those that are drawn here."""

from __future__ import annotations

import csv
import pickle
import time
from pathlib import Path

from bench.reading.cards import AsLot, Shown, asked
from bench.reading.judged import Count, judged
from tagger.cli import main
from tagger.core.model.tags import Row
from tagger.core.reading.book import CardKey, ReadingBook
from tagger.imaging.reading.asked import model_files
from tagger.imaging.reading.card_reader import read_card
from tagger.services.lists.lot_checklists import read_lists


def demo_lot(seed: int, folder: Path) -> tuple[Count, AsLot]:
    """The demo's lot of a seed, read as a lot is."""
    if not (folder / "truth.csv").exists():
        main(["demo", str(folder), "--seed", str(seed), "--quiet"])
    index = read_lists([str(folder / "checklists")])
    with (folder / "truth.csv").open(newline="", encoding="utf-8") as file:
        cards = [
            Shown(Row(line["set"], line["number"], line["subject"], line["team"]),
                  CardKey(line["front"], 0, line["back"], 0), 0)
            for line in csv.DictReader(file)
        ]  # fmt: skip
    kept = folder / "readings.pickle"
    known = pickle.loads(kept.read_bytes()) if kept.exists() else {}
    lot, files = AsLot(ReadingBook()), model_files()
    lot.book.use(index)
    for card in cards:
        spent = 0.0
        while (parts := lot.book.wanted(card.key)) is not None:
            name = (card.key, repr(sorted(parts.items())))
            if name not in known:
                start = time.process_time()
                reading = read_card(folder / "lot", asked(card.key, parts), files)
                known[name] = reading, time.process_time() - start
                kept.write_bytes(pickle.dumps(known))
            spent += known[name][1]
            lot.book.put(card.key, known[name][0])
        lot.later.append(spent)
    return judged(index, lot.book, cards), lot

"""Exports beside Python's own csv and json writers: time, memory, and an edited table taken
back."""

from __future__ import annotations

import csv
import json
import random
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path

from support.drawn import names

from bench.common.table import Row, bytes_text, table_text, times
from tagger.core.feeding.pairing import first_intake
from tagger.core.lot.change import Change, FolderRead
from tagger.core.lot.fields import further_columns
from tagger.core.lot.lot import LotState
from tagger.core.model.condition import Scale
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.exchange.column_mapping import map_columns
from tagger.exchange.import_diff import plan_import
from tagger.exchange.import_values import ValueRules
from tagger.exchange.layout.examples import examples
from tagger.exchange.layout.layout import read_layout
from tagger.exchange.rows import RowCount, inventory, laid_out
from tagger.exchange.table import Table
from tagger.exchange.table_reader import read_table
from tagger.exchange.table_writer import FORMS
from tagger.store.files import SYSTEM, replacing
from tagger.store.lot.lot_file import LotFile, read_lot

CARDS = 10_000
AIM = 1.0  # seconds, for CSV and JSON
NAMES = names(900, seed=7)


def fill(home: Path, cards: int) -> None:
    """A lot of tagged cards, each with a price, kept on disk."""
    source = random.Random(2)
    store = LotFile(home, "lot")
    store.note(
        FolderRead(*first_intake([f"scan_{number:06d}.jpg" for number in range(1, cards * 2 + 1)]))
    )

    def mark() -> Mark:
        number, serial = str(source.randrange(1, 500)), f"{source.randrange(1, 100)}/99"
        extra = (("price", f"{source.randrange(1, 900) / 100:.2f}"), ("rarity", "common"))
        return Mark(
            State.TAGGED,
            Tags("1987 Harbor Light", number, source.choice(NAMES), "Quarry Stoats", "Gold", serial,
            "Near Mint",
                 "box 3, row 2", "corner worn", extra=extra),
        )  # fmt: skip

    desk = store.lot.cursor
    marks = tuple(Marking(pair.id, Mark(), mark()) for pair in store.lot.arrangement.pairs)
    store.enter(Change("all", 1.0, desk, desk, marks))
    store.close()


def exported(home: Path, target: Path, make: Callable[[LotState], Table]) -> float:
    """Seconds from the lot on disk to the file on disk."""
    start = time.perf_counter()
    table = make(read_lot(home))
    with replacing(SYSTEM, target) as write:
        FORMS[target.suffix](table, "lot", write)
    return time.perf_counter() - start


def plain_csv(rows: list[tuple[int | str, ...]], target: Path) -> None:
    """What Python's csv writer alone does with rows that are there."""
    with target.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)


def plain_json(rows: list[dict[str, int | str]], target: Path) -> None:
    """What Python's json alone does with a list that is there."""
    target.write_text(json.dumps(rows, ensure_ascii=False), encoding="utf-8")


def clocked(work: Callable[[], object]) -> float:
    """Seconds that work takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def time_rows(home: Path, folder: Path, turns: int) -> Iterator[Row]:
    """Each form of the plain inventory, and a composed layout."""
    table = inventory(read_lot(home))
    rows = list(table.rows)
    records = [dict(zip(table.columns, row, strict=True)) for row in rows]
    listing = read_layout(examples()["listing"], "listing.toml")
    for ending in FORMS:
        target, other = folder / f"out{ending}", folder / f"peer{ending}"
        ours, theirs = [], []
        for _ in range(1 if ending == ".xlsx" else turns):
            ours.append(exported(home, target, inventory))
            if ending == ".csv":
                theirs.append(clocked(lambda other=other: plain_csv(rows, other)))
            elif ending != ".xlsx":
                theirs.append(clocked(lambda other=other: plain_json(records, other)))
        peer = {".csv": "csv.writer, rows ready"}.get(ending, "json.dumps, list ready")
        aim = None if ending == ".xlsx" else AIM
        yield times(
            f"export of {len(rows):,} tagged cards, {ending}",
            ours,
            peer if theirs else "",
            theirs,
            aim=aim,
        )

    def laid(lot: LotState) -> Table:
        return laid_out(lot, "lot", listing, RowCount())

    ours = [exported(home, folder / "listing.csv", laid) for _ in range(turns)]
    yield times("the same by a layout with a composed title, .csv", ours, aim=AIM)


def memory_rows(folder: Path) -> Iterator[Row]:
    """The most that writing takes beyond the lot itself, at a size and at ten times it.

    An export before it fills what Python itself keeps to use again, such as 2,000 tuples of each
    length."""
    for ending in (".csv", ".json", ".xlsx"):
        peaks = []
        for cards in (5_000, 50_000):
            home = folder / f"lot-{cards}"
            if not home.exists():
                home.mkdir()
                fill(home, cards)
            lot = read_lot(home)
            for pair in lot.arrangement.pairs:
                lot.mark(pair.id)  # read already
            for counted in (False, True):
                if counted:
                    tracemalloc.start()
                with replacing(SYSTEM, folder / f"memory{ending}") as write:
                    FORMS[ending](inventory(lot), "lot", write)
            peaks.append(tracemalloc.get_traced_memory()[1])
            tracemalloc.stop()
        small, large = peaks
        met = "met" if large <= 1.5 * small else "missed"
        said = f"{bytes_text(small)} / {bytes_text(large)}"
        yield Row(f"memory of an export, 5,000 / 50,000 cards, {ending}", said, aim=f"1.5 x: {met}")


def back_rows(home: Path, folder: Path, turns: int) -> Iterator[Row]:
    """A table with a note in each row, held against the lot."""
    lot = read_lot(home)
    for ending in (".csv", ".json", ".xlsx"):
        target = folder / f"out{ending}"
        told = "note"
        taken = []
        for _ in range(1 if ending == ".xlsx" else turns):
            start = time.perf_counter()
            given = read_table(target.read_bytes(), ending, "file")
            columns, _ = map_columns(given.headings, further_columns(lot), None, "file")
            at = given.headings.index(told)
            rows = [
                row._replace(cells=(*row.cells[:at], "soft corner", *row.cells[at + 1 :]))
                for row in given.rows
            ]
            found = plan_import(lot, "file", columns, rows, ValueRules(Scale(), lambda tags: None))
            taken.append(time.perf_counter() - start)
            assert len(found.markings) == lot.cards
        yield times(f"{lot.cards:,} edited rows held against the lot, {ending}", taken)


def main() -> None:
    """Measure and print."""
    turns = 3 if "--quick" in sys.argv else 9
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        home = folder / "lot-10000"
        home.mkdir()
        fill(home, CARDS)
        rows = [
            *time_rows(home, folder, turns),
            *back_rows(home, folder, turns),
            *memory_rows(folder),
        ]
    print(table_text(rows))


if __name__ == "__main__":
    main()

"""The store beside SQLite and TinyDB's own storage: durable writes, opening, memory."""

from __future__ import annotations

import json
import random
import shutil
import sqlite3
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from support.drawn import names
from tinydb import TinyDB

from bench.common.place import on_disk
from bench.common.table import Row, bytes_text, table_text, times
from tagger.core.feeding.pairing import first_intake
from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import Change, FolderRead
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.store.lot import checkpoint
from tagger.store.lot.lot_file import LotFile

NAMES = names(900, seed=7)
SIZES = (100, 1_000, 10_000, 100_000)


def tags(number: int, source: random.Random) -> Tags:
    """Tags of an invented card, such that its document has some 250 bytes."""
    subject = NAMES[source.randrange(len(NAMES))]
    return Tags(
        "1987 Harbor Light Tidebook", str(number), subject, "Quarry Stoats", "Gold",
        f"{source.randrange(1, 100)}/99",
        "Near Mint", "box 3, row 2", "corner worn",
    )  # fmt: skip


def documents(cards: int) -> list[str]:
    """What a database of so many tagged cards holds, as JSON."""
    source = random.Random(2)
    return [
        json.dumps(
            {
                "front": f"scan_{n * 2 - 1:06d}.jpg",
                "back": f"scan_{n * 2:06d}.jpg",
                "state": "tagged",
            }
        )[:-1]
        + ", "
        + json.dumps(
            {k: getattr(t, k) for k in ("set", "number", "subject", "team", "parallel", "serial")}
        )[1:-1]
        + ", "
        + json.dumps({k: getattr(t, k) for k in ("condition", "place", "note")})[1:]
        for n, t in ((n, tags(n, source)) for n in range(1, cards + 1))
    ]


def change(store: LotFile, position: int, source: random.Random) -> Change:
    """The change that tags a card."""
    card = store.lot.card_at(position)
    new = tags(position, source)
    desk = Cursor(position + 1, store.lot.cursor.carried.put("set", new.set))
    label = f"card {position}: {new.brief()}"
    return Change(
        label,
        time.time(),
        store.lot.cursor,
        desk,
        (Marking(card.id, card.mark, Mark(State.TAGGED, new)),),
    )


def fill(store: LotFile, cards: int, changes: int) -> None:
    """Take the scans in, tag every card in one change, then one card after the other."""
    store.note(
        FolderRead(*first_intake([f"scan_{number:06d}.jpg" for number in range(1, cards * 2 + 1)]))
    )
    source = random.Random(2)
    desk = store.lot.cursor
    marks = [
        Marking(p.id, Mark(), Mark(State.TAGGED, tags(p.id, source)))
        for p in store.lot.arrangement.pairs
    ]
    store.enter(Change("all", 1.0, desk, desk, tuple(marks)))
    for number in range(changes):
        store.enter(change(store, number % cards + 1, source))


class Sqlite:
    """The same work in SQLite: WAL, every commit synced."""

    def __init__(self, path: Path, cards: int) -> None:
        self._db = sqlite3.connect(path, isolation_level=None)
        self._db.execute("PRAGMA journal_mode=WAL")
        self._db.execute("PRAGMA synchronous=FULL")
        self._db.execute("CREATE TABLE cards (id INTEGER PRIMARY KEY, document TEXT)")
        self._db.execute(
            "CREATE TABLE history (n INTEGER PRIMARY KEY, label TEXT, before TEXT, after TEXT)"
        )
        self._db.execute("BEGIN")
        self._db.executemany(
            "INSERT INTO cards VALUES (?, ?)", enumerate(documents(cards), start=1)
        )
        self._db.execute("COMMIT")

    def write(self, id: int, document: dict[str, str]) -> None:
        """Change one document and note the change, in one transaction."""
        db = self._db
        text = json.dumps(document)
        db.execute("BEGIN IMMEDIATE")
        before = db.execute("SELECT document FROM cards WHERE id = ?", (id,)).fetchone()[0]
        db.execute("UPDATE cards SET document = ? WHERE id = ?", (text, id))
        label = f"card {id}: {document['subject']}"
        db.execute(
            "INSERT INTO history (label, before, after) VALUES (?, ?, ?)", (label, before, text)
        )
        db.execute("COMMIT")

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()


def writes(folder: Path, cards: int, count: int) -> tuple[list[float], list[float]]:
    """Seconds of so many durable writes, ours and SQLite's, in turn."""
    home = folder / f"write-{cards}"
    home.mkdir()
    store = LotFile(home, "lot")
    fill(store, cards, 0)
    store._bring_up(at_once=True)
    peer = Sqlite(home / "peer.db", cards)
    source = random.Random(3)
    ours, theirs = [], []
    for number in range(count + 20):
        position = source.randrange(1, cards + 1)
        one = change(store, position, source)
        start = time.perf_counter()
        store.enter(one)
        middle = time.perf_counter()
        new = one.marks[0].after.tags
        document = {
            "state": "tagged",
            **{k: getattr(new, k) for k in ("set", "number", "subject", "team", "parallel")},
        }
        document |= {k: getattr(new, k) for k in ("serial", "condition", "place", "note")}
        again = time.perf_counter()
        peer.write(position, document)
        end = time.perf_counter()
        if number >= 20:  # the first ones find everything cold
            ours.append(middle - start)
            theirs.append(end - again)
    store.close()
    peer.close()
    return ours, theirs


def write_rows(folder: Path, count: int) -> Iterator[Row]:
    """A durable tag write at each size."""
    medians: dict[int, float] = {}
    for cards in SIZES:
        ours, theirs = writes(folder, cards, count)
        medians[cards] = statistics.median(ours)
        ratio = medians[cards] / statistics.median(theirs)
        row = times(f"durable tag write, {cards:,} documents", ours, "SQLite WAL, FULL", theirs)
        yield Row(
            row.what,
            row.measured,
            row.peer,
            row.ratio,
            f"1.2 x: {'met' if ratio <= 1.2 else 'missed'}",
        )
    ratio = medians[SIZES[-1]] / medians[SIZES[0]]
    met = "met" if ratio <= 3 else "missed"
    yield Row("the same, 100,000 over 100 documents", f"{ratio:.2f} x", aim=f"3 x: {met}")


def open_rows(folder: Path, times_each: int) -> Iterator[Row]:
    """Opening a lot that was closed, and one that was killed."""
    for cards, changes, aim in ((500, 1_500, 0.010), (10_000, 30_000, 0.060)):
        closed = folder / f"closed-{cards}"
        closed.mkdir()
        killed = folder / f"killed-{cards}"
        store = LotFile(closed, "lot")
        tail = checkpoint.AFTER - 1  # the most that a kill leaves behind lot.json
        fill(store, cards, changes - tail)
        if store._checkpoint.writer is not None:
            store._checkpoint.writer.join()
        store._bring_up(at_once=True)
        source = random.Random(4)
        covers = store._checkpoint.covers
        for number in range(tail):
            store.enter(change(store, number + 1, source))
        assert (store._checkpoint.covers, store._checkpoint.writer) == (covers, None)
        shutil.copytree(closed, killed)
        store.close()
        for what, home in (("closed properly", closed), ("after a kill", killed)):
            taken = []
            for turn in range(times_each + 1):
                copy = folder / f"open-{cards}-{turn}-{home.name}"
                shutil.copytree(home, copy)
                start = time.perf_counter()
                store = LotFile(copy, "lot")
                taken.append(time.perf_counter() - start)
                assert store.lot.counts().tagged == cards
                store._checkpoint.join()
                store._release()
                shutil.rmtree(copy)
            yield times(f"open, {cards:,} cards, {changes:,} changes, {what}", taken[1:], aim=aim)


def tinydb_row(folder: Path, count: int) -> Row:
    """One update with TinyDB's own storage, which writes the whole file anew and syncs nothing."""
    database = TinyDB(folder / "stock.json")
    table = database.table("cards")
    table.insert_multiple(json.loads(document) for document in documents(10_000))
    taken = []
    for number in range(1, count + 1):
        start = time.perf_counter()
        table.update({"note": f"note {number}"}, doc_ids=[number])
        taken.append(time.perf_counter() - start)
    database.close()
    return times("for the record: TinyDB JSONStorage update, 10,000 documents, not synced", taken)


def memory_row(folder: Path) -> Row:
    """Memory of an open lot, beyond its documents' own JSON, measured in a process of its own."""
    home = folder / "closed-10000"
    code = (
        "import sys, gc, json; from pathlib import Path; from tagger.store.lot.lot_file import "
        "LotFile\n"
        "def rss(): gc.collect(); return int(Path('/proc/self/statm').read_text().split()[1]) * "
        "4096\n"
        "import tagger.store.lot.recovery, tagger.store.lot.migration; before = rss()\n"
        "store = LotFile(Path(sys.argv[1]), 'lot'); marks = list(store.lot.marks.values()); after "
        "= rss()\n"
        "print(after - before, len(json.dumps(store._kept.tables['cards'])), store.lot.cards)"
    )
    told = subprocess.run(
        [sys.executable, "-c", code, home], capture_output=True, text=True, check=True
    ).stdout
    used, size, cards = (int(number) for number in told.split())
    above = (used - size) / cards
    met = "met" if above <= 2000 else "missed"
    return Row(
        "memory a card above its JSON, 10,000 cards, every mark read",
        bytes_text(above),
        aim=f"2 kB: {met}",
    )


def main(arguments: Sequence[str]) -> int:
    """Print the table; the lots lie on the disk that the program is on."""
    quick = "--quick" in arguments
    with on_disk("store") as folder:
        rows = [*write_rows(folder, 200 if quick else 1000), *open_rows(folder, 5 if quick else 25)]
        rows += [tinydb_row(folder, 5 if quick else 20), memory_row(folder)]
    print(
        f"Python {sys.version.split()[0]}, SQLite {sqlite3.sqlite_version}; lot.json follows "
        f"{checkpoint.AFTER} changes"
    )
    print(table_text(rows))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

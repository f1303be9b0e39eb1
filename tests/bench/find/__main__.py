"""Finding a card over many lots: 1,000,000 cards in 2,000 lots, or with --quick 50,000 in 100.

The lots are drawn from `world.py`: trays of up to 250 cards of one set, one card in eight a
parallel, 1 in 40 sold. The command is started anew for each answer, so three times count: the first
start, which reads every lot; a start when nothing changed; the search alone. Peers, in the same run
over the same cards: SQLite's FTS5 (each word the beginning of one, from Python's own sqlite3, file
in the page cache, not in ranked order) and rapidfuzz's process.extract with token_set_ratio over a
text for each card."""

from __future__ import annotations

import argparse
import json
import os
import random
import resource
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from rapidfuzz import fuzz, process
from support.folders import own_folders
from support.terminal import Terminal

from bench.common.table import Row, table_text, time_text, times
from bench.common.world import CardSet, World
from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import Change, FolderRead
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.core.reports.card_search import find
from tagger.store.caches.catalogue import catalogue
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, catalogue_folder, data_folder

PER_LOT, TRAY = 500, 250


def main() -> None:
    """Draw, measure, print."""
    parser = argparse.ArgumentParser(description="Measures finding a card over many lots.")
    parser.add_argument("--quick", action="store_true", help="50,000 cards instead of 1,000,000")
    lots = 100 if parser.parse_args().quick else 2000
    with tempfile.TemporaryDirectory() as top:
        os.environ.update(own_folders(Path(top)))
        world = World(lots * PER_LOT * 4 // 5, seed=7)
        marks = _draw(world, lots, Path(top))
        rows = [*_starts(Path(top), _hints(marks, 5, seed=1))]
        rows += _on_screen(_hints(marks, 40, seed=3))
        rows += _searches(Path(top), marks, _hints(marks, 200, seed=2))
    different = len({(tags.set, tags.number, tags.subject) for tags in marks})
    print(f"{len(marks):,} cards there in {lots:,} lots, {different:,} of them different")
    print(table_text(rows))


def _draw(world: World, lots: int, top: Path) -> list[Tags]:
    """Make the lots and the list of them; the tags of all cards that are there."""
    source = random.Random(7)
    entries: dict[str, dict[str, object]] = {}
    marks: list[Tags] = []
    for number in range(lots):
        home = top / "lots" / f"box {number}"
        home.mkdir(parents=True)
        every = [
            _mark(source, world.sets[source.randrange(len(world.sets))], at)
            for at in range(PER_LOT // TRAY)
        ]
        cards = [mark for tray in every for mark in tray]
        marks.extend(mark.tags for mark in cards if not mark.gone)
        _keep(home, cards)
        entries[str(number + 1)] = {"folder": str(home), "home": str(home), "opened": float(number)}
    data_folder().mkdir(parents=True)
    (data_folder() / "lots.json").write_text(json.dumps({"lots": entries}), encoding="ascii")
    assert len(LotList(data_folder()).places()) == lots
    return marks


def _mark(source: random.Random, cards: CardSet, row: int) -> list[Mark]:
    """A tray of one set, in the order of its numbers."""
    found: list[Mark] = []
    for at in range(TRAY):
        card = cards.cards[at % len(cards.cards)]
        parallel, serial = "", ""
        if card.parallels and source.random() < 1 / 8:
            parallel, run = source.choice(card.parallels)
            serial = f"{source.randint(1, run)}/{run}" if run else ""
        tags = Tags(
            cards.name, card.number, card.person.name, card.team, parallel, serial,
            source.choice(("Near Mint", "Excellent")), f"row {row + 1}",
        )  # fmt: skip
        found.append(Mark(State.TAGGED, tags, gone="sold" if source.random() < 1 / 40 else ""))
    return found


def _keep(home: Path, marks: Sequence[Mark], first: int = 1) -> None:
    store = LotFile(home, home.name)
    if first == 1:
        pairs = tuple(
            Pair(id, f"scan_{2 * id - 1:04d}.jpg", f"scan_{2 * id:04d}.jpg")
            for id in range(1, len(marks) + 1)
        )
        store.note(FolderRead(Arrangement(pairs=pairs), len(marks) + 1))
    given = tuple(
        Marking(id, store.lot.mark(id), mark) for id, mark in enumerate(marks, start=first)
    )
    store.enter(Change("drawn", 0.0, store.lot.cursor, Cursor(), given))
    store.close()


def _hints(marks: Sequence[Tags], count: int, seed: int) -> list[str]:
    source = random.Random(seed)
    found: list[str] = []
    while len(found) < count:
        tags = source.choice(marks)
        first, last = tags.subject.lower().split()[:2]
        kinds = [
            f"{tags.number} {last}",
            f"{first} {last}",
            f"{tags.set[:4]} {last}",
            f"{tags.number} {last[:4]}",
            last,
        ]
        if tags.parallel:
            kinds += [f"{last} {tags.parallel.lower()}"] * 2
        if tags.serial:
            kinds += [f"{last} {tags.serial}"] * 2
        found.append(source.choice(kinds))
    return found


def _took(call: Callable[[], object]) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def _starts(top: Path, hints: Sequence[str]) -> Iterator[Row]:
    """The command as it is typed."""

    def run(hint: str) -> None:
        command = [sys.executable, "-m", "tagger", "find", *hint.split(), "--json"]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

    first = _took(lambda: run(hints[0]))
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * 1024
    kept = sum(path.stat().st_size for path in catalogue_folder().iterdir())
    yield Row("first start, all lots read", time_text(first))
    yield Row("its memory; the files kept", f"{peak / 1e6:.0f} MB; {kept / 1e6:.0f} MB")
    yield times(
        "the command, nothing changed",
        [_took(lambda hint=hint: run(hint)) for hint in hints],
        aim=1.0,
    )
    _change(top, 1)
    yield Row("the command, one lot changed", time_text(_took(lambda: run(hints[0]))), aim="1 s")


def _on_screen(hints: Sequence[str]) -> Iterator[Row]:
    """The find screen in a pseudo-terminal: a whole hint in one packet, until its list stands
    there."""
    with Terminal([sys.executable, "-m", "tagger", "find"]) as terminal:
        terminal.wait_for(r"[1-9][\d,]* lots \n", seconds=120)
        took: list[float] = []
        for hint in hints:
            terminal.send("\x0b")
            terminal.wait_for("Type what is on the card")
            terminal.settle(0.1)
            start = time.perf_counter()
            terminal.send(hint)
            terminal.wait_for(r"find  (\d[\d,]* cards? in|no cards)")
            took.append(time.perf_counter() - start)
        yield times("the screen, keys to list", took, aim=0.1)


def _change(top: Path, times_: int) -> None:
    tags = Tags("2030 Later Set", "1", "Nova Later")
    _keep(top / "lots" / "box 3", [Mark(State.TAGGED, tags)], first=times_ + 1)


def _searches(top: Path, marks: Sequence[Tags], hints: Sequence[str]) -> Iterator[Row]:
    """The search alone, and the peers."""
    places: list[LotPlace] = LotList(data_folder()).places()
    opening = [_took(lambda: catalogue(places, catalogue_folder())) for _ in range(5)]
    yield times("opening what is kept", opening, aim=1.0)
    parts = catalogue(places, catalogue_folder()).parts
    ours = [_took(lambda hint=hint: find(parts, hint)) for hint in hints]
    empty = sum(not find(parts, hint).cards for hint in hints)
    fts = _full_text(top / "peer.sqlite", marks)
    theirs = [_took(lambda hint=hint: fts(hint)) for hint in hints]
    yield times("a search", ours, "SQLite FTS5", theirs, aim=0.05)
    yield Row(
        "the slowest search; none found",
        f"{time_text(max(ours))}; {empty} of {len(hints)}",
        time_text(max(theirs)),
    )
    yield Row(
        "searches above 50 ms",
        f"{sum(took > 0.05 for took in ours)} of {len(ours)}",
        f"{sum(t > 0.05 for t in theirs)}",
    )
    texts = [f"{tags.set} {tags.number} {tags.subject} {tags.parallel}".lower() for tags in marks]
    some = hints[:5]
    fuzzy = [
        _took(lambda hint=hint: process.extract(hint, texts, scorer=fuzz.token_set_ratio, limit=20))
        for hint in some
    ]
    yield times("the same, beside a scan", ours, "rapidfuzz", fuzzy)


def _full_text(path: Path, marks: Sequence[Tags]) -> Callable[[str], object]:
    database = sqlite3.connect(path)
    database.execute(
        'create virtual table cards using fts5(words, tokenize = "unicode61 remove_diacritics 2")'
    )
    database.executemany(
        "insert into cards values (?)",
        (
            (
                " ".join(
                    (t.set, t.number, t.subject, t.team, t.parallel, t.serial.replace("/", "x"))
                ),
            )
            for t in marks
        ),
    )
    database.commit()

    def search(hint: str) -> object:
        said = " ".join(f'"{word.replace("/", "x")}"*' for word in hint.split())
        return database.execute(
            "select rowid from cards where cards match ? limit 200", (said,)
        ).fetchall()

    return search


if __name__ == "__main__":
    main()

"""What is measured in this process, without a terminal: the matcher, the store's write, the
previews."""

from __future__ import annotations

import csv
import dataclasses
import gc
import io
import itertools
import json
import os
import statistics
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from PIL import Image
from rapidfuzz import fuzz, process
from support.drawn import Truth

from bench.common import lots
from bench.common.hint_texts import hints
from bench.common.place import Spent
from bench.common.table import Row, bytes_text, ratio_text, times
from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.lot.change import Change
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Tags
from tagger.core.session.session import Session
from tagger.imaging.scan.pictures import read_picture
from tagger.preview.cells import CellRow
from tagger.preview.colours import palette
from tagger.preview.drawings import DRAWINGS
from tagger.preview.terminal_capabilities import Depth
from tagger.store.lot.lot_file import LotFile

BOX = (40, 68)  # pixels: the room of one of two previews in 120 x 40 cells


def cpu(work: Callable[[], object]) -> float:
    """CPU time of this thread for some work, in seconds."""
    start = time.thread_time()
    work()
    return time.thread_time() - start


def matcher_rows(sets: int, keys: int, peer_keys: int, builds: int) -> Iterator[Row]:
    """Checklist, index and keystrokes at `sets` x 500 rows.

    A keystroke is `Matcher.rank` for what is typed so far, each beginning of each hint in turn;
    every other hint comes with the set carried and the card before known, as it is in the middle of
    a lot. The peer looks for the same text in all rows with rapidfuzz's WRatio."""
    rows = lots.checklist(sets, 500)
    text = lots.checklist_text(rows)
    data = text.encode()
    size = f"{len(rows):,} rows"
    building: list[float] = []
    reading: list[float] = []
    index: Index | None = None
    for _ in range(builds):
        index = None
        gc.collect()
        reading.append(cpu(lambda: list(csv.reader(io.StringIO(text)))))
        start = time.thread_time()
        index = Index(parse_checklist(data, "rows.csv", "rows"))
        building.append(time.thread_time() - start)
    if index is None:
        return
    yield times(
        f"checklist of {size}: read and indexed, CPU", building, "csv.reader alone", reading
    )
    matcher = Matcher(index)
    choices = [f"{row.set} {row.number} {row.subject} {row.team}".lower() for row in rows]
    place = {(row.set, row.number): row for row in rows}
    for typed, context in itertools.islice(_keystrokes(rows, place), 20):
        matcher.rank(typed, context)  # what is looked up once and kept is not a keystroke's
    taken = [
        cpu(lambda typed=typed, context=context: matcher.rank(typed, context))
        for typed, context in itertools.islice(_keystrokes(rows, place, seed=2), keys)
    ]
    peer = [
        cpu(lambda typed=typed: process.extract(typed, choices, scorer=fuzz.WRatio, limit=9))
        for typed, _ in itertools.islice(_keystrokes(rows, place, seed=2), peer_keys)
    ]
    yield times(
        f"matcher: a keystroke at {size}, CPU", taken, "rapidfuzz WRatio, all rows", peer, high=0.99
    )


def _keystrokes(
    rows: list[Truth], place: dict[tuple[str, str], Truth], seed: int = 1
) -> Iterator[tuple[str, Context]]:
    for turn, (row, hint) in enumerate(hints(rows, seed)):
        context = Context()
        before = place.get((row.set, str(int(row.number) - 1)))
        if turn % 2 == 0 and before is not None:
            tags = Tags(before.set, before.number, before.subject, before.team)
            context = Context(Carried((("set", row.set),)), tags, frozenset({row.set}))
        for end in range(1, len(hint) + 1):
            yield hint[:end], context


class _Timed:
    """A store whose writes are timed."""

    def __init__(self, store: LotFile, journal: Path) -> None:
        self._store = store
        self._journal = open(journal, "ab", buffering=0)  # noqa: SIM115
        self.writes: list[float] = []
        self.appends: list[float] = []

    def __getattr__(self, name: str) -> Any:
        return getattr(self._store, name)

    def enter(self, change: Change) -> None:
        line = json.dumps(dataclasses.asdict(change)).encode() + b"\n"
        start = time.perf_counter()
        self._store.enter(change)
        between = time.perf_counter()
        self._journal.write(line)
        os.fdatasync(self._journal.fileno())
        self.writes.append(between - start)
        self.appends.append(time.perf_counter() - between)


def store_writes(folder: Path, cards: int, rows: list[Truth]) -> _Timed:
    """Tag a whole lot through the store, from the first card to the last; each write and each
    append by its time."""
    folder.mkdir()
    timed = _Timed(LotFile(folder, "bench"), folder / "peer.jsonl")
    session = Session(timed)
    session.take_in([f"scan_{number:04d}.jpg" for number in range(1, cards * 2 + 1)])
    for row in rows[:cards]:
        session.take(Candidate(Tags(row.set, row.number, row.subject, row.team), 1.0))
    session.close()
    return timed


def preview_rows(pictures: list[Path], rounds: int) -> Iterator[Row]:
    """A scan from the file to terminal text in 256 colours, beside Pillow's full decode and resize
    to the same size."""
    taken: list[float] = []
    peer: list[float] = []
    for _ in range(rounds):
        for path in pictures:
            size = read_picture(path.parent, path.name, BOX).size
            taken.append(cpu(lambda path=path: [row.ansi() for row in _preview(path)]))
            peer.append(
                cpu(lambda path=path, size=size: Image.open(path).convert("RGB").resize(size))
            )
    lean = [sum(len(row.ansi().encode()) for row in _preview(path)) for path in pictures]
    yield times(
        "preview: decode, scale, cells and text, CPU", taken, "Pillow: full decode, resize", peer
    )
    measured, full = statistics.median(lean), full_size(pictures)
    yield Row(
        "preview: bytes of one in 256 colours",
        bytes_text(measured),
        f"{bytes_text(full)}  each cell with both colours",
        ratio_text(measured, full),
    )


def _preview(path: Path) -> list[CellRow]:
    return DRAWINGS["half blocks"].draw(read_picture(path.parent, path.name, BOX), Depth.C256)


def full_size(pictures: list[Path]) -> float:
    """Bytes of a preview with both colours written for each cell, median of these pictures."""
    return statistics.median(sum(_full(row) for row in _preview(path)) for path in pictures)


def _full(row: CellRow) -> int:
    colours = palette(row.depth)
    return sum(
        len(f"\x1b[{colours.ink(top)};{colours.ground(bottom)}m▀".encode())
        for top, bottom in zip(row.ink, row.ground, strict=True)
    )


def write_rows(
    writes: list[float], appends: list[float], enter: Spent, cards: int
) -> Iterator[Row]:
    """The store's durable writes of a whole lot beside what one line appended to a file and synced
    costs."""
    yield times(
        f"store: durable write, lot of {cards}", writes, "a line appended, fdatasync", appends
    )
    if enter.wall:
        part = statistics.median(writes) / statistics.median(enter.wall)
        yield Row("store: the write's share of Enter to pair", f"{part:.0%}")

"""The overview of a large lot, in the real program: keys in the list, the filter, and one change to
all cards.

Every time is from the key until the last piece of output that changed the screen's text. The peer
is a bare Textual app that changes one line for a key."""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from support.drawn import Truth
from support.folders import own_folders

from bench.common import lots
from bench.common.place import bare_app, on_disk
from bench.common.table import Row, bytes_text, table_text, times
from bench.common.timed_terminal import ENTER, LEAVE, NotMeasured, TimedTerminal, cpu_seconds
from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.change import Change
from tagger.core.lot.fields import cards as seen_cards
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.core.model.tags import Row as ListRow
from tagger.core.overview.bulk import Lists, plan_tags
from tagger.core.overview.bulk_change import BulkChange
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile
from tagger.store.lot.records import do_record

CARDS = 10_000
F3, F5, DOWN, PAGE, CTRL_K, UNDO = "\x1bOR", "\x1b[15~", "\x1b[B", "\x1b[6~", "\x0b", "\x15"


@dataclass(frozen=True)
class Large:
    """A tagged lot in a folder, its checklist, and the environment that keeps the program in
    there."""

    lot: Path
    checklist: Path
    rows: list[Truth]
    env: dict[str, str]


def tagged_lot(folder: Path) -> Large:
    """A lot of `CARDS` cards, all tagged but not graded; one in four is a double of the card
    before."""
    rows = lots.checklist(20, 500)
    checklist = folder / "checklist.csv"
    checklist.write_text(lots.checklist_text(rows), encoding="utf-8")
    lot = lots.lot(folder / "lot", CARDS, lots.pictures(folder / "pictures"))
    session = Session(LotFile(lot, "lot"))
    session.take_in([path.name for path in lot.glob("*.jpg")])
    marks = []
    for at, pair in enumerate(session.view.arrangement.pairs):
        row = rows[at * 3 // 4]
        tags = Tags(
            row.set, row.number, row.subject, row.team, "Gold" if at % 9 == 0 else "", place="box 3"
        )
        marks.append(
            Marking(pair.id, Mark(), Mark(State.TAGGED, replace(tags, extra=(("price", "0.25"),))))
        )
    session.enter("tagged", tuple(marks))
    session.close()
    return Large(lot, checklist, rows, own_folders(folder))


def timed(
    line: TimedTerminal, key: str, done: Callable[[], bool] | None = None
) -> tuple[float, float, int]:
    """Seconds by the clock and of CPU, and bytes, from a key to its last change of the screen."""
    line.settle(0.1)
    before = line.text()
    start, cpu, size = time.perf_counter(), cpu_seconds(line.pid), line.bytes_out
    line.send(key)
    if done is not None:
        piece = line.reached(done)
    else:
        line.burst()
        found = line.last_change(lambda: tuple(line.screen.display))
        if found is None:
            raise NotMeasured(f"{key!r} changed nothing:\n{before}")
        piece = found
    return piece.at - start, piece.cpu - cpu, line.bytes_out - size


def screen_rows(large: Large, times_each: int) -> Iterator[Row]:
    """What a dealer waits for, at 120x40."""
    with bare_app(large.env) as bare:
        bare.reached(lambda: "READY" in bare.screen.display[0])
        peer = [timed(bare, "a")[0] for _ in range(times_each)]
    name = "bare Textual app, one line"
    program = [
        sys.executable,
        "-m",
        "tagger",
        "open",
        str(large.lot),
        "--checklist",
        str(large.checklist),
    ]
    with TimedTerminal(program, large.env) as line:
        line.reached(
            lambda: "card 1 of" in line.screen.display[0] and line.front_drawn(), quiet=0.5
        )
        end = time.perf_counter() + 30
        while "still being read" in line.text() and time.perf_counter() < end:
            line.pump(0.2)
        opened = []
        for _ in range(3):
            opened.append(timed(line, F3, lambda: "all 10,000 cards" in line.text())[0])
            timed(line, F3, lambda: "all 10,000 cards" not in line.text())
        yield times("the overview opens, 10,000 cards", opened)
        timed(line, F3, lambda: "all 10,000 cards" in line.text())
        for what, key in (("one line on", DOWN), ("one screen on", PAGE)):
            spent = [timed(line, key) for _ in range(times_each)]
            yield times(
                f"{what}, key to paint", [wall for wall, _, _ in spent], name, peer, aim=0.020
            )
            yield Row(f"{what}: bytes", bytes_text(statistics.median(size for _, _, size in spent)))
        typed = []
        for word in ("marsh", "gold 198", "doubles", "over 0.2 -gold"):
            for part in word.split():
                typed += [timed(line, key)[0] for key in part]
                line.send(" ")
            line.send(CTRL_K)
            line.settle(0.3)
        yield times("a letter of a filter, key to paint", typed, name, peer)
        done, undone = [], []
        for at in range(times_each // 10 + 1):
            line.send("all")
            line.settle(0.3)
            line.send(F5)
            line.settle(0.3)
            line.send(("nm", "ex")[at % 2])
            line.settle(0.6)
            done.append(timed(line, ENTER, lambda: "Done: 10,000 cards" in line.text())[0])
            line.settle(0.5)
            undone.append(timed(line, UNDO, lambda: "Undone: 10,000 cards" in line.text())[0])
            line.send(CTRL_K)
            line.settle(2)
        yield times("one change to 10,000 cards, Enter to screen", done, aim=0.100)
        yield times("the same taken back, key to screen", undone)
        line.send(LEAVE)
        line.wait_exit()


def parts_rows(large: Large, times_each: int) -> Iterator[Row]:
    """What one change to all cards is made of."""
    index = Index(
        Checklist(tuple(ListRow(row.set, row.number, row.subject, row.team) for row in large.rows))
    )
    store = LotFile(large.lot, "lot")
    session = Session(store)
    spent: dict[str, list[float]] = {
        "thought through": [],
        "marks made": [],
        "record made": [],
        "entered": [],
    }
    for at in range(times_each):
        clock = [time.perf_counter()]
        cards = list(seen_cards(store.lot))
        clock[0] = time.perf_counter()
        plan = plan_tags(cards, BulkChange(condition=f"Step {at}"), Lists(index))
        clock.append(time.perf_counter())
        marks = plan.markings
        clock.append(time.perf_counter())
        cursor = session.view.cursor
        change = Change(plan.label, 1.0, cursor, cursor, marks)
        do_record(change, 0)
        clock.append(time.perf_counter())
        session.enter(plan.label, marks)
        clock.append(time.perf_counter())
        for name, start, end in zip(spent, clock, clock[1:], strict=False):
            spent[name].append(end - start)
        session.undo()
    session.close()
    for name, values in spent.items():
        yield times(f"of it: {name}", values)


def main(arguments: Sequence[str]) -> int:
    """Print the table; the lot lies on the disk that the program is on."""
    times_each = 10 if "--quick" in arguments else 60
    with on_disk("overview") as folder:
        large = tagged_lot(folder)
        rows = [*screen_rows(large, times_each), *parts_rows(large, max(3, times_each // 6))]
    print(table_text(rows))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

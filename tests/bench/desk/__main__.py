"""Measures the program beside its peers, all in one run, and prints one table.

What each line means stands with the function that measures it: `starting.py` and `sitting.py` for
the program in a terminal, `inside.py` for its parts. Times vary with what else the machine does:
trust the ratios more than the times, and CPU time more than the clock. Nothing here fails for being
slow; the exit status is 1 where a measurement could not be made."""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from bench.common import lots
from bench.common.place import SMALL_SETS, Place, Spent, draw
from bench.common.report import Report, start_as_users_do
from bench.common.sitting import Sitting
from bench.common.starting import start_rows
from bench.common.table import Row
from bench.desk import inside

MANY_SETS, BIG_SETS = 200, 400  # of 500 rows


@dataclass(frozen=True)
class Effort:
    """How often each thing is measured."""

    starts: int
    keys: int
    typed: int
    entered: int
    bursts: int
    idle: float
    hints: int
    peer_hints: int
    builds: int
    big_hints: int
    big_peer_hints: int
    big_builds: int
    previews: int


FULL = Effort(7, 220, 30, 80, 3, 5.0, 2000, 60, 5, 800, 24, 2, 6)
QUICK = Effort(1, 12, 2, 5, 1, 1.0, 200, 10, 1, 40, 2, 1, 1)


def measure(place: Place, drawn: list[Path], effort: Effort, report: Report) -> None:
    """Everything, programs first: this process is still small then, and quick to start another."""
    pictures = drawn[: lots.DRAWN]
    report.add("first card", lambda: start_rows(place, effort.starts))
    enter = Spent()
    sitting = Sitting(place)
    try:
        if report.add("desk", sitting.begin):
            report.add("keys", lambda: sitting.key_rows(effort.keys))
            pair = 2 * inside.full_size(pictures)
            report.add("cards", lambda: sitting.card_rows(effort.typed, effort.entered, pair))
            enter = sitting.enter
            report.add("burst", lambda: sitting.burst_rows(effort.bursts))
            report.add("idle", lambda: sitting.idle_rows(effort.idle))
        report.add("leaving", sitting.leave)
    finally:
        sitting.close()
    report.add("keys, many lists", lambda: many_lists(place, effort.keys, drawn))
    report.add("store", lambda: store_rows(place, enter))
    report.add("previews", lambda: inside.preview_rows(pictures, effort.previews))
    report.add(
        "matcher",
        lambda: inside.matcher_rows(SMALL_SETS, effort.hints, effort.peer_hints, effort.builds),
    )
    report.add(
        "matcher, large",
        lambda: inside.matcher_rows(
            BIG_SETS, effort.big_hints, effort.big_peer_hints, effort.big_builds
        ),
    )


def many_lists(place: Place, keys: int, drawn: list[Path]) -> Iterable[Row]:
    """Keys of hints once more, with 100,000 rows loaded, and no other lot known."""
    rows = lots.checklist(MANY_SETS, 500)
    checklist = place.checklist.with_name("many.csv")
    checklist.write_text(lots.checklist_text(rows), encoding="utf-8")
    lot = lots.lot(place.lot.with_name("many"), place.cards, drawn)
    env = {**place.env, "XDG_DATA_HOME": str(lot.with_name("other data"))}
    sitting = Sitting(replace(place, lot=lot, checklist=checklist, rows=rows, env=env))
    try:
        list(sitting.begin())
        found = list(sitting.key_rows(keys))
        list(sitting.leave())
    finally:
        sitting.close()
    return [replace(row, what=f"{row.what}, {len(rows):,} rows") for row in found]


def store_rows(place: Place, enter: Spent) -> Iterable[Row]:
    """The store's part, in a folder beside the lots."""
    timed = inside.store_writes(place.lot.parent / "store", place.cards, place.rows)
    return inside.write_rows(timed.writes, timed.appends, enter, place.cards)


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(
        prog="tests/bench/run desk", description="Measure the program beside its peers."
    )
    parser.add_argument(
        "--quick", action="store_true", help="the short form: fewer runs, about a minute"
    )
    effort = QUICK if parser.parse_args().quick else FULL
    start_as_users_do()
    report = Report()
    folder = Path(tempfile.mkdtemp(prefix="bench-"))
    try:
        place, drawn = draw(folder)
        measure(place, drawn, effort, report)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return report.printed("120 x 40 cells, 256 colours")


if __name__ == "__main__":
    sys.exit(main())

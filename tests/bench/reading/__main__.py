"""Draws cards, reads them and prints one table. Exit status 1 where an aim is missed.

The cards called `tuning` were looked at while the rules were written; the table is of those called
`held`, of those of a second press that shares nothing with the first, and of the demo's lots. Fonts
and layouts of the halves differ; of the second press, its forms. What is wrong among the
sure is bounded by the rule of three: with none among n, at 95% it is below 3/n."""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from bench.common.table import Row, table_text
from bench.reading import peer
from bench.reading.beside_desk import beside_rows
from bench.reading.cards import AsLot, Tray, drawn_tray, index_of, read_as_lot, read_whole
from bench.reading.demo_lots import demo_lot
from bench.reading.judged import Count, judged, wrongly_sure
from bench.reading.press.tray import HALVES as PRESSED
from tagger.imaging.reading.asked import model_files

SURE, AMONG_FIVE, LATER, START, MEMORY = 0.88, 0.995, 0.4, 0.6, 300
PEERS = 12  # cards that the peer reads
_CHILD = """
import resource, sys, time
from pathlib import Path
from tagger.imaging.reading.asked import CardAsked, SideAsked, model_files
from tagger.imaging.reading.card_reader import memory_taken, read_card, _reader
start = time.process_time()
_reader(model_files())
print(time.process_time() - start)
for back in sorted(Path(sys.argv[1]).glob("*b.jpg"))[:8]:
    sides = {"front": SideAsked(back.name.replace("b.", "a.")), "back": SideAsked(back.name)}
    read_card(back.parent, CardAsked(sides), model_files())
print(memory_taken() / 2**20)
"""


@dataclass(frozen=True)
class Effort:
    """Sets of each half, cards of each, and demo lots."""

    sets: int
    of_each: int
    demos: int


HALVES = {"held": ("held", "press"), "tuning": ("tuning", "press-tuning")}

FULL, QUICK = Effort(25, 12, 3), Effort(3, 6, 1)


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tests/bench/run reading", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="18 cards of each resolution")
    parser.add_argument("--half", default="held", choices=(*HALVES, *PRESSED))
    parser.add_argument("--sets", type=int, help="so many sets of each half")
    parser.add_argument("--of-each", type=int, help="so many cards of each set")
    parser.add_argument("--demos", type=int, help="so many lots of the demo")
    parser.add_argument("--keep", type=Path, help="keep scans and readings here, and go on there")
    given = parser.parse_args()
    usual = QUICK if given.quick else FULL
    effort = Effort(
        given.sets or usual.sets, given.of_each or usual.of_each,
        usual.demos if given.demos is None else given.demos,
    )  # fmt: skip
    with tempfile.TemporaryDirectory() as own:
        rows = list(_rows(given.half, effort, given.keep or Path(own)))
    load = " ".join(f"{value:.1f}" for value in os.getloadavg())
    print(
        f"{given.half}, {effort.sets} sets of {effort.of_each} cards at 200 and 300 dpi, "
        f"{effort.demos} demo lots · {os.cpu_count()} cores · load {load}"
    )
    print(table_text(rows))
    return 1 if any(row.aim.endswith("missed") for row in rows) else 0


def _rows(half: str, effort: Effort, folder: Path) -> Iterator[Row]:
    trays = [
        _read(one, dpi, effort, folder) for one in HALVES.get(half, (half,)) for dpi in (300, 200)
    ]
    sure, lots = Count(), list[AsLot]()
    for tray in trays:
        rows = [row for family in tray.families for one in family.all[:2] for row in one.rows]
        index = index_of(rows)
        lot = read_as_lot(tray, index, model_files())
        count = judged(index, lot.book, tray.cards)
        sure, lots = sure + count, [*lots, lot]
        yield _sure_row(f"sure, {tray.name} dpi", count)
    for seed in range(effort.demos):
        count, lot = demo_lot(100 + seed, folder / f"demo-{seed}")
        sure = sure + count
        yield _sure_row(f"sure, demo {seed}", count)
    yield _none_row("wrong among the sure", sure.wrong, sure.sure)
    share = sure.among_five / sure.cards
    yield Row("own row among five", f"{100 * share:.2f}%", aim=_aim(share >= AMONG_FIVE, "99.5%"))
    yield from _wrong_rows(trays)
    yield from _cost_rows(trays, lots)
    yield from _peer_rows(trays[0])
    listed = [row for family in trays[1].families for one in family.all[:2] for row in one.rows]
    yield from beside_rows(trays[1].folder, listed, folder / "beside")


def _read(half: str, dpi: int, effort: Effort, folder: Path) -> Tray:
    tray = drawn_tray(half, dpi, effort.sets, effort.of_each, folder / f"{half}-{dpi}")
    for count in read_whole(tray):
        if count % 20 == 0:
            print(f"  {tray.name} dpi: {count} of {len(tray.cards)} read", file=sys.stderr)
    return tray


def _wrong_rows(trays: list[Tray]) -> Iterator[Row]:
    found = [wrongly_sure(tray) for tray in trays]
    for name in found[0]:
        count = sum((one[name] for one in found), Count())
        yield _none_row(name, count.wrong, count.cards)


def _cost_rows(trays: list[Tray], lots: list[AsLot]) -> Iterator[Row]:
    whole = [one for tray in trays for one in tray.seconds]
    later = [one for lot in lots for one in lot.later]
    yield Row("CPU a card read whole", f"{statistics.median(whole):.2f} s")
    mean = statistics.mean(later)
    yield Row(
        "CPU a card after three of a set", f"{mean:.2f} s mean, {statistics.median(later):.2f} s",
        aim=_aim(mean <= LATER, f"{LATER} s"),
    )  # fmt: skip
    line = [sys.executable, "-c", _CHILD, str(trays[0].folder)]
    start, memory = map(float, subprocess.check_output(line, text=True).split())
    yield Row("CPU of the start", f"{start:.2f} s", aim=_aim(start <= START, f"{START} s"))
    yield Row("memory of the process", f"{memory:.0f} MB", aim=_aim(memory <= MEMORY, "300 MB"))


def _peer_rows(tray: Tray) -> Iterator[Row]:
    cards = tray.cards[:: max(1, len(tray.cards) // PEERS)][:PEERS]
    ours, said = peer.ours_read(tray, cards), "not installed"
    if peer.is_there():
        theirs, seconds = peer.both_read(tray, cards)
        said = f"Tesseract {theirs} of {len(cards)}, {seconds:.1f} s a card"
    yield Row("number and name among what was read", f"{ours} of {len(cards)}", said)


def _sure_row(name: str, count: Count) -> Row:
    share = count.sure / count.cards
    measured = f"{100 * share:.1f}% ({count.sure} of {count.cards}), {count.wrong} wrong"
    return Row(name, measured, aim=_aim(share >= SURE, f"{SURE:.0%}"))


def _none_row(name: str, wrong: int, of: int) -> Row:
    bound = f", below {300 / of:.2f}%" if not wrong and of else ""
    return Row(name, f"{wrong} of {of}{bound}", aim=_aim(not wrong, "none"))


def _aim(met: bool, aim: str) -> str:
    return f"{aim}: {'met' if met else 'missed'}"


if __name__ == "__main__":
    sys.exit(main())

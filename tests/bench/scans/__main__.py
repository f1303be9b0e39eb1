"""Measures what is said of scans of machines and artwork that nobody here drew the program by, and
prints one table, a row each scanner model. What it is tuned on (`--tuning`) and what is held out
stand apart: other designs, other machines, other photographs.

False findings are counted on good scans, as the desk gets them, and told for 1,000 scans. `near`:
all corners within 3 pixels at 300 dots per inch; `wrong`: of the edges given, off by more than 6.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from support.scanning import (
    art_folder,
    art_held,
    art_held_late,
    art_tuning,
    machines_held,
    machines_tuning,
)
from support.scanning.cards import Design
from support.scanning.machines import Machine

from bench.common.aims import Measure, at_least, at_most, below, table_text
from bench.common.table import aligned
from bench.scans import feeding
from bench.scans.faults import KINDS
from bench.scans.feeding import Fed, fed
from bench.scans.good_lots import BLANK, CUT, DAMAGE, ORDER, SIZE, Judged
from bench.scans.one_machine import Done, Effort, Task, run

WORKERS = 2
PLAIN_BEDS = 200  # levels, above which a bed is a white one
# The short form draws some 1,200 scans, which takes far longer than to measure them.
FULL, QUICK = Effort(5, 40, 20, 12), Effort(1, 8, 3, 2)
HEAD = (
    "scanner", "scans", "false/1000", "size", "damaged", "cut", "blank", "other", "order",
    "near", "wrong", "CPU/decode",
)  # fmt: skip


def row(name: str, good: Judged) -> tuple[str, ...]:
    """One row of the table."""
    rest = good.kinds.total() - sum(map(good.of, (SIZE, DAMAGE, CUT, BLANK, ORDER)))
    part = 1000 / max(1, good.scans)
    counts = [good.kinds.total(), *map(good.of, (SIZE, DAMAGE, CUT, BLANK)), rest, good.of(ORDER)]
    return (
        name,
        str(good.scans),
        *(f"{count * part:.0f}" if count else "-" for count in counts),
        f"{100 * good.near:.1f}%",
        f"{100 * good.wrong:.1f}%",
        f"{good.cpu / max(1e-9, good.decoding):.1f}",
    )


def together(parts: Iterable[Judged]) -> Judged:
    """What several lots say."""
    out = Judged()
    for part in parts:
        out.add(part)
    return out


def summary(done: list[Done]) -> list[Measure]:
    """The lines under the table, beside what is aimed at."""
    good = together(one.good for one in done)
    told = good.kinds.total()
    ratio = good.cpu / max(1e-9, good.decoding)
    return [
        at_most("false findings, all kinds", told, good.scans, 0.005),
        at_most("  damaged", good.of(DAMAGE), good.scans, 0.0003),
        at_most("  those of order and way up", good.of(ORDER), good.scans, 1.0),
        *_edge_lines(done),
        *(_fault_line(done, kind) for kind in KINDS),
        below("CPU a scan over decoding it", ratio, 4.0, "times"),
    ]


def _edge_lines(done: list[Done]) -> list[Measure]:
    beds = [one for one in done if not one.machine.cropping and not one.machine.holder]
    lines = []
    for name, light, least, most in (("plain", False, 0.98, 0.005), ("white", True, 0.85, 0.01)):
        own = [one.good for one in beds if (one.machine.bed[0] > PLAIN_BEDS) == light]
        judged = together(own)
        given = sum(off is not None for off in judged.off)
        near = round(judged.near * len(judged.off))
        lines.append(at_least(f"corners within 3 px, {name} beds", near, len(judged.off), least))
        wrong = round(judged.wrong * given)
        lines.append(at_most("  wrong among those given", wrong, given, most))
    for name, lots in (
        ("four other card sizes", [one.sized for one in done]),
        ("cards of 63 x 88 mm", [one.game for one in done]),
    ):
        sized = together(lots)
        given = sum(off is not None for off in sized.off)
        near = round(sized.near * len(sized.off))
        lines.append(at_least(f"{name}, within 3 px", near, len(sized.off), 0.95))
        lines.append(at_most("  wrong among those given", round(sized.wrong * given), given, 0.01))
        lines.append(at_most("  findings on them", sized.kinds.total(), sized.scans, 0.005))
    return lines


def _fault_line(done: list[Done], kind: str) -> Measure:
    counts = [one.faults[kind] for one in done if kind in one.faults]
    right, of = (sum(column) for column in zip(*counts, strict=True)) if counts else (0, 0)
    return at_least(f"found: {kind}", right, of, 0.98)


def _feeding(tasks: list[Task], kept: str) -> int:
    """The table of slips and of cards upside down: `right + asked / all`."""
    with ProcessPoolExecutor(WORKERS, get_context("spawn")) as pool:
        done = list(pool.map(fed, tasks))
    total = Fed()
    for one in done:
        total.add(one)
    rows = [feeding.row(task.machine.name, one) for task, one in zip(tasks, done, strict=True)]
    print(f"{kept} scans · right + asked / all, of lots; of cards upside down")
    print(aligned([feeding.HEAD, *rows, feeding.row("all", total)]), end="\n\n")
    said = list(feeding.lines(total))
    print(table_text(said))
    for task in tasks:
        shutil.rmtree(task.folder, ignore_errors=True)
    return 1 if any(line.met is False for line in said) else 0


def options_given() -> argparse.Namespace:
    """What the command line says."""
    parser = argparse.ArgumentParser(prog="tests/bench/run scans", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="16 good scans a model")
    parser.add_argument("--tuning", action="store_true", help="what the measuring is tuned on")
    parser.add_argument("--lots", type=int, help="lots a model")
    parser.add_argument("--only", metavar="WORD", default="", help="models with this in their name")
    parser.add_argument("--art", type=Path, help="a folder of decks, each a folder of pictures")
    parser.add_argument("--good", action="store_true", help="good scans only")
    parser.add_argument("--feeding", action="store_true", help="slips and upside down alone")
    parser.add_argument("--keep", type=Path, help="a new folder for the scans and what was said")
    return parser.parse_args()


def main() -> int:
    """Returns the exit status."""
    options = options_given()
    effort = QUICK if options.quick else FULL
    effort = Effort(options.lots or effort.lots, effort.cards, effort.faults, effort.sized)
    if options.good:
        effort = Effort(effort.lots, effort.cards, 0, 0)
    designs: tuple[Design, ...] = art_held.DESIGNS + art_held_late.DESIGNS
    models: tuple[Machine, ...] = machines_held.MACHINES
    if options.tuning:
        designs, models = art_tuning.DESIGNS, machines_tuning.MACHINES
    if options.art:
        designs = art_folder.designs_in(options.art)
    folder = options.keep or Path(tempfile.mkdtemp(prefix="bench-scans-"))
    kept = "tuning" if options.tuning else "held"
    tasks = [
        Task(machine, designs, folder / machine.name, effort, f"{kept} 1")
        for machine in models
        if options.only in machine.name
    ]
    if options.feeding:
        return _feeding(tasks, kept)
    with ProcessPoolExecutor(WORKERS, get_context("spawn")) as pool:
        done = list(pool.map(run, tasks))
    total = together(one.good for one in done)
    print(f"{kept} scans · false findings in 1,000 good scans")
    rows = [row(one.machine.name, one.good) for one in done]
    print(aligned([HEAD, *rows, row("all", total)]), end="\n\n")
    print(table_text(lines := summary(done)))
    if options.keep:
        told = [f"{where}\t{finding.kind}\t{finding.detail}" for where, finding in total.told]
        (folder / "told.txt").write_text("\n".join(told) + "\n")
    else:
        shutil.rmtree(folder, ignore_errors=True)
    return 1 if any(line.met is False for line in lines) else 0


if __name__ == "__main__":
    sys.exit(main())

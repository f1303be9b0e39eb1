"""Measures the matcher at two sizes of checklist beside its aims, and prints one table.

What each line means stands in `answers.py` (how often it is right, how much is typed) and
`cost.py` (time and memory); the checklists are drawn by `world.py`, the hints by
`typist.py`, the lots by `trays.py`. Times vary with what else the machine does: trust the
ratios more. The exit status is 0, whatever is met or missed.

The figures that are reported come from checklists and hints of the seeds HELD_OUT. Whoever works on
the weights looks at those of TUNING alone (`--tune`, and with `--wrong N` at what went wrong
there): other people, other sets, other hints."""

from __future__ import annotations

import argparse
import gc
import os
import platform
import random
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from bench.common.world import World
from bench.hints import answers, cost
from bench.hints.answers import Tally, Wrong
from bench.hints.lines import Measured, table_of
from bench.hints.seeds import HELD_OUT, TUNING
from tagger.core.matching.matcher import Matcher


@dataclass(frozen=True)
class Effort:
    """How much is tried at one size: in each world so many sets with so many hints a line, and so
    many lots of so many cards; keystrokes are timed in so many sets."""

    rows: int
    sets: int
    hints: int
    lots: int
    cards: int
    timed: int
    peers: int
    builds: int
    loads: int


FULL = (
    Effort(100_000, 25, 40, 15, 100, 20, 36, 5, 9),
    Effort(1_000_000, 25, 30, 15, 100, 20, 24, 2, 5),
)
QUICK = (Effort(10_000, 8, 30, 5, 60, 6, 10, 2, 2), Effort(50_000, 8, 30, 5, 60, 6, 6, 1, 2))


def measure(effort: Effort, seeds: Sequence[int], folder: Path, costs: bool) -> Measured:
    """Everything at one size; what it costs, in the first world only."""
    measured = Measured(effort.rows)
    for seed in seeds:
        start = time.perf_counter()
        world = World(effort.rows, seed)
        path = folder / f"{effort.rows}-{seed}" / "lists.csv"
        path.parent.mkdir()
        path.write_bytes(world.csv())
        gc.collect()
        # what was drawn is not the program's, so the collector need not look at it while it is
        # timed
        gc.freeze()
        taken, index = cost.building([path], effort.builds if costs else 1)
        matcher = Matcher(index)
        if costs:
            costs, measured.built = False, taken
            measured.loaded = cost.loading([path], effort.loads)
            measured.memory = {how: cost.memory([path], how) for how in ("built", "cached")}
            measured.cost = cost.keystroke_cost(
                matcher, world, seed, effort.timed, effort.hints, effort.peers
            )
        answers.answered(
            matcher, answers.asked(world, seed, effort.sets, effort.hints), measured.lines
        )
        answers.presorted_keys(matcher, world, seed, effort.lots, effort.cards, measured.presorted)
        answers.shuffled_keys(matcher, world, seed, effort.lots, effort.cards, measured.shuffled)
        shutil.rmtree(path.parent)
        print(
            f"  {world.rows:,} rows, seed {seed}: {time.perf_counter() - start:.0f} s",
            file=sys.stderr,
        )
        del world, matcher, index
        gc.unfreeze()
    return measured


def explained(line: str, tally: Tally, count: int) -> Iterator[str]:
    """Some of the hints of a line that went wrong: hint, context, what was meant, what came
    first."""
    sure = f"; above {answers.SURE} {tally.sure:,}, right {tally.sure_right:,}"
    yield f"\n{line}: {len(tally.wrong):,} of {tally.hints:,} not first{sure}"
    for wrong in random.Random(line).sample(tally.wrong, min(count, len(tally.wrong))):
        yield from _explained(wrong)


def _explained(wrong: Wrong) -> Iterator[str]:
    typed, before = wrong.asked.typed, wrong.asked.context.before
    card = typed.card
    known = ", ".join(f"{name} /{run}" if run else name for name, run in card.parallels)
    place = "not among nine" if wrong.place is None else f"place {wrong.place + 1}"
    said = " ".join(
        part for part in (typed.parallel or "base", typed.serial, typed.condition) if part
    )
    yield (
        f"  '{typed.text}'"
        + (f" after #{before.number}" if before else "")
        + f" [{typed.set}: {known or 'no parallels'}]"
    )
    yield f"      meant  #{card.number} {card.person.name}, {said} ({place})"
    for found in wrong.found[: (wrong.place or 0) + 1][:3]:
        other = f" [{found.tags.set}]" if found.tags.set != typed.set else ""
        problem = f" ({found.problem})" if found.problem else ""
        yield (
            f"      {found.confidence:5.3f}  {found.tags.brief()}{other}: "
            f"{found.explained()}{problem}"
        )


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(
        prog="tests/bench/run hints", description="Measure the matcher."
    )
    parser.add_argument(
        "--quick", action="store_true", help="the short form: small checklists, few hints, no aims"
    )
    parser.add_argument(
        "--tune", action="store_true", help="other checklists and hints, to work with; no costs"
    )
    parser.add_argument(
        "--wrong", type=int, default=0, metavar="N", help="with --tune: N wrong hints of each line"
    )
    given = parser.parse_args()
    if given.wrong and not given.tune:
        parser.error("--wrong shows hints of the tuning seeds only: it needs --tune")
    folder = Path(tempfile.mkdtemp(prefix="hints-"))
    try:
        sizes = [
            measure(effort, seeds, folder, costs=not given.tune)
            for effort, seeds in zip(
                QUICK if given.quick else FULL, TUNING if given.tune else HELD_OUT, strict=True
            )
        ]
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    print(table_of(sizes, aims=not given.quick))
    load = " ".join(f"{value:.1f}" for value in os.getloadavg())
    print(f"Python {platform.python_version()} · {os.cpu_count()} cores · load {load}")
    if given.wrong:
        for measured in sizes:
            print(f"\n{measured.rows:,} rows")
            for line, tally in measured.lines.items():
                print("\n".join(explained(line, tally, given.wrong)))
    return 0


if __name__ == "__main__":
    sys.exit(main())

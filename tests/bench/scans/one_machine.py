"""All that is measured on one machine, in a process of its own."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from support.scanning.cards import Design
from support.scanning.machines import Machine

from bench.scans.faults import KINDS, found, makes
from bench.scans.good_lots import Judged, judged, mixed

SIZES = ((59.0, 86.0), (57.0, 89.0), (67.0, 95.0), (70.0, 120.0))  # mm
GAME = (63.0, 88.0)  # mm, cards of most games, which no dealer calls another size


@dataclass(frozen=True)
class Effort:
    """Lots of a machine, cards of a lot, scans of each fault, cards of each other size."""

    lots: int
    cards: int
    faults: int
    sized: int


@dataclass(frozen=True)
class Task:
    """All that is measured on one machine, in a process of its own."""

    machine: Machine
    designs: tuple[Design, ...]
    folder: Path
    effort: Effort
    seed: str


@dataclass(frozen=True)
class Done:
    """Of one machine: its good scans, its lots of other sizes and those of GAME, and of each fault
    how many were found, of how many."""

    machine: Machine
    good: Judged
    sized: Judged
    game: Judged
    faults: dict[str, tuple[int, int]]


def run(task: Task) -> Done:
    """Draw and measure."""
    os.nice(10)
    good, sized, game = Judged(), Judged(), Judged()
    for at, designs in enumerate(mixed(task.designs, task.seed, task.effort.lots)):
        folder = task.folder / f"good {at}"
        good.add(judged(folder, designs, task.machine, task.effort.cards, f"{task.seed} {at}"))
    # Cards in holders of another size have another one too, which the models do not know.
    for size in (*SIZES, GAME) if task.effort.sized and not task.machine.holder else ():
        folder = task.folder / f"{size[0]:.0f} x {size[1]:.0f} mm"
        cards, designs = task.effort.sized, list(task.designs[:2])
        lot = judged(folder, designs, task.machine, cards, task.seed, size)
        (game if size == GAME else sized).add(lot)
    faults = {}
    for kind in KINDS:
        if task.effort.faults and makes(kind, task.machine):
            faults[kind] = _faults(task, kind)
    return Done(task.machine, good, sized, game, faults)


def _faults(task: Task, kind: str) -> tuple[int, int]:
    right = of = 0
    folder = task.folder / f"not found, {kind}"
    for was, data in found(kind, task.designs, task.machine, task.effort.faults, task.seed):
        right, of = right + was, of + 1
        if not was:
            folder.mkdir(exist_ok=True)
            (folder / f"{of}.jpg").write_bytes(data)
    return right, of

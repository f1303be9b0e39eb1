"""The two waits that the shape of the code decides: until the first card, and after Enter."""

from __future__ import annotations

import shutil
import statistics
import tempfile
from pathlib import Path

from bench.common.place import Place, Spent, draw
from bench.common.report import start_as_users_do
from bench.common.sitting import Sitting
from bench.common.starting import first_card, first_paint


def waits(starts: int, entered: int) -> tuple[float, float]:
    """The time to the first card over a bare app's time to its first paint, and from Enter to the
    next pair over the CPU time that the program spends on it. Medians."""
    start_as_users_do()
    folder = Path(tempfile.mkdtemp(prefix="bench-"))
    try:
        place, _ = draw(folder)
        return _first_card(place, starts), _enter(place, entered)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _first_card(place: Place, starts: int) -> float:
    program, bare = Spent(), Spent()
    # The first round compiles the modules of both and is not counted.
    for round_ in range(starts + 1):
        if round_ == 1:
            program, bare = Spent(), Spent()
        first_card(place, place.lot, place.cards, program)
        first_paint(place, bare)
    return statistics.median(program.wall) / statistics.median(bare.wall)


def _enter(place: Place, cards: int) -> float:
    sitting = Sitting(place)
    try:
        list(sitting.begin())
        spent = sitting.entered(cards)
        list(sitting.leave())
    finally:
        sitting.close()
    return statistics.median(spent.wall) / statistics.median(spent.cpu)

"""From the start of the program to its first card, beside a bare app's first paint."""

from __future__ import annotations

import shutil
import statistics
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from bench.common.place import BARE, Place, Spent
from bench.common.table import Row, times

FIRST = 1.2  # times the bare app's first paint: the aim for the first card


def start_rows(place: Place, runs: int) -> Iterator[Row]:
    """From the start of the program until its screen shows the first card's position and block
    cells of its front, in turn with the bare app until it shows READY. CPU time is that of all
    threads, until the same byte.

    A lot "opened before" has its document, with no card tagged. For a lot "never opened" all but
    the scans and the user's list of lots are taken away before each run. The scans are in the
    system's file cache."""
    before, fresh, bare = Spent(), Spent(), Spent()
    first_card(place, place.lot, place.cards, Spent())  # compiles the modules
    first_paint(place, Spent())
    for _ in range(runs):
        first_card(place, place.lot, place.cards, before)
        first_paint(place, bare)
        for path in place.large.iterdir():
            if path.suffix != ".jpg":
                path.unlink()
        shutil.rmtree(place.env["XDG_DATA_HOME"], ignore_errors=True)
        first_card(place, place.large, place.large_cards, fresh)
        first_paint(place, bare)
    known = f"first card, {place.cards} cards, opened before"
    new = f"first card, {place.large_cards * 2:,} scans, never opened"
    ratio = statistics.median(before.wall) / statistics.median(bare.wall)
    told = f"{FIRST} x: {'met' if ratio <= FIRST else 'missed'}"
    yield replace(times(known, before.wall, f"{BARE}, first paint", bare.wall), aim=told)
    yield times(f"{known}, CPU", before.cpu, f"{BARE}, first paint", bare.cpu)
    yield times(new, fresh.wall, f"{BARE}, first paint", bare.wall, aim=1.5)
    yield times(f"{new}, CPU", fresh.cpu, f"{BARE}, first paint", bare.cpu)


def first_card(place: Place, folder: Path, cards: int, spent: Spent) -> None:
    with place.open(folder) as line:
        piece = line.reached(
            lambda: f"card 1 of {cards} " in line.screen.display[0] and line.front_drawn(),
            quiet=0.3,
        )
        spent.wall.append(piece.at - line.started)
        spent.cpu.append(piece.cpu)
        line.leave()


def first_paint(place: Place, spent: Spent) -> None:
    with place.bare() as line:
        piece = line.reached(lambda: "READY" in line.screen.display[0], quiet=0.3)
        spent.wall.append(piece.at - line.started)
        spent.cpu.append(piece.cpu)

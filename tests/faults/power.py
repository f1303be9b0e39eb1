"""Power cuts at random calls to a simulated disk: what is left must open, with all that was
acknowledged."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from faults.disk import Disk
from faults.edits import Model, Tally, Work, do, format_1, judge, old_lot

from tagger.store.lot import checkpoint
from tagger.store.lot.lot_file import LotFile

# files that may be left by a cut, and the lots that may be in them
State = tuple[dict[str, bytes], list[Model]]


@contextmanager
def often(after: int, large: int = 1500) -> Iterator[None]:
    """`lot.json` follows after so many changes, and is written by a thread from so many cards."""
    kept = checkpoint.AFTER, checkpoint.LARGE
    checkpoint.AFTER, checkpoint.LARGE = after, large
    try:
        yield
    finally:
        checkpoint.AFTER, checkpoint.LARGE = kept


def sitting(
    contents: dict[str, bytes], start: Model, home: Path, source: random.Random, rate: float
) -> list[State]:
    """Open a lot on a disk with these files, work at it, close it; returns what cuts at random
    moments leave."""
    disk = Disk(contents, seed=source.randrange(1 << 30))
    cuts: list[State] = []
    allowed = [start]
    chance = random.Random(source.randrange(1 << 30))

    def watch() -> None:
        if chance.random() < rate:
            cuts.append((disk.cut(chance), list(allowed)))

    disk.watch = watch
    store = LotFile(home, "lot", disk)
    model, work = start, Work(source)
    for _ in range(source.randrange(4, 40)):
        step = work.step(model)
        after = model.clone()
        after.do(step)
        allowed = [model, after]
        do(store, step)
        model = after
        allowed = [model]
    after = model.clone()
    after.do(("settle", ()))
    allowed = [model, after]
    store.close()
    allowed = [after]
    cuts.append((disk.cut(chance), [after]))
    return cuts


def power(home: Path, states: int, seed: int = 0) -> Tally:
    """Cut the power until so many states of the disk were opened. A sitting goes on from what a cut
    left."""
    tally = Tally("power")
    source = random.Random(seed)
    while tally.tried < states:
        contents: dict[str, bytes] = {}
        start = Model()
        if source.random() < 0.2:
            start = old_lot(source.randrange(1 << 30))
            contents = {"lot.json": format_1(start)}
        rate = 0.04
        for _ in range(3):
            told = f"seed {seed}, state {tally.tried}"
            with often(source.choice((2, 9, 400)), source.choice((1, 1500, 1500, 1500))):
                cuts = sitting(contents, start, home, source, rate)
            going_on: list[tuple[dict[str, bytes], Model]] = []
            for files, allowed in cuts:
                model = judge(tally, Disk(files), home, allowed, told)
                if model is not None:
                    going_on.append((files, model))
            if not going_on:
                break
            contents, start = source.choice(going_on)
    return tally

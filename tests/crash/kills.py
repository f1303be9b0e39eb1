"""kill -9 of a child at work on a real lot: at any moment, opening and closing included, over many
lives of one lot."""

from __future__ import annotations

import os
import random
import signal
import time
from pathlib import Path

from faults.disk import Disk
from faults.edits import Model, Tally, do, format_1, judge, old_lot, steps_from
from faults.power import often

from tagger.store.lot.lot_file import LotFile

LIVES = 10  # kills of one lot, one after the other
SITTING = 60  # steps after which a child closes the lot and opens it again


def killed(home: Path, start: Model, seed: int, wait: float) -> int:
    """Let a child open a lot and work at it, kill it after `wait` seconds, and say how many steps
    it reported."""
    end, told = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(end)
            _work(home, start, seed, told)
        finally:
            os._exit(1)
    os.close(told)
    time.sleep(wait)
    os.kill(child, signal.SIGKILL)
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    reported = 0
    while more := os.read(end, 65536):
        reported += len(more)
    os.close(end)
    if status != -signal.SIGKILL:
        raise AssertionError(f"the child ended by itself with {status}")
    return reported


def _work(home: Path, start: Model, seed: int, told: int) -> None:
    store = LotFile(home, "lot")
    for number, (step, _) in enumerate(steps_from(start, seed), start=1):
        do(store, step)
        os.write(told, b".")
        if number % SITTING == 0:
            store.close()
            store = LotFile(home, "lot")


def kills(folder: Path, count: int, seed: int = 0) -> Tally:
    """So many kills. A life of a lot goes on from what the kill before left; one lot in three was
    of format 1."""
    tally = Tally("kills")
    source = random.Random(seed)
    while tally.tried < count:
        home = folder / str(tally.tried)
        home.mkdir()
        model = Model()
        if source.random() < 0.35:
            model = old_lot(source.randrange(1 << 30), source.choice((5, 40, 150)))
            (home / "lot.json").write_bytes(format_1(model))
        for _ in range(min(LIVES, count - tally.tried)):
            told = f"seed {seed}, kill {tally.tried}"
            life = source.randrange(1 << 30)
            with often(source.choice((2, 7, 400)), source.choice((1, 1500))):
                reported = killed(home, model, life, source.random() ** 2 * 0.05)
            before, after = _around(model, life, reported)
            files = {path.name: path.read_bytes() for path in home.glob("lot.*")}
            left = judge(
                tally, Disk(files), home, [before, after], f"{told}, {reported} steps reported"
            )
            if left is None:
                break
            model = left
    return tally


def _around(start: Model, seed: int, reported: int) -> tuple[Model, Model]:
    """What the lot must be after so many steps, and after one more: the one under way when the kill
    came."""
    before = start
    work = steps_from(start, seed)
    for _ in range(reported):
        before = next(work)[1]
    return before, next(work)[1]

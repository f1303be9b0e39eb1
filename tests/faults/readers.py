"""A program from outside that reads `lot.json` all the while a lot is being worked at."""

from __future__ import annotations

import contextlib
import json
import os
import signal
from functools import partial
from pathlib import Path

from faults.child import child, ended
from faults.edits import Model, Tally, do, steps_from
from faults.power import often

from tagger.store.lot.lot_file import LotFile


def reads(home: Path, changes: int, seed: int = 0) -> Tally:
    """Read `lot.json` in another process during so many steps: it is there from the first time on,
    whole, and its tables are a lot's."""
    tally = Tally("reads")
    with often(3):
        store = LotFile(home, "lot")
        work = steps_from(Model(), seed)
        do(store, next(work)[0])
        store.settle()
        reader, end = child(partial(_read, home / "lot.json"))
        said = os.read(end, 1)  # it has begun to read
        os.set_blocking(end, False)
        for _ in range(changes):
            do(store, next(work)[0])
            with contextlib.suppress(BlockingIOError):
                said += os.read(end, 1 << 20)  # a pipe that is full would stop the reader
        os.set_blocking(end, True)
        os.kill(reader, signal.SIGTERM)
        status, rest = ended(reader, end)
        said += rest
        store.close()
    tally.tried = said.count(b".")
    if status != -signal.SIGTERM:
        tally.wrong.append(f"the reader ended by itself with {status}")
    if b"!" in said:
        tally.wrong.append("lot.json was not valid, or not there, at a moment")
    return tally


def _read(path: Path, told: int) -> int:
    while True:
        try:
            tables = json.loads(path.read_bytes())
            good = tables["state"]["1"]["format"] == 2 and len(tables["cards"]) == len(
                tables["state"]["1"]["order"]
            )
        except (OSError, ValueError, KeyError):
            good = False
        os.write(told, b"." if good else b"!")

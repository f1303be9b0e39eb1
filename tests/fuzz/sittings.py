"""Sittings at both screens in processes of their own, several at once: most of a sitting is waiting
for a screen to stand still.

    python -m fuzz.sittings FOLDER desk|find SIZE NUMBER..."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict
from pathlib import Path

from fuzz import keys
from fuzz.tally import Tally, searched
from support.folders import opened_before, own_folders

SCREENS = ("desk", "find")


def at_length(batches: int, size: int, together: int) -> Iterator[Tally]:
    """So many batches of so many keys and sequences at each screen, so many sittings at once."""
    for screen in SCREENS:
        tally = Tally(f"keys at the {screen} screen")
        parts = [range(at, batches, together) for at in range(min(together, batches))]
        with ThreadPoolExecutor(together) as threads:
            for found in threads.map(lambda part, at=screen: _elsewhere(at, size, part), parts):
                tally.join(found)
        yield tally


def _elsewhere(screen: str, size: int, numbers: Sequence[int]) -> Tally:
    with tempfile.TemporaryDirectory() as name:
        environment = {**searched(), **own_folders(Path(name) / "own")}
        done = subprocess.run(
            [sys.executable, "-m", "fuzz.sittings", name, screen, str(size), *map(str, numbers)],
            capture_output=True, text=True, env=environment,
        )  # fmt: skip
    if done.returncode:
        return Tally(screen, traces=[f"the process ended: {done.stderr[-1500:]}"])
    return Tally(**json.loads(done.stdout))


def sitting(home: Path, screen: str) -> keys.Sitting:
    """A sitting at a screen, over a lot of its own."""
    opened_before(os.environ)
    desk = keys.desk(home)
    if screen == "desk":
        return desk
    # the lot is on this machine's list now
    desk.close()
    return keys.find(home, home / "box 12")


if __name__ == "__main__":
    folder, what, keys_each, *batches = sys.argv[1:]
    at = sitting(Path(folder), what)
    try:
        for batch in map(int, batches):
            at.batch(batch, what == "desk", int(keys_each))
    finally:
        at.close()
    print(json.dumps(asdict(at.tally)))

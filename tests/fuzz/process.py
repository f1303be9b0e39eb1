"""Cases of some kinds in one process of their own: a case may end it, and to begin one for each
would take a hundred times as long as the case.

    echo '{"lists": [1, 2]}' | python -m fuzz.process FOLDER"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

from fuzz import damaged, documents
from fuzz.kinds import KINDS
from fuzz.tally import Tally, searched
from support.folders import own_folders
from support.peak_memory import peak_memory

Found = Iterator[dict[str, object]]
RUNS: dict[str, Callable[[Path, Sequence[int]], Found]] = {
    **{kind: partial(documents.run, kind) for kind in KINDS},
    "damaged": damaged.run,
}
# each change is synced, which takes most of the time on a disk
IN_MEMORY = Path("/dev/shm")


def fuzz(cases: Mapping[str, Sequence[int]]) -> dict[str, Tally]:
    """What these cases came to, by kind."""
    tallies = {kind: Tally(kind, len(numbers)) for kind, numbers in cases.items()}
    with tempfile.TemporaryDirectory(dir=IN_MEMORY if IN_MEMORY.is_dir() else None) as folder:
        done = subprocess.run(
            [sys.executable, "-m", "fuzz.process", folder],
            capture_output=True,
            text=True,
            input=json.dumps({kind: list(numbers) for kind, numbers in cases.items()}),
            env=searched(),
            cwd=folder,
        )
    last = next(iter(tallies.values()))
    for line in done.stdout.splitlines():
        found = json.loads(line)
        last = tallies[found["kind"]]
        last.add(found)
    if done.returncode:
        last.traces.append(f"the process ended with {done.returncode}: {done.stderr[-1500:]}")
    last.printed, last.words = len(done.stderr), done.stderr[:500]
    return tallies


def fuzz_at_length(kinds: Iterable[str], count: int, processes: int) -> list[Tally]:
    """So many cases of each kind, spread over some processes."""
    parts = [
        (kind, range(at, count, processes)) for kind in kinds for at in range(min(processes, count))
    ]
    tallies: dict[str, Tally] = {}
    with ThreadPoolExecutor(processes) as threads:
        for (kind, _), found in zip(
            parts, threads.map(lambda part: fuzz(dict([part])), parts), strict=True
        ):
            tallies.setdefault(kind, Tally(kind)).join(found[kind])
    return list(tallies.values())


def _run(folder: Path, cases: Mapping[str, Sequence[int]]) -> Iterator[dict[str, object]]:
    for kind, numbers in cases.items():
        home = folder / kind
        home.mkdir()
        os.environ |= own_folders(home / "own")
        for found in RUNS[kind](home, numbers):
            yield {"kind": kind, **found}
        yield {"kind": kind, "memory": peak_memory()}


if __name__ == "__main__":
    for each in _run(Path(sys.argv[1]), json.load(sys.stdin)):
        print(json.dumps(each), flush=True)

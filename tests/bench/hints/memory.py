"""The child process in which an index's memory is measured: `python -m bench.hints.memory
built|cached FILE...` prints JSON."""

from __future__ import annotations

import ctypes
import gc
import json
import random
import sys
from pathlib import Path

from bench.hints.cost import build, load_cached
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context

SETS, HINTS = 4, 25  # that are typed, key by key


def resident() -> int:
    """Bytes in memory, once all that is free was given back."""
    gc.collect()
    ctypes.CDLL(None).malloc_trim(0)
    lines = Path("/proc/self/smaps_rollup").read_text(encoding="utf-8").splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith("Rss:"))


def type_hints(index: Index) -> None:
    """Numbers and names, key by key, in a few sets."""
    source, matcher = random.Random(1), Matcher(index)
    for set_id in source.sample(range(len(index.sets)), SETS):
        context = Context(Carried((("set", index.sets[set_id]),)))
        for step in source.choices(index.steps(set_id), k=HINTS):
            row = index.row(step)
            hint = f"{row.number} {row.subject.split()[1][:4]}"
            for end in range(1, len(hint) + 1):
                matcher.rank(hint[:end], context)


def main() -> int:
    """Print how many bytes the index takes, and how many after some typing."""
    how, paths = sys.argv[1], [Path(name) for name in sys.argv[2:]]
    Matcher(build([])).rank("1")  # all that is imported or made once is there
    before = resident()
    index = build(paths) if how == "built" else load_cached(paths)
    if index is None:
        print("{}")
        return 0
    loaded = resident() - before
    type_hints(index)
    print(json.dumps({"loaded": loaded, "typed": resident() - before}))
    return 0


if __name__ == "__main__":
    sys.exit(main())

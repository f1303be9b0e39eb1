"""What the matcher costs: CPU time of keystrokes, of building and of loading, and memory; one line
of the table each.

- a keystroke: CPU time of the thread for `Matcher.rank` with what is typed so far, each beginning
  of each hint in turn (`typist.py`; every other hint with a slip). A third of the hints come
  with nothing known, a third with the set carried, a third after a card, all of one set before the
  next one, as in a lot. The median and the 99th percentile.
- the peer: rapidfuzz's `process.extract(…, scorer=WRatio, limit=9)` over the texts of all rows, for
  some of these very keystrokes, in the same run.
- built: the checklist file read and indexed. Loaded from the cache: an index that was kept before,
  trusted and opened.
- memory: resident set in a fresh process, from after the modules are imported until the index is
  there, with all that is free given back (`memory.py`); and the same after some hundred
  keystrokes.
"""

from __future__ import annotations

import json
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rapidfuzz import fuzz, process

from bench.common.world import World
from bench.hints.answers import Asked, context_of, sets_of, tray
from bench.hints.trays import presorted
from bench.hints.typist import Typist
from tagger.core.checklist.checklist import merge
from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.store.read_lists import read_indexed


def build(paths: Sequence[Path]) -> Index:
    """Checklist files read and indexed, without a cache."""
    return Index(
        merge([parse_checklist(path.read_bytes(), path.name, path.stem) for path in paths])
    )


def load_cached(paths: Sequence[Path]) -> Index | None:
    """The index of some checklist files as it was kept by the first call; None where nothing can be
    kept."""
    cache = paths[0].parent / "cache"
    found = read_indexed(paths, cache).index
    return found if any(cache.glob("*")) else None


@dataclass(frozen=True)
class Cost:
    """Seconds of CPU time, bytes."""

    keystrokes: Sequence[float]
    unknown: Sequence[float]
    """Those of the keystrokes with nothing known."""
    peer: Sequence[float]

    @property
    def ratio(self) -> float:
        """How many times faster than the peer, by the medians."""
        return statistics.median(self.peer) / statistics.median(self.keystrokes)


def cpu(work: Callable[..., Any], *given: Any, **named: Any) -> tuple[float, Any]:
    """CPU time of this thread for some work in seconds, and what came of it."""
    start = time.thread_time()
    found = work(*given, **named)
    return time.thread_time() - start, found


def keystroke_cost(
    matcher: Matcher, world: World, seed: int, sets: int, hints: int, peers: int
) -> Cost:
    """Keystrokes, and some of them looked for by the peer."""
    strokes = _keystrokes(world, seed, sets, hints)
    for text, context in strokes[:20]:
        matcher.rank(text, context)  # what is looked up once and kept is not a keystroke's
    taken = [cpu(matcher.rank, text, context)[0] for text, context in strokes]
    unknown = [
        seconds
        for seconds, (_, context) in zip(taken, strokes, strict=True)
        if not context.carried.pairs
    ]
    texts = world.texts()
    some = random.Random(seed).sample(strokes, min(peers, len(strokes)))
    peer = [cpu(process.extract, text, texts, scorer=fuzz.WRatio, limit=9)[0] for text, _ in some]
    return Cost(taken, unknown, peer)


def _keystrokes(world: World, seed: int, sets: int, hints: int) -> list[tuple[str, Context]]:
    source, typist = random.Random(f"keystrokes {seed}"), Typist(f"keystrokes {seed}")
    found: list[Asked] = []
    for cards in sets_of(world, sets, source):
        for at, (card, context) in enumerate(
            tray(cards, presorted(len(cards.cards), hints, source))
        ):
            typed = typist.mixed(cards, card)
            if at % 2:
                typed = typist.slipped(typed)
            found.append(Asked(typed, (Context(), context_of(cards), context)[at % 3]))
    return [
        (one.typed.text[:end], one.context)
        for one in found
        for end in range(1, len(one.typed.text) + 1)
    ]


def building(paths: Sequence[Path], times: int) -> tuple[list[float], Index]:
    """CPU time of building, at least once, and the last index."""
    seconds, index = cpu(build, paths)
    taken = [seconds]
    while len(taken) < times:
        del index  # two at a time are of no use to anyone
        seconds, index = cpu(build, paths)
        taken.append(seconds)
    return taken, index


def loading(paths: Sequence[Path], times: int) -> list[float]:
    """CPU time of loading from the cache, several times; empty where there is no cache."""
    if load_cached(paths) is None:
        return []
    return [cpu(load_cached, paths)[0] for _ in range(times)]


def memory(paths: Sequence[Path], how: str) -> dict[str, int]:
    """Bytes in a fresh process: `loaded` and `typed`; empty where there is no cache. `how` is built
    or cached."""
    command = [sys.executable, "-m", "bench.hints.memory", how]
    told = subprocess.run(
        [*command, *map(str, paths)], check=True, capture_output=True, text=True
    ).stdout
    return dict(json.loads(told))

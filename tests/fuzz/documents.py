"""Each kind of document that the program reads, changed in its structure, with right checksums
where they have any: whatever stands in them, a command ends with a status and a sentence."""

from __future__ import annotations

import traceback
from collections.abc import Iterator, Sequence
from pathlib import Path

from fuzz.kinds import KINDS
from fuzz.world import Hangs, World, command

CRASHED = "file in tagger's cache could not be used"  # by what was read in it, or by anything else
SLOW = 3.0  # seconds of CPU for one command


def run(kind: str, home: Path, numbers: Sequence[int]) -> Iterator[dict[str, object]]:
    """Each case that was wrong, and at the end the slowest."""
    world = World(home)
    slowest = 0.0
    for number in numbers:
        try:
            for words in KINDS[kind](world, number):
                status, said, took = command(words)
                slowest = max(slowest, took)
                if took > SLOW:
                    yield {"case": number, "slow": f"{took:.1f} s: {words}"}
                if status and not said:
                    yield {"case": number, "silent": f"status {status} without a word: {words}"}
                if CRASHED in said and kind != "caches":
                    yield {"case": number, "trace": f"{words}: {said[:300]}"}
                if not said.replace("\n", "").isprintable():
                    yield {"case": number, "trace": f"not printable: {said!r}"}
        except (Exception, Hangs):
            yield {"case": number, "trace": traceback.format_exc()[-700:]}
        world.restore()
    yield {"slowest": slowest}

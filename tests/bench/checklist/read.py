"""Lists read from disk and judged."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

from bench.checklist.habits import habits
from bench.checklist.later import later
from bench.checklist.latest import latest
from bench.checklist.mixed import mixed
from bench.checklist.shelves import shelves
from bench.lists.judged import verdict
from tagger.core.checklist.checklist import Checklist
from tagger.core.model.text import fold
from tagger.store.read_lists import read_checklist

# makers and how many of them: a hundred in all
BATCHES: Mapping[str, tuple[Callable[[int, int], Iterator[Any]], int]] = {
    "seven languages": (shelves, 63),
    "at random": (mixed, 15),
    "single habits": (habits, 22),
    "made later": (later, 24),
    "made last": (latest, 24),
}
_ALL_ROWS = re.compile(
    r"as the set|names the set|set by|is not known as a heading|only kept|"
    r"no known column names|no column for the number"
)


class Found(NamedTuple):
    """How many of some lists are read right, not right but told, wrong in silence."""

    right: int
    told: int
    silent: int

    def line(self, name: str) -> str:
        """A line of the table."""
        return f"| {name} | {sum(self)} | {self.right} | {self.told} | {self.silent} |"


def read_batch(files: Iterable[Any], step: int = 1, show: bool = False) -> Found:
    """Every `step`-th of some files, read."""
    right = told = silent = 0
    with tempfile.TemporaryDirectory() as folder:
        for one in islice(files, 0, None, step):
            path = Path(folder) / one.name
            path.write_bytes(one.data)
            read = read_checklist(path)
            said = verdict(read, one)
            is_told = not said.right and about(read, said.why)
            right, told = right + said.right, told + is_told
            silent += not said.right and not is_told
            if show and not said.right:
                print(f"  {one.shape}: {'told' if is_told else 'SILENT'}: {said.why}")
                for problem in read.problems:
                    print(f"      {problem.sentence()}")
    return Found(right, told, silent)


def about(read: Checklist, why: str) -> bool:
    """Whether a message is about what differs: one of the words in quotation marks of the
    difference, or a number of a card, stands in it."""
    words = {word for word in re.findall(r"[^\W_]+", fold(why)) if len(word) > 3 or word.isdigit()}
    words -= {
        "missing",
        "meant",
        "there",
        "none",
        "team",
        "parallels",
        "another",
        "count",
        "series",
    }
    for problem in read.problems:
        said = fold(problem.sentence())
        if _ALL_ROWS.search(said) or words & set(re.findall(r"[^\W_]+", said)):
            return True
    return False

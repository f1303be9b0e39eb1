"""What is drawn for a run, and how the program and its peer are started in it."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from support.drawn import Truth
from support.folders import opened_before, own_folders

from bench.common import lots
from bench.common.timed_terminal import TimedTerminal

BARE = "bare Textual app"
# Beside the benchmarks, on the disk that the program is on: /tmp is memory on many machines. Git
# ignores it.
DRAWN = Path(__file__).parents[1] / "drawn"
PROGRAM = (sys.executable, "-m", "tagger")
CARDS, LARGE = 400, 500
SMALL_SETS = 20  # of 500 rows


@dataclass(frozen=True)
class Place:
    """What was drawn for a run, and the environment that keeps it from the user's own files."""

    lot: Path
    cards: int
    large: Path
    large_cards: int
    checklist: Path
    rows: list[Truth]
    env: Mapping[str, str]

    def open(self, folder: Path) -> TimedTerminal:
        return TimedTerminal(
            [*PROGRAM, "open", str(folder), "--checklist", str(self.checklist)], self.env
        )

    def bare(self) -> TimedTerminal:
        return bare_app(self.env)


def bare_app(env: Mapping[str, str]) -> TimedTerminal:
    """The peer, started in a terminal."""
    return TimedTerminal([sys.executable, str(Path(__file__).with_name("bare.py"))], env)


@dataclass
class Spent:
    """Seconds by the clock and of CPU, and bytes, each a list of single measurements."""

    wall: list[float] = field(default_factory=list)
    cpu: list[float] = field(default_factory=list)
    size: list[int] = field(default_factory=list)


@contextmanager
def on_disk(topic: str) -> Iterator[Path]:
    """A folder of its own for what a topic writes durably; it goes again."""
    DRAWN.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=f"{topic}-", dir=DRAWN) as name:
        yield Path(name)


def draw(folder: Path) -> tuple[Place, list[Path]]:
    """Lots, checklist and pictures in a folder, and the environment that keeps the programs in
    there."""
    drawn = lots.pictures(folder / "pictures", LARGE * 2)
    rows = lots.checklist(SMALL_SETS, 500)
    checklist = folder / "checklist.csv"
    checklist.write_text(lots.checklist_text(rows), encoding="utf-8")
    env = own_folders(folder)
    opened_before(env)
    # compiled in the first round, for both programs
    env["PYTHONPYCACHEPREFIX"] = str(folder / "modules")
    place = Place(
        lots.lot(folder / "lot", CARDS, drawn),
        CARDS,
        lots.lot(folder / "large", LARGE, drawn),
        LARGE,
        checklist,
        rows,
        env,
    )
    return place, drawn

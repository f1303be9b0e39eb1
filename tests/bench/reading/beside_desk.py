"""What reading costs at the desk: the same keys in the same lot, with cards being read meanwhile
and with reading turned off, in turn."""

from __future__ import annotations

import shutil
import statistics
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from support.folders import opened_before, own_folders
from support.processes import that_read

from bench.common.hint_texts import hints
from bench.common.place import PROGRAM
from bench.common.table import Row
from bench.common.timed_terminal import CLEAR, NotMeasured, TimedTerminal
from tagger.core.model.tags import Row as Listed

_TURNS, _KEYS = 4, 40  # of each of the two, and keys that change the panel in each


def beside_rows(scans: Path, rows: Sequence[Listed], place: Path) -> Iterator[Row]:
    """The rows of the table. `scans` are those of a lot of which nothing is kept; more cards than
    are read in half a minute."""
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir(parents=True)
    checklist = place / "list.csv"
    lines = [f"{row.set},{row.number},{row.subject}" for row in rows]
    checklist.write_text("\n".join(["set,number,subject", *lines]) + "\n", encoding="utf-8")
    first: dict[bool, list[float]] = {True: [], False: []}
    keys: dict[bool, list[float]] = {True: [], False: []}
    for turn in range(2 * _TURNS):
        reading = turn % 2 == 0
        opened = _Opened(scans, checklist, place / f"turn {turn}", rows, reading=reading)
        first[reading].append(opened.first)
        keys[reading] += opened.keys()
    late = {reading: statistics.quantiles(found, n=20)[-1] for reading, found in keys.items()}
    keyed = "key to changed row, p95, cards being read over none"
    yield _ratio(keyed, late[True], late[False], aim=1.2)
    with_it, without = (statistics.median(first[reading]) for reading in (True, False))
    yield _ratio("first card, CPU, with reading over without", with_it, without, aim=1.0)


def _ratio(name: str, with_it: float, without: float, aim: float) -> Row:
    ratio = with_it / without
    met = round(ratio, 1) <= aim
    said = f"{1000 * with_it:.1f} over {1000 * without:.1f} ms: {ratio:.2f} x"
    return Row(name, said, aim=f"{aim} x: {'met' if met else 'missed'}")


class _Opened:
    """The program at the first card of the lot. Raises NotMeasured."""

    def __init__(
        self, scans: Path, checklist: Path, place: Path, rows: Sequence[Listed], *, reading: bool
    ) -> None:
        env, self._rows = own_folders(place), rows
        opened_before(env)
        settings = place / "config/tagger/config.toml"
        settings.parent.mkdir(parents=True)
        settings.write_text(f"[reading]\nread = {str(reading).lower()}\n", encoding="utf-8")
        lot = place / "lot"
        lot.mkdir()
        for scan in scans.glob("*.jpg"):
            (lot / scan.name).hardlink_to(scan)
        line = [*PROGRAM, "open", str(lot), "--checklist", str(checklist)]
        self._terminal = TimedTerminal(line, env)
        shown = self._terminal.reached(
            lambda: self._terminal.shows(1) and self._terminal.front_drawn(), quiet=0.5
        )
        self.first = shown.cpu
        if reading:
            self._wait_for_reading()

    def _wait_for_reading(self) -> None:
        """Until the process that reads is there."""
        end = time.monotonic() + 60
        while not that_read(self._terminal.pid):
            if time.monotonic() > end:
                raise NotMeasured("no process that reads came within 60 s")
            self._terminal.pump(0.2)

    def keys(self) -> list[float]:
        """Seconds from each key that changed the panel to its last change; the program is left
        afterwards."""
        terminal, found = self._terminal, list[float]()
        terminal.settle(0.5)
        left = terminal.sides().panel
        for _, hint in hints(self._rows, seed=3):
            for char in hint:
                terminal.text()
                start = time.perf_counter()
                terminal.send(char)
                terminal.burst()
                piece = terminal.last_change(lambda: terminal.panel(left))
                if piece is not None:
                    found.append(piece.at - start)
            terminal.send(CLEAR)
            terminal.settle(0.1)
            if len(found) >= _KEYS:
                break
        terminal.leave()
        return found

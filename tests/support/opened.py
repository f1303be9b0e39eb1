"""A lot on disk, and the real program in a real pseudo-terminal to open it with."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

from support.commands import told_by
from support.terminal import Terminal


def _is_ready(shown: str) -> bool:
    """Whether a screen has a card, or the end, with the lists read."""
    return "still being read" not in shown and ("Enter " in shown or "End of the lot" in shown)


class Lot:
    """A lot on disk with its checklist, and the program to open it with."""

    def __init__(self, folder: Path, checklist: Path, tagger: list[str]) -> None:
        self.folder, self.checklist, self._tagger = folder, checklist, tagger

    def open(self, columns: int = 120, rows: int = 40, **env: str) -> Terminal:
        """The program, with the first card on the screen and the checklists read."""
        terminal = self.start(columns, rows, **env)
        terminal.wait_for(r"card \d+ of|end of the lot")
        assert terminal.pump(20, lambda: _is_ready(terminal.text())), terminal.text()
        return terminal

    def start(self, columns: int = 120, rows: int = 40, **env: str) -> Terminal:
        """The program, just started."""
        command = [*self._tagger, "open", str(self.folder), "--checklist", str(self.checklist)]
        return Terminal(command, columns=columns, rows=rows, env=env)

    def status(self) -> dict[str, Any]:
        """What `tagger status` says."""
        return dict(json.loads(told_by("status", self.folder, "--json")))

    def cards(self) -> list[dict[str, str]]:
        """What `tagger export` writes as JSON."""
        return list(json.loads(self._exported("export.json"))["cards"])

    def rows(self) -> list[dict[str, str]]:
        """What `tagger export` writes as CSV."""
        return list(csv.DictReader(io.StringIO(self._exported("out.csv"), newline="")))

    def _exported(self, name: str) -> str:
        target = self.folder.parent / name
        told_by("export", self.folder, "--to", target)
        return target.read_bytes().decode("utf-8")

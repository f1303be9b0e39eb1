"""Lists that are new and were not read as a matter of course: shown, and asked about once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import TaggerError
from tagger.services.list_reading import ReadingSummary, fingerprint_of, summary_of
from tagger.services.lot_checklists import lists_now
from tagger.store.checklists import checklist_files, read_checklist
from tagger.store.machine.paths import data_folder
from tagger.store.machine.state_file import StateFile
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.core.checklist.oddities import Problem
    from tagger.store.list_names import ListNames

LONGEST = 300  # characters of a line
SMALL = 2_000_000  # bytes; a larger list is read a second time only where something is odd


class ListQuestions:
    """The lists of a lot that nobody has looked at yet. Silent where one cannot be read: that is
    told where it is read."""

    def __init__(self, names: ListNames) -> None:
        self._names = names
        self._seen: StateFile[str] = StateFile(
            data_folder(),
            "lists_seen",
            "reading",
            lambda entry: str(entry["list"]),
            lambda name: {"list": name},
        )

    def of(self, checklists: Sequence[str], problems: Iterable[Problem]) -> list[ReadingSummary]:
        """What there is to ask of some lists, in their order; `problems` were found in them."""
        odd = {problem.file for problem in problems}
        paths = checklist_files([Path(path) for path in lists_now(checklists)])
        found = (self._question(path, printable(path.name) in odd) for path in paths)
        return [question for question in found if question is not None]

    def seen(self, summary: ReadingSummary) -> None:
        """It was looked at: the same content read in the same way is not asked about again."""
        self._seen.put(summary.fingerprint, summary.lines[0])

    def _question(self, path: Path, odd: bool) -> ReadingSummary | None:
        try:
            # asked first of all: nearly always the list is an old one
            if path == STDIO or not (odd or path.stat().st_size <= SMALL):
                return None
            if self._seen.get(fingerprint_of(path, self._names)) is not None:
                return None
            summary = summary_of(path, self._names)
            if odd or not summary.sure:
                return summary
            if notes := self._notes(path):
                # in the place of the line that says that nothing is odd
                told = printable("; ".join(notes), LONGEST)
                return summary._replace(lines=(*summary.lines[:-1], told))
        except (OSError, TaggerError):
            return None
        self.seen(summary)
        return None

    def _notes(self, path: Path) -> list[str]:
        """Which lines were left out, and which cells filled, to read the list."""
        readings = read_checklist(path, self._names).readings
        return [note for reading in readings for note in reading.notes]

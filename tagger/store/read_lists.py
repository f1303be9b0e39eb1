"""Checklists that are not kept yet: what is in their files, one after the other."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

from tagger.core.checklist.checklist import Checklist, merge
from tagger.core.checklist.files import parse_checklist, parse_sheets
from tagger.core.checklist.headings.meaning import heading_key
from tagger.core.checklist.oddities import Problem
from tagger.core.checklist.raw.title_names import file_title
from tagger.core.checklist.raw.years import has_year
from tagger.core.checklist.reading import Naming
from tagger.core.index.index import Index, Indexed
from tagger.core.model.text import fold, printable
from tagger.errors import LotError
from tagger.store.binary_files import binary_kind
from tagger.store.caches.index_cache import keep_index, key_of, load_index
from tagger.store.checklists import checklist_files, content_of, digest_of, kept_index
from tagger.store.list_names import USUAL, ListNames
from tagger.store.standard_streams import STDIO
from tagger.store.workbooks import Sheet, is_workbook, read_sheets

# what spreadsheet programs call a sheet that nobody named, folded
_UNNAMED = re.compile(r"(?:sheet|tabelle|feuil|feuille|hoja|foglio|blad|シート|table)\s*[0-9]*")


def read_checklist(path: Path, names: ListNames = USUAL) -> Checklist:
    """One checklist file, or standard input; `names` are the user's own of its columns. Raises
    LotError where it cannot be read at all."""
    return parsed(path, content_of(path), names)


def read_indexed(
    paths: Sequence[Path],
    cache: Path,
    partly: Callable[[Indexed], None] = lambda lists: None,
    strict: bool = False,
    names: ListNames = USUAL,
) -> Indexed:
    """The index over some checklist files (or folders of them), from the folder `cache` where it is
    kept there; otherwise as `read_anew` reads it."""
    files = checklist_files(paths)
    return kept_index(files, cache, names) or read_anew(files, cache, partly, strict, names)


def read_anew(
    files: Sequence[Path],
    cache: Path,
    partly: Callable[[Indexed], None],
    strict: bool,
    names: ListNames,
) -> Indexed:
    """The index over some files, kept in the folder `cache` from then on.

    `partly` is called with what there is while more is being read, each time with at least twice as
    much. A file that cannot be read becomes a problem, and the others count; with `strict` it
    raises LotError. `names` are the user's own of the columns."""
    reading = read_lists(files, partly, strict, names)
    read = reading.indexed()
    key = reading.key
    del reading  # the rows are in the index, and need not be in memory twice
    if key is None or not keep_index(cache, key, read.index, read.problems):
        return read
    mapped = load_index(cache, key)  # where it lies, instead of a second time in memory
    if mapped is None:
        return read
    return Indexed(mapped[0], read.problems, read.files, read.of)


def read_lists(
    files: Sequence[Path], partly: Callable[[Indexed], None], strict: bool, names: ListNames
) -> ReadLists:
    """All files, read one after the other."""
    reading = ReadLists(len(files), names)
    for path in files:
        try:
            reading.add(path)
        except LotError as error:
            if strict:
                raise
            reading.add_problem(path, error)
        reading.tell(partly)
    return reading


class ReadLists:
    """Checklists as they are read one after the other."""

    def __init__(self, of: int, names: ListNames) -> None:
        self._of, self._told, self._names = of, 0, names
        self._found: list[Checklist] = []
        self._digests: list[tuple[str, bytes]] = []

    def add(self, path: Path) -> None:
        """Read one more file. Raises LotError."""
        data = content_of(path)
        self._digests.append(digest_of(path, data, self._names))
        self._found.append(parsed(path, data, self._names))

    def add_problem(self, path: Path, error: LotError) -> None:
        """Count a file that could not be read."""
        self._found.append(Checklist((), (Problem(printable(path.name), 0, error.message),)))

    def tell(self, partly: Callable[[Indexed], None]) -> None:
        """Give out what there is, where more comes and it is twice what was given out last: to
        index it takes as long again as reading it, and so costs no more than the last one."""
        rows = sum(len(checklist.rows) for checklist in self._found)
        if len(self._found) < self._of and rows >= max(1, 2 * self._told):
            self._told = rows
            partly(self.indexed())

    @property
    def key(self) -> str | None:
        """What the index may be kept under, None where a file is missing from it: it may be there
        the next time."""
        if not self._found or len(self._digests) < self._of:
            return None
        return key_of(self._digests)

    def indexed(self) -> Indexed:
        """The index over what was read."""
        whole = merge(self._found) if self._found else Checklist()
        return Indexed(Index(whole), whole.problems, len(self._found), self._of)


def parsed(path: Path, data: bytes, names: ListNames) -> Checklist:
    """The checklist in a file's bytes. Raises LotError where it is no text and no workbook."""
    shown, stem = printable(path.name), file_title(printable(path.stem))
    if path == STDIO:
        shown = stem = "standard input"
    naming = Naming(stem, names.of(path))
    if is_workbook(data):
        return _of_sheets(read_sheets(data, shown), shown, naming)
    if kind := binary_kind(data):
        raise LotError(f"{shown} is {kind}, not a list; save the list as CSV or .xlsx.")
    return parse_checklist(data, shown, stem, naming)


def _of_sheets(sheets: Sequence[Sheet], shown: str, naming: Naming) -> Checklist:
    """The lists in a workbook: of several sheets each is one, called by its name."""
    if len(sheets) < 2:
        text = sheets[0].text if sheets else ""
        own = sheets[0].name if sheets else ""
        naming = _spelled_out(own, naming)._replace(sheet=own if has_year(own) else "")
        return parse_sheets([(shown, text, naming)], shown)
    return parse_sheets(
        [
            (f"{shown}, sheet {sheet.name}", sheet.text, _sheet_naming(sheet.name, naming))
            for sheet in sheets
        ],
        shown,
    )


def _sheet_naming(name: str, naming: Naming) -> Naming:
    if _UNNAMED.fullmatch(fold(name).strip()):
        return naming
    return _spelled_out(name, naming)._replace(sheet=name)


def _spelled_out(name: str, naming: Naming) -> Naming:
    """`Galaxia Fútbol` on the sheet of `Galaxia_Futbol.xlsx` is how the set is spelled."""
    same = heading_key(name) == heading_key(naming.stem)
    return naming._replace(stem=name) if same else naming

"""Checklist files on disk, and the index over them."""

from __future__ import annotations

import hashlib
import os
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
from tagger.store.files import FileTooLarge, open_bounded, read_bounded
from tagger.store.list_names import USUAL, ListNames
from tagger.store.standard_streams import STDIO, read_stdin
from tagger.store.workbooks import ENDINGS as WORKBOOKS
from tagger.store.workbooks import Sheet, is_workbook, read_sheets

LARGEST = 512 * 1024 * 1024  # bytes
ENDINGS = (".csv", ".tsv", ".txt", *WORKBOOKS)  # of the checklists in a folder
# what spreadsheet programs call a sheet that nobody named, folded
_UNNAMED = re.compile(r"(?:sheet|tabelle|feuil|feuille|hoja|foglio|blad|シート|table)\s*[0-9]*")


def checklist_files(paths: Sequence[Path]) -> list[Path]:
    """The files that are meant: a folder stands for the checklists that lie in it now, by name."""
    found: list[Path] = []
    for path in paths:
        if path == STDIO:
            found.append(path)
            continue
        # A folder without any is read as a file, which says why it cannot be.
        found.extend(_inside(path) or [path])
    return list(dict.fromkeys(found))


def _inside(path: Path) -> list[Path]:
    """The checklists in a folder, by name; none where it is a file."""
    if not os.path.isdir(path):
        return []
    try:
        return sorted(
            entry for entry in path.iterdir() if entry.suffix.lower() in ENDINGS and entry.is_file()
        )
    except OSError:
        return []  # and reading it will say why it cannot be read


def read_checklist(path: Path, names: ListNames = USUAL) -> Checklist:
    """One checklist file, or standard input; `names` are the user's own of its columns. Raises
    LotError where it cannot be read at all."""
    return _parsed(path, _content(path), names)


def content_digest(
    path: Path, names: ListNames = USUAL, called: Sequence[str] | None = None
) -> str:
    """What a file's content, its name and the names of its columns come to: as long as it is the
    same, the list is read in the same way. `called` stands in the place of the file's name. Raises
    LotError."""
    name, digest = _digest(path, _content(path), names)
    return key_of([(part, digest) for part in ([name] if called is None else called)])


def read_indexed(
    paths: Sequence[Path],
    cache: Path,
    partly: Callable[[Indexed], None] = lambda lists: None,
    strict: bool = False,
    names: ListNames = USUAL,
) -> Indexed:
    """The index over some checklist files (or folders of them), from the folder `cache` where it is
    kept there.

    `partly` is called with what there is while more is being read, each time with at least twice as
    much. A file that cannot be read becomes a problem, and the others count; with `strict` it
    raises LotError. `names` are the user's own of the columns."""
    files = checklist_files(paths)
    if kept := _kept(files, cache, names):
        return kept
    reading = _read_lists(files, partly, strict, names)
    read = reading.indexed()
    key = reading.key
    del reading  # the rows are in the index, and need not be in memory twice
    if key is None or not keep_index(cache, key, read.index, read.problems):
        return read
    mapped = load_index(cache, key)  # where it lies, instead of a second time in memory
    if mapped is None:
        return read
    return Indexed(mapped[0], read.problems, read.files, read.of)


def _read_lists(
    files: Sequence[Path], partly: Callable[[Indexed], None], strict: bool, names: ListNames
) -> _ReadLists:
    """All files, read one after the other."""
    reading = _ReadLists(len(files), names)
    for path in files:
        try:
            reading.add(path)
        except LotError as error:
            if strict:
                raise
            reading.add_problem(path, error)
        reading.tell(partly)
    return reading


class _ReadLists:
    """Checklists as they are read one after the other."""

    def __init__(self, of: int, names: ListNames) -> None:
        self._of, self._told, self._names = of, 0, names
        self._found: list[Checklist] = []
        self._digests: list[tuple[str, bytes]] = []

    def add(self, path: Path) -> None:
        """Read one more file. Raises LotError."""
        data = _content(path)
        self._digests.append(_digest(path, data, self._names))
        self._found.append(_parsed(path, data, self._names))

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


def _digest(path: Path, data: bytes, names: ListNames) -> tuple[str, bytes]:
    return path.name, names.mixed(path, hashlib.sha256(data).digest())


def _kept(files: Sequence[Path], cache: Path, names: ListNames) -> Indexed | None:
    if not files:
        return None
    digests: list[tuple[str, bytes]] = []
    if STDIO in files:
        return None  # what comes in can be read only once
    try:
        for path in files:
            with open_bounded(path, LARGEST) as file:
                # not held in memory: nearly always the index is there and the text is not needed
                digest = hashlib.file_digest(file, "sha256").digest()
                digests.append((path.name, names.mixed(path, digest)))
    except OSError:
        return None
    found = load_index(cache, key_of(digests))
    if found is None:
        return None
    return Indexed(found[0], found[1], len(files), len(files))


def _content(path: Path) -> bytes:
    shown = printable(str(path))
    try:
        if path == STDIO:
            return _small(read_stdin(LARGEST + 1))
        if os.path.isdir(path):
            raise LotError(f"There are no checklists in {shown} ({', '.join(ENDINGS)}).")
        if not os.path.exists(path):
            raise LotError(f"There is no checklist {shown}.")
        return read_bounded(path, LARGEST)
    except FileTooLarge:
        raise _too_large(f"The checklist {shown}") from None
    except OSError as error:
        raise LotError(f"The checklist {shown} cannot be read: {error.strerror}.") from None


def _small(data: bytes) -> bytes:
    """What came in on standard input. Raises LotError where it is too large."""
    if len(data) > LARGEST:
        raise _too_large("The checklist on standard input")
    return data


def _too_large(what: str) -> LotError:
    return LotError(f"{what} is larger than {LARGEST // 1024**2} MB; split it.")


def _parsed(path: Path, data: bytes, names: ListNames) -> Checklist:
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

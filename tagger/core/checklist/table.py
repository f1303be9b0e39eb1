"""Reading a checklist's lines: a table below a line of column names."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from operator import itemgetter
from typing import TYPE_CHECKING, Any

from tagger.core.checklist.columns import Column
from tagger.core.checklist.lines import Blocks, has_long_line
from tagger.core.model.tags import Parallel
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Gathered

_COLUMNS = {
    "set": ("set", "setname", "release", "product", "series"),
    "number": ("number", "#", "no", "nr", "num", "card", "cardno", "cardnumber", "cardnr", "card#"),
    "subject": (
        "subject",
        "subjects",
        "name",
        "player",
        "players",
        "playername",
        "title",
        "cardname",
        "athlete",
    ),
    "team": ("team", "teams", "club"),
    "parallels": ("parallels", "parallel", "variant", "variants", "variation", "variations"),
    "alias": ("alias", "aliases", "alsoknownas", "romanized", "latin"),
    "run": ("run", "printrun", "numberedto", "serialto"),
}
_MEANING = {spelling: column for column, spellings in _COLUMNS.items() for spelling in spellings}
_PARALLEL = re.compile(r"^(?P<name>.*?)\s*(?:#?/\s*(?P<run>[0-9]{1,7}))?$")


def columns_of(names: list[str]) -> list[str]:
    """What each column name means: set, number, subject, team, parallels, run, or empty for a
    further column. A `series` beside another name of the set tells cards of the set apart."""
    keys = [_column_key(name) for name in names]
    meant = [_MEANING.get(key, "") for key in keys]
    if meant.count("set") > 1:
        pairs = zip(keys, meant, strict=True)
        meant = ["" if key == "series" else column for key, column in pairs]
    return meant


def _column_key(name: str) -> str:
    key = "".join(c for c in fold(name) if c.isalnum() or c == "#")
    return key or name.strip()


def parse_parallels(text: str) -> tuple[Parallel, ...]:
    """`Gold /50; Silver` as parallels; `|` parts them too, and a comma where there is no
    semicolon."""
    if not text.strip():
        return ()
    mark = next((m for m in ";|" if m in text), ",")
    parts = map(_PARALLEL.match, map(str.strip, text.split(mark)))
    named = (part for part in parts if part and (part["name"] or part["run"]))
    return tuple(dict.fromkeys(_parallel(part["name"], part["run"]) for part in named))


def _parallel(name: str, digits: str | None) -> Parallel:
    """A parallel by its name and the digits of its print run; without a name it is called by the
    run."""
    run = int(digits or 0)
    name = name or f"/{run}"
    if run == 1:
        name = _made_once(name)
    # a run of 0 numbers nothing
    return Parallel(" ".join(name.split()), run or None)


def _is_even(cells: Sequence[str], width: int) -> bool:
    """Whether each line of some, its end as a cell of its own, has so many cells before it."""
    count = (len(cells) + 1) // (width + 1)
    ends = cells[width :: width + 1]
    return len(cells) == count * (width + 1) - 1 and ends.count("\n") == count - 1


def _made_once(name: str) -> str:
    # `Black 1/1` is a card made once, and no parallel called `Black 1`
    if name == "1" or name.endswith(" 1"):
        return name[:-2].strip() or "1/1"
    return name


class Values:
    """From the cells of a line to the number of one column's value; each distinct text is made into
    one once."""

    def __init__(self, at: Sequence[int], make: Callable[[Any], int]) -> None:
        """`make` gets the text of the one cell at `at`, or a tuple of several, or an empty text
        where there is none."""
        self._at, self._make = tuple(at), make
        self._known: dict[Any, int] = {}
        self._pick: Callable[[Sequence[Any]], Any] = lambda cells: ""
        if at:
            self._pick = itemgetter(*at)

    def one(self, cells: list[str]) -> int:
        """The number for one line."""
        raw = self._pick(cells)
        found = self._known.get(raw)
        if found is None:
            found = self._known[raw] = self._make(raw)
        return found

    def many(self, columns: Sequence[list[str]]) -> list[int]:
        """The numbers for many lines, given by their columns."""
        if not self._at:
            return [self.one([])] * len(columns[0])
        raws: list[Any] = self._pick(columns)
        if len(self._at) > 1:
            raws = list(zip(*raws, strict=True))
        known = self._known
        found: list[int | None] = list(map(known.get, raws))
        if None in found:
            for raw in dict.fromkeys(raws):
                if raw not in known:
                    known[raw] = self._make(raw)
        return list(map(known.__getitem__, raws))


class ChecklistTable:
    """Reads the lines below a line of column names into `into`. `file` is printable; `stem` is the
    set where none is given."""

    def __init__(
        self, file: str, stem: str, names: list[str], delimiter: str, into: Gathered
    ) -> None:
        self.file, self.names, self.delimiter, self.into = file, names, delimiter, into
        place: dict[str, int] = {}
        for index, column in enumerate(columns_of(names)):
            if column:
                place.setdefault(column, index)
        self._place = dict(place)
        alias = place.pop("alias", None)  # kept as a further column as well
        aliases = [at for at in (alias,) if at is not None]
        self._alias = Values(aliases, lambda raw: self._alias_ids.id(_tidy(raw)))
        self._alias_ids: Column[str] = Column()
        rows = into.rows

        def at(name: str) -> list[int]:
            return [at for column, at in place.items() if column == name]

        self._values = (
            Values(at("set"), lambda raw: rows.sets.id(_tidy(raw) or stem)),
            Values(at("number"), lambda raw: rows.numbers.id(_tidy(raw).lstrip("#").strip())),
            Values(at("subject"), lambda raw: rows.subjects.id(_tidy(raw))),
            Values(at("team"), lambda raw: rows.teams.id(_tidy(raw))),
            self._parallel_values(at("parallels"), at("run")),
            self._extra_values(set(place.values())),
        )
        self._no_number, self._no_subject = rows.numbers.id(""), rows.subjects.id("")

    def read(self, header_line: int, blocks: Blocks) -> None:
        """Read all lines; what cannot be read becomes a problem."""
        if "number" not in self._place:
            self._problem(
                header_line,
                "no column for the number (number, #, no, card); cards are found by subject only",
            )
        if "subject" not in self._place:
            self._problem(
                header_line,
                "no column for the subject (subject, name, player, title); found by number only",
            )
        # a block that holds one odd line is read line by line: slower, and the next one fast again
        for line, block in blocks:
            if not self._read_at_once(line, block):
                self._read_singly(blocks.records(line, block, self.delimiter, self._problem))

    def _read_at_once(self, line: int, block: str) -> bool:
        """Read lines column by column, where there is nothing odd about any of them; else nothing
        is read."""
        columns = self._even_columns(block)
        if not columns:
            return False
        ids = [values.many(columns) for values in self._values]
        if self._no_number in ids[1]:
            return False
        if "alias" in self._place:
            self._note_aliases(zip(ids[2], self._alias.many(columns), strict=True))
        for column, found in zip(self.into.rows.columns(), ids, strict=True):
            column.of.extend(found)
        self.into.lines.extend(range(line, line + len(columns[0])))
        return True

    def _even_columns(self, block: str) -> list[list[str]]:
        """The cells of a block by column; none where a line needs a look of its own, since it has
        quotation marks, more or fewer cells than there are columns, or cannot be read."""
        if '"' in block or "\0" in block or has_long_line(block):
            return []
        mark, width = self.delimiter, len(self.names)
        # a line's end as a cell of its own
        cells = block.replace("\n", f"{mark}\n{mark}").split(mark)
        if not _is_even(cells, width):
            return []
        return [cells[at :: width + 1] for at in range(width)]

    def _read_singly(self, records: Iterator[tuple[int, list[str]]]) -> None:
        width, columns = len(self.names), self.into.rows.columns()
        for line, cells in records:
            if len(cells) != width and not self._fits(line, cells):
                continue
            ids = [values.one(cells) for values in self._values]
            if ids[1] == self._no_number and not self._found_by_subject(line, ids[2]):
                continue
            if "alias" in self._place:
                self._note_aliases([(ids[2], self._alias.one(cells))])
            for column, id in zip(columns, ids, strict=True):
                column.of.append(id)
            self.into.lines.append(line)

    def _found_by_subject(self, line: int, subject: int) -> bool:
        """Whether a line without a number has a subject to be found by; either is told."""
        if subject == self._no_subject:
            self._problem(line, "neither a number nor a subject; the line is skipped")
            return False
        # where no line has a number, that is told once and not of every card
        if "number" in self._place:
            said = printable(self.into.rows.subjects.values[subject], 60)
            self._problem(line, f"no card number for {said}; found by subject only")
        return True

    def _note_aliases(self, pairs: Iterable[tuple[int, int]]) -> None:
        for subject, alias in dict.fromkeys(pairs):
            self.into.rows.also(subject, self._alias_ids.values[alias])

    def _problem(self, line: int, text: str) -> None:
        self.into.problem(self.file, line, text)

    def _fits(self, line: int, cells: list[str]) -> bool:
        """Whether a line of another length can be read; missing cells at its end are put in as
        empty."""
        width = len(self.names)
        if len(cells) > width and any(cell.strip() for cell in cells[width:]):
            # a tab between quotes would look like nothing
            mark = f"'{self.delimiter}'".replace("'\t'", "tab")
            self._problem(
                line,
                f"{len(cells)} cells, but {width} column names; the line is skipped"
                f" (a cell that holds a {mark} needs quotation marks)",
            )
            return False
        cells.extend([""] * (width - len(cells)))
        return True

    def _parallel_values(self, names: list[int], runs: list[int]) -> Values:
        column = self.into.rows.parallels
        if not runs:
            return Values(names, lambda raw: column.id(parse_parallels(_tidy(raw))))

        def make(raw: str | tuple[str, str]) -> int:
            # a list with print runs alone: each is a parallel without a name
            if isinstance(raw, str):
                raw = "", raw
            text, run = map(_tidy, raw)
            # a run in the parallel's own cell, or several parallels, leave no place for another
            if run.lstrip("/").isdigit() and "/" not in text and ";" not in text:
                text = f"{text} /{run.lstrip('/')}"
            return column.id(parse_parallels(text))

        return Values([*names, *runs], make)

    def _extra_values(self, used: set[int]) -> Values:
        column = self.into.rows.extras
        further = {
            at: _tidy(name) for at, name in enumerate(self.names) if at not in used and name.strip()
        }
        names = tuple(further.values())

        def make(raw: str | tuple[str, ...]) -> int:
            if isinstance(raw, str):
                raw = (raw,)
            values = map(str.strip, raw)
            # not strict: without further columns there is one empty text and no name for it
            return column.id(tuple(zip(names, values, strict=False)))

        return Values(list(further), make)


def _tidy(text: str) -> str:
    tidied = " ".join(text.split())
    if tidied == text:
        return text  # the same text twice would be held twice
    return tidied

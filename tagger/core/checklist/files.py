"""Checklist files: what exists, as the user's own files say it.

A file is one table or several with a line of column names each (comma, semicolon, tab or bar), or
a plain list, one card a line. What cannot be read is named with its line; the rest counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import chain

from tagger.core.checklist.above.index_sheet import index_of
from tagger.core.checklist.checklist import Checklist, Gathered
from tagger.core.checklist.header import Header, beginning_of
from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.lines import Blocks, filled
from tagger.core.checklist.planning import across, turned
from tagger.core.checklist.planning.across import one_a_line
from tagger.core.checklist.planning.amounts import with_whole_amounts
from tagger.core.checklist.planning.objects import objects_as_rows
from tagger.core.checklist.planning.records import blocks_as_rows
from tagger.core.checklist.planning.sheets_of_sets import told_of_sets
from tagger.core.checklist.planning.statements import statements_as_rows
from tagger.core.checklist.planning.turned import upright
from tagger.core.checklist.raw.cleaned import cleaned
from tagger.core.checklist.raw.encodings import list_text
from tagger.core.checklist.raw.notes import is_total
from tagger.core.checklist.raw.spaced import has_columns_of_spaces, tabbed, with_even_tabs
from tagger.core.checklist.raw.web import items
from tagger.core.checklist.raw.web.items import are_numbers_shown
from tagger.core.checklist.raw.years import is_year
from tagger.core.checklist.reading import Naming, TableReading
from tagger.core.checklist.rows.after_list import readings_apart, remarks_apart
from tagger.core.checklist.rows.cards_again import parallels_behind_parts
from tagger.core.checklist.rows.over_parts import (
    are_names_of_teams,
    make_teams,
    may_be_teams,
    with_badges,
)
from tagger.core.checklist.tables import Tables
from tagger.core.checklist.titles import quoted
from tagger.core.checklist.verdicts import add_verdicts
from tagger.core.model.delimited_text import names_its_delimiter
from tagger.core.model.text import fold

__all__ = ["parse_checklist", "parse_sheets"]


def parse_checklist(data: bytes, file: str, stem: str, naming: Naming | None = None) -> Checklist:
    """Read one file's bytes. `file` names it in problems (already printable); `stem` is the set
    where none is given; `naming` has the user's own names of columns."""
    text, trouble = list_text(data)
    gathered = Gathered()
    if trouble:
        gathered.problem(file, *trouble)
    _read(text, file, naming or Naming(stem), gathered)
    return _checked(gathered, file)


def parse_sheets(sheets: list[tuple[str, str, Naming]], file: str) -> Checklist:
    """Read the sheets of a workbook: (how the sheet is called in problems, its rows as lines of
    text with tabs between the cells, its naming)."""
    gathered = Gathered()
    above: list[str] = []
    sheets = _without_index(sheets, gathered)
    beside = _no_lists(sheets)
    if told := told_of_sets([one for one in sheets if one[0] not in beside]):
        gathered.problem(file, 1, told)
    for called, text, naming in _told_apart(sheets):
        if called in beside:
            gathered.problem(called, 1, "no column for the subject, as other sheets have; not read")
            continue
        naming = _behind(naming, above)._replace(is_set=bool(told))
        _read(text, called, naming, gathered, mark="\t")
        above = [one.title for one in gathered.readings if one.title]
    return _checked(gathered, "" if len(sheets) > 1 else file)


def _behind(naming: Naming, above: list[str]) -> Naming:
    """The naming of a sheet behind those of some sets: `Rookies` is of the last of these."""
    if not above or is_year(naming.sheet):
        return naming
    return naming._replace(stem=above[-1], others=tuple(dict.fromkeys(above)))


def _told_apart(sheets: list[tuple[str, str, Naming]]) -> Iterator[tuple[str, str, Naming]]:
    """The sheets with what their names say beside their titles and their columns of sets."""
    titles = Counter(filter(None, (_first_line(text) for _, text, _ in sheets)))
    sets = [_sets_of(text, naming) for _, text, naming in sheets]
    held = Counter(chain(*sets))
    for (called, text, naming), own in zip(sheets, sets, strict=True):
        names_all = bool(own) and all(held[name] == 1 for name in own)
        is_part = titles[_first_line(text)] > 1
        yield called, text, naming._replace(is_part=is_part, names_all=names_all)


def _without_index(
    sheets: list[tuple[str, str, Naming]], into: Gathered
) -> list[tuple[str, str, Naming]]:
    """The sheets without the one that lists the others, named by what that says of them."""
    for called, text, naming in sheets:
        others = [each for each in sheets if each[0] != called]
        index = index_of(text, [other.sheet for _, _, other in others])
        if index is None or _is_of_cards(text, naming):
            continue
        said = f"it lists the other sheets, which are of {quoted([index.set])}"
        into.readings.append(TableReading(called, notes=[said]))
        return [
            (name, rows, other._replace(stem=index.set, by_team=index.by_team))
            for name, rows, other in others
        ]
    return sheets


def _sets_of(text: str, naming: Naming) -> set[tuple[str, ...]]:
    """Year, maker and name of each set in the first lines of a sheet with a column of sets."""
    begins = beginning_of(Blocks(text).head(_FIRST_LINES), naming.more, "\t")
    header = begins.header
    # a maker names the sets where nothing else does
    if header is None or {"set", "maker"}.isdisjoint(header.meanings):
        return set()
    named = [at for at, meaning in enumerate(header.meanings) if meaning in _NAMES_SET]
    rows = [record.cells for record in begins.records[header.at + header.taken :]]
    return {tuple(fold(row[at]) for at in named) for row in rows if len(row) > named[-1]}


_FIRST_LINES = 2000
_NAMES_SET = ("year", "maker", "set")


def _first_line(text: str) -> str:
    """The first line of a sheet, where it is a title of one cell."""
    lines = Blocks(text).head(_HEAD)
    cells = next((line.split("\t") for _, line in lines if line.strip()), [])
    begin = next((at for at, cell in enumerate(cells) if cell.strip()), 0)
    return cells[begin] if not filled(cells[begin + 1 : begin + 2]) and cells else ""


_HEAD = 20  # lines


def _no_lists(sheets: list[tuple[str, str, Naming]]) -> list[str]:
    """Of the sheets of a workbook, those that are a summary or a note beside the lists."""
    if len(sheets) < 2:
        return []
    names = {fold(naming.sheet) for _, _, naming in sheets}
    with_cards = {
        called: False if _counts_sheets(text, naming, names) else _is_of_cards(text, naming)
        for called, text, naming in sheets
    }
    if True not in with_cards.values():
        return []
    return [called for called, is_list in with_cards.items() if is_list is False]


def _counts_sheets(text: str, naming: Naming, names: set[str]) -> bool:
    """Whether a sheet has a line for each of two others or more, and no further ones but a total:
    `1990 Harbor`, `20 cards`."""
    lines = [filled(line.split("\t")) for _, line in Blocks(text).head(_HEAD)]
    firsts = [fold(cells[0]) for cells in lines if cells and not is_total(cells)]
    others = names - {fold(naming.sheet)}
    return len(others & set(firsts)) > 1 and sum(one in others for one in firsts) + 2 >= len(firsts)


def _is_of_cards(text: str, naming: Naming) -> bool | None:
    """Whether a sheet has a column of subjects; None where it could be a list without names of
    columns."""
    begins = beginning_of(Blocks(text).head(60), naming.more, "\t")
    if begins.header is not None:
        return _may_have_subjects(begins.header)
    rows = [filled(record.cells) for record in begins.records if filled(record.cells)]
    widest = max(map(len, rows), default=0)
    # a key of short forms has two cells a line, and no number
    if all(len(row) < 3 and not any(map(str.isdigit, "".join(row))) for row in rows):
        return False
    return False if widest < 2 else None


def _may_have_subjects(header: Header) -> bool:
    """Whether a line of column names has one of subjects, or one that may be."""
    meanings = set(header.meanings)
    # of three columns one may be of subjects, by a heading that nobody knows
    if {"subject", "last"} & meanings or {"", "number", "team"} <= meanings:
        return True
    # `Carta` beside `Nº`
    return sum(meaning_of(name)[0] == "number" for name in header.names) > 1


def _checked(gathered: Gathered, file: str) -> Checklist:
    if not gathered.rows and not gathered.has_oddities:
        gathered.problem(file or gathered.readings[0].file, 1, _NO_CARDS)
    _name_teams(gathered)
    parallels_behind_parts(gathered.rows)
    readings_apart(gathered.rows)
    remarks_apart(gathered.rows)
    checklist = gathered.checklist(file)
    return add_verdicts(checklist, gathered)


def _name_teams(gathered: Gathered) -> None:
    """Let headings that say nothing of subsets, over all cards of a file, be the teams of these;
    what was made of headings that are in doubt is told."""
    headed = gathered.headed
    if not (may_be_teams(headed, gathered.rows, 0) and are_names_of_teams(headed, gathered.rows)):
        headed = with_badges(headed, gathered.rows)
    if headed:
        make_teams(headed, gathered.rows)
        such = f"{len(headed)} headings such as {quoted([headed[0].text])}"
        told = f"{such} are read as teams; if they are subsets, write 'Subset:' before each"
        gathered.problem(headed[0].file, max(headed[0].line, 1), told)
        return
    for file, line, told in gathered.unsure_teams:
        gathered.problem(file, line, told)


_NO_CARDS = "no cards were found; see the checklist format"


def _read(text: str, file: str, naming: Naming, into: Gathered, mark: str = "") -> None:
    plain = cleaned(statements_as_rows(objects_as_rows(text)))
    parted = _parted(blocks_as_rows(plain, naming.more), naming, mark)
    if not mark and are_numbers_shown(text):
        into.problem(file, 1, items.TOLD)
    if not mark:
        parted = with_whole_amounts(parted, naming.more)
    for change, told in ((one_a_line, across.TOLD), (upright, turned.TOLD)):
        if (changed := change(parted, naming.more, mark)) != parted:
            into.problem(file, 1, told)
            parted = changed
    blocks = Blocks(parted)
    # `sep=;`, which a spreadsheet program puts first, is no column's name
    if names_its_delimiter(text):
        blocks.skip(blocks.head(1))
    blocks.skip_empty()
    if blocks.head(1):
        Tables(file, naming, into, mark).read(blocks)
    else:
        into.problem(
            file, 1, "the file is empty; it needs a line of column names and one line per card"
        )


_BEGIN = 1 << 12  # characters


def _parted(text: str, naming: Naming, mark: str) -> str:
    """The text with tabs where only spaces part its columns."""
    if not mark and "\t\t" in text[:_BEGIN]:
        text = with_even_tabs(text)
    head = Blocks(text).head(60)
    if not has_columns_of_spaces([line for _, line in head]):
        return text
    if beginning_of(head, naming.more).header is not None:
        return text
    return tabbed(text.replace("\r\n", "\n").replace("\r", "\n"))

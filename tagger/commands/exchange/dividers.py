"""`tagger dividers`: card-size dividers to print and put between the groups of a tray."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if
from tagger.config import load_settings
from tagger.core.dividers.divider import FIELDS, Divider
from tagger.core.dividers.request import Listed, made_exact, read_request
from tagger.core.model.counted import counted
from tagger.core.model.text import fold, printable
from tagger.errors import UsageError
from tagger.exchange.shown.divider_pages import as_pdf, as_pngs, divider_pages
from tagger.exchange.shown.sheet_geometry import PAPERS
from tagger.services.console import complain, tell
from tagger.services.lists.divider_lists import lists_for_printing
from tagger.services.output.paths import check_new, new_file, shown_target
from tagger.services.tables_in import read_named_table, shown_source
from tagger.store.machine.paths import config_file
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.core.model.condition import Scale

_HEADINGS = {"at": "place"}
PRINT = "Print them on both sides, turned over the long edge, at 100 % of their size."


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = (
        "what lies behind a divider, in quotes: 'set=… parallel=… condition=… at=…'; or 'end of "
        "group', 'set aside from here', 'new box'"
    )
    parser.add_argument("dividers", metavar="DIVIDER", nargs="*", help=said)
    options.path(parser, "--to", "FILE", "write FILE.pdf, or FILE.png per page", required=True)
    said = "one divider for each row of a table with the columns set, parallel, condition, place"
    options.path(parser, "--from", "TABLE", said, dest="table")
    said = "the checklists that have the names (default: those of all lots on this machine)"
    options.checklists(parser, said, default=[])
    papers = tuple(PAPERS)
    parser.add_argument(
        "--paper", choices=papers, default="a4", help="the size of a page (default a4)"
    )
    options.force(parser)


def _run(given: argparse.Namespace) -> int:
    if not given.dividers and given.table is None:
        raise UsageError("Name what lies behind a divider, or a table with --from.")
    listed, skipped = lists_for_printing(given.checklist)
    check_new(given.to, (".pdf", ".png"), "a sheet of dividers", map(str, given.checklist), True)
    scale = load_settings(config_file()).scale
    made = [read_request(text, listed, scale) for text in given.dividers]
    if given.table is not None:
        made += _of_table(given.table, listed, scale)
    written = _write(given.to, made, given.paper, given.force)
    for sentence in skipped:
        complain(sentence)
    if not listed.sets:
        tell("No checklist is known, so the names stand as you typed them.")
    tell(f"{counted(len(made), 'divider')} written to {written}. {PRINT}")
    return attention_if(skipped)


def _of_table(path: Path, listed: Listed, scale: Scale) -> Iterator[Divider]:
    """A divider for each row, each once. Raises UsageError naming the row."""
    table = read_named_table(path, path.suffix.lower())
    names = [_HEADINGS.get(fold(name), fold(name)) for name in table.headings]
    if not set(names) & set(FIELDS):
        raise UsageError(
            f"{shown_source(path)} has none of the columns {', '.join(FIELDS)}; name one so."
        )
    known = set[Divider]()
    for where, cells in table.rows:
        said = {name: (cell or "").strip() for name, cell in zip(names, cells, strict=True)}
        if not any(said.get(name) for name in FIELDS):
            continue
        try:
            divider = made_exact(said, listed, scale)
        except UsageError as error:
            raise UsageError(f"{shown_source(path)}, {where}: {error.message}") from None
        if divider not in known:
            known.add(divider)
            yield divider


def _write(target: Path, made: Sequence[Divider], paper: str, force: bool) -> str:
    """Write the pages; which files, in words."""
    pages = divider_pages(made, paper)
    if target == STDIO or target.suffix.lower() == ".pdf":
        data = as_pdf(pages, paper, f"Dividers: {counted(len(made), 'divider')}")
        with new_file(target, force=force) as write:
            write(data)
        return shown_target(target)
    names: list[Path] = []
    for number, data in enumerate(as_pngs(pages, paper), start=1):
        side = "front" if number % 2 else "back"
        name = target.with_name(f"{target.stem}-{(number + 1) // 2}-{side}{target.suffix}")
        with new_file(name, force=force) as write:
            write(data)
        names.append(name)
    return f"{printable(names[0].name)} to {printable(names[-1].name)}"


HELP = "print dividers that tell a scan what lies behind them"
EXAMPLES = (
    'tagger dividers "set=1987 Harbor Light parallel=Gold at=box 3, row 2" --to dividers.pdf',
    'tagger dividers "end of group" "new box" --to blank.pdf --paper letter',
    "tagger dividers --from tray.csv --to dividers.png",
)
COMMAND = Command("dividers", HELP, EXAMPLES, _arguments, _run)

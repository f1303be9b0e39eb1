"""`tagger checklist`: shows how checklist files are read, and what is odd about them."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, json_argument
from tagger.commands.renderers import checklists
from tagger.config import load_settings
from tagger.core.checklist.checklist import Checklist, merge
from tagger.core.checklist.facts import disagreements
from tagger.core.checklist.headings.meaning import MEANINGS, heading_key, user_meaning
from tagger.core.checklist.oddities import Problem
from tagger.core.model.counted import counted
from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.errors import ATTENTION, UsageError
from tagger.services.console import asked, complain, out_lines, print_json, tell
from tagger.services.lists.list_growth import COLUMNS, enter_reread, grown_list, reread_lots
from tagger.services.lists.naming import list_names
from tagger.services.output.tables import write_list
from tagger.store.checklists import checklist_files
from tagger.store.list_names import ListCorrections, keyed
from tagger.store.machine.paths import config_file
from tagger.store.read_lists import read_checklist
from tagger.store.standard_streams import STDIO


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = "a checklist, or a folder of them; - for standard input"
    said += "; with --from-lots or --reread folders of scans (default: all lots)"
    options.path(parser, "files", "FILE", said, nargs="*")
    said = 'correct how one list is read, "No.=number", and remember it; may be given again'
    options.text(parser, "--columns", "HEADING=MEANING", said, action="append", default=[])
    options.flag(
        parser, "--from-lots", "write the tagged cards that no list has as a list, to --to"
    )
    options.target(parser, "FILE.csv", "with --from-lots: the list; - for standard output")
    options.flag(parser, "--reread", "show which tags a corrected list changes, and ask")
    options.flag(parser, "--yes", "with --reread: change them without asking")
    json_argument(parser)
    # argparse cannot say that files are needed unless the command is about lots
    parser.set_defaults(wrong_use=parser.error)


def _run(given: argparse.Namespace) -> int:
    _check_options(given)
    if given.from_lots:
        return _grow(given.files, given.to, given.force)
    if given.reread:
        return _reread(given.files, given.yes)
    files = checklist_files(given.files)
    if given.columns:
        _correct(files, given.columns)
    names = list_names()
    read = [(_shown(path), read_checklist(path, names)) for path in files]
    # As one list: a card that two files have gets the parallels of both.
    whole = merge([checklist for _, checklist in read])
    whole = replace(whole, problems=(*whole.problems, *_between(read)))
    if given.json:
        print_json(checklists.as_json(whole))
    else:
        out_lines(checklists.as_text(read, whole))
    return attention_if(whole.problems)


def _check_options(given: argparse.Namespace) -> None:
    """Raises UsageError where two options do not go together."""
    of_lots = given.from_lots or given.reread
    about_lists = "--json and --columns are about lists, not lots; leave them out."
    for wrong, said in (
        (
            given.from_lots and given.reread,
            "--from-lots and --reread are two things; say one.",
        ),
        (given.from_lots != (given.to is not None), "--from-lots and --to FILE.csv go together."),
        (given.yes and not given.reread, "--yes goes with --reread."),
        (of_lots and (given.json or given.columns), about_lists),
    ):
        if wrong:
            raise UsageError(said)
    if not of_lots and not given.files:
        given.wrong_use("name a checklist, or a folder of them")


def _grow(folders: Sequence[Path], target: Path, force: bool) -> int:
    """Write the unlisted cards of lots as a list."""
    grown = grown_list(folders)
    for sentence in grown.skipped:
        complain(sentence)
    if not grown.rows:
        if not grown.skipped:
            tell("Each tagged card is in a list; there is nothing to write.")
        return attention_if(grown.skipped)
    write_list(target, COLUMNS, grown.cells(), grown.checklists, force)
    return attention_if(grown.skipped)


def _reread(folders: Sequence[Path], yes: bool) -> int:
    """Show which tags the lists change, and change them where that is wanted."""
    found = reread_lots(folders)
    for sentence in found.skipped:
        complain(sentence)
    out_lines(line for lot in found.lots for line in lot.differences())
    if not found.cards:
        tell("The lists change no tag.")
        return attention_if(found.skipped or found.left)
    cards = counted(found.cards, "card")
    if not (yes or asked(f"The lists change {cards}. Change them?")):
        tell(f"The lists change {cards}; nothing was changed. Say --yes to change them.")
        return ATTENTION
    settings = load_settings(config_file())
    for lot in filter(lambda lot: lot.found.markings, found.lots):
        enter_reread(lot, settings)
    tell(f"{cards} changed. Undo in each lot reverts its own.")
    return attention_if(found.skipped or found.left)


def _shown(path: Path) -> str:
    return "standard input" if path == STDIO else printable(path.name)


def _between(read: Sequence[tuple[str, Checklist]]) -> list[Problem]:
    """What files say of each other; the first of them is named."""
    return [Problem(file, 0, said) for said in disagreements(read) for file in [read[0][0]]]


def _correct(files: Sequence[Path], given: Sequence[str]) -> None:
    """Remember what the columns of a list are. Raises UsageError where the list has none of the
    headings."""
    if len(files) != 1 or files[0] == STDIO:
        raise UsageError("--columns corrects one list; name one file.")
    columns = dict(_pair(part) for text in given for part in _parts(text))
    path, names = files[0], list_names()
    more = {**names.of(path), **keyed(columns)}
    corrected = replace(names, corrected={**names.corrected, str(path.absolute()): more})
    _check_headings(columns, read_checklist(path, corrected), path)
    ListCorrections().keep(path, columns)


def _parts(text: str) -> list[str]:
    """Several corrections in one text, by commas; a heading may have a comma, too."""
    parts = text.split(",")
    return parts if all("=" in part for part in parts) else [text]


def _pair(text: str) -> tuple[str, str]:
    heading, mark, said = text.rpartition("=")
    if not mark or not heading.strip():
        raise UsageError('--columns takes a heading and what it means: "No.=number".')
    meaning = user_meaning(said)
    if meaning is None:
        shown = printable(said.strip(), 40)
        raise UsageError(
            f"A column cannot be '{shown}'{meant(said.strip(), MEANINGS)}; it is one of "
            f"{', '.join(MEANINGS)}."
        )
    return heading.strip(), meaning


def _check_headings(columns: Mapping[str, str], found: Checklist, path: Path) -> None:
    known = {
        heading_key(column.heading): column.heading
        for reading in found.readings
        for column in reading.columns
    }
    for heading in columns:
        if heading_key(heading) not in known:
            there = ", ".join(printable(name, 30) for name in known.values() if name)
            raise UsageError(
                f"{printable(path.name)} has no column '{printable(heading, 40)}'; it has "
                f"{there or 'no headings'}."
            )


HELP = "show how checklists are read, and count their cards"
EXAMPLES = (
    "tagger checklist harbor-1987.csv",
    'tagger checklist harbor-1987.csv --columns "No.=number"',
    "tagger checklist lists/*.csv --json",
    "tagger checklist --from-lots --to more.csv",
    "tagger checklist --reread",
)
COMMAND = Command("checklist", HELP, EXAMPLES, _arguments, _run)

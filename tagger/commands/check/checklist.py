"""`tagger checklist`: shows how checklist files are read, and what is odd about them."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, json_argument
from tagger.commands.renderers import checklists
from tagger.core.checklist.checklist import Checklist, merge
from tagger.core.checklist.facts import disagreements
from tagger.core.checklist.headings import MEANINGS, heading_key, user_meaning
from tagger.core.checklist.oddities import Problem
from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.errors import UsageError
from tagger.services.console import out_lines, print_json
from tagger.services.list_reading import list_names
from tagger.store.checklists import checklist_files, read_checklist
from tagger.store.list_names import ListCorrections, keyed
from tagger.store.standard_streams import STDIO


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = "a checklist, or a folder of them; - for standard input"
    options.path(parser, "files", "FILE", said, nargs="+")
    said = 'correct how one list is read, "No.=number", and remember it; may be given again'
    options.text(parser, "--columns", "HEADING=MEANING", said, action="append", default=[])
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
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
)
COMMAND = Command("checklist", HELP, EXAMPLES, _arguments, _run)

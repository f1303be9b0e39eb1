"""`tagger checklist`: checks checklist files and sums them up."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path

from tagger.commands.common import DONE, EYE, Command, json_argument
from tagger.core.checklist.checklist import Problem, merge
from tagger.services.console import out, print_json
from tagger.store.checklists import checklist_files, read_checklist


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "files", metavar="FILE", type=Path, nargs="+", help="a checklist, or a folder of them"
    )
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    whole = merge([read_checklist(path) for path in checklist_files(given.files)])
    sets = [
        (
            name,
            len(rows),
            [f"{p.name} /{p.run}" if p.run else p.name for p in whole.parallels(rows)],
        )
        for name, rows in whole.sets.items()
    ]
    if given.json:
        print_json(
            {
                "rows": len(whole.rows),
                "sets": [
                    {"set": name, "cards": cards, "parallels": parallels}
                    for name, cards, parallels in sets
                ],
                "problems": [problem._asdict() for problem in whole.problems],
            }
        )
    else:
        out(f"{len(whole.rows)} cards in {len(sets)} {'set' if len(sets) == 1 else 'sets'}")
        for name, cards, parallels in sets:
            out(f"  {name}: {cards} cards" + (f"; {', '.join(parallels)}" if parallels else ""))
        for sentence in _together(whole.problems):
            out(sentence)
    return EYE if whole.problems else DONE


def _together(problems: Sequence[Problem]) -> Iterator[str]:
    """A sentence for each problem; what is the same on lines that follow one another is said
    once."""
    for (file, _, text), group in groupby(enumerate(problems), key=lambda pair: _run_of(*pair)):
        lines = [problem.line for _, problem in group]
        last = lines[-1]
        one = last == lines[0]
        yield (
            Problem(file, last, text).sentence()
            if one
            else f"{file}, lines {lines[0]} to {last}: {text}"
        )


def _run_of(at: int, problem: Problem) -> tuple[str, int, str]:
    return problem.file, problem.line - at, problem.problem


COMMAND = Command(
    "checklist",
    "check checklists and sum them up",
    ("tagger checklist harbor-1987.csv", "tagger checklist lists/*.csv --json"),
    _arguments,
    _run,
)

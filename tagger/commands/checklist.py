"""`tagger checklist`: checks checklist files and sums them up."""

from __future__ import annotations

import argparse
from pathlib import Path

from tagger.commands.common import DONE, EYE, Command, json_argument, out, print_json
from tagger.core.checklist import merge
from tagger.store.checklists import checklist_files, read_checklist


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("files", metavar="FILE", type=Path, nargs="+", help="a checklist, or a folder of them")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    whole = merge([read_checklist(path) for path in checklist_files(given.files)])
    sets = [
        (name, len(rows), [f"{p.name} /{p.run}" if p.run else p.name for p in whole.parallels(rows)])
        for name, rows in whole.sets.items()
    ]
    if given.json:
        print_json(
            {
                "rows": len(whole.rows),
                "sets": [{"set": name, "cards": cards, "parallels": parallels} for name, cards, parallels in sets],
                "problems": [problem._asdict() for problem in whole.problems],
            }
        )
    else:
        out(f"{len(whole.rows)} cards in {len(sets)} {'set' if len(sets) == 1 else 'sets'}")
        for name, cards, parallels in sets:
            out(f"  {name}: {cards} cards" + (f"; {', '.join(parallels)}" if parallels else ""))
        for problem in whole.problems:
            out(problem.sentence())
    return EYE if whole.problems else DONE


COMMAND = Command(
    "checklist",
    "check checklists and sum them up",
    ("tagger checklist harbor-1987.csv", "tagger checklist lists/*.csv --json"),
    _arguments,
    _run,
)

"""Checklists summed up, of `tagger checklist`: as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.checklist import Checklist, Problem
from tagger.core.model.counted import counted

if TYPE_CHECKING:
    from tagger.core.model.tags import Parallel


class _Set(NamedTuple):
    name: str
    cards: int
    parallels: list[str]


def _sets(whole: Checklist) -> list[_Set]:
    return [
        _Set(
            name,
            len(rows),
            [_parallel(one) for one in whole.parallels(rows)],
        )
        for name, rows in whole.sets.items()
    ]


def _parallel(parallel: Parallel) -> str:
    return f"{parallel.name} /{parallel.run}" if parallel.run else parallel.name


def _further(whole: Checklist) -> list[str]:
    """The columns that are only kept, so that one whose name was meant to say more is noticed."""
    return list(dict.fromkeys(name for row in whole.rows for name, _ in row.extra))


def as_json(whole: Checklist) -> dict[str, object]:
    """The document of --json."""
    return {
        "rows": len(whole.rows),
        "sets": [
            {"set": name, "cards": cards, "parallels": parallels}
            for name, cards, parallels in _sets(whole)
        ],
        "further_columns": _further(whole),
        "problems": [problem._asdict() for problem in whole.problems],
    }


def as_text(whole: Checklist) -> Iterator[str]:
    """The sets with their parallels, the further columns, then what cannot be read."""
    sets = _sets(whole)
    yield f"{counted(len(whole.rows), 'card')} in {counted(len(sets), 'set')}"
    for name, cards, parallels in sets:
        more = f"; {', '.join(parallels)}" if parallels else ""
        yield f"  {name}: {counted(cards, 'card')}{more}"
    if further := _further(whole):
        yield f"  further columns, kept and exported: {', '.join(further)}"
    yield from _together(whole.problems)


def _together(problems: Sequence[Problem]) -> Iterator[str]:
    """A sentence for each problem; what is the same on lines that follow one another is said
    once."""
    for (file, _, text), group in groupby(enumerate(problems), key=lambda pair: _run_of(*pair)):
        lines = [problem.line for _, problem in group]
        first, last = lines[0], lines[-1]
        if first == last:
            yield Problem(file, last, text).sentence()
        else:
            yield f"{file}, lines {first} to {last}: {text}"


def _run_of(at: int, problem: Problem) -> tuple[str, int, str]:
    # Of lines that follow one another the line less the place in the list is the same number.
    return problem.file, problem.line - at, problem.problem

"""Print runs without a name: where most cards of a set, or of one of its series, have one, it is
that of the card itself, and of no parallel beside it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from tagger.core.checklist.columns import Column
from tagger.core.checklist.parallels import is_bare_run
from tagger.core.model.tags import BASE, is_base, series_of

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows
    from tagger.core.model.tags import Parallel

Parallels = tuple["Parallel", ...]
MOST = 0.5  # of the cards of a set or series


def with_own_runs(rows: Rows) -> Column[Parallels]:
    """The parallels of the rows; what is only a print run is called base where it is the card's."""
    column = rows.parallels
    alone = {id for id, parallels in enumerate(column.values) if _has_run_alone(parallels)}
    if not alone:
        return column
    series = [series_of(extra) for extra in rows.extras.values]
    groups = [*zip(rows.sets.of, map(series.__getitem__, rows.extras.of), strict=True)]
    counts = Counter(groups)
    with_run = Counter(group for group, id in zip(groups, column.of, strict=True) if id in alone)
    own = {group for group, found in with_run.items() if found > MOST * counts[group]}
    made: Column[Parallels] = Column()
    for group, id in zip(groups, column.of, strict=True):
        parallels = column.values[id]
        is_own = id in alone and group in own
        made.of.append(made.id(tuple(map(_of_the_card, parallels)) if is_own else parallels))
    return made


def _has_run_alone(parallels: Parallels) -> bool:
    """Whether one of a card's parallels is only a print run, and none is the plain card."""
    alone = sum(map(_is_run_alone, parallels))
    return alone == 1 and not any(is_base(one.name) for one in parallels)


def _is_run_alone(parallel: Parallel) -> bool:
    # of a single copy it is that of a parallel
    return is_bare_run(parallel) and parallel.run != 1


def _of_the_card(parallel: Parallel) -> Parallel:
    return parallel._replace(name=BASE) if _is_run_alone(parallel) else parallel

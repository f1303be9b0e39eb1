"""The checklists that are remembered with lots: read, and asked about single cards."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from copy import copy
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from tagger.core.index.list_prices import PricesNow
from tagger.core.lot.fields import run_of_serial
from tagger.core.model.tags import Mark, Row, Tags, listed_parallel
from tagger.core.model.text import printable
from tagger.services.console import complain
from tagger.services.lists.naming import list_names
from tagger.store.checklists import checklist_files, kept_index
from tagger.store.machine.known_lists import lists_now
from tagger.store.machine.paths import index_folder

if TYPE_CHECKING:
    from tagger.core.index.index import Index, Indexed
    from tagger.core.lot.lot import LotState
    from tagger.core.lot.view import LotView
    from tagger.store.list_names import ListNames


def index_of(checklists: Iterable[str]) -> Indexed:
    """The index over some checklists, and what is wrong with them."""
    return indexed([Path(path) for path in lists_now(checklists)], list_names())


def indexed(
    paths: Sequence[Path],
    names: ListNames,
    partly: Callable[[Indexed], None] = lambda lists: None,
    strict: bool = False,
) -> Indexed:
    """The index over some checklists or folders of them, as `read_indexed` gives it. What reads
    lists is loaded only where an index is not kept."""
    files, cache = checklist_files(paths), index_folder()
    if (kept := kept_index(files, cache, names)) is not None:
        return kept
    from tagger.store.read_lists import read_anew

    return read_anew(files, cache, partly, strict, names)


def unread(read: Indexed) -> list[str]:
    """A sentence for each checklist that could not be read at all."""
    return [
        printable(f"{problem.file}: {problem.problem}")
        for problem in read.problems
        if not problem.line
    ]


def read_lists(checklists: Sequence[str]) -> Index:
    """A lot's checklists; what cannot be read of them is told."""
    read = index_of(checklists)
    for problem in read.problems:
        if not problem.line:
            complain(problem.problem)
    return read.index


def print_runs(checklists: Sequence[str]) -> Callable[[Tags], str]:
    """What gives a card's print run: of its serial number, or of its parallel in the checklists."""
    if not checklists:
        return run_of_serial
    index = read_lists(checklists)
    return lambda tags: run_of_serial(tags) or _run_of_parallel(index, tags)


def _run_of_parallel(index: Index, tags: Tags) -> str:
    step = index.find(tags) if tags.set else None
    if step is None:
        return ""
    found = listed_parallel(index.parallels_at(step), tags.parallel)
    return "" if found is None or found.run is None else str(found.run)


def listed_row(checklists: Sequence[str]) -> Callable[[Tags], Row | None]:
    """What gives a card's row of the checklists, None where they have no such card; they are read
    when that is asked first."""
    if not checklists:
        return lambda tags: None
    # Most tables change no card's name, and a large list takes a while to read.
    index = cache(lambda: read_lists(checklists))
    return lambda tags: _listed_row(index(), tags)


def _step_meant(index: Index, tags: Tags) -> int | None:
    if tags.subject:
        return index.find_named(tags)
    return index.numbered_alone(tags.set, tags.number)


def _listed_row(index: Index, tags: Tags) -> Row | None:
    step = _step_meant(index, tags)
    return None if step is None else index.row(step)


Lot = TypeVar("Lot", bound="LotView")


def priced_lot(lot: Lot, priced: Callable[[Mark], Mark]) -> Lot:
    """A lot as it is shown, with what gives a card's mark with its price."""
    shown = copy(lot)
    shown.marks = {id: priced(mark) for id, mark in lot.marks.items()}
    return shown


class ListPrices:
    """The prices that cards have in the checklists of several lots, as those are today, each list
    read once; `unread` has a sentence for each that cannot be read."""

    def __init__(self) -> None:
        self._read: dict[tuple[str, ...], PricesNow] = {}
        self.unread: list[str] = []

    def now(self, checklists: tuple[str, ...], tags: Tags) -> Tags:
        """A card's tags with today's price of its checklist, see `PricesNow`."""
        return self._index(checklists).tags(tags) if checklists else tags

    def lot(self, lot: LotState) -> LotState:
        """A lot as it is shown today: the same, with today's prices."""
        return priced_lot(lot, lambda mark: self.mark(lot.checklists, mark))

    def mark(self, checklists: tuple[str, ...], mark: Mark) -> Mark:
        """A card's mark with today's price."""
        tags = self.now(checklists, mark.tags)
        return mark if tags is mark.tags else replace(mark, tags=tags)

    def _index(self, checklists: tuple[str, ...]) -> PricesNow:
        if checklists not in self._read:
            read = index_of(checklists)
            self._read[checklists] = PricesNow(read.index)
            # Lots that share a list share what is wrong with it.
            self.unread.extend(one for one in unread(read) if one not in self.unread)
        return self._read[checklists]

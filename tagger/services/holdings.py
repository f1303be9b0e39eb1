"""What is there of the sets of the checklists, over several lots."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.core.reports.completion import Holdings, SetCount, Want, sets_named
from tagger.errors import LotError, UsageError
from tagger.services.lists.lot_checklists import index_of, unread
from tagger.store.checklists import checklist_files

if TYPE_CHECKING:
    from tagger.core.model.tags import Mark
    from tagger.services.lot_selection import ChosenLots


@dataclass(frozen=True)
class HeldSets:
    """Lots counted against their checklists: `ids` are the sets that are meant, `named` whether
    somebody named them. `checklists` are the files, `problems` those that cannot be read, `skipped`
    the lots that cannot."""

    holdings: Holdings
    lots: int
    ids: tuple[int, ...]
    named: bool
    checklists: tuple[str, ...]
    problems: tuple[str, ...]
    skipped: tuple[str, ...]

    @property
    def counts(self) -> tuple[SetCount, ...]:
        """Each of the sets, counted."""
        return tuple(map(self.holdings.count, self.ids))

    @property
    def without_cards(self) -> int:
        """How many sets of the checklists are left out because no card of them is there."""
        # Who names sets wants those; that others are empty is no news then.
        return 0 if self.named else len(self.holdings.index.sets) - len(self.ids)

    def wants(self, parallels: bool = False) -> Iterator[Want]:
        """The cards of the sets that are missing, with `parallels` the missing parallels, too."""
        for set_id in self.ids:
            yield from self.holdings.wants(set_id, parallels)


def held_sets(lots: ChosenLots, words: str = "") -> HeldSets:
    """Count lots against the checklists that are remembered with them; `words` name the sets that
    are meant, else it is those of which any card is there.

    Raises LotError where there is no lot or no checklist, UsageError where no set has the words.
    """
    marks, lists = _gathered(lots)
    if not lists:
        raise LotError(
            "These lots have no checklist; add one: tagger open FOLDER --checklist FILE."
        )
    read = index_of(lists)
    holdings = Holdings(read.index)
    holdings.add(marks)
    ids = sets_named(read.index, words) if words else holdings.begun()
    if words and not ids:
        raise UsageError(
            f"No set in the checklists has all of these words: {printable(words, 60)}."
        )
    return HeldSets(
        holdings,
        lots.count,
        tuple(ids),
        bool(words),
        tuple(map(str, checklist_files([Path(path) for path in lists]))),
        tuple(unread(read)),
        tuple(lots.skipped),
    )


def _gathered(lots: ChosenLots) -> tuple[list[Mark], dict[str, None]]:
    """The marks of all cards, and the checklists of all lots. Raises LotError where there is no
    lot."""
    marks: list[Mark] = []
    # A set that keeps its order, so that the same lots give the same answer each time.
    lists: dict[str, None] = {}
    for _, lot in lots.read():
        marks.extend(lot.mark(pair.id) for pair in lot.arrangement.pairs)
        lists.update(dict.fromkeys(lot.checklists))
    return marks, lists

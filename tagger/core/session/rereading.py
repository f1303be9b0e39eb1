"""Tags held against lists that were corrected since: what the cards are called now.

A card follows its row where that is beyond doubt: the same set, number and subject; else the same
number, or the same subject, as the only one of its set; else, where the set is gone, the only row
anywhere with its number and subject. What could be either of two rows is left alone and told."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.index.flat_arrays import within
from tagger.core.model.copies import of_another_run
from tagger.core.model.money import prices_off
from tagger.core.model.numbers import canonical
from tagger.core.model.tags import Marking, Tags, kept_parallel
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.lot.view import LotView
    from tagger.core.model.tags import Row


class Rereading(NamedTuple):
    """What the lists make of a lot's tags: `markings` change them; `left` are positions of cards
    whose rows are gone from the lists, or could be one of several."""

    markings: list[Marking]
    left: list[int]


def reread(lot: LotView, index: Index) -> Rereading:
    """Hold the named cards of a lot against its lists; those that left stay as they are."""
    found, rows = Rereading([], []), _Rows(index)
    for position, pair in enumerate(lot.arrangement.pairs, start=1):
        mark = lot.mark(pair.id)
        # One that is set aside with its tags follows its row as well; what left was called so.
        if not mark.named or mark.gone:
            continue
        step = rows.of(mark.tags)
        if step is None:
            # One that was in no list before has lost nothing.
            if mark.tags.listed:
                found.left.append(position)
            continue
        tags = _as_listed(mark.tags, index.row(step))
        if tags != mark.tags:
            found.markings.append(Marking(pair.id, mark, replace(mark, tags=tags)))
    return found


def _as_listed(tags: Tags, row: Row) -> Tags:
    """The tags as a row has them now; what only this copy has stays. A card that was in no list
    stays so where the row does not have its parallel or its print run."""
    listed = row.parallel(tags.parallel)
    if not tags.listed and (listed is None or of_another_run(tags.serial, listed)):
        return tags
    now = replace(
        tags,
        set=row.set,
        number=row.number,
        subject=row.subject,
        team=row.team or tags.team,
        parallel=kept_parallel(tags.parallel if listed is None else listed.name),
        listed=True,
    )
    # a list's further columns are read from the list itself, and alone change no tag
    return tags if now == tags else replace(now, extra=prices_off(row.extra, tags.extra))


class _Rows:
    """Rows by what a tagged card says of them."""

    def __init__(self, index: Index) -> None:
        self._index = index
        self._of_sets: dict[int, dict[str, list[int]]] = {}

    def of(self, tags: Tags) -> int | None:
        """The step of a card's row, None where that is not beyond doubt."""
        step = self._index.find(tags)
        if step is not None and self._is_called(step, tags):
            return step
        # As it was typed, with no list behind it: only a row that is called the same may take it
        # in.
        if not tags.listed:
            return None
        set_id = self._index.set_id(tags.set)
        if set_id is None:
            return _only(self._anywhere(tags))
        return self._corrected(set_id, tags)

    def _is_called(self, step: int, tags: Tags) -> bool:
        row = self._index.row(step)
        same_number = canonical(row.number) == canonical(tags.number)
        return same_number and fold(row.subject) == fold(tags.subject)

    def _corrected(self, set_id: int, tags: Tags) -> int | None:
        """The row whose number or subject was corrected; None where one row has the number and
        another one the subject."""
        numbered = list(within(self._numbered(tags), self._index.steps(set_id)))
        named = self._named(set_id, tags.subject)
        # Two rows for one card, such as numbers that were moved by one: which of the two was
        # corrected cannot be known.
        if numbered and named:
            return None
        return _only(numbered or named)

    def _anywhere(self, tags: Tags) -> list[int]:
        return [step for step in self._numbered(tags) if self._is_called(step, tags)]

    def _numbered(self, tags: Tags) -> list[int]:
        number = self._index.number_id(canonical(tags.number)) if tags.number else -1
        return list(self._index.steps_of_number(number))

    def _named(self, set_id: int, subject: str) -> list[int]:
        if not subject:
            return []
        known = self._of_sets.get(set_id)
        if known is None:
            # Names of a set are folded once and not with each card: of ten thousand cards most are
            # of a few sets.
            known = self._of_sets[set_id] = {}
            for step in self._index.steps(set_id):
                name = fold(self._index.subject(self._index.subject_of[step]))
                known.setdefault(name, []).append(step)
        return known.get(fold(subject), [])


def _only(steps: list[int]) -> int | None:
    return steps[0] if len(steps) == 1 else None

"""How likely the lot makes each row, before a word is typed; the formula stands in `matcher`."""

from __future__ import annotations

import math
from bisect import bisect_left
from functools import cached_property
from typing import TYPE_CHECKING

from tagger.core.matching.priors.set_changes import SetShares
from tagger.core.matching.priors.steps import REACH, SPAN, Run
from tagger.core.model.tags import Tags

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from tagger.core.index.index import Index
    from tagger.core.matching.priors.context import Context

# How much of the probability lies in the carried set, in sets met in this lot, and in all others,
# where it is carried otherwise than from the card before.
CARRIED, SEEN, ANY = 0.97, 0.02, 0.01
# The same of a card that has a tag: who means another set than its own says so.
OWN, NOT_OWN, NOT_MET = 0.995, 0.004, 0.001
NONE = Tags()


class _SetPrior:
    """The rows of one set: the ways in which it may go on, each with its probability, and the rows
    that are worth a look whatever is typed."""

    def __init__(self, ways: Sequence[tuple[float, Run]], likely: range) -> None:
        self._ways, self.likely = ways, likely
        self._near = [run.near for _, run in ways]
        self._far: float | None = None  # of a row that is near to none of the last ones

    def of(self, step: int) -> float:
        """log prior of the row at a step."""
        # most rows of a set are alike
        for near in self._near:
            if step in near:
                return self._worked_out(step)
        if self._far is None:
            self._far = self._worked_out(step)
        return self._far

    def _worked_out(self, step: int) -> float:
        whole = 0.0
        for share, run in self._ways:
            whole += share * run.of(step)
        return _log(whole)

    def of_others(self, rows: int, ahead: int) -> float:
        """The probability of so many rows that are none of the likely ones, `ahead` of them in
        `ahead`."""
        return sum(share * run.of_others(rows, ahead) for share, run in self._ways)


class Prior:
    """How likely the lot makes each row, before a word is typed."""

    def __init__(self, index: Index, context: Context) -> None:
        self.index = index
        self.carried = self._carried_set(context)
        """The set that is carried, None where there is none."""
        self.seen = frozenset(id for id in map(index.set_id, context.seen) if id is not None)
        self.before = self._step_before(context)
        self._last = self._step_passed(context.passed)
        # Where the set was carried otherwise than from the card before, that says nothing of it;
        # how a lot goes from set to set says nothing of a card that has a tag.
        learned = context.changes.known and not context.tagged
        self._goes_on = self.before is not None and learned
        self._alike: Sequence[int] = ()  # rows anywhere with the number of the card before
        if self.before is not None and self._goes_on:
            self._alike = [*index.steps_of_number(index.number_of(self.before))]
        shares = self._shares(context)
        self._context, self._stay, self._others = context, shares.stay, dict[int, float]()
        for name, share in shares.others.items():
            set_id = index.set_id(name)
            if set_id is not None:
                self._others[set_id] = share
        # what is known of a set is put together when a row of it is asked for
        self._sets: dict[int, _SetPrior] = {}
        self._rows: dict[int, float] = {}
        self._by_size: dict[int, _SetPrior] = {}
        self.any = _log(shares.new / max(1, len(index)))
        """log prior of a row in a set that was never met, whatever its number."""
        self._each_new = shares.new / max(1, len(index.sets) - len(self.seen))

    def _carried_set(self, context: Context) -> int | None:
        name = context.carried.get("set")
        if name:
            return self.index.set_id(name)
        # of one set all cards are, whether it is carried or not
        if len(self.index.sets) == 1:
            return 0
        return None

    def _step_before(self, context: Context) -> int | None:
        """Where the card before stands, None where that is not in the carried set."""
        before = context.before
        if before is None:
            return None
        step = self.index.find(before)
        # from one set to another no number of rows says how far it is
        if step is None or self.index.set_of(step) != self.carried:
            return None
        return step

    def _step_passed(self, passed: int) -> int | None:
        """Where the last card of the run stands that goes on here: cards that were passed lie
        between, in the tray as in the lot."""
        if self.before is None or self.carried is None:
            return self.before
        return min(self.before + passed, self.index.steps(self.carried).stop - 1)

    def _shares(self, context: Context) -> SetShares:
        """How much of the probability lies in the carried set, in each other one that was met, and
        in all others."""
        before = context.before
        if before is not None and self._goes_on:
            return context.changes.shares(before.set, context.seen)
        others = {
            name: self._size(id)
            for name in sorted(context.seen)
            if (id := self.index.set_id(name)) is not None
        }
        rows = sum(others.values())
        stay, met, new = CARRIED, SEEN, ANY
        if context.tagged:
            stay, met, new = OWN, NOT_OWN, NOT_MET
        # By rows: of a set of five hundred more cards can come than of an insert of ten.
        seen = {name: met * size / rows for name, size in others.items()}
        if self.carried is None:
            new += stay
        else:
            seen.pop(self.index.sets[self.carried], None)
        # What would be of sets met is of all others while none was met: the shares add up to 1.
        if not others:
            new += met
        return SetShares(stay, seen, new)

    def _size(self, set_id: int) -> int:
        return self.index.starts[set_id + 1] - self.index.starts[set_id]

    def first(self) -> list[int]:
        """The sets to look at first: the carried one, then those met in this lot, the likeliest
        first."""
        return [*self._first]

    @cached_property
    def _first(self) -> list[int]:
        met = sorted(self._others, key=lambda id: (-self._others[id], id))
        if self.carried is None:
            return met
        return [self.carried, *met]

    def _of_set(self, set_id: int) -> _SetPrior:
        """What is known of a set."""
        known = self._sets.get(set_id)
        if known is None:
            if set_id == self.carried:
                run = Run(self.index.steps(set_id), self._context.steps, self._last, opens=True)
                known = _SetPrior([(self._stay, run)], run.likely())
            elif set_id in self._others:
                known = self._of_other(set_id, self._others[set_id])
            else:
                known = self._of_new(set_id)
            self._sets[set_id] = known
        return known

    def _of_other(self, set_id: int, share: float) -> _SetPrior:
        """Another set that was met: its next rows are those of the way that is the likeliest."""
        ways = self._ways_into(set_id, self._beside(set_id))
        _, most = max(ways, key=lambda way: way[0])
        return _SetPrior([(share * weight, run) for weight, run in ways], most.likely())

    def _of_new(self, set_id: int) -> _SetPrior:
        """A set that was never met: what is left to any row, and to that with the number of the
        card before."""
        name, size = self.index.sets[set_id], self._size(set_id)
        # of most sets nothing is known but their size: there are hundreds, and few sizes
        unknown = self._context.tagged or name not in self._context.changes.last
        row = self._beside(set_id)
        if unknown and row is None:
            if size not in self._by_size:
                self._by_size[size] = self._ways_of_new(set_id, row)
            return self._by_size[size]
        return self._ways_of_new(set_id, row)

    def _ways_of_new(self, set_id: int, row: int | None) -> _SetPrior:
        (weight, run), *beside = self._ways_into(set_id, row)
        ways = [(weight * math.exp(self.any) * len(run.rows), run)]
        ways += [(weight * self._each_new, run) for weight, run in beside]
        return _SetPrior(ways, range(0))

    def _ways_into(self, set_id: int, beside: int | None) -> list[tuple[float, Run]]:
        """How another set than the carried one may go on; see `_beside`."""
        steps, name = self.index.steps(set_id), self.index.sets[set_id]
        if self._context.tagged:  # where that set went on at the end of the lot says nothing here
            return [(1.0, Run(steps, self._context.steps, None))]
        before = self._context.before or NONE
        return self._context.changes.runs_into(before.set, name, steps, beside)

    def _beside(self, set_id: int) -> int | None:
        """The row of another set with the number of the card before, None where that says
        nothing."""
        before = self._context.before
        if before is None or not self._goes_on or self._context.tagged:
            return None
        return self.index.numbered(set_id, before.number)

    def of(self, step: int) -> float:
        """log prior of the row at a step."""
        found = self._rows.get(step)
        if found is None:
            found = self._rows[step] = self._of_set(self.index.set_of(step)).of(step)
        return found

    def each_of(self, set_id: int, steps: Sequence[int]) -> Iterator[float]:
        """log prior of the row at each of some steps of a set."""
        if new := {*steps}.difference(self._rows):
            self._rows.update(zip(new, map(self._of_set(set_id).of, new), strict=True))
        return map(self._rows.__getitem__, steps)

    @property
    def tells_more(self) -> bool:
        """Whether `more` is anything but nothing for any row."""
        return bool(self._alike)

    def more(self, step: int) -> float:
        """How much more than `any` the log prior of a row is where its number is about that of the
        card before."""
        # Looked up before the row is weighed: thousands of rows anywhere are asked, and hardly any
        # has a number near the one before.
        at = bisect_left(self._alike, step - SPAN.stop)
        if at == len(self._alike) or self._alike[at] > step - SPAN.start:
            return 0.0
        return max(0.0, self.of(step) - self.any)

    def likely(self, set_id: int) -> range:
        """The next steps of a set, or its first ones: worth a look whatever is typed."""
        return self._of_set(set_id).likely

    def ahead(self) -> range:
        """Steps of the carried set that a jump goes to more often than to others."""
        if self.carried is None or self._last is None:
            return range(0)
        end = self.index.steps(self.carried).stop
        return range(self._last + 1, min(end, self._last + REACH + 1))

    def of_others(self, set_id: int, rows: int, ahead: int) -> float:
        """The probability of so many rows of a set that are none of the likely ones, `ahead` of
        them in `ahead`."""
        return self._of_set(set_id).of_others(rows, ahead)


def _log(share: float) -> float:
    # A share that underflowed is next to nothing, and not an error.
    return math.log(max(share, 1e-300))

"""How likely the lot makes each row, before a word is typed; the formula stands in `matcher`."""

from __future__ import annotations

import math

from tagger.core.index.index import Index
from tagger.core.matching.candidate import Context

# The lot: how much of the probability lies in the carried set, in sets met in this lot, and in all
# others.
CARRIED, SEEN, ANY = 0.97, 0.02, 0.01
AHEAD, REACH = 0.6, 30  # of the jumps, how many go on by no more than so many rows


class Prior:
    """How likely the lot makes each row, before a word is typed."""

    def __init__(self, index: Index, context: Context) -> None:
        self.index = index
        self._steps = context.steps
        self.carried = self._carried_set(context)
        """The set that is carried, None where there is none."""
        self.seen = frozenset(id for id in map(index.set_id, context.seen) if id is not None)
        self.before = self._step_before(context)
        self.any = math.log(self._elsewhere() / max(1, len(index)))
        self._seen = math.log(SEEN / max(1, sum(self._size(id) for id in self.seen)))
        size = 1
        if self.carried is not None:
            size = self._size(self.carried)
        jump, even = CARRIED * self._steps.jump, (1 - AHEAD) / size
        self._jump = math.log(jump * (1 - AHEAD) / size)
        self._ahead = math.log(jump * (AHEAD / REACH + even))
        self._flat = math.log(CARRIED / size)

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
        step = self.index.find(before.set, before.number, before.subject, before.extra)
        # from one set to another no number of rows says how far it is
        if step is None or self.index.set_of(step) != self.carried:
            return None
        return step

    def _elsewhere(self) -> float:
        """The probability of all sets that are neither carried nor met in this lot."""
        share = ANY
        if self.carried is None:
            share += CARRIED
        if not self.seen:
            share += SEEN
        return share

    def _size(self, set_id: int) -> int:
        return self.index.starts[set_id + 1] - self.index.starts[set_id]

    def first(self) -> list[int]:
        """The sets to look at first: the carried one, then those met in this lot."""
        met = sorted(self.seen - {self.carried})
        if self.carried is None:
            return met
        return [self.carried, *met]

    def of(self, step: int) -> float:
        """log prior of the row at a step."""
        set_id = self.index.set_of(step)
        if set_id == self.carried:
            return self._of_carried(step, set_id)
        if set_id in self.seen:
            return self._seen
        return self.any

    def _of_carried(self, step: int, set_id: int) -> float:
        if self.before is None:
            # A tray most often begins with the first card of its set.
            if step != self.index.starts[set_id]:
                return self._flat
            return math.log(CARRIED * (self._steps.share(1) or 0.5))
        share = self._steps.share(step - self.before)
        if share is not None:
            return max(self._jump, math.log(CARRIED * share))
        # of the jumps more go on than back, and not far
        if 0 < step - self.before <= REACH:
            return self._ahead
        return self._jump

    def likely(self) -> range:
        """The next steps of the carried set, or its first ones: worth a look whatever is typed."""
        if self.carried is None:
            return range(0)
        steps, span = self.index.steps(self.carried), self._steps.span
        if self.before is None:
            return range(steps.start, min(steps.stop, steps.start + span.stop))
        return range(
            max(steps.start, self.before + span.start), min(steps.stop, self.before + span.stop)
        )

    def ahead(self) -> range:
        """Steps of the carried set that a jump goes to more often than to others."""
        if self.carried is None or self.before is None:
            return range(0)
        return range(
            self.before + 1, min(self.index.steps(self.carried).stop, self.before + REACH + 1)
        )

    def of_others(self, set_id: int, rows: int, ahead: int) -> float:
        """The probability of so many rows of a set that are none of the likely ones, `ahead` of
        them in `ahead`."""
        if set_id == self.carried:
            return self._of_carried_others(rows, ahead)
        if set_id in self.seen:
            return rows * math.exp(self._seen)
        return rows * math.exp(self.any)

    def _of_carried_others(self, rows: int, ahead: int) -> float:
        if self.before is None:
            return rows * math.exp(self._flat)
        return (rows - ahead) * math.exp(self._jump) + ahead * math.exp(self._ahead)

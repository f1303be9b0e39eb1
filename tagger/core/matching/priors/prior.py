"""How likely the lot makes each row, before a word is typed; the formula stands in `matcher`."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tagger.core.matching.priors.set_changes import SetShares

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.priors.context import Context
    from tagger.core.matching.priors.steps import StepModel

# How much of the probability lies in the carried set, in sets met in this lot, and in all others,
# where it is carried otherwise than from the card before.
CARRIED, SEEN, ANY = 0.97, 0.02, 0.01
AHEAD, REACH = 0.6, 30  # of the jumps, how many go on by no more than so many rows


class _SetPrior:
    """The rows of one set: steps from its last card, jumps, or any row where it has no last card
    yet."""

    def __init__(
        self,
        steps: range,
        share: float,
        model: StepModel,
        last: int | None,
        opens: bool = False,
    ) -> None:
        """`share` is the probability of the set; with `opens` it most likely begins here."""
        self.steps, self.last, self._opens = steps, last, opens
        self._share, self._model = share, model
        size = max(1, len(steps))
        # cards in no order go ahead no more often than back
        ahead = AHEAD * (1 - model.unsorted)
        jump, even = share * model.jump, (1 - ahead) / size
        self._jump, self._ahead = _log(jump * even), _log(jump * (ahead / REACH + even))
        self._flat = _log(share / size)

    def of(self, step: int) -> float:
        """log prior of the row at a step."""
        if self.last is None:
            # A tray most often begins with the first card of its set.
            if not self._opens or step != self.steps.start:
                return self._flat
            return _log(self._share * (self._model.share(1) or 0.5))
        share = self._model.share(step - self.last)
        if share is not None:
            return max(self._jump, _log(self._share * share))
        # of the jumps more go on than back, and not far
        if 0 < step - self.last <= REACH:
            return self._ahead
        return self._jump

    def likely(self) -> range:
        """Its next steps, or its first ones: worth a look whatever is typed."""
        steps, span = self.steps, self._model.span
        if self.last is None:
            if not self._opens:
                return range(0)
            return range(steps.start, min(steps.stop, steps.start + span.stop))
        return range(
            max(steps.start, self.last + span.start), min(steps.stop, self.last + span.stop)
        )

    def of_others(self, rows: int, ahead: int) -> float:
        """The probability of so many rows that are none of the likely ones, `ahead` of them in
        `ahead`."""
        if self.last is None:
            return rows * math.exp(self._flat)
        return (rows - ahead) * math.exp(self._jump) + ahead * math.exp(self._ahead)


class Prior:
    """How likely the lot makes each row, before a word is typed."""

    def __init__(self, index: Index, context: Context) -> None:
        self.index = index
        self.carried = self._carried_set(context)
        """The set that is carried, None where there is none."""
        self.seen = frozenset(id for id in map(index.set_id, context.seen) if id is not None)
        self.before = self._step_before(context)
        shares = self._shares(context)
        self._context, self._stay, self._others = context, shares.stay, dict[int, float]()
        for name, share in shares.others.items():
            set_id = index.set_id(name)
            if set_id is not None:
                self._others[set_id] = share
        # what is known of a set is put together when a row of it is asked for
        self._sets: dict[int, _SetPrior] = {}
        self.any = _log(shares.new / max(1, len(index)))

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

    def _shares(self, context: Context) -> SetShares:
        """How much of the probability lies in the carried set, in each other one that was met, and
        in all others."""
        before = context.before
        if before is not None and self.before is not None and context.changes.known:
            return context.changes.shares(before.set, context.seen)
        others = {
            name: self._size(id)
            for name in sorted(context.seen)
            if (id := self.index.set_id(name)) is not None
        }
        rows = sum(others.values())
        seen = {name: SEEN * size / rows for name, size in others.items()}
        new = ANY
        if self.carried is None:
            new += CARRIED
        else:
            seen.pop(self.index.sets[self.carried], None)
        if not others:
            new += SEEN
        return SetShares(CARRIED, seen, new)

    def _size(self, set_id: int) -> int:
        return self.index.starts[set_id + 1] - self.index.starts[set_id]

    def first(self) -> list[int]:
        """The sets to look at first: the carried one, then those met in this lot, the likeliest
        first."""
        met = sorted(self._others, key=lambda id: (-self._others[id], id))
        if self.carried is None:
            return met
        return [self.carried, *met]

    def _of_set(self, set_id: int) -> _SetPrior | None:
        """What is known of a set, None where it was never met."""
        known = self._sets.get(set_id)
        if known is None:
            steps, context = self.index.steps(set_id), self._context
            if set_id == self.carried:
                known = _SetPrior(steps, self._stay, context.steps, self.before, opens=True)
            elif set_id in self._others:
                share, changes = self._others[set_id], context.changes
                last = changes.last.get(self.index.sets[set_id])
                known = _SetPrior(steps, share, changes.resumed, last)
            else:
                return None
            self._sets[set_id] = known
        return known

    def of(self, step: int) -> float:
        """log prior of the row at a step."""
        known = self._of_set(self.index.set_of(step))
        if known is None:
            return self.any
        return known.of(step)

    def likely(self, set_id: int) -> range:
        """The next steps of a set, or its first ones: worth a look whatever is typed."""
        known = self._of_set(set_id)
        if known is None:
            return range(0)
        return known.likely()

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
        known = self._of_set(set_id)
        if known is None:
            return rows * math.exp(self.any)
        return known.of_others(rows, ahead)


def _log(share: float) -> float:
    return math.log(max(share, 1e-300))

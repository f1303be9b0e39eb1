"""The run of each series of a set, kept apart: a lot that goes to and fro between series goes on in
each where it was."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tagger.core.matching.priors.prior import CARRIED, Prior

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.priors.context import Context

# A number alone is of the series of the card before, unless it goes on in another one, as a set
# does behind a single insert; log weights, our own estimates, no source.
OTHER_SERIES, GOES_ON = -3.0, -1.5


class SeriesRuns:
    """How the series of a row changes what the lot makes of it."""

    def __init__(self, index: Index, prior: Prior, context: Context) -> None:
        self._index, self._prior, self._steps = index, prior, context.steps
        self._last: dict[str, int] = {}
        self._now = ""
        # only where cards of one number are told apart by it
        if index.has_series and prior.before is not None:
            self._now = index.series_at(prior.before)
            self._note(context)

    def _note(self, context: Context) -> None:
        for tags in context.latest:
            step = self._index.find(tags)
            if step is not None and self._index.set_of(step) == self._prior.carried:
                # The nearest card comes first, so the first one met of a series is its last.
                self._last.setdefault(self._index.series_at(step), step)

    @property
    def at_work(self) -> bool:
        """Whether there is a run in a series."""
        return bool(self._now)

    def prior(self, step: int, named: bool) -> float:
        """log prior of the row at a step; `named`: a word says its series."""
        usual = self._prior.of(step)
        if not self._now or self._index.set_of(step) != self._prior.carried:
            return usual
        series = self._index.series_at(step)
        if series == self._now:
            return usual
        last = self._last.get(series)
        share = None if last is None else self._steps.share(step - last)
        goes_on = -math.inf if share is None else math.log(CARRIED * share)
        if named:
            return max(usual, goes_on)
        return max(usual + OTHER_SERIES, goes_on + GOES_ON)

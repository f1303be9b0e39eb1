"""What the lot makes likely, as a hint is read."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tagger.core.lot.carried import Carried
from tagger.core.matching.priors.set_changes import SetChanges
from tagger.core.matching.priors.steps import StepModel

if TYPE_CHECKING:
    from tagger.core.model.tags import Tags


Weights = tuple[tuple[int, float], ...]
"""Rows by their steps, each with a log weight relative to a row that nothing speaks for."""


@dataclass(frozen=True, slots=True)
class Context:
    """What the lot makes likely: carried tags, the tags of the card before, the sets met so far,
    the usual steps, and how the lot goes from set to set. `latest`: tags of listed cards before,
    the latest first, as far as series ask for them. `spoken_for`: rows that something speaks for
    which was not typed, as (step, log weight); a row that is absent has 0. `tagged`: whether the
    card in front has a tag; its set is the carried one then, and it is likely to stay in that.
    `passed`: cards between that before and the one in front, which were left for later: each has
    its place in the run."""

    carried: Carried = field(default_factory=Carried)
    before: Tags | None = None
    seen: frozenset[str] = frozenset()
    steps: StepModel = field(default_factory=StepModel)
    changes: SetChanges = field(default_factory=SetChanges)
    latest: tuple[Tags, ...] = ()
    spoken_for: Weights = ()
    tagged: bool = False
    passed: int = 0

"""A card that a hint could mean, and what the lot makes likely."""

from __future__ import annotations

from dataclasses import dataclass, field

from tagger.core.lot.carried import Carried
from tagger.core.matching.priors.set_changes import SetChanges
from tagger.core.matching.priors.steps import StepModel
from tagger.core.model.tags import Tags

# of what is called sure no more than 2 in 1,000 may be wrong; see `tests/bench/run sure`
SURE = 0.99


@dataclass(frozen=True, slots=True)
class Context:
    """What the lot makes likely: carried tags, the tags of the card before, the sets met so far,
    the usual steps, and how the lot goes from set to set. `latest`: tags of listed cards before,
    the latest first, as far as series ask for them."""

    carried: Carried = field(default_factory=Carried)
    before: Tags | None = None
    seen: frozenset[str] = frozenset()
    steps: StepModel = field(default_factory=StepModel)
    changes: SetChanges = field(default_factory=SetChanges)
    latest: tuple[Tags, ...] = ()


@dataclass(frozen=True, slots=True)
class Candidate:
    """One card that a hint could mean. `confidence` is 0 to 1; `problem` says why it must not be
    taken as it stands; `reasons` pairs each typed word with what it was read as (empty: not
    read)."""

    tags: Tags
    confidence: float
    run: int | None = None
    problem: str = ""
    reasons: tuple[tuple[str, str], ...] = ()

    def explained(self) -> str:
        """`23: number · g: parallel`: what each word was read as."""
        return (
            " · ".join(f"{word}: {meaning or 'not read'}" for word, meaning in self.reasons)
            or "nothing was typed"
        )

    @property
    def sure(self) -> bool:
        """Whether the candidate can be taken with no second look at the line."""
        return self.confidence >= SURE and not self.problem

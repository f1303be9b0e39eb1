"""A card that a hint could mean."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.model.tags import Tags

# of what is called sure no more than 2 in 1,000 may be wrong; see `tests/bench/run sure`
SURE = 0.99


@dataclass(frozen=True, slots=True)
class Candidate:
    """One card that a hint could mean. `confidence` is 0 to 1; `problem` says why it must not be
    taken as it stands; `reasons` pairs each typed word with what it was read as (empty: not
    read). `corrects`: it is the tagged card in front with what is typed changed, and no other;
    `guessed`: its number was not typed, but follows those before."""

    tags: Tags
    confidence: float
    run: int | None = None
    problem: str = ""
    reasons: tuple[tuple[str, str], ...] = ()
    corrects: bool = False
    guessed: bool = False

    def explained(self) -> str:
        """`23: number · g: parallel`: what each word was read as."""
        return (
            " · ".join(f"{word}: {meaning or 'not read'}" for word, meaning in self.reasons)
            or "nothing was typed"
        )

    @property
    def meanings(self) -> set[str]:
        """What the typed words were read as."""
        return {meaning for _, meaning in self.reasons}

    @property
    def says_only_copy(self) -> bool:
        """Whether nothing that was typed says which card it is: it is then the one that is likely
        next, as with nothing typed."""
        # loaded with what reads hints
        from tagger.core.matching.variants.variant_words import OF_A_COPY

        return self.meanings <= OF_A_COPY

    @property
    def sure(self) -> bool:
        """Whether the candidate can be taken with no second look at the line."""
        return self.confidence >= SURE and not self.problem

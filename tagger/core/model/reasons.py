"""Why a card is set aside, by a short word that stands for the reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tagger.core.model.text import fold

USUAL = {"d": "damaged", "v": "worth a closer look", "?": "which parallel?"}


@dataclass(frozen=True)
class Reasons:
    """Reasons by their short words, which are folded as `core.text.fold` does it."""

    by_word: Mapping[str, str] = field(default_factory=lambda: USUAL)

    def meant(self, typed: str) -> str:
        """The reason that was typed, or that the one short word typed stands for; spaces are
        tidied."""
        said = " ".join(typed.split())
        return self.by_word.get(fold(said), said)

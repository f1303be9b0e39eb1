"""The seller's words for the state of a raw card.

The default scale is the hobby's usual one (common practice, no source). A word chosen from a scan
is an estimate, no professional grade."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from tagger.core.model.text import fold


class Condition(NamedTuple):
    """One step of the scale: its word and the short forms that can be typed for it."""

    name: str
    short: tuple[str, ...] = ()


DEFAULT_SCALE = (
    Condition("Mint", ("mt",)),
    Condition("Near Mint", ("nm", "nrmt")),
    Condition("Excellent", ("ex", "exc")),
    Condition("Very Good", ("vg",)),
    Condition("Good", ("gd",)),
    Condition("Fair", ("fr",)),
    Condition("Poor", ("pr",)),
)


@dataclass(frozen=True)
class Scale:
    """The conditions in use, best first."""

    steps: tuple[Condition, ...] = DEFAULT_SCALE
    _known: dict[str, tuple[str, bool] | None] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def read(self, token: str) -> tuple[str, bool] | None:
        """(condition, whether it was spelled out or a set short form) that a folded token names, or
        None.

        A word of at least three letters counts as soon as one condition alone starts with it.
        """
        if token not in self._known:
            self._known[token] = self._read(token)
        return self._known[token]

    def _read(self, token: str) -> tuple[str, bool] | None:
        squeezed = token.replace("-", "").replace(" ", "")
        begins: list[str] = []
        for step in self.steps:
            name = fold(step.name).replace(" ", "")
            if squeezed == name or squeezed in step.short:
                return step.name, True
            if len(squeezed) >= 3 and name.startswith(squeezed):
                begins.append(step.name)
        return (begins[0], False) if len(begins) == 1 else None

    def opening_words(self) -> dict[str, tuple[str, ...]]:
        """First word to the further words of each condition that takes several (`near` to
        `mint`)."""
        split = (fold(step.name).split() for step in self.steps)
        return {parts[0]: tuple(parts[1:]) for parts in split if len(parts) > 1}

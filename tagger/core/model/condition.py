"""The seller's words for the state of a raw card.

The default scale is the hobby's usual one (common practice, no source). A word chosen from a scan
is an estimate, no professional grade."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from tagger.core.model.text import fold

# Two letters begin too many names: `ex`, `go`, `fa`.
BEGUN = 3  # letters from which the beginning of a condition's word counts


class Condition(NamedTuple):
    """One step of the scale: its word and the short forms that can be typed for it."""

    name: str
    short: tuple[str, ...] = ()


class ReadCondition(NamedTuple):
    """A condition that was read. `whole`: it was spelled out, or in a short form that is set."""

    name: str
    whole: bool


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
    # Every word of every hint is asked about, for each variant that a card may have.
    _known: dict[str, ReadCondition | None] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def read(self, token: str) -> ReadCondition | None:
        """The condition that a folded word names, or None.

        A word of at least three letters counts as soon as one condition alone starts with it.
        """
        if token not in self._known:
            self._known[token] = self._read(token)
        return self._known[token]

    def _read(self, token: str) -> ReadCondition | None:
        # `near-mint`, `nearmint` and `near mint` are one.
        squeezed = token.replace("-", "").replace(" ", "")
        begins: list[str] = []
        for step in self.steps:
            name = fold(step.name).replace(" ", "")
            if squeezed == name or squeezed in step.short:
                return ReadCondition(step.name, True)
            if len(squeezed) >= BEGUN and name.startswith(squeezed):
                begins.append(step.name)
        # where two steps of the scale begin so, either would be a guess
        if len(begins) != 1:
            return None
        return ReadCondition(begins[0], False)

    def read_several(self, typed: Sequence[str]) -> tuple[str, int] | None:
        """The condition of several words that the first of some folded words spell, and how many
        they are; None for no such one. Its first word stands in full, of the others a letter does
        (`near m`), as long as one condition alone can be meant."""
        several = self._several.get("".join(typed[:1]), ())
        fitting = [(name, spelled) for name, spelled in several if _begun(spelled, typed)]
        longest = _of_most_words(fitting)
        # One that is typed in full is meant, though another one begins so as well.
        whole = [(name, spelled) for name, spelled in longest if _begins(typed, spelled)]
        meant = whole or longest
        if len(meant) != 1:
            return None
        [(name, spelled)] = meant
        return name, len(spelled)

    @cached_property
    def _several(self) -> dict[str, list[_Spelled]]:
        """(name, its folded words) of the conditions that take several, by the first of them."""
        found: dict[str, list[_Spelled]] = {}
        for step in self.steps:
            spelled = tuple(fold(step.name).split())
            if len(spelled) > 1:
                found.setdefault(spelled[0], []).append((step.name, spelled))
        return found


_Spelled = tuple[str, tuple[str, ...]]  # a condition's name, and its folded words


def _of_most_words(conditions: Sequence[_Spelled]) -> list[_Spelled]:
    """Those that take the most words."""
    # `good plus` is no `good p` that something follows
    most = max((len(spelled) for _, spelled in conditions), default=0)
    return [(name, spelled) for name, spelled in conditions if len(spelled) == most]


def _begins(typed: Sequence[str], spelled: tuple[str, ...]) -> bool:
    """Whether the first words that were typed are a condition's words in full."""
    return tuple(typed[: len(spelled)]) == spelled


def _begun(spelled: Sequence[str], typed: Sequence[str]) -> bool:
    """Whether each word of a condition has one that was typed for it, a letter of it at least."""
    return len(typed) >= len(spelled) and all(
        word and whole.startswith(word) for word, whole in zip(typed, spelled, strict=False)
    )

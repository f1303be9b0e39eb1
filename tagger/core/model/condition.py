"""The seller's words for the state of a raw card.

The default scale is the hobby's usual one (common practice, no source). A word chosen from a scan
is an estimate, no professional grade."""

from __future__ import annotations

import re
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


_JOINING = re.compile(r"(?<=\w)-(?=\w)")


def squeezed(word: str) -> str:
    """A condition's word as it is compared: `near-mint`, `NearMint` and `near mint` are one, and so
    are `NM-MT` and `nmmt`. A hyphen at the end stays: `VG-` is a step below `VG`."""
    return _JOINING.sub("", fold(word).replace(" ", ""))


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
        typed = squeezed(token)
        begins: list[str] = []
        for step in self.steps:
            name = squeezed(step.name)
            if typed == name or typed in step.short:
                return ReadCondition(step.name, True)
            if len(typed) >= BEGUN and name.startswith(typed):
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
        fitting = [one for one in several if _begun(one[1], typed)]
        # `ex` is often a step itself, and the `m` behind it a name: `EX-MT` is typed in full.
        fitting += [one for one in self._hyphened if _begins(typed, one[1])]
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

    @cached_property
    def _hyphened(self) -> list[_Spelled]:
        """(name, its folded words) of the conditions whose words a hyphen joins."""
        spelled = [(step.name, tuple(_parted(step.name))) for step in self.steps]
        return [one for one in spelled if len(one[1]) > len(one[0].split())]


_Spelled = tuple[str, tuple[str, ...]]  # a condition's name, and its folded words


def _parted(name: str) -> list[str]:
    return _JOINING.sub(" ", fold(name)).split()


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

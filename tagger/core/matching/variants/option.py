"""One variant of a card under a hint: what all words come to in it, and why it must not be taken
where a serial number fits none of its print runs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from tagger.core.matching.read import POOR
from tagger.core.model.numbers import parse_serial

NOT_READ = frozenset([""])


class _Option(NamedTuple):
    parallel: str
    serial: str
    condition: str
    run: int | None
    weight: float
    reasons: tuple[tuple[str, str], ...]
    doubt: float = 1.0
    problem: str = ""


class Option(_Option):
    """One variant of one row under a hint. `weight` is the log weight of all words together;
    `doubt` scales the confidence down where something does not fit; `problem` forbids taking it.

    `meanings` is what the words were read as, `whole` whether no word was left over, `clean`
    whether none needed a guess either, `says_anything` whether any was read: hundreds of rows share
    a variant, so that this is told once."""

    meanings: frozenset[str]
    whole: bool
    clean: bool
    says_anything: bool

    def __new__(cls, *given: Any) -> Option:
        """The fields of `_Option`, in their order."""
        made = super().__new__(cls, *given)
        made.meanings = meanings = frozenset([meaning for _, meaning in made.reasons])
        made.whole = "" not in meanings
        made.clean = made.whole and meanings.isdisjoint(POOR)
        made.says_anything = bool(meanings) and meanings != NOT_READ
        return made

    def doubted(self, times: float) -> Option:
        """The same, so much less sure."""
        return Option(*self[:6], self.doubt * times, self.problem)


def with_runs(option: Option, told: Iterable[int | None], runs: Iterable[int | None]) -> Option:
    """A variant of a card with these print runs, as it was worked out for another one: a serial
    number that fits nothing is told with them."""
    if option.whole or told == runs:
        return option
    left = (parse_serial(word) for word, meaning in option.reasons if not meaning)
    said = next(filter(None, left), None)
    if said is None or option.problem != no_such_run(told, *said):
        return option
    return Option(*option[:7], no_such_run(runs, *said))


def no_such_run(listed: Iterable[int | None], serial: int | None, run: int | None) -> str:
    runs = sorted(run for run in listed if run is not None)
    if run is None:
        return _without_run(runs)
    # said first: whatever the checklist has, no card is numbered so
    if (serial or 0) > run:
        return f"{serial} is above the print run of {run}"
    why = f"no parallel of this card is numbered to {run}"
    if not runs:
        return f"{why} in the checklist"
    return f"{why} (listed: {', '.join(f'/{run}' for run in runs)})"


def _without_run(listed: Sequence[int]) -> str:
    """What is wrong with a serial number without a print run; `listed` are those of the card."""
    if listed:
        return "the serial number lacks its print run; type it as on the card, such as 12/99"
    return "this card has no numbered parallel in the checklist"

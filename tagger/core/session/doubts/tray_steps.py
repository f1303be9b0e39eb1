"""How the numbers of one tray follow each other, learned from the cards just before; what a slip of
the finger makes of a number, and how much likelier it is than what was typed.

The next number is drawn from a mixture::

    P(next | numbers before) = jump / numbers of the set
                               + (1 - jump) * (double, or a step in the direction of the tray)

Shares of jumps and doubles are posterior means of a beta prior. Steps are a Bayesian mixture of
three predictors, each weighed by how well it foretold the steps so far (prequential weights, Dawid
1984): a geometric distribution with a beta prior (cards missing at random), a discretised logistic
around the mean (each so-many-th card, Salimans et al. 2017), and a Polya urn over the very steps
seen (two or three steps that alternate).

A number is set against a slip by the ratio of both probabilities, an e-value (Vovk and Wang 2021):
where the mixture holds, a right number reaches a ratio of c in at most one of c cases."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

JUMPS, STEPS = 0.25, 25.0  # what the lot has shown of jumps and others before anything is known
DOUBLES = 0.5, 1.5  # the same of doubles and steps
FAR_OFF = 8, 15  # a step beyond so many times the median, and so many numbers, is a jump
LEAST_NUMBERS = 50  # of a set, however few were met
NEW_STEP = 1.5  # steps seen that count as much as the chance of a step never seen
USUAL_STEP, SPREAD = 1.5, 0.35  # before a step was seen; the least spread of regular steps
ENOUGH = 3  # steps within one parallel that tell more of it than those of all
SHARED = 0.03  # of the weight that each predictor keeps: a tray may change


class TrayStep(NamedTuple):
    """From one card to the next: by how many numbers, whether the parallel changes, and whether it
    is a step of those that tell most of the next one."""

    by: int
    changes: bool = False
    alike: bool = True


class TraySteps:
    """The steps between numbers of a tray, in feeding order. `way` is 1 where they rise, else -1;
    `jump` is the probability of a jump, `jump_at_change` that of one where the parallel changes."""

    def __init__(self, numbers: Iterable[int], seen: Sequence[TrayStep]) -> None:
        self.way = _way([step.by for step in seen])
        self._limit = _limit([step.by * self.way for step in seen])
        within = [step for step in seen if 0 <= step.by * self.way <= self._limit]
        self.jump, self.jump_at_change = _jumps(seen, within)
        alike = [step for step in within if step.alike]
        if len(alike) < ENOUGH:
            alike = within
        self._onward = [step.by * self.way for step in alike if step.by]
        # The highest number met stands for the size of the set: what the list has is not asked,
        # since a tray of unlisted cards has slips too.
        self._numbers = max(LEAST_NUMBERS, *numbers)
        doubles, others = DOUBLES
        count = len(alike) - len(self._onward)
        self._double = (doubles + count) / (doubles + others + len(alike))
        self._past: Past | None = None
        self._shares: tuple[float, ...] = ()
        self._known: dict[int, float] = {}

    @property
    def usual(self) -> int:
        """The longest of the usual steps in the direction of the tray: nine in ten are no
        longer."""
        if not self._onward:
            return 0
        return sorted(self._onward)[(len(self._onward) - 1) * 9 // 10]

    @property
    def longest(self) -> int:
        """The longest step in the direction of the tray, jumps left out."""
        return max(self._onward, default=0)

    def chance(self, last: int, number: int, jump: float | None = None) -> float:
        """The probability that a number follows another one in this tray; `jump` is that of a jump
        where it is known better."""
        if jump is None:
            jump = self.jump
        step = (number - last) * self.way
        return jump / max(self._numbers, number) + (1 - jump) * self._step(step)

    def _step(self, step: int) -> float:
        if step <= 0:
            return self._double * (step == 0)
        # Beyond that the tails of the mixture add nothing to the share of jumps, and each key would
        # pay for their logarithms.
        if step > self._limit * 2:
            return 0.0
        if step not in self._known:
            if self._past is None:
                self._past, self._shares = Past(self._onward), _prequential(self._onward)
            found = self._past.predicted(step)
            mixed = sum(share * each for share, each in zip(self._shares, found, strict=True))
            self._known[step] = (1 - self._double) * mixed
        return self._known[step]


def _limit(onward: Iterable[int]) -> float:
    """The longest step that is no jump, by the steps in the direction of the tray."""
    # loaded with the first tagged card: no lot begins with one
    from statistics import median

    times, more = FAR_OFF
    return times * median([step for step in onward if step > 0] or [1]) + more


def _jumps(seen: Sequence[TrayStep], within: Sequence[TrayStep]) -> tuple[float, float]:
    """The probability of a jump, and that of one where the parallel changes; `within` are the steps
    that are none."""
    # where another parallel begins it may begin anywhere: that says nothing of other jumps
    changes = sum(step.changes for step in seen)
    jumps_there = changes - sum(step.changes for step in within)
    jumps = len(seen) - len(within) - jumps_there
    jump = (JUMPS + jumps) / (JUMPS + STEPS + len(seen) - jumps_there)
    return jump, (1 + jumps_there) / (2 + changes)


def _way(differences: Sequence[int]) -> int:
    up, down = (sum(step * way > 0 for step in differences) for way in (1, -1))
    if up >= down:
        return 1
    return -1


def _prequential(steps: Sequence[int]) -> tuple[float, ...]:
    """The share of each predictor, by how well it foretold each step from those before it."""
    logs, past = [0.0, 0.0, 0.0], Past()
    for step in steps:
        for which, chance in enumerate(past.predicted(step)):
            # One step that a predictor held impossible must not shut it out for the rest of the
            # tray.
            logs[which] += math.log(max(chance, 1e-12))
        past.add(step)
    # The largest is taken off before `exp`: of a long tray every weight would else be 0.
    most = max(logs)
    weights = [math.exp(log - most) for log in logs]
    whole = sum(weights)
    return tuple(SHARED + (1 - 3 * SHARED) * weight / whole for weight in weights)


class Past:
    """Steps from 1 on that were seen, and what each predictor makes of the next one."""

    def __init__(self, steps: Iterable[int] = ()) -> None:
        self._times: dict[int, int] = {}
        self._count = self._total = self._squares = 0
        for step in steps:
            self.add(step)

    def add(self, step: int) -> None:
        """One more step was seen."""
        self._times[step] = self._times.get(step, 0) + 1
        self._count += 1
        self._total += step
        self._squares += step * step

    def predicted(self, step: int) -> tuple[float, float, float]:
        """The probability of a step: geometric, logistic, urn."""
        geometric, count = self._geometric(step), self._count
        urn = (self._times.get(step, 0) + NEW_STEP * geometric) / (count + NEW_STEP)
        return geometric, self._logistic(step), urn

    def _geometric(self, step: int) -> float:
        ends, goes_on = 1.0 + self._count, USUAL_STEP - 1 + self._total - self._count
        # The posterior predictive of a geometric step under its conjugate beta prior, as logarithms
        # of gamma functions: the products themselves overflow after some hundred cards.
        log = math.lgamma(goes_on + step - 1) - math.lgamma(goes_on)
        log += math.lgamma(ends + goes_on) - math.lgamma(ends + goes_on + step)
        return ends * math.exp(log)

    def _logistic(self, step: int) -> float:
        count = self._count
        if not count:
            return self._geometric(step)
        mean = self._total / count
        # as if one step more was seen, half as far off as it is long: few show no spread yet
        squares = self._squares - count * mean * mean + (mean / 2) ** 2 / count
        scale = max(SPREAD, math.sqrt(squares / count * (1 + 1 / count)) * math.sqrt(3) / math.pi)
        return _below((step + 0.5 - mean) / scale) - _below((step - 0.5 - mean) / scale)


def _below(x: float) -> float:
    # Beyond 40 the result is as good as 0 or 1, and far beyond `exp` would overflow.
    return 1 / (1 + math.exp(-max(-40.0, min(40.0, x))))


@lru_cache(256)
def meant_by(typed: str) -> tuple[tuple[int, float], ...]:
    """(number, probability) of what a slip could have made this of: a digit left out, one typed
    twice, two neighbours that changed places, each as likely as the others."""
    places, found = range(len(typed)), set[str]()
    for at in range(len(typed) + 1):
        found.update(typed[:at] + digit + typed[at:] for digit in "0123456789")
    # a digit too many is one of two that are alike; the others change nothing
    found.update(typed[:at] + typed[at + 1 :] for at in places[1:] if typed[at - 1] == typed[at])
    found.update(typed[: at - 1] + typed[at] + typed[at - 1] + typed[at + 1 :] for at in places[1:])
    return tuple(
        (int(meant), _made_of(meant, typed) / 3)
        for meant in sorted(found - {typed, ""})
        if not meant.startswith("0")
    )


def _made_of(meant: str, typed: str) -> float:
    """How likely one kind of slip makes `typed` of what was meant."""
    if len(typed) < len(meant):
        places = sum(meant[:at] + meant[at + 1 :] == typed for at in range(len(meant)))
    elif len(typed) > len(meant):
        places = sum(meant[: at + 1] + meant[at:] == typed for at in range(len(meant)))
    else:
        return 1 / max(1, len(meant) - 1)
    return places / len(meant)

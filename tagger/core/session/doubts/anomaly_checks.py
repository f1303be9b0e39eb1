"""Tags that are probably a slip: what makes a second look worth its seconds. A doubt never refuses
anything.

How many slips are found, and how many right numbers are doubted, is measured on trays of many kinds
by `tests/bench/run slips`, beside the most that can be found by someone who knows the steps of that
kind of tray by heart: in trays whose cards are missing at random a step of nine is nothing
unusual, and no rule tells it from two digits that changed places."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.copies import Kind, kind_of
from tagger.core.model.numbers import canonical, parse_serial
from tagger.core.session.doubts.tray_steps import TrayStep, TraySteps, meant_by

if TYPE_CHECKING:
    from tagger.core.model.tags import Tags

BACK, AHEAD = 24, 3  # tagged cards that are looked at, before and behind a card
LEAST = 5  # cards that make a run
SMALL = 5  # numbers from one card of a run to the next that are few in any tray
# times as likely a slip must be as what was typed; see `tests/bench/run slips`
RATIO = 22.0


class Numbered(NamedTuple):
    """A tagged card: its position, number and parallel."""

    position: int
    number: str
    parallel: str = ""


def run_doubt(
    here: Numbered,
    before: Sequence[Numbered],
    after: Sequence[Numbered] = (),
    may_be: Callable[[int], bool] = lambda number: True,
) -> str:
    """Why the number of a card breaks a run, empty where it does not. `before` and `after` are
    tagged cards of the same set right before and behind the card, in feeding order; a number that
    the card behind goes on from is borne out by it. `may_be`: whether the set has a number; what it
    has not was never meant."""
    number = _whole(here.number)
    run, steps = _tray(tuple(before), here.parallel)
    if number is None or steps is None or len(run) < AHEAD:
        return ""
    last, follows = run[-1], next((number for _, number in _run(after[:1])), None)
    if _goes_on(steps, last[1], number) and (follows is None or _goes_on(steps, number, follows)):
        return ""
    meant = _meant(here, number, follows, run, steps, may_be)
    if meant is None:
        return _gap_doubt(here, number, run, after, steps)
    position, shown, _ = last[0]
    return f"#{here.number} is out of sequence; #{meant} would follow #{shown} of card {position}"


_Run = Sequence[tuple[Numbered, int]]


def _run(cards: Iterable[Numbered]) -> Iterator[tuple[Numbered, int]]:
    """The cards whose number is a whole one, with it."""
    for card in cards:
        number = _whole(card.number)
        if number is not None:
            yield card, number


@lru_cache(4)  # each key asks about the same cards
def _tray(before: tuple[Numbered, ...], parallel: str) -> tuple[_Run, TraySteps | None]:
    """The cards before one of a parallel, and how their numbers go on."""
    run = tuple(_run(before))
    if not run:
        return run, None
    steps = [
        TrayStep(
            other - one,
            first.parallel != second.parallel,
            first.parallel == second.parallel == parallel,
        )
        for (first, one), (second, other) in pairwise(run)
    ]
    return run, TraySteps([number for _, number in run], steps)


def _goes_on(steps: TraySteps, one: int, other: int) -> bool:
    """Whether the tray has gone on by such a step before."""
    return 0 <= (other - one) * steps.way <= steps.usual


def _small(steps: TraySteps, one: int, other: int) -> bool:
    """Whether two numbers may belong to one run."""
    return 0 <= (other - one) * steps.way <= max(SMALL, 2 * steps.longest)


def _meant(
    here: Numbered,
    number: int,
    follows: int | None,
    run: _Run,
    steps: TraySteps,
    may_be: Callable[[int], bool],
) -> int | None:
    """The number that was meant, where a slip that made another one of it is by far likelier than
    that one; None where it is not."""
    if len(run) < LEAST:
        return None
    before, last = run[-1]
    jump = steps.jump
    if here.parallel != before.parallel:
        jump = steps.jump_at_change
    # one stray card in a tray is no new beginning: the tray may go on from the card before it
    stray = run[-2][1]

    def likely(meant: int) -> float:
        chance = steps.chance(last, meant, jump)
        if follows is not None:
            chance *= steps.chance(meant, follows)
        return chance

    typed = likely(number) + steps.jump * steps.chance(stray, number, jump)
    others = ((meant, share) for meant, share in meant_by(str(number)) if may_be(meant))
    found = [(likely(meant) * share, meant) for meant, share in others]
    # Summed over all that may be meant: whether it is a slip is one question, and which number was
    # meant is the next.
    if sum(chance for chance, _ in found) < RATIO * typed:
        return None
    return max(found)[1] if found else None


def _gap_doubt(
    here: Numbered, number: int, run: _Run, after: Sequence[Numbered], steps: TraySteps
) -> str:
    """Why a number is no part of a run that goes on behind it."""
    behind = list(_run(after[:AHEAD]))
    around = [number for _, number in (*run[-AHEAD:], *behind)]
    # With fewer behind it, the number may just as well be where another run begins.
    if len(behind) < AHEAD or _is_near(steps, run[-1][1], number, behind[0][1]):
        return ""
    if not all(_small(steps, *two) for two in pairwise(around)):
        return ""
    one, other = run[-1][0], behind[0][0]
    return (
        f"#{here.number} does not fit between #{one.number} of card {one.position} "
        f"and #{other.number} of card {other.position}"
    )


def _is_near(steps: TraySteps, one: int, number: int, other: int) -> bool:
    """Whether a number lies between two others, or a few before or behind: cards of a run seldom
    lie in perfect order."""
    few = max(SMALL, 2 * steps.longest)
    return (number - one) * steps.way >= -few and (other - number) * steps.way >= -few


def _whole(number: str) -> int | None:
    # `117a` and `RC-7` are no steps of a run, and no set has a million cards
    text = canonical(number)
    if text.isascii() and text.isdecimal() and len(text) <= 6:
        return int(text)
    return None


# of which card, its serial number, its print run
Serial = tuple[Kind, int, int | None]


def serial_key(tags: Tags) -> Serial | None:
    """What two cards with the same serial number have in common, None where the card has none."""
    # `/99` alone says that it is numbered, and not which one it is
    read = parse_serial(tags.serial)
    if read is None or read[0] is None:
        return None
    return kind_of(tags), read[0], read[1]


def serial_doubt(tags: Tags, others: Iterable[int]) -> str:
    """Why a serial number is doubted; `others` are the positions of cards that have the very same
    one."""
    first = min(others, default=None)
    if first is None:
        return ""
    return f"card {first} already has serial number {tags.serial}"

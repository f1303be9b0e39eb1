"""A sitting: one opening of a lot, what was done in it and how long it took, breaks left out."""

from __future__ import annotations

from dataclasses import dataclass

from tagger.core.lot.pace import BREAK, LEAST
from tagger.core.model.counted import counted


@dataclass(frozen=True, slots=True)
class Sitting:
    """`at`: when the lot was opened, in seconds since 1970; no two sittings at a lot have the same.
    `seconds`: from the opening to the last key, without breaks; `away`: seconds of breaks. `cards`:
    how many more are tagged than at the opening, `aside` set aside. `keys`: all that were
    pressed."""

    at: float
    seconds: float = 0.0
    away: float = 0.0
    cards: int = 0
    aside: int = 0
    keys: int = 0

    @property
    def worth_telling(self) -> bool:
        """Whether any card was done."""
        return bool(self.cards or self.aside)

    def is_news(self, noted: tuple[Sitting, ...], apart: float = 0.0) -> bool:
        """Whether it is worth noting (again) beside those that were noted: where a card was done
        since, at least `apart` seconds ago, or where `apart` is 0 any other thing."""
        # a lot that was only looked at is no sitting
        last = next((other for other in reversed(noted) if other.at == self.at), None)
        if last is None:
            return self.worth_telling
        if not apart:
            return self != last
        done = (self.cards, self.aside) != (last.cards, last.aside)
        return done and self.seconds + self.away - last.seconds - last.away >= apart

    @property
    def minutes(self) -> float:
        """Minutes of work, to a tenth."""
        return round(self.seconds / 60, 1)

    def keys_a_card(self) -> float | None:
        """Keys a card that was tagged, None where none was."""
        if not self.cards:
            return None
        return self.keys / self.cards

    def told(self) -> str:
        """`84 cards in 9 minutes (not counting 2 minutes of breaks), 9.3 a minute, 2.1 keys a card,
        3 set aside`."""
        said = f"{counted(self.cards, 'card')} in {_minutes(self.seconds)}"
        if self.away:
            said += f" (not counting {_minutes(self.away)} of breaks)"
        # of a second or two no pace can be told
        if self.cards and self.seconds >= LEAST:
            said += f", {60 * self.cards / self.seconds:.1f} a minute"
        if (keys := self.keys_a_card()) is not None:
            said += f", {keys:.1f} keys a card"
        if self.aside:
            said += f", {self.aside} set aside"
        return said


def _minutes(seconds: float) -> str:
    if seconds < 60:
        return "less than a minute"
    minutes = round(seconds / 60)
    return counted(minutes, "minute")


class WorkTime:
    """Keys and seconds of work since `began`, in seconds since 1970, and the time of the last key.
    A clock that is put back adds
    nothing."""

    def __init__(self, began: float) -> None:
        self.began = round(began, 3)
        self.seconds = self.away = 0.0
        self.keys = 0
        self.last = began

    def key(self, now: float) -> None:
        """A key was pressed. A longer time than `pace.BREAK` without one was a break."""
        # time passes with keys only: a desk that is left open over lunch was not worked at
        gap, self.last = now - self.last, now
        self.keys += 1
        if gap > BREAK:
            self.away += gap
        elif gap > 0:
            self.seconds += gap

    def sitting(self, cards: int, aside: int) -> Sitting:
        """The sitting so far, in which so many more cards were tagged and set aside."""
        seconds, away = round(self.seconds, 1), round(self.away, 1)
        # cards may have been cleared that an earlier sitting had tagged
        return Sitting(self.began, seconds, away, max(0, cards), max(0, aside), self.keys)


def with_sitting(sittings: tuple[Sitting, ...], sitting: Sitting) -> tuple[Sitting, ...]:
    """With one more sitting, or what is known now of one that is there."""
    if sittings and sittings[-1].at == sitting.at:
        # the one at work, noted again: nearly always the last
        return (*sittings[:-1], sitting)
    return (*(other for other in sittings if other.at != sitting.at), sitting)

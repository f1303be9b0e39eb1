"""What deserves a second look: warnings while a card is tagged, and going through the cards that
are in question."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from tagger.core.lot.change import Change
from tagger.core.model.arrangement import Arrangement
from tagger.core.model.money import amount, price_text
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.core.session.anomaly_checks import (
    AHEAD,
    BACK,
    Numbered,
    Serial,
    run_doubt,
    serial_doubt,
    serial_key,
)
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.session.session import Session

FAR = 40  # cards within which neighbours that are tagged are looked for
LOOK_AGAIN = "Look again: "


class Review:
    """The cards of a lot that are in question. `closer_look` is the price from which a card is
    worth a closer look, None where none is."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._serials: dict[Serial, set[int]] | None = None
        self._serial_of: dict[int, Serial] = {}
        self._asked: set[int] | None = None
        self._stale: set[int] = set()
        self._position: dict[int, int] = {}
        self._of: Arrangement | None = None
        self._at = 0
        self.closer_look: Decimal | None = None

    @property
    def going(self) -> bool:
        """Whether the dealer stands at the card that the review has gone to."""
        return self._at > 0 and self._session.desk.position == self._at

    # Warnings

    def warnings(self, position: int, tags: Tags) -> tuple[str, ...]:
        """What to look at twice when the card at a position has these tags: doubts, and its
        price."""
        return (*self._doubts(position, tags), *self._dear(tags))

    def _doubts(self, position: int, tags: Tags) -> Iterator[str]:
        if key := serial_key(tags):
            here = self._session.card_at(position).id
            others = self._numbered().get(key, set()) - {here}
            if others and (said := serial_doubt(tags, self._positions(others))):
                yield said
        if tags.number and not self._looks_so(position, tags):
            before = list(self._neighbours(position, -1, BACK, tags.set))[::-1]
            after = list(self._neighbours(position, 1, AHEAD, tags.set))
            if said := run_doubt(tags.number, before, after):
                yield said

    def _looks_so(self, position: int, tags: Tags) -> bool:
        """Whether a card in front looks like one of these tags: then its number is no slip of the
        finger."""
        session = self._session
        alike = session.resembles(session.card) if position == session.desk.position else None
        return alike is not None and alike.names(tags)

    def _neighbours(self, position: int, step: int, most: int, set_name: str) -> Iterator[Numbered]:
        """Tagged cards on one side of a card, the nearest first, as far as they are of its set."""
        session, found = self._session, 0
        for distance in range(1, FAR + 1):
            at = position + step * distance
            if found == most or not 1 <= at <= session.cards:
                return
            mark = session.card_at(at).mark
            if mark.state is State.TAGGED:
                if mark.tags.set != set_name:
                    return
                found += 1
                yield at, mark.tags.number

    def _dear(self, tags: Tags) -> Iterator[str]:
        if self.closer_look is not None:
            said, _ = price_text(tags.extra, tags.parallel)
            price = amount(said)
            if price is not None and price >= self.closer_look:
                yield f"worth a closer look: price {said}"

    def _numbered(self) -> dict[Serial, set[int]]:
        """Which tagged cards have which serial number, by identity; looked up once and kept up from
        then on."""
        self._hold()
        if self._serials is None:
            self._serials, self._serial_of = {}, {}
            for pair in self._session.arrangement.pairs:
                self._number(pair.id)
        return self._serials

    def _number(self, id: int) -> None:
        assert self._serials is not None
        old = self._serial_of.pop(id, None)
        if old is not None:
            self._serials[old].discard(id)
        mark = self._session.mark(id)
        key = serial_key(mark.tags) if mark.state is State.TAGGED and mark.tags.serial else None
        if key is not None:
            self._serials.setdefault(key, set()).add(id)
            self._serial_of[id] = key

    def _positions(self, ids: set[int]) -> list[int]:
        return [self._position[id] for id in ids]

    def _hold(self) -> None:
        """What was looked up holds for one arrangement of the cards only."""
        if self._of is not self._session.arrangement:
            self._serials = self._asked = None
            self._of = self._session.arrangement
            self._position = {pair.id: at for at, pair in enumerate(self._of.pairs, start=1)}

    def changed(self, change: Change) -> None:
        """A change was done, taken back or done again."""
        self._hold()
        for id in (marking.id for marking in change.marks if marking.id in self._position):
            at, fellows = self._position[id], self._fellows(id)
            if self._serials is not None:
                self._number(id)
            if self._asked is not None:
                self._stale |= {
                    *range(at - FAR, at + FAR + 1),
                    *self._positions(fellows | self._fellows(id)),
                }

    def _fellows(self, id: int) -> set[int]:
        """Cards with the same serial number as this one, as far as they are known."""
        key = self._serial_of.get(id)
        return set(self._serials[key]) if self._serials is not None and key is not None else set()

    # Going through

    def why(self, position: int) -> str:
        """Why a card is in question, empty where it is not."""
        card = self._session.card_at(position)
        mark = card.mark
        if mark.state is State.SET_ASIDE:
            return mark.brief()
        if mark.state is State.UNTAGGED or mark.confirmed:
            return ""
        said = ["in no checklist"] if not mark.tags.listed else []
        if mark.unsure:
            said.append("taken while unsure")
        return "; ".join((*said, *self.warnings(position, mark.tags)))

    def left(self) -> list[int]:
        """The positions of all cards in question."""
        self._hold()
        everything = range(1, self._session.cards + 1)
        if self._asked is None:
            self._asked, self._stale = set(), set(everything)
        for at in self._stale.intersection(everything):
            (self._asked.add if self.why(at) else self._asked.discard)(at)
        self._stale = set()
        return sorted(self._asked)

    def next(self) -> str:
        """Go to the next card in question, round the end, and say why it is one."""
        if not self.left():
            self._at = 0
            raise Refused("No card is left to review.")
        return self._go(self._session.desk.position)

    def _go(self, behind: int) -> str:
        left = self.left()
        self._at = at = next((at for at in left if at > behind), left[0])
        self._session.go(at)
        many = "this is the only one left" if len(left) == 1 else f"{len(left)} left to review"
        return f"Card {at}: {self.why(at)} · {many}."

    def keep(self) -> str:
        """Leave the card in front as it is, confirmed where it is tagged."""
        session, card = self._session, self._session.card
        assert card is not None
        position = session.desk.position
        if card.mark.state is State.TAGGED:
            mark = replace(card.mark, unsure=False, confirmed=True)
            desk = session.desk
            label = f"card {position}: {mark.brief()}, confirmed"
            session.enter(
                Change(label, session.now(), desk, desk, (Marking(card.id, card.mark, mark),))
            )
        return f"Card {position} stays as it is."

    def after(self, deed: Callable[[], str]) -> str:
        """Do something at the card in front, and say what; in the review, go to the next card in
        question then."""
        at = self._at if self.going else 0
        said = deed()
        if not at:
            return said
        if not self.left():
            self._at = 0
            last = "That was the last one to review."
            return f"{said} {last}" if said.startswith(LOOK_AGAIN) else f"{last} {said}"
        onward = self._go(at)
        return f"{said} {onward}" if said.startswith(LOOK_AGAIN) else f"{onward} {said}"


def taken(tags: Tags, before: Mark, unsure: bool) -> Mark:
    """The mark of a card that is taken. Who takes the same card again has looked twice, and is sure
    of it."""
    named = (tags.set, tags.number, tags.subject, tags.parallel)
    had = before.tags
    again = before.state is State.TAGGED and named == (
        had.set,
        had.number,
        had.subject,
        had.parallel,
    )
    return Mark(State.TAGGED, tags, unsure=unsure and not again)


def warned(said: str, warnings: tuple[str, ...]) -> str:
    """What was done, with what to look at twice before it: there it is read."""
    return f"{LOOK_AGAIN}{'; '.join(warnings)}. {said}" if warnings else said

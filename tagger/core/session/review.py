"""What deserves a second look: warnings while a card is tagged, and going through the cards that
are in question."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING, Protocol

from tagger.core.model.money import amount, price_text
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.core.model.text import printable, sentence, whole_number
from tagger.core.session.doubts.anomaly_checks import (
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
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Arrangement, Card
    from tagger.core.session.seen import Seen

# cards within which neighbours that are tagged are looked for: each key does it, and a run that was
# broken off so long ago says little
FAR = 40
LOOK_AGAIN = "Check again: "
OTHER_FRAME = "frame unlike those around it, which parallel?"


class Desk(Protocol):
    """What going through the cards does to the lot at work."""

    def go(self, position: int) -> str:
        """Stand at a card, counted from 1."""

    def enter(self, label: str, markings: Sequence[Marking]) -> None:
        """Do a change of marks. Raises NotSaved."""


class Review:
    """The cards of a lot that are in question. `closer_look` is the price from which a card is
    worth a closer look, None where none is."""

    def __init__(self, view: LotView, desk: Desk, closer_look: Decimal | None = None) -> None:
        self._view, self._desk = view, desk
        self._serials: dict[Serial, set[int]] | None = None
        self._serial_of: dict[int, Serial] = {}
        self._asked: set[int] | None = None
        self._stale: set[int] = set()
        self._run: tuple[tuple[int, int, str], Sequence[Numbered]] | None = None
        self._of: Arrangement | None = None
        self._at = 0
        self._frames: frozenset[str] = frozenset()
        self._read_more = False
        self.closer_look = closer_look
        self.read_as: Callable[[Card], Tags | None] = lambda card: None
        """As which card of the lists one was read beyond doubt; None where it was not."""
        self.may_be: Callable[[str, int], bool] = lambda set_name, number: True
        """Whether a set may have a number."""
        self.priced: Callable[[Tags], Tags] = lambda tags: tags
        """A card's tags with its list's price of today."""
        self.readings = 0
        """How often more was read: what is in question may be other cards since."""

    @property
    def going(self) -> bool:
        """Whether the dealer stands at the card that the review has gone to."""
        return self._at > 0 and self._view.cursor.position == self._at

    # Warnings

    def warnings(self, position: int, tags: Tags, seen: Seen | None = None) -> tuple[str, ...]:
        """What to look at twice when the card at a position has these tags: doubts, and its price.
        `seen` is what was seen of that card."""
        doubts = filter(None, self._doubts(position, tags, seen))
        return (*doubts, *self._dear(tags))

    def _doubts(self, position: int, tags: Tags, seen: Seen | None) -> Iterator[str]:
        card = self._view.card_at(position)
        read = self.read_as(card)
        yield _spoken_against(tags, read, seen)
        yield self._serial_doubt(position, tags)
        if not tags.parallel and card.front in self._frames:
            yield OTHER_FRAME
        # a number that goes with what was seen of the card is no slip of the finger
        if tags.number and not _is_seen_so(tags, read, seen):
            yield self._number_doubt(position, tags)

    def _number_doubt(self, position: int, tags: Tags) -> str:
        here = Numbered(position, tags.number, tags.parallel)
        before = self._before(position, tags)
        after = list(self._neighbours(position, 1, AHEAD, tags.set))
        may_be = self._may_follow(before, tags.set)
        return run_doubt(here, before, after, may_be) or self._doubt_before(
            here, before, after, may_be
        )

    def _may_follow(self, before: Sequence[Numbered], set_name: str) -> Callable[[int], bool]:
        """Whether a number may come behind some cards of a set."""
        last = whole_number(before[-1].number) if before else None
        # a tray that has left its list goes on beyond it
        if last is None or not self.may_be(set_name, last):
            return lambda number: True
        return partial(self.may_be, set_name)

    def _doubt_before(
        self,
        here: Numbered,
        before: Sequence[Numbered],
        after: Sequence[Numbered],
        may_be: Callable[[int], bool],
    ) -> str:
        """Why the number of the card before is doubted now that this one is known; empty where it
        was seen then, or a card behind this one tells more."""
        view = self._view
        if after or not before or view.card_at(before[-1].position).mark.confirmed:
            return ""
        # a card that is tagged already was seen with this doubt
        if view.card_at(here.position).mark.state is State.TAGGED:
            return ""
        said = run_doubt(before[-1], before[:-1], [here], may_be)
        # Doubted already when it was tagged: the dealer saw that then, and is not told twice.
        if not said or run_doubt(before[-1], before[:-1], may_be=may_be):
            return ""
        return f"card {before[-1].position}: {said}"

    def _before(self, position: int, tags: Tags) -> Sequence[Numbered]:
        """The tagged cards before a card in its set; held ready, since each key asks."""
        at = self._view.revision, position, tags.set
        if self._run is None or self._run[0] != at:
            self._run = at, list(self._neighbours(position, -1, BACK, tags.set))[::-1]
        return self._run[1]

    def _serial_doubt(self, position: int, tags: Tags) -> str:
        key = serial_key(tags)
        if not key:
            return ""
        others = self._numbered().get(key, set()) - {self._view.card_at(position).id}
        return serial_doubt(tags, self._positions(others)) if others else ""

    def _neighbours(self, position: int, step: int, most: int, set_name: str) -> Iterator[Numbered]:
        """Tagged cards of a set on one side of a card, the nearest first; piles of several sets may
        be fed by turns."""
        view, found = self._view, 0
        for at in range(position + step, position + step * (FAR + 1), step):
            if found == most or not 1 <= at <= view.cards:
                return
            mark = view.card_at(at).mark
            if mark.state is State.TAGGED and mark.tags.set == set_name:
                found += 1
                yield Numbered(at, mark.tags.number, mark.tags.parallel)

    def _dear(self, tags: Tags) -> Iterator[str]:
        if self.closer_look is None:
            return
        said = price_text(self.priced(tags))
        price = amount(said)
        if price is not None and price >= self.closer_look:
            yield f"worth a closer look: price {said}"

    def _numbered(self) -> dict[Serial, set[int]]:
        """Which tagged cards have which serial number, by identity; looked up once and kept up from
        then on."""
        self._hold()
        if self._serials is None:
            self._serials, self._serial_of = {}, {}
            for pair in self._view.arrangement.pairs:
                self._number(pair.id)
        return self._serials

    def _number(self, id: int) -> None:
        assert self._serials is not None
        old = self._serial_of.pop(id, None)
        if old is not None:
            self._serials[old].discard(id)
        mark = self._view.mark(id)
        if mark.state is not State.TAGGED or not mark.tags.serial:
            return
        key = serial_key(mark.tags)
        if key is not None:
            self._serials.setdefault(key, set()).add(id)
            self._serial_of[id] = key

    def _positions(self, ids: set[int]) -> list[int]:
        arrangement = self._view.arrangement
        return [at for id in ids if (at := arrangement.position_of(id)) is not None]

    def _hold(self) -> None:
        """What was looked up holds for one arrangement of the cards only."""
        if self._of is not self._view.arrangement:
            self._serials = self._asked = None
            self._of = self._view.arrangement

    def changed(self, ids: Iterable[int]) -> None:
        """The marks of these cards changed, or the arrangement did."""
        self._hold()
        # where nothing was looked up yet, nothing is kept up: most sittings have no review
        for id in ids:
            at, fellows = self._view.arrangement.position_of(id), self._fellows(id)
            if at is None:
                continue
            if self._serials is not None:
                self._number(id)
            if self._asked is not None:
                # a run is doubted by its neighbours, a serial number by the cards that share it
                self._stale.update(range(at - FAR, at + FAR + 1))
                self._stale.update(self._positions(fellows | self._fellows(id)))

    def read_on(self) -> None:
        """More was read of the cards, tagged ones too."""
        self.readings += 1
        self._read_more = True

    def ask_frames(self, fronts: frozenset[str]) -> None:
        """These fronts, and no others, have a frame unlike those of the cards around them."""
        places = map(self._view.arrangement.position_with, fronts ^ self._frames)
        self._stale.update(position for position in places if position is not None)
        self._frames = fronts

    def _fellows(self, id: int) -> set[int]:
        """Cards with the same serial number as this one, as far as they are known."""
        key = self._serial_of.get(id)
        if self._serials is None or key is None:
            return set()
        return set(self._serials[key])

    # Going through

    def why(self, position: int) -> str:
        """Why a card is in question, empty where it is not."""
        card = self._view.card_at(position)
        mark = card.mark
        if mark.state is State.SET_ASIDE:
            return mark.brief()
        # who confirmed a card has looked twice, whatever is doubted of it
        if mark.state is State.UNTAGGED or mark.confirmed:
            return ""
        said = []
        if not mark.tags.listed:
            said.append("in no checklist")
        if mark.unsure:
            said.append("accepted while unsure")
        return "; ".join((*said, *self.warnings(position, mark.tags)))

    def left(self) -> list[int]:
        """The positions of all cards in question."""
        self._hold()
        # the whole lot is gone through once, then only what a change may have touched
        everything = range(1, self._view.cards + 1)
        if self._asked is None:
            self._asked, self._stale = set(), set(everything)
        for at in self._stale.intersection(everything):
            if self.why(at):
                self._asked.add(at)
            else:
                self._asked.discard(at)
        self._stale = set()
        return sorted(self._asked)

    def warned(self) -> int:
        """How many cards are in question for nothing but a warning."""
        marks = (self._view.card_at(at).mark for at in self.left())
        tagged = (mark for mark in marks if mark.state is State.TAGGED)
        return sum(mark.tags.listed and not mark.unsure for mark in tagged)

    def next(self) -> str:
        """Go to the next card in question, round the end, and say why it is one."""
        # by this key alone: cards are read by the second, and ten thousand take a second to ask
        if self._read_more:
            self._asked, self._read_more = None, False
        if not self.left():
            self._at = 0
            raise Refused("No card is left to review.")
        return self._go(self._view.cursor.position)

    def _go(self, behind: int) -> str:
        left = self.left()
        self._at = at = next((at for at in left if at > behind), left[0])
        self._desk.go(at)
        many = f"{len(left)} left to review"
        if len(left) == 1:
            many = "this is the only one left"
        # the reason that was typed stands in the panel, where it is never cut
        aside = self._view.card_at(at).mark.state is State.SET_ASIDE
        return f"Card {at}: {'set aside' if aside else self.why(at)} · {many}."

    def keep(self) -> str:
        """Leave the card in front as it is, confirmed where it is tagged."""
        card, position = self._view.card, self._view.cursor.position
        assert card is not None
        if card.mark.state is State.TAGGED:
            mark = replace(card.mark, unsure=False, confirmed=True)
            label = f"card {position}: {mark.brief()}, confirmed"
            self._desk.enter(label, [Marking(card.id, card.mark, mark)])
        return f"Card {position} stays as it is."

    def after(self, deed: Callable[[], str]) -> str:
        """Do something at the card in front, and say what; in the review, go to the next card in
        question then."""
        # the deed moves the dealer on, so the review is asked before
        at = self._at if self.going else 0
        said = deed()
        if not at:
            return said
        if not self.left():
            self._at = 0
            onward = "That was the last one to review."
        else:
            onward = self._go(at)
        # what to look at twice is read only where it stands first
        first, last = (said, onward) if said.startswith(LOOK_AGAIN) else (onward, said)
        return f"{first} {last}"


def _is_seen_so(tags: Tags, read: Tags | None, seen: Seen | None) -> bool:
    """Whether the card looks like one of these tags, or was read as it beyond doubt."""
    return (read is not None and read.names_same(tags)) or (seen is not None and seen.names(tags))


def _spoken_against(tags: Tags, read: Tags | None, seen: Seen | None) -> str:
    """Which other card was read or is surely looked like, as a doubt; empty where none."""
    if read is not None:
        if read.names_same(tags):
            return ""
        # cards of one number and name are told apart by their set
        of_set = f" of {printable(read.set, 40)}" if read.set != tags.set else ""
        return f"the print says {printable(read.title, 40)}{of_set}"
    alike = None if seen is None else seen.alike_but_not(tags)
    return (
        "" if alike is None else f"it looks like {alike.known}, {printable(alike.tags.title, 40)}"
    )


def taken(tags: Tags, before: Mark, unsure: bool) -> Mark:
    """The mark of a card that is taken. Who takes the same card again has looked twice, and is sure
    of it."""
    # Condition, place and note may differ: who types the same card in another condition has looked
    # at it twice all the same.
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
    if not warnings:
        return said
    return f"{LOOK_AGAIN}{sentence('; '.join(warnings))} {said}"


def left_named(position: int, mark: Mark) -> str:
    """Why a card that was sold or pulled keeps its tags."""
    what = f"Card {position} was {mark.gone}, and its tags say which card left."
    return f"{what} If it is back, mark it as returned first."

"""The cards of a page of proofs, and what Enter makes of them.

A page has the cards from one on that were read beyond doubt, each as it would be proposed behind
those before it. A card in between that is not sure, worth a closer look, or of a parallel whose
serial number is to be typed stays for the desk."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.carried import Carried, Cursor
from tagger.core.lot.carried_run import counted
from tagger.core.model.counted import counted as many
from tagger.core.model.tags import Marking, State, Tags, listed_parallel
from tagger.core.model.text import printable
from tagger.core.session.review import taken
from tagger.core.session.seen import Print, Seen
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.matching.candidate import Candidate
    from tagger.core.model.arrangement import Card
    from tagger.core.reading.printed import Spot
    from tagger.core.session.session import Session

# A page is made while a key waits: its work must have an end also where hardly a card is sure.
FAR = 80  # cards that are gone through for one page, however few of them are sure


class Preceding(NamedTuple):
    """How the lot stands before a card: the card before it, and what is carried."""

    before: Tags | None
    carried: Carried

    def behind(self, tags: Tags) -> Preceding:
        """How it stands when a card was tagged so."""
        # As `Session` does with each card that is accepted: a page must come to the same tags as
        # the desk, card by card.
        carried = self.carried.put("set", tags.set) if tags.set else self.carried
        return Preceding(tags, counted(carried))


@dataclass(frozen=True, slots=True)
class ProofLine:
    """A card that was read beyond doubt: where its number and its name stand, and what it would be
    tagged as."""

    position: int
    card: Card
    tags: Tags
    number_at: Spot
    name_at: Spot


@dataclass(frozen=True, slots=True)
class ProofPage:
    """The lines of a page. `first` and `last` are the positions of the first and the last card that
    were gone through; `unread`: the one behind the last is not read yet. `after`: how the lot
    stands behind all of them."""

    lines: tuple[ProofLine, ...]
    first: int
    last: int
    after: Preceding
    unread: bool = False

    @property
    def between(self) -> int:
        """How many cards of it stay for the desk."""
        return self.last - self.first + 1 - len(self.lines)


class Proofs:
    """Makes the pages of a lot at work. `print_of` gives what was read on a card, None where it was
    not read yet."""

    def __init__(self, session: Session, print_of: Callable[[Card], Print | None]) -> None:
        self._session, self._print_of = session, print_of

    def here(self) -> Preceding:
        """How the lot stands before the card in front."""
        view = self._session.view
        return Preceding(view.tags_before(listed=True), view.cursor.carried)

    def page(self, first: int, most: int, stands: Preceding) -> ProofPage:
        """The page of at most so many lines from a card on, before which the lot stands so."""
        lines: list[ProofLine] = []
        last, view = first - 1, self._session.view
        for position in range(first, min(view.cards, first + FAR - 1) + 1):
            card = view.card_at(position)
            if card.mark.state is State.UNTAGGED:
                read = self._print_of(card)
                if read is None:
                    # It ends here: cards behind one that is not read yet would be proposed without
                    # what it says of them.
                    return ProofPage(tuple(lines), first, last, stands, unread=True)
                at = self._reached(position, stands)
                if (line := self._line(position, card, read, at)) is not None:
                    lines.append(line)
                    last, stands = position, at.behind(line.tags)
            elif card.mark.state is State.TAGGED and card.mark.tags.listed:
                stands = stands._replace(before=card.mark.tags)
            if len(lines) == most:
                break
        return ProofPage(tuple(lines), first, last, stands)

    def _reached(self, position: int, stands: Preceding) -> Preceding:
        """How the lot stands at a card without tags: behind a divider that comes before it, too."""
        return stands._replace(carried=self._session.view.carried_at(position, stands.carried))

    def _line(self, position: int, card: Card, read: Print, stands: Preceding) -> ProofLine | None:
        number_at, name_at = read.evidence.number_at, read.evidence.name_at
        if read.named is None or number_at is None or name_at is None:
            return None
        found = self._sure(Seen(card.id, None, read), stands)
        # A numbered card is worth more by its serial number, and print in foil is not read well
        # enough to be proposed.
        if found is None or (found.run is not None and not found.tags.serial):
            return None
        if self._session.review.warnings(position, found.tags, Seen(card.id, None, read)):
            return None
        return ProofLine(position, card, found.tags, number_at, name_at)

    def _sure(self, seen: Seen, stands: Preceding) -> Candidate | None:
        candidates = self._session.candidates
        context = candidates.context(seen)
        # The sets of lines above count as met, though nothing of the page is tagged yet.
        sets = context.seen | ({stands.before.set} if stands.before is not None else set())
        there = replace(context, carried=stands.carried, before=stands.before, seen=sets)
        first = next(iter(candidates.matcher.rank("", there, 1)), None)
        if first is None or first.problem or not first.sure or not seen.names(first.tags):
            return None
        return first

    # Doing

    def variants(self, line: ProofLine) -> Sequence[Tags]:
        """The card of a line as it is proposed, and then in its other parallels."""
        names = ["", *(one.name for one in self._session.candidates.parallels_of(line.tags))]
        others = (name for name in dict.fromkeys(names) if name != line.tags.parallel)
        return [line.tags, *(replace(line.tags, parallel=name, serial="") for name in others)]

    def print_run(self, tags: Tags) -> int | None:
        """How many copies the checklists say that there are of a card in its parallel."""
        parallels = self._session.candidates.parallels_of(tags)
        found = listed_parallel(parallels, tags.parallel)
        return None if found is None else found.run

    def typed(self, line: ProofLine, hint: str) -> Tags:
        """The card of a line with the parallel, serial number and condition that a hint says.
        Raises Refused where it says anything else."""
        found = self._session.candidates.listed(line.tags, hint)
        if found is None or found.problem:
            shown = printable(hint.strip(), 40)
            raise Refused(f"'{shown}' is not a parallel or a condition of this card.")
        read = found.tags
        return replace(
            line.tags, parallel=read.parallel, serial=read.serial, condition=read.condition
        )

    def take(self, page: ProofPage, chosen: Sequence[tuple[ProofLine, Tags]]) -> str:
        """Tag these cards of a page, each with its tags, as one change; returns what to tell.
        Raises Refused where there is none, NotSaved."""
        if not chosen:
            raise Refused("Every line is marked as wrong: there is no card to accept.")
        session = self._session
        before = session.view.tags_before()
        stands = self.here()
        for line, tags in chosen:
            stands = self._reached(line.position, stands).behind(tags)
        markings = [
            Marking(line.card.id, line.card.mark, taken(tags, line.card.mark, unsure=False))
            for line, tags in chosen
        ]
        cards = many(len(chosen), "card")
        label = f"{cards} accepted as read: cards {chosen[0][0].position} to {page.last}"
        # One change for the page, so that one undo takes back what one Enter did.
        session.enter(label, markings, Cursor(page.last + 1, stands.carried))
        # as at the desk: cards that were skipped lie between two
        for line, tags in chosen:
            passed = session.view.passed_before(line.position)
            session.candidates.learn(before, tags, passed=passed)
            session.pace.card(session.now())
            before = tags
        return f"{cards} accepted as read."


def untagged_from(session: Session, position: int) -> Iterator[int]:
    """The positions of untagged cards from one on."""
    view = session.view
    for at in range(position, view.cards + 1):
        if view.card_at(at).mark.state is State.UNTAGGED:
            yield at

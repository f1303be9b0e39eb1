"""The desk's side of reading: what is printed on the card in front, as far as it was read and
shown.

Enter does what the panel says: what was read counts once it was drawn. What is read later may
change the proposal as long as nothing is typed; it says so, and an Enter that was on its way then
does nothing."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from math import inf
from time import monotonic
from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen

from tagger.core.model.tags import State, Tags
from tagger.core.reading.trust import ReadingTrust
from tagger.core.session.seen import Print

if TYPE_CHECKING:
    from typing import Protocol

    from tagger.core.index.index import Index
    from tagger.core.model.arrangement import Arrangement, Card
    from tagger.core.reading.printed import Evidence, Readings
    from tagger.core.session.session import Session

    class ReadingAhead(Readings, Protocol):
        """Reads cards ahead of the dealer, in a process of its own. Never raises."""

        def begin(self, came: Callable[[str], None]) -> None:
            """Look up what is kept from now on; `came` is called from another thread when more is
            there, with what is to be told of the work itself, mostly nothing."""

        def read_on(self) -> None:
            """Read from now on what is not kept."""

        @property
        def catching_up(self) -> bool:
            """Whether it is still being looked up what is kept of the next cards."""

        def ahead(self, arrangement: Arrangement, position: int, carried: str) -> None:
            """The dealer is at this card, with this set carried: read it first, and then those
            behind it."""

        def know(self, index: Index) -> None:
            """These are the rows of the checklists from now on."""

        def close(self) -> None:
            """End the process."""


# seconds after a proposal changed by itself in which an Enter was meant for the one before
JUST = 0.35


class CardsRead(Message):
    """More cards were read; `told` is to be said, where there is anything."""

    def __init__(self, told: str) -> None:
        super().__init__()
        self.told = told


class ReadingClient:
    """What was read on the card in front. `screen` gets CardsRead."""

    def __init__(
        self, screen: Screen[None], session: Session, readings: ReadingAhead | None
    ) -> None:
        self._screen, self._session = screen, session
        self.readings = None if session.looking else readings
        self.trust = ReadingTrust()
        self._begun = False
        self._card: tuple[int, int] = (0, 0)
        self._print: Print | None = None
        self._changed = 0.0
        self._wanted: tuple[Arrangement, int] | None = None
        if self.readings is not None:
            session.heard = self.trust.heard
            session.review.read_as = self.read_as

    # The process

    def lists_changed(self) -> None:
        """The checklists are read, or others now: what is kept of the cards is looked up, once the
        first one is on the screen."""
        if self.readings is None:
            return
        if not self._begun:
            self._begun = True
            self.readings.begin(self._came)
        self.readings.know(self._session.candidates.matcher.index)
        self.shown()

    def read_on(self) -> None:
        """The first scans are measured: cards of which nothing is kept are read."""
        if self.readings is not None:
            self.readings.read_on()

    @property
    def catching_up(self) -> bool:
        """Whether more may be known of the next cards in a moment."""
        return self.readings is not None and self.readings.catching_up

    def shown(self, position: int = 0) -> None:
        """The card in front, or the one at a position, is on the screen: it and the next ones are
        to be read first."""
        if self.readings is None or not self._begun:
            return
        view = self._session.view
        wanted = view.arrangement, position or view.cursor.position
        # Each drawing says so: who reads is told where something changed.
        if self._wanted is None or wanted[1] != self._wanted[1] or wanted[0] is not self._wanted[0]:
            self._wanted = wanted
            self.readings.ahead(*wanted, view.cursor.carried.get("set"))

    def _came(self, told: str) -> None:
        with suppress(RuntimeError):  # the desk was left meanwhile
            self._screen.post_message(CardsRead(told))

    def close(self) -> None:
        """End the process."""
        if self.readings is not None:
            self.readings.close()

    # What was read

    def look(self, undisturbed: bool) -> str:
        """The card in front is about to be drawn: from now on what was read of it counts, as long
        as nothing is typed and no key waits (`undisturbed`). Returns what is to be said of a
        proposal that changes under the dealer's eyes."""
        card = self._session.view.card
        here = (0, 0) if card is None else (card.id, self._session.candidates.revision)
        came, self._card = here != self._card, here
        if came:
            self._print = None
        if card is None or self._print is not None or not undisturbed:
            return ""
        self._print = self.print_of(card)
        if came or self._print is None or self._print.named is None:
            return ""
        # A busy machine draws late: nobody sees the other proposal before it is on the screen.
        self._changed = inf
        self._screen.call_after_refresh(self._on_screen)
        return f"Read just now: {self._print.named.title}."

    def _on_screen(self) -> None:
        self._changed = monotonic()

    def print_of(self, card: Card) -> Print | None:
        """What was read on a card; None while it was not, and for one that is tagged."""
        if self.readings is None or card.mark.state is not State.UNTAGGED:
            return None
        evidence = self.readings.evidence_of(card)
        if evidence is None:
            return None
        found = Print(evidence, self._named(evidence))
        if found.named is not None:
            self.trust.expect(card.id, found.named)
            if not self.trust.in_set(found.named.set):
                return Print(evidence)
        return found

    def read_as(self, card: Card) -> Tags | None:
        """As which card one was read beyond doubt, whatever it is tagged as; None in a set where
        too much was read wrongly."""
        evidence = None if self.readings is None else self.readings.evidence_of(card)
        named = None if evidence is None else self._named(evidence)
        return named if named is not None and self.trust.in_set(named.set) else None

    def seen_of(self, card: Card) -> Evidence | None:
        """What was read of a card as far as that may be shown: of the one in front once it counts,
        of the others as soon as it is there."""
        front = self._session.view.card
        if front is not None and front.id == card.id:
            return None if self.print is None else self.print.evidence
        return None if self.readings is None else self.readings.evidence_of(card)

    def _named(self, evidence: Evidence) -> Tags | None:
        if evidence.alone is None:
            return None
        row = self._session.candidates.matcher.index.row(evidence.alone)
        return Tags(set=row.set, number=row.number, subject=row.subject, team=row.team)

    @property
    def print(self) -> Print | None:
        """What was read of the card in front and shown."""
        card = self._session.view.card
        if card is None or self._card != (card.id, self._session.candidates.revision):
            return None
        return self._print if card.mark.state is State.UNTAGGED else None

    @property
    def just_changed(self) -> bool:
        """Whether the proposal changed a moment ago without a key: what is pressed now was meant
        for the one before."""
        return monotonic() - self._changed < JUST

"""The desk's side of look-alikes: asks about the card that is shown, and has what was tagged
remembered.

Enter does what the panel says: what a card looks like counts only once it was shown, and an answer
that comes late, or after another key, changes nothing under the dealer's eyes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from functools import cached_property
from time import monotonic
from typing import TYPE_CHECKING, Protocol

from textual.message import Message
from textual.screen import Screen

from tagger.core.model.tags import State

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.audit.signature import CardSides, KnownCard, Signature
    from tagger.core.model.arrangement import Card
    from tagger.core.session.recognition import KnownMatch, Recognition
    from tagger.core.session.recognizer import Recognizer
    from tagger.core.session.session import Session

# cards that are told to the memory before the next question; more than that when the keys are quiet
AT_ONCE = 50
PATIENCE = 0.25  # seconds after which an answer comes too late for the card in front


class RecognitionMemory(Protocol):
    """What was tagged on this machine and how it looks. Answers in the order in which it is asked;
    never raises."""

    def begin(self) -> None:
        """Read what is known."""

    def remember(self, cards: Sequence[KnownCard], gone: Sequence[CardSides]) -> None:
        """Know these cards from now on, and no more what was remembered under those scans."""

    def find(
        self, look: Signature, own: CardSides, tell: Callable[[KnownMatch | None], None]
    ) -> None:
        """`tell` the known card that one looks like, from another thread."""

    def keep(self) -> None:
        """Write what changed."""

    def close(self) -> None:
        """Write what changed, and end."""


class Recognized(Message):
    """The memory's answer for a card, by its identity."""

    def __init__(self, id: int, asked: float, found: KnownMatch | None) -> None:
        super().__init__()
        self.id, self.asked, self.found = id, asked, found


class RecognitionClient:
    """What the card in front looks like. `screen` gets AlikeFound."""

    def __init__(
        self,
        screen: Screen[None],
        session: Session,
        memory: RecognitionMemory | None,
        folder: str,
        name: str,
    ) -> None:
        self._screen, self._session = screen, session
        # What is only looked at changes nothing, neither in the lot nor in what is known.
        self._memory = None if session.looking else memory
        self._folder, self._name = folder, name
        self._alike: Recognition | None = None
        self._begun = False
        self._asked_of = 0
        self._arrangement = session.view.arrangement
        # cards that are still to be told to the memory, None for all of the lot
        self._late: set[int] | None = None

    @cached_property
    def _familiar(self) -> Recognizer:
        # loaded when something was measured: the first card is on the screen before
        from tagger.core.session.recognizer import Recognizer

        session = self._session
        return Recognizer(session.view, session.candidates, self._folder, self._name)

    def begin(self) -> None:
        """The first card is on the screen, and some time has gone by."""
        if self._memory is not None and not self._begun:
            self._begun = True
            self._memory.begin()

    def learn(self, measured: Mapping[str, Measured], whole: bool) -> None:
        """These scans were measured; `whole`: all of the lot are."""
        self._familiar.learn(measured)
        if whole:
            self._late = None
            self.quiet()

    def forget(self, scans: frozenset[str]) -> None:
        """The files of these scans are others now."""
        self._familiar.forget(scans)
        self._late = None

    def shown(self) -> None:
        """The card in front is on the screen. Its look is asked for, once for each time that the
        dealer comes to it."""
        memory, card = self._memory, self._session.view.card
        before, self._asked_of = self._asked_of, 0 if card is None else card.id
        # A card that is in front already when it is measured is left as it is.
        if card is None or card.id == before or memory is None or not self._begun:
            return
        if self._alike is not None and self._alike.id != card.id:
            self._alike = None
        look = self._look_of(card)
        if look is None:
            return
        from tagger.core.audit.signature import CardSides

        # The card before this one may be the very one that it looks like.
        self._tell(few=True)
        id, screen, asked = card.id, self._screen, monotonic()

        def answered(found: KnownMatch | None) -> None:
            with suppress(RuntimeError):  # the desk was left meanwhile
                screen.post_message(Recognized(id, asked, found))

        memory.find(look, CardSides(self._folder, card.front, card.back), answered)

    def _look_of(self, card: Card) -> Signature | None:
        # a card that has tags, or is set aside, is known: nothing is proposed for it
        if card.mark.state is not State.UNTAGGED:
            return None
        return self._familiar.look(card)

    def came(self, answer: Recognized, undisturbed: bool) -> bool:
        """Whether the answer is what is proposed now; `undisturbed`: no key came since the card was
        shown."""
        card, found = self._session.view.card, answer.found
        if card is None or card.id != answer.id or found is None:
            return False
        # Under the dealer's eyes nothing changes any more: Enter does what was shown.
        if not undisturbed or monotonic() - answer.asked > PATIENCE:
            return False
        self._alike = self._familiar.resemblance(card, found)
        return self.alike is not None

    @property
    def alike(self) -> Recognition | None:
        """What the card in front looks like, where that is known and was shown to the dealer."""
        alike = self._alike
        return alike if alike is not None and alike.is_of(self._session.view.card) else None

    def own(self, found: KnownMatch) -> bool:
        """Whether a known card is of this lot."""
        return found.card.scans.folder == self._folder

    def quiet(self) -> None:
        """The keys are quiet: tell the memory all that is new, and have it written."""
        if self._memory is not None and self._begun and self._tell(few=False):
            self._memory.keep()

    def close(self) -> None:
        """Tell all that is new, and end."""
        if self._memory is not None and self._begun:
            self.quiet()
            self._memory.close()

    def _tell(self, few: bool) -> bool:
        """Tell the memory what is new; with `few` only what was changed since the last time, unless
        that is much. Returns whether there was anything."""
        assert self._memory is not None
        fresh, arrangement = self._session.touched(), self._session.view.arrangement
        if arrangement is not self._arrangement:
            self._arrangement, self._late = arrangement, None
        ids: set[int] | None = fresh
        if not few:
            ids, self._late = (None if self._late is None else self._late | fresh), set()
        elif len(fresh) > AT_ONCE:
            self._late = None if self._late is None else self._late | fresh
            return False
        news = self._familiar.news(ids)
        if news:
            self._memory.remember(news.remember, news.forget)
        return bool(news)

"""The cards of a lot by their look: what is to be remembered of those that are tagged, and which
known card one looks like."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.audit.signature import CardSides, KnownCard, Signature, known_card
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.model.text import printable
from tagger.core.session.recognition import KnownMatch, Recognition

if TYPE_CHECKING:
    from tagger.core.audit.fingerprint import Fingerprint
    from tagger.core.audit.measured import Measured
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Arrangement, Card, Pair
    from tagger.core.session.candidates import Candidates


class SignatureUpdate(NamedTuple):
    """Cards to be remembered, and those to be forgotten."""

    remember: list[KnownCard]
    forget: list[CardSides]

    def __bool__(self) -> bool:
        return bool(self.remember or self.forget)


class _Remembered(NamedTuple):
    scans: CardSides
    named: tuple[str, str, str, str]
    prints: tuple[Fingerprint | None, Fingerprint | None]


class Recognizer:
    """Knows what was measured of a lot's scans, and what of its cards is remembered already."""

    def __init__(self, view: LotView, candidates: Candidates, folder: str, name: str) -> None:
        self._view, self._candidates = view, candidates
        self._folder, self._name = folder, name
        self._prints: dict[str, Fingerprint | None] = {}
        self._told: dict[int, _Remembered] = {}
        self._swept = False
        self._of_arrangement: Arrangement | None = None
        self._pairs: dict[int, Pair] = {}
        self._ids: dict[tuple[str | None, str | None], int] = {}

    def learn(self, measured: Mapping[str, Measured]) -> None:
        """These scans were measured."""
        for scan, found in measured.items():
            self._prints[scan] = found.print

    def forget(self, scans: Iterable[str]) -> None:
        """The files of these scans are others now."""
        for scan in scans:
            self._prints.pop(scan, None)

    def look(self, card: Card | Pair) -> Signature | None:
        """How a card looks; None while one of its sides is not measured, or where there is nothing
        to go by."""
        # a card with one side measured may still turn out to be another one by its back
        if card.front is None or card.front not in self._prints:
            return None
        if card.back is not None and card.back not in self._prints:
            return None
        front = self._prints[card.front]
        if front is None:
            return None
        return Signature(front, self._prints[card.back] if card.back is not None else None)

    def news(self, ids: Iterable[int] | None = None) -> SignatureUpdate:
        """What is new since it was asked last: of some cards by identity, or of the whole lot."""
        news = SignatureUpdate([], [])
        self._hold()
        if ids is None:
            self._of_all(news)
        else:
            for id in ids:
                if id in self._pairs:
                    self._of(self._pairs[id], news)
        return news

    def _of_all(self, news: SignatureUpdate) -> None:
        for id in [id for id in self._told if id not in self._pairs]:
            news.forget.append(self._told.pop(id).scans)
        for pair in self._pairs.values():
            self._of(pair, news)
            if not self._swept and self._view.mark(pair.id).state is not State.TAGGED:
                # tagged in another sitting, perhaps, and cleared where nobody told the memory
                news.forget.append(CardSides(self._folder, pair.front, pair.back))
        self._swept = True

    def _hold(self) -> None:
        """What is looked up holds for one arrangement of the cards only."""
        arrangement = self._view.arrangement
        if arrangement is not self._of_arrangement:
            self._of_arrangement = arrangement
            self._pairs = {pair.id: pair for pair in arrangement.pairs}
            # by both sides: a card that was mended meanwhile is another one
            self._ids = {pair.sides: pair.id for pair in arrangement.pairs}

    def _of(self, pair: Pair, news: SignatureUpdate) -> None:
        mark, known = self._view.mark(pair.id), self._told.get(pair.id)
        look = self.look(pair) if _says_which(mark) else None
        if look is None:
            if known is not None:
                news.forget.append(known.scans)
                del self._told[pair.id]
            return
        tags, scans = mark.tags, CardSides(self._folder, pair.front, pair.back)
        named = tags.set, tags.number, tags.subject, tags.team
        now = _Remembered(scans, named, (look.front, look.back))
        if now == known:
            return
        # the memory knows a card by its scans: under the old ones it would stay
        if known is not None and known.scans != scans:
            news.forget.append(known.scans)
        news.remember.append(known_card(scans, self._name, tags, look))
        self._told[pair.id] = now

    def resemblance(self, card: Card, found: KnownMatch) -> Recognition | None:
        """What a card looks like; None where no checklist of the lot has that."""
        # proposed would be a card that cannot be taken
        offered = found.card.offered()
        if self._candidates.listed(offered) is None:
            return None
        known, mate = self._named(found.card)
        parallel = None if mate is None else mate.parallel
        return Recognition(card.id, offered, known, found.sure, parallel)

    def _named(self, known: KnownCard) -> tuple[str, Tags | None]:
        """A known card in a few words, and its tags where it is of this lot."""
        if known.scans.folder == self._folder:
            self._hold()
            id = self._ids.get((known.scans.front, known.scans.back))
            if id is not None:
                at = self._view.arrangement.position_of(id)
                return f"card {at}", self._view.mark(id).tags
        # a lot's name is as long as its folder's, and the line is short
        return f"one in {printable(known.lot, 12)}", None


def _says_which(mark: Mark) -> bool:
    """Whether a mark says which card it is."""
    return mark.state is State.TAGGED and bool(mark.tags.number or mark.tags.subject)

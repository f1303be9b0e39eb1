"""The cards of a lot that look like ones tagged before: what is to be remembered of it, and what is
proposed by a look.

A look says which card it is, never which parallel, condition or serial number; those are asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.measured import Measured
from tagger.core.audit.signature import CardSides, KnownCard, Signature, known_card
from tagger.core.matching.candidate import Candidate
from tagger.core.model.arrangement import Arrangement, Card, Pair
from tagger.core.model.pose import Corners4
from tagger.core.model.tags import State, Tags
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.session.session import Session

# confidence of a look; among drawn cards 3 in 1,000 likely ones are another of the design
SURE, LIKELY = (
    0.97,
    0.9,
)
THE_SCAN = "the scan"  # what stands for the typed words where a look says which card it is


@dataclass(frozen=True)
class KnownMatch:
    """A known card that one looks like: nothing else comes near where it is `sure`. `corners` and
    `dpi` of its front are as in `Measured`, where they are known."""

    card: KnownCard
    sure: bool
    corners: Corners4 | None = None
    dpi: float = 0.0


@dataclass(frozen=True)
class Recognition:
    """What a card in front looks like: its identity; set, number, subject and team of what it would
    be taken as; the known card in a few words (`card 12`, `one in box 7`), whether nothing else
    comes near it, and its parallel, None where that is not known."""

    id: int
    tags: Tags
    known: str
    sure: bool
    parallel: str | None

    def said_of(self, candidate: Candidate) -> Candidate:
        """A card of these tags as it is proposed with nothing typed."""
        words = ((THE_SCAN, f"like {self.known}" if self.sure else f"maybe {self.known}"),)
        return replace(candidate, confidence=self.confidence, reasons=words)

    @property
    def confidence(self) -> float:
        """That it is this card of the checklist."""
        return SURE if self.sure else LIKELY

    def names(self, tags: Tags) -> bool:
        """Whether these tags are of that card of the checklist."""
        mine = self.tags
        return (mine.set, mine.number, mine.subject) == (tags.set, tags.number, tags.subject)

    def question(self, tags: Tags) -> str:
        """What is asked before it is taken as these tags, empty where there is no more doubt than
        always."""
        if self.parallel is None or self.parallel == tags.parallel:
            return ""
        return f"{self.known} is {printable(self.parallel) or 'base'}: and this?"


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

    def __init__(self, session: Session, folder: str, name: str) -> None:
        self._session, self._folder, self._name = session, folder, name
        self._prints: dict[str, Fingerprint | None] = {}
        self._told: dict[int, _Remembered] = {}
        self._swept = False
        self._of_arrangement: Arrangement | None = None
        self._pairs: dict[int, Pair] = {}
        self._positions: dict[tuple[str | None, str | None], int] = {}

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
        sides = [scan for scan in (card.front, card.back) if scan is not None]
        if card.front is None or any(scan not in self._prints for scan in sides):
            return None
        front, back = (
            self._prints[card.front],
            self._prints[card.back] if card.back is not None else None,
        )
        return Signature(front, back) if front is not None else None

    def news(self, ids: Iterable[int] | None = None) -> SignatureUpdate:
        """What is new since it was asked last: of some cards by identity, or of the whole lot."""
        told, news = self._told, SignatureUpdate([], [])
        self._hold()
        if ids is not None:
            for pair in (self._pairs[id] for id in ids if id in self._pairs):
                self._of(pair, news)
            return news
        news.forget.extend(
            told.pop(id).scans for id in [id for id in told if id not in self._pairs]
        )
        for pair in self._pairs.values():
            self._of(pair, news)
            if not self._swept and self._session.mark(pair.id).state is not State.TAGGED:
                # tagged in another sitting, perhaps
                news.forget.append(CardSides(self._folder, pair.front, pair.back))
        self._swept = True
        return news

    def _hold(self) -> None:
        """What is looked up holds for one arrangement of the cards only."""
        arrangement = self._session.arrangement
        if arrangement is not self._of_arrangement:
            self._of_arrangement = arrangement
            self._pairs = {pair.id: pair for pair in arrangement.pairs}
            self._positions = {
                (pair.front, pair.back): at for at, pair in enumerate(arrangement.pairs, start=1)
            }

    def _of(self, pair: Pair, news: SignatureUpdate) -> None:
        told = self._told
        mark, known = self._session.mark(pair.id), told.get(pair.id)
        look = (
            self.look(pair)
            if mark.state is State.TAGGED and (mark.tags.number or mark.tags.subject)
            else None
        )
        scans = CardSides(self._folder, pair.front, pair.back)
        if look is None:
            if known is not None:
                news.forget.append(known.scans)
                del told[pair.id]
            return
        tags = mark.tags
        now = _Remembered(
            scans, (tags.set, tags.number, tags.subject, tags.team), (look.front, look.back)
        )
        if now != known:
            if known is not None and known.scans != scans:
                news.forget.append(known.scans)
            news.remember.append(known_card(scans, self._name, tags, look))
            told[pair.id] = now

    def resemblance(self, card: Card, found: KnownMatch) -> Recognition | None:
        """What a card looks like; None where no checklist of the lot has that."""
        offered = found.card.offered()
        if self._session.offers.listed(offered) is None:
            return None
        known, mate = self._named(found.card)
        return Recognition(
            card.id, offered, known, found.sure, mate.parallel if mate is not None else None
        )

    def _named(self, known: KnownCard) -> tuple[str, Tags | None]:
        """A known card in a few words, and its tags where it is of this lot."""
        if known.scans.folder == self._folder:
            self._hold()
            at = self._positions.get((known.scans.front, known.scans.back))
            if at is not None:
                return f"card {at}", self._session.card_at(at).mark.tags
        return f"one in {printable(known.lot, 12)}", None

"""Cards that no checklist has, by what was typed of such cards before, in this lot and in others.

In a lot without any checklist a hint is a card as it was typed; what is missing of it is filled in:
the number that follows the card before in its set, and names that were typed before."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.matching.candidate import Candidate
from tagger.core.matching.hint import Hint, parse_hint
from tagger.core.matching.unlisted import Reasons, read_unlisted, unlisted_tags
from tagger.core.matching.unlisted_numbers import in_case, in_frame, next_number, usual_step
from tagger.core.model.numbers import canonical, split_total
from tagger.core.model.text import fold, initials, words
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.lot.carried import Carried
    from tagger.core.matching.variants.typed_parallel import TypedParallel
    from tagger.core.model.condition import Scale
    from tagger.core.model.tags import Tags

# how sure a reading is (our own estimates, no source): as it was typed, the one card or name that
# was typed before, one of several
TYPED, ONLY, ONE_OF = 1.0, 0.95, 0.6
TYPE_ITS_NAME = "type its name, or the number for a card without one"


class At(NamedTuple):
    """Where a hint is typed: what is carried, the tags of the cards before, the nearest first, and
    the number of the card in front where it is tagged."""

    carried: Carried
    latest: Sequence[Tags] = ()
    own_number: str = ""

    @property
    def before(self) -> Tags | None:
        """The tags of the card before."""
        return next(iter(self.latest), None)


class _Typed(NamedTuple):
    """A card as it was typed, with its number as those of its set are written: `bare` is the one
    that was typed. `reasons`: what each word was read as."""

    tags: Tags
    bare: str
    reasons: Reasons


class _Known(NamedTuple):
    """What a card is found by."""

    number: str
    words: tuple[str, ...]
    initials: str


@lru_cache(16384)
def _known(number: str, subject: str) -> _Known:
    return _Known(canonical(number), tuple(words(subject)), initials(subject))


def card_key(tags: Tags) -> tuple[str, str, str]:
    """What two copies of a card have in common."""
    return fold(tags.set), canonical(tags.number), fold(tags.subject)


def _numbered_alike(parsed: Hint, at: At) -> Hint:
    """The hint with `013/110` as a number and not as a serial number where the card before is
    012/110."""
    total = split_total(at.before.number)[1] if at.before is not None else ""
    if not total:
        return parsed
    tokens = (
        token._replace(pin="number")
        if not token.pin and split_total(token.text)[1] == total
        else token
        for token in parsed.tokens
    )
    return replace(parsed, tokens=tuple(tokens))


class TypedBefore:
    """Unlisted cards that are known, each once: those of other lots, then those of this one, the
    latest last."""

    def __init__(
        self,
        scale: Scale,
        others: Callable[[], Iterable[Tags]] = tuple,
        parallels: Callable[[], TypedParallel | None] = lambda: None,
    ) -> None:
        """`others` gives the unlisted cards of other lots; `parallels` what reads the words of
        one, as for a card that is tagged as it is typed."""
        self._scale, self._read_others, self._parallels = scale, others, parallels
        self._others: tuple[Tags, ...] | None = None
        self._cards: dict[tuple[str, str, str], Tags] = {}

    def learn(self, own: Iterable[Tags]) -> None:
        """Know the unlisted cards of this lot, and no others of it."""
        if self._others is None:
            # Read once a sitting: other lots seldom change meanwhile, and a key must not wait for
            # them.
            self._others = tuple(self._read_others())
        self._cards = {card_key(tags): tags for tags in self._others}
        for tags in own:
            self.add(tags)

    def add(self, tags: Tags) -> None:
        """Know one more card of this lot."""
        key = card_key(tags)
        self._cards.pop(key, None)  # the latest stands last, however often it was there
        self._cards[key] = tags

    def _latest(self) -> Iterator[Tags]:
        return reversed(self._cards.values())

    def __len__(self) -> int:
        return len(self._cards)

    def cards(self, hint: str, at: At) -> list[Candidate]:
        """The known cards that a hint means, the likeliest first; with nothing typed the next of
        the run."""
        parsed = parse_hint(hint)
        read = self._typed(parsed, at)
        if read is None:
            return self._next(parsed, at)
        typed, _, reasons = read
        found = list(self._meant(typed, _ties_set(parsed), at))
        # Never TYPED: what was known before fills in words that were not typed now.
        sure = ONLY if len(found) == 1 else ONE_OF
        return [self._of_copy(card, typed, sure, reasons) for card in found]

    def all(self, hint: str, at: At) -> list[Candidate]:
        """What a hint means where there is no checklist: known cards, and the card as typed with
        what is missing of it filled in."""
        parsed = parse_hint(hint)
        read, found = self._typed(parsed, at), self.cards(hint, at)
        if read is None:
            return found or self._unnamed(parsed, at)
        typed, bare, reasons = read
        number = self._number_of(typed, at)
        # Of a card that is tagged the number is known; else it is a guess, and never sure.
        guessed = number != bare and number != at.own_number
        fresh = self._fresh(replace(typed, number=number), reasons, guessed)
        every = _with_fresh(found, fresh, typed, number)
        if bare == typed.number:
            return every
        # `12` beside WS-02 is WS-12, or a 12 after all
        as_typed = Candidate(replace(typed, number=bare), ONE_OF, reasons=reasons)
        return [*every[:1], as_typed, *every[1:]]

    def _number_of(self, typed: Tags, at: At) -> str:
        """The number as typed, else what the card in front or the run says."""
        return typed.number or at.own_number or self._follows(typed.set, at)

    def numbers_of(self, set_name: str) -> Iterator[str]:
        """The numbers of the known cards of a set, the latest first."""
        home = fold(set_name)
        return (card.number for card in self._latest() if card.number and fold(card.set) == home)

    def _typed(self, parsed: Hint, at: At) -> _Typed | None:
        """The card as typed; None where neither number nor name was typed, or it cannot be one."""
        try:
            known = self._parallels()
            typed, reasons = read_unlisted(
                _numbered_alike(parsed, at), at.carried, self._scale, known
            )
        except Refused:
            return None
        if _ties_set(parsed):
            typed = replace(typed, set=self._set_meant(typed.set))
        others = list(self.numbers_of(typed.set))
        bare = framed = in_case(typed.number, others)
        if not any(token.pin == "number" for token in parsed.tokens):
            framed = in_frame(bare, others)
        return _Typed(replace(typed, number=framed), bare, reasons)

    def _set_meant(self, typed: str) -> str:
        """The known set that the typed words begin, else the set as it was typed."""
        begun = words(typed)
        for name in dict.fromkeys(card.set for card in self._latest()):
            if begun and begin_all(begun, words(name)):
                return name
        return typed

    def _next(self, parsed: Hint, at: At) -> list[Candidate]:
        """The known card that follows the one before."""
        if parsed.tokens or not at.before:
            return []
        number, set_name = canonical(self._follows(at.before.set, at)), fold(at.before.set)
        if not number:
            return []
        found = (card for card in self._latest() if canonical(card.number) == number)
        return [
            self._of_copy(card, self._copy(parsed, at), ONLY, ())
            for card in found
            if fold(card.set) == set_name
        ]

    def _unnamed(self, parsed: Hint, at: At) -> list[Candidate]:
        """The number that follows, where nothing was typed: it is taken so only where the card
        before had no name either."""
        number = self._follows(at.carried.get("set"), at)
        if parsed.tokens or not number or at.before is None:
            return []
        tags = replace(self._copy(parsed, at), set=at.before.set, number=number)
        return [Candidate(tags, ONLY, problem=TYPE_ITS_NAME if at.before.subject else "")]

    def _copy(self, parsed: Hint, at: At) -> Tags:
        """What the lot says of a copy with nothing typed of it."""
        # `unlisted_tags` refuses a hint that names no card; the number that stands in is taken off
        # again.
        stand_in = Hint((*parse_hint("#0").tokens,), parsed.place, parsed.note)
        return replace(unlisted_tags(stand_in, at.carried, self._scale), number="")

    def _follows(self, set_name: str, at: At) -> str:
        before, home = at.before, fold(set_name)
        if before is None or fold(before.set) != home:
            return ""
        run = [one.number for one in reversed(at.latest) if fold(one.set) == home]
        return next_number(before.number, usual_step(run))

    def _meant(self, typed: Tags, tied: bool, at: At) -> Iterator[Tags]:
        """Known cards that have all that was typed, those of the set first."""
        number, named = canonical(typed.number), fold(typed.subject).split()
        found = [
            card
            for card in self._latest()
            if _fits(_known(card.number, card.subject), number, named)
            and (not tied or fold(card.set).startswith(fold(typed.set)))
        ]
        home = fold(typed.set)
        yield from sorted(found, key=lambda card: fold(card.set) != home)

    def _fresh(self, typed: Tags, reasons: Reasons, guessed: bool) -> Iterator[Candidate]:
        """A card that was not typed before: with each known name that the typed words begin, and as
        it was typed; with a number that is `guessed` none is sure."""
        as_typed = ONLY if guessed else TYPED
        meant = self._names_begun(fold(typed.subject).split())
        sure = ONLY if len(meant) == 1 else ONE_OF
        for name in meant:
            exact = fold(name) == fold(typed.subject)
            card, sureness = replace(typed, subject=name), as_typed if exact else sure
            yield Candidate(card, sureness, reasons=reasons, guessed=guessed)
        if typed.subject not in meant:
            sureness = ONE_OF if meant else as_typed
            yield Candidate(typed, sureness, reasons=reasons, guessed=guessed)

    def _names_begun(self, typed: Sequence[str]) -> list[str]:
        """The known names that some folded words begin, the latest first."""
        names = dict.fromkeys(card.subject for card in self._latest() if card.subject)
        return [name for name in names if typed and _is_named(_known("", name), typed)]

    def _of_copy(self, card: Tags, typed: Tags, sure: float, reasons: Reasons) -> Candidate:
        copy = replace(
            typed, set=card.set, number=card.number, subject=card.subject, team=card.team
        )
        return Candidate(copy, sure, reasons=reasons)


def _fits(known: _Known, number: str, named: Sequence[str]) -> bool:
    """Whether a card has the number and the words, beginnings and initials included."""
    if number and number != known.number:
        return False
    return _is_named(known, named)


def _is_named(known: _Known, named: Sequence[str]) -> bool:
    # a single letter is the beginning of far more names than it is the initials of
    if len(named) == 1 and len(named[0]) > 1 and named[0] == known.initials:
        return True
    return begin_all(named, known.words)


def begin_all(begun: Iterable[str], known: Sequence[str]) -> bool:
    """Whether each of the typed words is the beginning of a word that is known."""
    return all(any(word.startswith(one) for word in known) for one in begun)


def _ties_set(parsed: Hint) -> bool:
    """Whether the hint says which set it means: `set=harbor`."""
    return any(token.pin == "set" for token in parsed.tokens)


def _with_fresh(
    found: Sequence[Candidate], fresh: Iterable[Candidate], typed: Tags, number: str
) -> list[Candidate]:
    """Known cards and the card as typed in one order; `number` is the one that it has or gets."""
    home = fold(typed.set)
    here, far = _parted(found, lambda one: fold(one.tags.set) == home)
    new = _not_among(fresh, here)
    # a card that lacks its number is less than one that is known
    if not number:
        return [*here, *far, *new]
    # without a number typed the run goes on: a name that comes back is on another card of it
    same, again = _parted(here, lambda one: bool(typed.number) or one.tags.number == number)
    return [*same, *new, *again, *far]


def _parted(
    found: Iterable[Candidate], is_first: Callable[[Candidate], bool]
) -> tuple[list[Candidate], list[Candidate]]:
    """Those of which something is so, and the others, each in their order."""
    parts: tuple[list[Candidate], list[Candidate]] = [], []
    for one in found:
        parts[not is_first(one)].append(one)
    return parts


def _not_among(fresh: Iterable[Candidate], known: Iterable[Candidate]) -> list[Candidate]:
    """The fresh cards that are no copies of known ones."""
    keys = {card_key(one.tags) for one in known}
    return [one for one in fresh if card_key(one.tags) not in keys]

"""How often the matcher is right, and how much has to be typed: one line of the table each.

Right is a candidate with the card, the parallel, the serial number and the condition that were
meant, and with nothing that forbids taking it. A line's hints are drawn set by set, so that all are
of some dozens of sets.

- number + surname start: the set is carried, no card was tagged yet; a hint such as `23 mar`.
- mixed: the same, with the hints of `typist.py`; first place and among five. "With slips": the
  very same hints, those that have a word of four letters or more with one edit in it.
- after a card: a presorted tray (`trays.py`); the card before is known, and the steps of the
  tray up to here are learned as the program does.
- nothing known: the same hints, no set, no card. What is missing here is what one hint cannot tell;
  no aim.
- confidence above .99: of all these hints whose first candidate is that sure, the share that is
  right.
- presorted, number only: characters of the number until the right card is first, none where it is
  first with nothing typed; Enter is not counted. Where it is not first with all of the number
  typed, the places it lacks are counted as well. "Or Down": the least of what can be typed and how
  often Down is pressed then among nine.
- shuffled, number only: the same for cards of one set in no order.
- beside these: how many cards were first with nothing typed, and the characters of the whole
  numbers. Where a whole number always goes before half of another, a card that is not first by
  itself takes its whole number, so that there is little to be gained: the least is about (1 - first
  with none) x whole.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from bench.common.world import Card, CardSet, World
from bench.hints.trays import presorted, shuffled
from bench.hints.typist import Typed, Typist
from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.matching.priors.steps import StepModel
from tagger.core.model.tags import Tags

SHOWN = 9  # candidates that Down goes through
SURE = 0.99

NUMBERED, MIXED, SLIPS = "number + surname start", "mixed", "mixed, with slips"
AFTER, AFTER_SLIPS = "after a card, mixed", "after a card, with slips"
NOTHING = "nothing known, mixed"


@dataclass(frozen=True)
class Asked:
    """A hint with its context."""

    typed: Typed
    context: Context


@dataclass(frozen=True)
class Wrong:
    """A hint whose first candidate is not what was meant."""

    asked: Asked
    found: Sequence[Candidate]
    place: int | None  # of the right one, from 0


@dataclass
class Tally:
    """The answers of one line."""

    hints: int = 0
    first: int = 0
    five: int = 0
    sure: int = 0
    sure_right: int = 0
    wrong: list[Wrong] = field(default_factory=list)

    def add(self, asked: Asked, found: Sequence[Candidate]) -> None:
        """Count one answer."""
        place = next(
            (at for at, candidate in enumerate(found) if is_right(candidate, asked.typed)), None
        )
        sure = bool(found) and found[0].confidence > SURE and not found[0].problem
        self.hints += 1
        self.first += place == 0
        self.five += place is not None and place < 5
        self.sure += sure
        self.sure_right += sure and place == 0
        if place != 0:
            self.wrong.append(Wrong(asked, found, place))


@dataclass
class Keys:
    """Keys a card in runs with the number only."""

    cards: int = 0
    unasked: int = 0
    """Cards that were first with nothing typed."""
    typed: int = 0
    with_down: int = 0
    whole: int = 0
    """Characters of the whole numbers."""


def is_right(candidate: Candidate, typed: Typed) -> bool:
    """Whether a candidate is what was meant, and can be taken."""
    tags, card = candidate.tags, typed.card
    said = (tags.set, tags.number, tags.subject, tags.parallel, tags.serial, tags.condition)
    meant = (
        typed.set,
        card.number,
        card.person.name,
        typed.parallel,
        typed.serial,
        typed.condition,
    )
    return said == meant and not candidate.problem


def context_of(
    cards: CardSet, before: Card | None = None, steps: StepModel | None = None
) -> Context:
    """What the lot makes likely where a set is carried, and perhaps the card before is known."""
    tags = (
        None if before is None else Tags(cards.name, before.number, before.person.name, before.team)
    )
    return Context(
        Carried((("set", cards.name),)), tags, frozenset({cards.name}), steps or StepModel()
    )


def sets_of(world: World, count: int, source: random.Random) -> list[CardSet]:
    """Some sets, each once."""
    return source.sample(world.sets, min(count, len(world.sets)))


def asked(world: World, seed: int, sets: int, hints: int) -> Iterator[tuple[str, Asked]]:
    """(line, hint) for all lines of hints: so many of each line in each of so many sets."""
    source, typist = random.Random(f"asked {seed}"), Typist(seed)
    for cards in sets_of(world, sets, source):
        known = context_of(cards)
        for card in source.choices(cards.cards, k=hints):
            yield NUMBERED, Asked(typist.numbered(cards, card), known)
        for at, card in enumerate(source.choices(cards.cards, k=hints)):
            typed = typist.mixed(cards, card)
            yield MIXED, Asked(typed, known)
            yield SLIPS, Asked(typist.slipped(typed), known)
            if at % 4 == 0:
                yield NOTHING, Asked(typed, Context())
        for card, context in tray(cards, presorted(len(cards.cards), hints + 1, source)):
            if context.before is not None:
                typed = typist.mixed(cards, card)
                yield AFTER, Asked(typed, context)
                yield AFTER_SLIPS, Asked(typist.slipped(typed), context)


def tray(cards: CardSet, lot: Sequence[int]) -> Iterator[tuple[Card, Context]]:
    """The cards of a lot, each with what is known when it lies in front; the steps are learned on
    the way."""
    steps, before = StepModel(), None
    for at in lot:
        yield (
            cards.cards[at],
            context_of(cards, None if before is None else cards.cards[before], steps),
        )
        if before is not None:
            steps.learn(at - before)
        before = at


def answered(matcher: Matcher, hints: Iterable[tuple[str, Asked]], lines: dict[str, Tally]) -> None:
    """Ask them all; counted by line."""
    for line, one in hints:
        lines.setdefault(line, Tally()).add(one, matcher.rank(one.typed.text, one.context, SHOWN))


def presorted_keys(
    matcher: Matcher, world: World, seed: int, lots: int, length: int, keys: Keys
) -> None:
    """Presorted trays with the number only."""
    source = random.Random(f"presorted {seed}")
    for cards in sets_of(world, lots, source):
        _count_keys(matcher, cards, presorted(len(cards.cards), length, source), keys)


def shuffled_keys(
    matcher: Matcher, world: World, seed: int, lots: int, length: int, keys: Keys
) -> None:
    """Shuffled boxes of one set each, with the number only."""
    source = random.Random(f"shuffled {seed}")
    for cards in sets_of(world, lots, source):
        _count_keys(matcher, cards, shuffled(len(cards.cards), length, source), keys)


def _count_keys(matcher: Matcher, cards: CardSet, lot: Sequence[int], keys: Keys) -> None:
    for card, context in tray(cards, lot):
        number = "".join(c for c in card.number.lower() if c.isalnum())
        meant = Typed(number, cards.name, card)
        reached: list[int] = []  # keys by the number of characters that were typed first
        for typed in range(len(number) + 1):
            found = matcher.rank(number[:typed], context, SHOWN)
            downs = next((at for at, one in enumerate(found) if is_right(one, meant)), SHOWN)
            reached.append(typed + downs)
            if downs == 0:
                break
        keys.cards += 1
        keys.unasked += reached == [0]
        keys.typed += reached[-1]
        keys.with_down += min(reached)
        keys.whole += len(number)

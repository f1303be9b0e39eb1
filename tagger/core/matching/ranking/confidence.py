"""How sure a candidate may be: what a card in no checklist takes, and what is only guessed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.matching.candidate import SURE, Candidate
from tagger.core.matching.ranking.ranked import options_of
from tagger.core.matching.ranking.typed_exactly import NAMES
from tagger.core.matching.read import CARRIED_SET_LETTER, CARRIED_SET_WORD, GUESSES, REPEATED
from tagger.core.matching.variants.variant_words import AS_SERIAL
from tagger.core.model.numbers import canonical, printed_key

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.priors.left_out import LeftOut
    from tagger.core.matching.ranking.ranked import Ranked
    from tagger.core.matching.variants.option import Option

# log probability of "not in the checklists", and of each further word then
UNLISTED, UNLISTED_WORD = -11.5, -7.0
# log probability of each letter by which the name of a card in no checklist begins as that of one
# which is in some; how many letters count (our own estimates, no source)
BY_CHANCE, LONG, MOST_LETTERS = -1.0, 4, 10
OF_NUMBER = 2  # letters of a name that one of a number such as A-01 counts as: few begin so

# a name that had to be mended is never quite sure (of 1,000 that nothing else came near all were
# right, so that it is hardly less), nor is a number that could be a year or a serial number
GUESSED, ELSE = 0.98, 0.85
LEANING = 0.98  # of a row that is sure only if no other set is meant than the carried one


def _repeating(option: Option) -> Sequence[str]:
    """The words that only repeat the carried set, beside one that says something."""
    again = [word for word, meaning in option.reasons if meaning == REPEATED]
    return again if any(meaning not in ("", REPEATED) for _, meaning in option.reasons) else ()


def unlisted(words: int, first: Iterable[Ranked], items: Iterable[Ranked]) -> tuple[float, float]:
    """The probability that a card of so many words is in no checklist; and the most that it can be,
    if its name is not by chance that of a card which is in one, as `items` are.

    Words of the `first` row that only repeat the carried set speak for a card in no checklist as
    much as for one that is in it, and make neither less likely."""
    if not words:
        return 0.0, 0.0
    said = [option for _, _, option in first]
    agreeing = [word for option in said for word in _repeating(option)]
    # `rc229` that is read as two words is two
    words = max(words, *(len(option.reasons) for option in said), 0)
    most = UNLISTED + UNLISTED_WORD * (words - len(agreeing) - 1)
    most += sum(CARRIED_SET_LETTER if len(word) == 1 else CARRIED_SET_WORD for word in agreeing)
    letters = max(map(_letters_typed, options_of(items)), default=0)
    return math.exp(most + BY_CHANCE * letters), math.exp(most)


def _letters_typed(option: Option) -> int:
    """How many letters begin the very name of a card, or are its whole number where that has
    letters: of a card that no checklist has, they would by chance."""
    if not option.clean:
        return 0
    return max((_of_word(word, meaning) for word, meaning in option.reasons), default=0)


def _of_word(word: str, meaning: str) -> int:
    """The same of one word; short beginnings of names say nothing."""
    if meaning in NAMES:
        return min(len(word), MOST_LETTERS) if len(word) >= LONG else 0
    typed = printed_key(word.rpartition("=")[2])
    if meaning != "number" or typed.isdigit():
        return 0
    return min(OF_NUMBER * len(typed), MOST_LETTERS)


def left_out(items: Iterable[Ranked], index: Index, unsaid: LeftOut) -> float:
    """How much more all rows would come to, if sets that were left out were as likely meant as this
    dealer's own hints allow."""
    if not unsaid.weight:
        return 0.0
    others = (score for score, step, _ in items if index.set_of(step) not in unsaid.said)
    return sum(map(math.exp, others)) * (math.exp(unsaid.at_most - unsaid.weight) - 1)


def leaning(
    candidate: Candidate, item: Ranked, doubted: float, index: Index, unsaid: LeftOut
) -> Candidate:
    """A candidate, not sure if it would not be with all that was guessed against others: `doubted`
    is what all come to then. A guess may order rows, and no more."""
    score, step, _ = item
    # what is no surer needs no look
    if candidate.confidence <= LEANING:
        return candidate
    if math.exp(score - unsaid.assumed_of(index.set_of(step))) >= SURE * doubted:
        return candidate
    return replace(candidate, confidence=LEANING)


def certainty(option: Option, index: Index) -> float:
    """From 0 to 1, less than 1 where a word is read as something that it may well not be."""
    if AS_SERIAL in option.meanings and _could_be_else(option, index):
        return ELSE
    if not option.meanings.isdisjoint(GUESSES):
        return GUESSED
    return 1.0


def _could_be_else(option: Option, index: Index) -> bool:
    """Whether a number that was read as a serial number is a year as well, or the end of the number
    before it."""
    for at, (word, meaning) in enumerate(option.reasons):
        if at and meaning == AS_SERIAL and word.isdecimal():
            ends_number = _is_end_of_number(word, option.reasons[at - 1][0], index)
            return ends_number or bool(index.sets_words.exact(word))
    return False


def _is_end_of_number(digits: str, before: str, index: Index) -> bool:
    """Whether a card has the number that some digits and the word before them make."""
    return before.isdecimal() and index.number_id(canonical(before + digits)) >= 0

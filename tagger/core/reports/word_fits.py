"""Whether a typed word fits a card that is had: the rules of every filter, and of the search for a
card by words that name no row of a list.

A word fits where a word of set, subject, team, series, parallel, condition, place or reason begins
with it, where the number or the serial number is the same, or where it is the condition's short
form; a word of digits must be the whole word. What is a condition by itself means that condition:
`good` is Good, and never Very Good. A word tied to one field fits there only, and with nothing
behind the sign it fits cards that have none."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import takewhile
from operator import attrgetter
from typing import TYPE_CHECKING

from tagger.core.index.word_marks import set_words
from tagger.core.matching.variants.variant_words import means_base, serial_typed
from tagger.core.model.condition import squeezed
from tagger.core.model.numbers import canonical, serial_fits, split_total
from tagger.core.model.tags import Mark, is_base
from tagger.core.model.text import fold, people, words

if TYPE_CHECKING:
    from tagger.core.matching.hint import Token
    from tagger.core.model.condition import Scale

Fit = Callable[[Mark], bool]


class _Fits(dict[str, bool]):
    """Whether a value of one field fits a word; each value is looked at once."""

    def __init__(self, rule: Callable[[str], bool]) -> None:
        self._rule = rule

    # ten thousand cards have some hundred values of a field
    def __missing__(self, value: str) -> bool:
        self[value] = found = bool(value) and self._rule(value)
        return found


def fits_card(typed: Sequence[Token], scale: Scale) -> Fit:
    """The test of words in any field of a card."""
    return _all([_fits_any(token, scale, everything=True) for token in spelled(typed, scale)])


def fits_copy(token: Token, scale: Scale) -> Fit:
    """The test of a word in what is said of the copy alone, and not of its row in a list or of
    where it lies: parallel, serial number, condition, why it was set aside. The card is one that
    has a name, which is not looked at."""
    return _fits_any(token, scale, everything=False)


def fits_condition(typed: Sequence[Token], scale: Scale) -> Fit:
    """The test of several words that spell one condition together, as `very good`, or each fit the
    card by itself."""
    together = fits_card(typed, scale)
    apart = _all([_fits_any(token, scale, everything=True) for token in typed])
    return lambda mark: together(mark) or apart(mark)


def spelled(typed: Sequence[Token], scale: Scale) -> list[Token]:
    """The words, those that spell one condition together as one that is tied to it."""
    left = list(typed)
    found: list[Token] = []
    while left:
        run = list(takewhile(lambda token: token.may_be("condition"), left))
        said = scale.read_several([token.text for token in run])
        if said is None:
            found.append(left.pop(0))
            continue
        name, count = said
        found.append(left[0]._replace(text=fold(name), pin="condition"))
        del left[:count]
    return found


def _all(fits: Sequence[Fit]) -> Fit:
    if len(fits) == 1:
        return fits[0]
    return lambda mark: all(fit(mark) for fit in fits)


def _fits_any(token: Token, scale: Scale, everything: bool) -> Fit:
    """The test of one word. Without `everything` in what is said of the copy alone."""
    if token.pin:
        asked = everything or token.pin in _OF_A_COPY
        return _fits_field(token, scale, everything) if asked else lambda mark: False
    rules, base = _rules(token, scale), means_base(token)
    if not everything:
        return _in_copy(rules, lambda mark: base and is_base(mark.tags.parallel))
    copy = _in_copy(rules, lambda mark: base and mark.lacks("parallel"))
    row = _in_row(rules)
    return lambda mark: row(mark) or copy(mark)


def _fits_field(token: Token, scale: Scale, everything: bool) -> Fit:
    """The test of a word that is tied to one field; `everything` as above."""
    field = token.pin
    if field == "parallel" and not everything:
        # a copy has no name, without which a card lacks no parallel
        named, plain = _rules(token, scale)[field], means_base(token)
        said = bool(token.text)
        return lambda mark: (
            (said and named[mark.tags.parallel]) or (plain and is_base(mark.tags.parallel))
        )
    if not token.text:
        return lambda mark: mark.lacks(field)
    fits, read = _rules(token, scale)[field], attrgetter(f"tags.{field}")
    base = field == "parallel" and means_base(token)
    return lambda mark: fits[read(mark)] or (base and mark.lacks("parallel"))


def _rules(token: Token, scale: Scale) -> Mapping[str, _Fits]:
    text, whole = token.text, token.text.isdigit()
    number, serial = canonical(text), serial_typed(token)
    total = split_total(text)[1]

    def fits(found: Sequence[str]) -> bool:
        # Digits in full: `8` would else list every card of the eighties.
        return text in found if whole else any(word.startswith(text) for word in found)

    def numbered(value: str) -> bool:
        # `12/99` is a serial number where no card says that its set has 99
        if total and canonical(split_total(value)[1]) != canonical(total):
            return False
        return bool(number) and (
            canonical(value) == number or (not whole and canonical(value).startswith(number))
        )

    def worded(value: str) -> bool:
        return fits(words(value))

    def called(value: str) -> bool:
        # each of several people by the end of the own name: `stclair`
        return worded(value) or any(map(worded, people(value)))

    return {
        "number": _Fits(numbered),
        "set": _Fits(lambda value: fits(set_words(value))),
        "serial": _Fits(lambda value: serial is not None and serial_fits(value, serial)),
        "condition": _Fits(_conditioned(text, scale, worded)),
        "subject": _Fits(called),
        **{name: _Fits(worded) for name in _WORDED},
    }


_WORDED = ("team", "series", "parallel", "place", "reason")


def _conditioned(text: str, scale: Scale, worded: Callable[[str], bool]) -> Callable[[str], bool]:
    """The test of a word in conditions."""
    read = scale.read(text)
    # one of another scale is found by its own name
    meant = squeezed(read.name if read else text)
    steps = {squeezed(step.name) for step in scale.steps} if read and read.whole else ()
    # what is no step of the scale says what it says, in words
    return lambda value: (
        squeezed(value) == meant or (squeezed(value) not in steps and worded(value))
    )


def _in_copy(rules: Mapping[str, _Fits], is_base: Fit) -> Fit:
    parallel, serial = rules["parallel"], rules["serial"]
    condition, reason = rules["condition"], rules["reason"]

    # written out, as below: a filter asks every card of the lot while a word is typed on
    def fit(mark: Mark) -> bool:
        tags = mark.tags
        return (
            parallel[tags.parallel] or condition[tags.condition] or serial[tags.serial]
            or reason[mark.reason] or is_base(mark)
        )  # fmt: skip

    return fit


def _in_row(rules: Mapping[str, _Fits]) -> Fit:
    number, subject, set_name = rules["number"], rules["subject"], rules["set"]
    team, series, place = rules["team"], rules["series"], rules["place"]

    def fit(mark: Mark) -> bool:
        tags = mark.tags
        return (
            number[tags.number] or subject[tags.subject] or set_name[tags.set]
            or team[tags.team] or place[tags.place] or (bool(tags.extra) and series[tags.series])
        )  # fmt: skip

    return fit


_OF_A_COPY = frozenset({"parallel", "serial", "condition"})

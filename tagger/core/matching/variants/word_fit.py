"""The most that a word can weigh as parallel, serial number or condition, by kind of card: an upper
bound that says which rows are worth weighing in full (branch and bound)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import repeat
from typing import TYPE_CHECKING

from tagger.core.matching.read import UNREAD
from tagger.core.matching.variants.variant_words import (
    PARALLEL,
    PARALLEL_SLIP,
    RUN_ONLY,
    SERIAL,
    condition_weight,
    may_slip,
    means_base,
    start_weight,
)
from tagger.core.model.numbers import parse_serial

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.hint import Token
    from tagger.core.model.condition import Scale

Kinds = frozenset[int]


class WordFit:
    """What one word could be as parallel, serial number or condition, without asking each card. A
    kind is a number for the cards with the same parallels; `most` is the best log weight in any."""

    def __init__(self, scale: Scale, token: Token, index: Index) -> None:
        self._any = max(_in_any(token, scale), default=UNREAD)
        self._names_any = _may_name_any(token)
        # Apart, since a print run says something of the carried parallel too, where no word names
        # one.
        runs, named = [*_by_run(token, index)], [*_by_parallel(token, index)]
        self.kinds = [kinds for _, kinds in (*runs, *named)]
        """The kinds with a parallel or a print run that the word could mean."""
        self._runs = self._heavier(runs)
        self._kinds = self._heavier((*runs, *named))
        self.most = max([self._any, *(weight for weight, _ in self._kinds)])

    def _heavier(self, fits: Iterable[tuple[float, Kinds]]) -> list[tuple[float, Kinds]]:
        # kinds in which the word weighs no more than in any need no entry
        found = [(weight, kinds) for weight, kinds in fits if kinds and weight > self._any]
        # the heaviest last: the last that has a kind is the most that it can weigh there
        return sorted(found, key=lambda fit: fit[0])

    def may_name(self, kind: int) -> bool:
        """Whether the word could be parallel or serial number of a card of this kind."""
        return self._names_any or any(kind in kinds for kinds in self.kinds)

    def weights(self, kinds: Sequence[int]) -> Iterator[float]:
        """The most that the word can weigh in a card of each of some kinds."""
        return self._each(self._kinds, kinds)

    def unasked(self, kinds: Sequence[int]) -> Iterator[float]:
        """The same where no word names the parallel."""
        return self._each(self._runs, kinds)

    def _each(self, fits: Iterable[tuple[float, Kinds]], kinds: Sequence[int]) -> Iterator[float]:
        weights: dict[int, float] = {}
        for weight, fitting in fits:
            weights.update(dict.fromkeys(fitting.intersection(kinds), weight))
        return map(weights.get, kinds, repeat(self._any))


def _may_name_any(token: Token) -> bool:
    """Whether a word could be parallel or serial number of a card of any kind."""
    if token.may_be("serial") and [*_any_serial(token)]:
        return True
    return token.may_be("parallel") and means_base(token)


def _in_any(token: Token, scale: Scale) -> Iterator[float]:
    """Weights that hold in a card of any kind."""
    if token.may_be("serial"):
        yield from _any_serial(token)
    if token.may_be("parallel") and means_base(token):
        yield PARALLEL
    if token.may_be("condition") and (read := scale.read(token.text)):
        yield condition_weight(read)


def _any_serial(token: Token) -> Iterator[float]:
    said = parse_serial(token.text)
    if said is None:
        if token.pin and token.text.isdigit():
            yield SERIAL
    # Without its print run it could be of any parallel that is numbered; which one is asked row by
    # row.
    elif said[1] is None:
        yield _serial_weight(said)


def _by_run(token: Token, index: Index) -> Iterator[tuple[float, Kinds]]:
    said = parse_serial(token.text) if token.may_be("serial") else None
    if said is not None and said[1] is not None:
        yield _serial_weight(said), index.runs.ids_of(str(said[1]))


def _serial_weight(said: tuple[int | None, int | None]) -> float:
    if said[0] is None:
        return RUN_ONLY
    return SERIAL


def _by_parallel(token: Token, index: Index) -> Iterator[tuple[float, Kinds]]:
    text, known = token.text, index.parallel_words
    if not text or not token.may_be("parallel"):
        return
    # Digits are the card's number far more often than the beginning of `50th`; typed in full they
    # may be either.
    if token.pin or not text[0].isdigit() or known.exact(text):
        yield PARALLEL, known.ids_of(text)
        yield start_weight(text), known.ids(text)
    if may_slip(token):
        yield PARALLEL_SLIP, index.parallel_slip(text)

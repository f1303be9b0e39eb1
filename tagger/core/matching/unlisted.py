"""A hint taken as a card of its own, for cards that no checklist has."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from tagger.core.lot.carried import Carried
from tagger.core.matching.hint import Hint, Token, said_or
from tagger.core.matching.typed_words import TypedAs, TypedWord, as_name, as_typed, read_words
from tagger.core.model.condition import Scale
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import Tags, kept_parallel
from tagger.errors import Refused


def unlisted_tags(hint: Hint, carried: Carried, scale: Scale) -> Tags:
    """Tags as the hint spells them, in the carried set: one number, one serial number, one
    condition, `parallel=` for the parallel; every other word belongs to the subject, or where
    `name=` says which words are, to the field that was named before it.

    Raises Refused where the hint names neither a number nor a subject, a serial number above its
    print run, or a field that is not clear."""
    if hint.unclear:
        raise Refused(f"{hint.unclear}.")
    said = _Said(frozenset(token.pin for token in hint.tokens))
    # The beginning of a condition's word is more likely a name here: nothing says otherwise.
    for word in read_words(hint.tokens, scale, begun=False):
        said.add(word)
    number, subject = said.number(), as_name(said.of(TypedAs.SUBJECT))
    if not number and not said.of(TypedAs.SUBJECT):
        raise Refused("Type at least a number or a name for a card that is not in the checklist.")
    # the number and the name are never carried: they are what tells this card from the last one
    parallel = carried.get("parallel")
    if said.of(TypedAs.PARALLEL):
        parallel = as_name(said.of(TypedAs.PARALLEL))
    return Tags(
        set=as_name(said.of(TypedAs.SET)) or carried.get("set"),
        number=number,
        subject=subject,
        team=as_name(said.of(TypedAs.TEAM)),
        parallel=kept_parallel(parallel),
        serial=said.serial(),
        condition=said.condition(carried.get("condition")),
        place=said_or(hint.place, carried.get("place")),
        note=said_or(hint.note, carried.get("note")),
        listed=False,
        price=said_or(hint.price, carried.get("price")),
    )


_OF_SEVERAL_WORDS = frozenset({TypedAs.SUBJECT, TypedAs.TEAM, TypedAs.SET, TypedAs.PARALLEL})


class _Said:
    """The words of a hint by what they are of a card; `tied` has the fields that it names."""

    def __init__(self, tied: Collection[str]) -> None:
        self._tied = tied
        self._within = TypedAs.SUBJECT
        self._tokens: dict[TypedAs, list[Token]] = {}
        self._conditions: list[TypedWord] = []

    def add(self, word: TypedWord) -> None:
        """Put one more where it belongs."""
        kind = self._kind(word)
        self._tokens.setdefault(kind, []).extend(word.tokens)
        if kind is TypedAs.CONDITION:
            self._conditions.append(word)

    def _kind(self, word: TypedWord) -> TypedAs:
        kind = word.kind
        if word.token.pin:
            # `set=harbor light` alone could as well be the set Harbor and the name Light: only
            # where the name is tied, too, it is known where the words of the set end
            self._within = TypedAs.SUBJECT
            if TypedAs.SUBJECT in self._tied and kind in _OF_SEVERAL_WORDS:
                self._within = kind
            return kind
        if kind is TypedAs.NUMBER and self._has_number():
            kind = TypedAs.ANY  # the card has its number; `Ada Marsh 2` is a name
        if kind is TypedAs.ANY:
            return self._within
        return kind

    def _has_number(self) -> bool:
        if TypedAs.NUMBER in self._tokens:
            return True
        # `set=harbor 1987 #900 name=ada`: the number is said to be another one
        return self._within is not TypedAs.SUBJECT and TypedAs.NUMBER in self._tied

    def of(self, kind: TypedAs) -> Sequence[Token]:
        """The words of a kind."""
        return self._tokens.get(kind, ())

    def number(self) -> str:
        """The number as it was typed, the last one where several are tied to it."""
        return next(reversed(as_typed(self.of(TypedAs.NUMBER))), "")

    def serial(self) -> str:
        """The serial number as it was typed. Raises Refused where there is no such one."""
        serials = [_serial(token.text) for token in self.of(TypedAs.SERIAL)]
        return next(reversed(serials), "")

    def condition(self, carried: str) -> str:
        """The condition of the scale, or another one as it was typed."""
        if not self._conditions:
            return carried
        known = [word.value for word in self._conditions if word.value]
        return next(reversed(known), "") or " ".join(as_typed(self._conditions[-1].tokens))


def _serial(text: str) -> str:
    read = parse_serial(text)
    if read is None:
        return text
    serial, run = read
    if serial is None:
        return ""  # a print run alone says nothing of this copy
    if run is not None and serial == 0:
        raise Refused("Not accepted: there is no number 0.")
    if run is not None and serial > run:
        raise Refused(f"Not accepted: {serial} is above the print run of {run}.")
    return text

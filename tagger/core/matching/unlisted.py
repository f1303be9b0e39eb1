"""A hint taken as a card of its own, for cards that no checklist has."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from tagger.core.matching.hint import Hint, Token, said_or
from tagger.core.matching.typed_words import TypedAs, TypedWord, as_name, as_typed, read_words
from tagger.core.model.colours import COLOURS
from tagger.core.model.numbers import SET_YEAR, parse_serial
from tagger.core.model.tags import Tags, is_base, kept_parallel
from tagger.core.model.text import fold
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.lot.carried import Carried
    from tagger.core.matching.variants.typed_parallel import TypedParallel
    from tagger.core.model.condition import Scale


def unlisted_tags(
    hint: Hint, carried: Carried, scale: Scale, known: TypedParallel | None = None
) -> Tags:
    """Tags as the hint spells them, in the carried set: one number, one serial number, one
    condition, a parallel behind `parallel=` or by its name in the checklists (`known`). `set=`
    takes the words up to the next field, number, serial number or condition. Every other word
    belongs to the subject, or where `name=` says which words are, to the field that was named
    before it.

    Raises Refused where the hint names neither a number nor a subject, a serial number above its
    print run, or a field that is not clear."""
    if hint.unclear:
        raise Refused(f"{hint.unclear}.")
    said, named = _read_with_parallel(hint.tokens, carried, scale, known)
    if not said.names_card:
        raise Refused("Type at least a number or a name for a card that is not in the checklist.")
    # the number and the name are never carried: they are what tells this card from the last one
    return Tags(
        set=said.name(TypedAs.SET) or carried.get("set"),
        number=said.number(),
        subject=said.name(TypedAs.SUBJECT),
        team=said.name(TypedAs.TEAM),
        parallel=kept_parallel(_parallel(said, named, carried)),
        serial=said.serial(),
        condition=said.condition(carried.get("condition")),
        place=said_or(hint.place, carried.get("place")),
        note=said_or(hint.note, carried.get("note")),
        listed=False,
        price=said_or(hint.price, carried.get("price")),
    )


def fields_typed(
    hint: Hint, own: Tags, scale: Scale, known: TypedParallel
) -> tuple[dict[str, str], list[str]]:
    """What a hint says of a card that is tagged and in no checklist, by the names of tags; and the
    words of its name that nothing ties to it. Raises Refused as `unlisted_tags` does."""
    left, parallel = known.take(hint.tokens, own.set)
    # the card has its name: `fai` is more likely its condition
    said = _read(left, scale, begun=True)
    found = _texts(said)
    free = [] if "subject" in said.tied else [one.raw for one in said.of(TypedAs.SUBJECT)]
    if free and all(is_base(word) or fold(word) in COLOURS for word in free):
        # nor is a colour alone the name of a card that has one: `red gold` is one parallel
        parallel, free = f"{found.pop('subject')} {parallel}".rstrip(), []
    if parallel:
        found["parallel"] = kept_parallel(parallel)
    return found, free


def _texts(said: _Said) -> dict[str, str]:
    """What words say, by the names of tags: of those fields alone that are typed."""
    texts = {
        TypedAs.SET: said.name(TypedAs.SET),
        TypedAs.NUMBER: said.number(),
        TypedAs.SUBJECT: said.name(TypedAs.SUBJECT),
        TypedAs.TEAM: said.name(TypedAs.TEAM),
        TypedAs.PARALLEL: kept_parallel(said.name(TypedAs.PARALLEL)),
        TypedAs.SERIAL: said.serial(),
        TypedAs.CONDITION: said.condition(""),
    }
    return {str(kind): text for kind, text in texts.items() if said.of(kind)}


def carried_as_typed(tokens: Sequence[Token], scale: Scale) -> tuple[dict[str, str], list[Token]]:
    """Set, parallel and condition as a hint spells them, by field, and its words that are of one
    card: what can be carried where no checklist says what a set is."""
    said = _read(tokens, scale)
    spelled = {
        "set": said.name(TypedAs.SET),
        "parallel": said.name(TypedAs.PARALLEL),
        "condition": said.condition(""),
    }
    return {field: text for field, text in spelled.items() if text}, said.of_one_card()


def _read_with_parallel(
    tokens: Sequence[Token], carried: Carried, scale: Scale, known: TypedParallel | None
) -> tuple[_Said, str]:
    """What the words say, and the parallel that some of them are by its name in the checklists."""
    said = _read(tokens, scale)
    if known is None:
        return said, ""
    left, named = known.take(tokens, said.name(TypedAs.SET) or carried.get("set"))
    # Where all else is the copy's, `gold` is what the card is called.
    if named and (others := _read(left, scale)).names_card:
        return others, named
    return said, ""


def _parallel(said: _Said, named: str, carried: Carried) -> str:
    # typed empty it is the plain card, whatever is carried
    if said.of(TypedAs.PARALLEL):
        return said.name(TypedAs.PARALLEL)
    return named or carried.get("parallel")


def _read(tokens: Sequence[Token], scale: Scale, begun: bool = False) -> _Said:
    said = _Said(frozenset(token.pin for token in tokens))
    # The beginning of a condition's word is more likely a name, unless something says otherwise.
    for word in read_words(tokens, scale, begun):
        said.add(word)
    return said


_OF_SEVERAL_WORDS = frozenset({TypedAs.SUBJECT, TypedAs.TEAM, TypedAs.SET, TypedAs.PARALLEL})


class _Said:
    """The words of a hint by what they are of a card; `tied` has the fields that it names."""

    def __init__(self, tied: Collection[str]) -> None:
        self.tied = tied
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
            self._within = self._begun_by(kind)
            return kind
        if kind is TypedAs.NUMBER:
            kind = self._number_or_part(word.value)
        if kind is TypedAs.ANY:
            return self._within
        if kind is not TypedAs.SET and TypedAs.SUBJECT not in self.tied:
            self._within = TypedAs.SUBJECT
        return kind

    def _begun_by(self, kind: TypedAs) -> TypedAs:
        """The field of the words behind one that is tied to this field."""
        # `team=gulls ada` alone could as well be the team Gulls and the name Ada: only where the
        # name is tied, too, or stands before the team, it is known where its words end.
        if TypedAs.SUBJECT in self.tied and kind in _OF_SEVERAL_WORDS:
            return kind
        if kind is TypedAs.SET or (kind is TypedAs.TEAM and self.of(TypedAs.SUBJECT)):
            return kind
        return TypedAs.SUBJECT

    def _number_or_part(self, text: str) -> TypedAs:
        """What a word with a digit in it is: the card's number, or part of a set or a name."""
        of_set = self._within is TypedAs.SET and SET_YEAR.match(text) and not self._has_year()
        if of_set or self._has_number():
            return TypedAs.ANY  # the card has its number; `Ada Marsh 2` is a name
        return TypedAs.NUMBER

    def _has_year(self) -> bool:
        """Whether the set has a word with a digit in it."""
        return any(any(map(str.isdigit, token.text)) for token in self.of(TypedAs.SET))

    def _has_number(self) -> bool:
        if TypedAs.NUMBER in self._tokens:
            return True
        # `set=harbor 1987 #900 name=ada`: the number is said to be another one
        return self._within is not TypedAs.SUBJECT and TypedAs.NUMBER in self.tied

    def of(self, kind: TypedAs) -> Sequence[Token]:
        """The words of a kind."""
        return self._tokens.get(kind, ())

    def of_one_card(self) -> list[Token]:
        """The words of all other kinds than set, parallel and condition."""
        kept = (TypedAs.SET, TypedAs.PARALLEL, TypedAs.CONDITION)
        return [one for kind, found in self._tokens.items() if kind not in kept for one in found]

    def name(self, kind: TypedAs) -> str:
        """The words of a kind as one name."""
        return as_name(self.of(kind))

    @property
    def names_card(self) -> bool:
        """Whether there is a number or a subject."""
        return bool(self.number() or self.of(TypedAs.SUBJECT))

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
        # The last one of the scale: who types on corrects what stands before.
        known = [word.value for word in self._conditions if word.value]
        return next(reversed(known), "") or " ".join(as_typed(self._conditions[-1].tokens))


def _serial(text: str) -> str:
    read = parse_serial(text)
    if read is None:
        return text
    serial, run = read
    if serial is None:
        return ""  # a print run alone says nothing of this copy
    if run is not None:
        _check_serial(serial, run)
    return text


def _check_serial(serial: int, run: int) -> None:
    if serial == 0:
        raise Refused("Not accepted: there is no number 0.")
    if serial > run:
        raise Refused(f"Not accepted: {serial} is above the print run of {run}.")

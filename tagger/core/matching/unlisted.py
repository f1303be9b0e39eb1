"""A hint taken as a card of its own, for cards that no checklist has."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from tagger.core.matching.hint import Hint, Token, said_or
from tagger.core.matching.typed_words import (
    TypedAs,
    TypedWord,
    as_name,
    as_typed,
    is_one_word,
    read_words,
)
from tagger.core.matching.variants.variant_words import AS_PARALLEL, AS_SERIAL
from tagger.core.model.numbers import SET_YEAR, parse_serial
from tagger.core.model.tags import COLOURS, Tags, is_base, kept_parallel
from tagger.core.model.text import fold, printable
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.lot.carried import Carried
    from tagger.core.matching.variants.typed_parallel import TypedParallel
    from tagger.core.model.condition import Scale


Reasons = tuple[tuple[str, str], ...]  # each word with what it was read as, as it was typed

NEITHER = "Type at least a number or a name for a card that is not in the checklist"
BEHIND_SET = "; behind set= all words are the set's: type name= before the name."


def unlisted_tags(
    hint: Hint, carried: Carried, scale: Scale, known: TypedParallel | None = None
) -> Tags:
    """Tags as the hint spells them, in the carried set: one number, one serial number, one
    condition, a parallel behind `parallel=` or by its name in the checklists (`known`). `set=`
    takes the words up to the next field, number, serial number or condition. Every other word
    belongs to the subject, or where `name=` says which words are, to the field that was named
    before it: a condition, too, that another one follows.

    Raises Refused where the hint names neither a number nor a subject, two serial numbers or one
    above its print run, or a field that is not clear."""
    return read_unlisted(hint, carried, scale, known)[0]


def read_unlisted(
    hint: Hint, carried: Carried, scale: Scale, known: TypedParallel | None = None
) -> tuple[Tags, Reasons]:
    """The tags of `unlisted_tags`, and what each word was read as in them. Raises Refused as it
    does."""
    if hint.unclear:
        raise Refused(f"{hint.unclear}.")
    said, named = _read_with_parallel(hint.tokens, carried, scale, known)
    if not said.names_card:
        raise Refused(NEITHER + (BEHIND_SET if TypedAs.SET in said.tied else "."))
    # the number and the name are never carried: they are what tells this card from the last one
    tags = Tags(
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
    return tags, _reasons(hint.tokens, said)


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


def _reasons(tokens: Sequence[Token], said: _Said) -> Reasons:
    """What each word was read as; what the reading does not know is the parallel that was taken out
    before."""
    meant = {id(token): said.meaning(kind) for kind, found in said.read for token in found}
    found: list[tuple[str, str]] = []
    before: Token | None = None
    for token in tokens:
        # `set=sun_deck` is one word of two tokens
        if before is None or not (token.pin and is_one_word(before, token)):
            found.append((token.raw, meant.get(id(token), AS_PARALLEL)))
        before = token
    return tuple(found)


def _parallel(said: _Said, named: str, carried: Carried) -> str:
    # typed empty it is the plain card, whatever is carried
    if said.of(TypedAs.PARALLEL):
        return said.name(TypedAs.PARALLEL)
    return named or carried.get("parallel")


def _read(tokens: Sequence[Token], scale: Scale, begun: bool = False) -> _Said:
    said = _Said(frozenset(token.pin for token in tokens))
    # The beginning of a condition's word is more likely a name, unless something says otherwise.
    words = list(read_words(tokens, scale, begun))
    # `begun`: a card that has its name already is hardly given another one beside its condition,
    # unless that is said.
    named = TypedAs.SUBJECT in said.tied
    for word in _with_one_condition(words) if named or not begun else words:
        said.add(word)
    return said


def _with_one_condition(words: Sequence[TypedWord]) -> Iterator[TypedWord]:
    """Of several conditions the last is it, or the one that is tied; `fair` of `fair wind ex` is
    part of a name, and so is the one before a set's year."""
    graded = [at for at, word in enumerate(words) if word.kind is TypedAs.CONDITION]
    tied = [at for at in graded if words[at].token.pin]
    for at, word in enumerate(words):
        free = at in graded and at not in tied
        if free and (tied or at != graded[-1] or _is_before_year(words, at)):
            word = word._replace(kind=TypedAs.ANY)
        yield word


def _is_before_year(words: Sequence[TypedWord], at: int) -> bool:
    """Whether the next word is the year of a set that is tied: `set=state fair 1937`."""
    if at + 1 == len(words) or not any(word.token.pin == TypedAs.SET for word in words[:at]):
        return False
    return words[at + 1].kind is TypedAs.NUMBER and bool(SET_YEAR.match(words[at + 1].value))


_OF_SEVERAL_WORDS = frozenset({TypedAs.SUBJECT, TypedAs.TEAM, TypedAs.SET, TypedAs.PARALLEL})


class _Said:
    """The words of a hint by what they are of a card; `tied` has the fields that it names."""

    def __init__(self, tied: Collection[str]) -> None:
        self.tied = tied
        self._within = TypedAs.SUBJECT
        self._tokens: dict[TypedAs, list[Token]] = {}
        self._conditions: list[TypedWord] = []
        self.read: list[tuple[TypedAs, Sequence[Token]]] = []
        """The words in turn, with the field that each was put to."""

    @staticmethod
    def meaning(kind: TypedAs) -> str:
        """What is told of a word that was put there, as of a word of a card in a list."""
        return AS_SERIAL if kind is TypedAs.SERIAL else str(kind)

    def add(self, word: TypedWord) -> None:
        """Put one more where it belongs."""
        kind = self._kind(word)
        self.read.append((kind, word.tokens))
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
        # `set=harbor 1987 2 #900`: the number is said to be another one
        if of_set or TypedAs.NUMBER in self.tied or TypedAs.NUMBER in self._tokens:
            return TypedAs.ANY  # the card has its number; `Ada Marsh 2` is a name
        return TypedAs.NUMBER

    def _has_year(self) -> bool:
        """Whether the set has a word with a digit in it."""
        return any(any(map(str.isdigit, token.text)) for token in self.of(TypedAs.SET))

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
        """The number as it was typed. Raises Refused where several are tied to it."""
        return _only("numbers", as_typed(self.of(TypedAs.NUMBER)))

    def serial(self) -> str:
        """The serial number as it was typed. Raises Refused where there is no such one, or there
        are several."""
        serials = [_serial(token.text) for token in self.of(TypedAs.SERIAL)]
        return _only("serial numbers", [serial for serial in serials if serial])

    def condition(self, carried: str) -> str:
        """The condition of the scale, or another one as it was typed."""
        if not self._conditions:
            return carried
        # The last one of the scale: who types on corrects what stands before.
        known = [word.value for word in self._conditions if word.value]
        return next(reversed(known), "") or " ".join(as_typed(self._conditions[-1].tokens))


def _only(what: str, typed: Sequence[str]) -> str:
    """The one text of a field, empty where it has none. Raises Refused where they differ: none of
    what was typed is dropped in silence."""
    if len(set(typed)) > 1:
        first, second, *_ = (printable(text, 20) for text in dict.fromkeys(typed))
        raise Refused(f"Two {what} are typed, {first} and {second}: take one out.")
    return next(iter(typed), "")


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

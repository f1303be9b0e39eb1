"""What is to become of many cards, read like a hint: set, parallel, condition, place, note and
price, and nothing else."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.core.index.sets_meant import sets_named
from tagger.core.lot.carried import CARRIED_FIELDS
from tagger.core.matching.hint import Token, fields_named, parse_hint, said_or
from tagger.core.matching.typed_words import TypedAs, TypedWord, as_name, read_words
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import BASE, Parallel, Tags, parallel_key
from tagger.core.model.text import fold, printable, words
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.model.condition import Scale

_FOR_MANY = "only set, parallel, condition, place (at=), price= and note= can be set for many"
NOT_FOR_MANY = {
    "serial": f"A serial number belongs to one card; {_FOR_MANY}.",
    "number": f"A number belongs to one card; {_FOR_MANY}.",
    "subject": f"A name belongs to one card; {_FOR_MANY}.",
    "team": f"A team comes with the card; {_FOR_MANY}.",
}
_NONE = ("no", "none")
_SHOWN = 3  # names in a question which of them is meant


@dataclass(frozen=True, slots=True)
class BulkChange:
    """New values by field: None leaves a field as it is, empty text takes it off (the parallel:
    makes it base)."""

    set: str | None = None
    parallel: str | None = None
    condition: str | None = None
    place: str | None = None
    note: str | None = None
    price: str | None = None

    def pairs(self) -> list[tuple[str, str]]:
        """(field, new value) of the fields that are changed."""
        return [
            (field, value)
            for field in CARRIED_FIELDS
            if (value := getattr(self, field)) is not None
        ]

    def put(self, tags: Tags) -> Tags:
        """Tags with the new values in them."""
        # by place: `replace` looks at each field of ten thousand cards' tags
        return Tags(
            said_or(self.set, tags.set), tags.number, tags.subject, tags.team,
            said_or(self.parallel, tags.parallel), tags.serial,
            said_or(self.condition, tags.condition), said_or(self.place, tags.place),
            said_or(self.note, tags.note),
            tags.listed, tags.extra, said_or(self.price, tags.price),
        )  # fmt: skip


def read_change(
    text: str, scale: Scale, index: Index, parallels: Collection[Parallel], sets: Collection[str]
) -> BulkChange:
    """Read a change. `parallels` are those that the cards in question may have, `sets` those of the
    lot, which are meant before others. Raises Refused where a word is not understood, or could be
    two things."""
    hint = parse_hint(text)
    if hint.unclear:
        raise Refused(f"{hint.unclear}.")
    reader = _BulkReader(scale, index, parallels, sets)
    reader.read(hint.tokens)
    found = reader.found
    for field, value in (("place", hint.place), ("note", hint.note), ("price", hint.price)):
        if value is not None:
            found[field] = value
    return BulkChange(**found)


class _BulkReader:
    """Reads the words of a change into `found`, by field."""

    def __init__(
        self, scale: Scale, index: Index, parallels: Collection[Parallel], sets: Collection[str]
    ) -> None:
        self._scale, self._index, self._parallels, self._sets = scale, index, parallels, sets
        self._known = frozenset(word for parallel in parallels for word in words(parallel.name))
        self._typed: dict[str, list[Token]] = {"parallel": [], "set": []}
        self._pinned: set[str] = set()
        self._in_set = False
        self.found: dict[str, str] = {}

    def read(self, tokens: Sequence[Token]) -> None:
        """Read all words. Raises Refused where one is not understood."""
        left = deque(read_words(tokens, self._scale))
        while left:
            word = left.popleft()
            if off := _taken_off(word, left):
                left.popleft()
                self.found[off] = ""
            else:
                self._read(word)
        # only when all words are read: `blue wave` is one parallel, and each word alone could be
        # several
        for field, spell in (("parallel", self._parallel), ("set", self._set)):
            if typed := self._typed[field]:
                self.found[field] = spell(typed, field in self._pinned)

    def _read(self, word: TypedWord) -> None:
        token = word.token
        if token.pin in NOT_FOR_MANY:
            raise Refused(NOT_FOR_MANY[token.pin])
        if len(word.tokens) == 1 and self._goes_on_set(token):
            self._typed["set"].append(token)
        elif token.pin in self._typed:
            self._tied(token)
        elif self._is_condition(word):
            self.found["condition"] = word.value
        else:
            self._untied(token)

    def _goes_on_set(self, token: Token) -> bool:
        """Whether a word goes on with the set that was named just before it: `set=harbor light`,
        where a set is called so."""
        if not self._in_set or token.pin or not token.text:
            return False
        before = (self._index.sets_with(one.text) for one in self._typed["set"])
        # a whole word: `set=harbor g` is Gold more often than a set with a G in its name
        here = self._index.sets_words.ids_of(token.text)
        self._in_set = bool(frozenset.intersection(here, *before))
        return self._in_set

    def _tied(self, token: Token) -> None:
        if token.text:
            self._typed[token.pin].append(token)
            self._in_set = token.pin == "set"
            self._pinned.add(token.pin)
        else:
            self.found[token.pin] = ""

    def _is_condition(self, word: TypedWord) -> bool:
        """Whether a word is the condition. Raises Refused where it is tied to it and is none."""
        if word.token.pin:
            _check_condition(word)
            return True
        if word.kind is not TypedAs.CONDITION:
            return False
        if len(word.tokens) > 1:
            return True
        text = word.token.text
        # `gold` and `mint` are parallels as well; only the whole word of one goes before the other.
        return text not in self._known and (word.whole or not self._names_parallel(text))

    def _untied(self, token: Token) -> None:
        text = token.text
        serial = parse_serial(text)
        if serial and serial[0] is not None:
            raise Refused(NOT_FOR_MANY["serial"])
        if text == BASE:
            self.found["parallel"] = ""
        elif self._names_parallel(text):
            self._typed["parallel"].append(token)
        elif self._index.sets_with(text):
            self._typed["set"].append(token)
        else:
            raise Refused(
                f"Unknown word '{printable(token.raw, 40)}'; put parallel=, set= or condition= in "
                "front of it to say what it is."
            )

    def _names_parallel(self, text: str) -> bool:
        return any(_names(parallel, text) for parallel in self._parallels)

    def _parallel(self, tokens: Sequence[Token], pinned: bool) -> str:
        """The one parallel that these words name. Where none of the cards in question has it: as it
        was typed."""
        typed = [token.text for token in tokens]
        # the plain card is no parallel of any list
        if typed == [BASE]:
            return ""
        # A name in full goes before the words of one: else Gold could not be set where a `Gold
        # Wave` is listed.
        whole = [parallel.name for parallel in self._parallels if _is_spelled(parallel.name, typed)]
        # lists that spell one in two ways have no other name for it that could be typed
        names = {parallel_key(name): name for name in reversed(whole or self._fitting(typed))}
        return _one("parallel", reversed(names.values()), tokens, pinned)

    def _fitting(self, typed: Sequence[str]) -> list[str]:
        """The parallels that every word could name."""
        return [one.name for one in self._parallels if all(_names(one, text) for text in typed)]

    def _set(self, tokens: Sequence[Token], pinned: bool) -> str:
        """The one set that these words name. Where the checklists have none: as it was typed."""
        typed = [token.text for token in tokens]
        names = sets_named(self._index, typed)
        whole = [name for name in names if _is_spelled(name, typed)]
        # of several that fit, those of this lot are meant
        here = [name for name in names if name in self._sets]
        return _one("set", whole or here or names, tokens, pinned)


def _taken_off(word: TypedWord, rest: Sequence[TypedWord]) -> str:
    """The tag that a word and the next take off (`no condition`), empty where they do not."""
    if word.token.pin or word.value not in _NONE or not rest:
        return ""
    match fields_named(rest[0].value):
        case (field,) if field.tag in CARRIED_FIELDS:
            return field.tag
    return ""


def _is_spelled(name: str, typed: Sequence[str]) -> bool:
    return fold(name) == " ".join(typed)


def _names(parallel: Parallel, text: str) -> bool:
    """Whether a word could name a parallel: the beginning of a word of its name, or its print run
    as `/99`."""
    # a run is whole: `/9` does not begin `/99`
    if text.startswith("/"):
        return parallel.run is not None and text == f"/{parallel.run}"
    return bool(text) and any(word.startswith(text) for word in words(parallel.name))


def _one(what: str, names: Iterable[str], tokens: Sequence[Token], pinned: bool) -> str:
    """The one name. Raises Refused where there are several, or none and the words are not tied to
    the field."""
    found = list(dict.fromkeys(names))
    # what is tied is meant, also where no checklist has it: a set may be tagged before it is listed
    if not found and pinned:
        return as_name(tokens)
    typed = printable(" ".join(token.text for token in tokens), 40)
    if not found:
        raise Refused(f"Unknown {what} '{typed}'.")
    if len(found) > 1:
        some = _some(found)
        raise Refused(f"More than one {what} is called '{typed}': {some}. Type more of it.")
    return found[0]


def _check_condition(tied: TypedWord) -> None:
    # `condition=` with nothing behind it takes the condition off
    if tied.token.text and not tied.value:
        shown = printable(tied.token.raw, 40)
        raise Refused(f"'{shown}' is not a condition of your scale.")


def _some(names: Sequence[str]) -> str:
    shown = ", ".join(printable(name, 40) for name in names[:_SHOWN])
    if len(names) > _SHOWN:
        shown += f" and {len(names) - _SHOWN} more"
    return shown

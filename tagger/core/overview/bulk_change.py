"""What is to become of many cards, read like a hint: set, parallel, condition, place and note, and
nothing else."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from tagger.core.index.index import Index
from tagger.core.lot.carried import CARRIED_FIELDS
from tagger.core.matching.hint import Token, parse_hint
from tagger.core.model.condition import Scale
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import BASE, Parallel
from tagger.core.model.text import fold, printable, words
from tagger.errors import Refused

NOT_FOR_MANY = {
    "serial": "A serial number belongs to one card; it is not set for many.",
    "number": "A number belongs to one card; set, parallel, condition, place (at=) and note= are "
    "set for many.",
    "subject": "A name belongs to one card; set, parallel, condition, place (at=) and note= are "
    "set for many.",
    "team": "A team comes with the card; set, parallel, condition, place (at=) and note= are set "
    "for many.",
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

    def pairs(self) -> list[tuple[str, str]]:
        """(field, new value) of the fields that are changed."""
        return [
            (field, value)
            for field in CARRIED_FIELDS
            if (value := getattr(self, field)) is not None
        ]


def read_change(
    text: str, scale: Scale, index: Index, parallels: Collection[Parallel], sets: Collection[str]
) -> BulkChange:
    """Read a change. `parallels` are those that the cards in question may have, `sets` those of the
    lot, which are meant before others. Raises Refused where a word is not understood, or could be
    two things."""
    hint = parse_hint(text)
    reader = _BulkReader(scale, index, parallels, sets)
    left = list(hint.tokens)
    while left:
        left = left[reader.read(left) :]
    found = reader.found
    for pin, spell in (("parallel", reader.parallel), ("set", reader.set_name)):
        if reader.typed[pin]:
            found[pin] = spell(reader.typed[pin], pin in reader.pinned)
    for field, value in (("place", hint.place), ("note", hint.note)):
        if value is not None:
            found[field] = value
    return BulkChange(**found)


class _BulkReader:
    """Reads words off the front of a change, as many as belong together."""

    def __init__(
        self, scale: Scale, index: Index, parallels: Collection[Parallel], sets: Collection[str]
    ) -> None:
        self._scale, self._index, self._parallels, self._sets = scale, index, parallels, sets
        self._opening = scale.opening_words()
        self._known = frozenset(word for parallel in parallels for word in words(parallel.name))
        self.found: dict[str, str] = {}
        self.typed: dict[str, list[Token]] = {"parallel": [], "set": []}
        self.pinned: set[str] = set()

    def read(self, tokens: Sequence[Token]) -> int:
        """Read the next word; returns how many that were."""
        token = tokens[0]
        text, pin = token.text, token.pin
        if pin in NOT_FOR_MANY:
            raise Refused(NOT_FOR_MANY[pin])
        if pin in self.typed:
            if text:
                self.typed[pin].append(token)
                self.pinned.add(pin)
            else:
                self.found[pin] = ""
            return 1
        if not pin and text in _NONE and len(tokens) > 1 and tokens[1].text in CARRIED_FIELDS:
            self.found[tokens[1].text] = ""
            return 2
        if pin == "condition" and not text:
            self.found["condition"] = ""
            return 1
        if graded := self._condition(tokens):
            self.found["condition"], many = graded
            return many
        if pin:
            raise Refused(f"'{printable(token.raw, 40)}' is no condition of your scale.")
        self._other(token)
        return 1

    def _other(self, token: Token) -> None:
        text = token.text
        said = parse_serial(text)
        if said and said[0] is not None:
            raise Refused(NOT_FOR_MANY["serial"])
        if text == BASE:
            self.found["parallel"] = ""
        elif any(_names(parallel, text) for parallel in self._parallels):
            self.typed["parallel"].append(token)
        elif self._set_ids(text):
            self.typed["set"].append(token)
        else:
            raise Refused(
                f"'{printable(token.raw, 40)}' was not understood; p=, s= and c= say what a word "
                "is."
            )

    def _condition(self, tokens: Sequence[Token]) -> tuple[str, int] | None:
        token = tokens[0]
        further = self._opening.get(token.text, ())
        following = tokens[1 : 1 + len(further)]
        if further and len(following) == len(further):
            begun = all(
                word.startswith(other.text) for word, other in zip(further, following, strict=True)
            )
            whole = self._scale.read(" ".join((token.text, *further)))
            if begun and whole and all(other.text for other in following):
                return whole[0], 1 + len(further)
        read = self._scale.read(token.text)
        if read is None or (not token.pin and token.text in self._known):
            return None
        if not (read[1] or token.pin) and any(
            _names(parallel, token.text) for parallel in self._parallels
        ):
            return None
        return read[0], 1

    def parallel(self, tokens: Sequence[Token], pinned: bool) -> str:
        """The one parallel that these words name. Where none of the cards in question has it: as it
        was typed."""
        typed = [token.text for token in tokens]
        if typed == [BASE]:
            return ""
        whole = [p.name for p in self._parallels if fold(p.name) == " ".join(typed)]
        meant = whole or [p.name for p in self._parallels if all(_names(p, text) for text in typed)]
        if not meant and pinned:
            return _spelled(tokens)
        return _one("parallel", meant, tokens)

    def set_name(self, tokens: Sequence[Token], pinned: bool) -> str:
        """The one set that these words name. Where the checklists have none: as it was typed."""
        ids = frozenset.intersection(*(self._set_ids(token.text) for token in tokens))
        names = [self._index.sets[id] for id in sorted(ids)]
        whole = [name for name in names if fold(name) == " ".join(token.text for token in tokens)]
        names = whole or [name for name in names if name in self._sets] or names
        if not names and pinned:
            return _spelled(tokens)
        return _one("set", names, tokens)

    def _set_ids(self, text: str) -> frozenset[int]:
        found = self._index.sets_words
        return found.ids_of(text) if text.isdigit() else found.ids(text)


def _names(parallel: Parallel, text: str) -> bool:
    """Whether a word could name a parallel: the beginning of a word of its name, or its print run
    as `/99`."""
    if text.startswith("/"):
        return parallel.run is not None and text == f"/{parallel.run}"
    return bool(text) and any(word.startswith(text) for word in words(parallel.name))


def _one(what: str, names: Iterable[str], tokens: Sequence[Token]) -> str:
    found = list(dict.fromkeys(names))
    typed = printable(" ".join(token.text for token in tokens), 40)
    if not found:
        raise Refused(f"No {what} is called '{typed}'.")
    if len(found) > 1:
        some = ", ".join(printable(name, 40) for name in found[:_SHOWN])
        more = f" and {len(found) - _SHOWN} more" if len(found) > _SHOWN else ""
        raise Refused(f"Which {what} is '{typed}': {some}{more}? Type more of it.")
    return found[0]


def _spelled(tokens: Sequence[Token]) -> str:
    """As typed; words all in small letters get a capital."""
    parts: list[str] = []
    raws = dict.fromkeys(token.raw for token in tokens)
    for raw in raws:
        parts += raw.partition("=")[2].replace("_", " ").split() if "=" in raw else [raw]
    return " ".join(part[:1].upper() + part[1:] if part.islower() else part for part in parts)

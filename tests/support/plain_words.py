"""One typed word held against one row, plainly: nothing is looked up, the row's own text is
read."""

from __future__ import annotations

from collections.abc import Collection
from functools import cache, cached_property
from typing import TYPE_CHECKING

from tagger.core.matching.hint import Token
from tagger.core.matching.read import (
    CARRIED_SET_LETTER,
    CARRIED_SET_WORD,
    LETTERED,
    MISTYPED,
    NUMBER,
    NUMBER_BEGUN,
    NUMBER_LETTERED,
    NUMBER_START,
    REPEATED,
    SET_WORD,
    TEAM,
    UNREAD,
)
from tagger.core.matching.subject_match import (
    FAR_SLIP,
    INITIALS,
    INITIALS_LETTERS,
    LONGER,
    NAME,
    NAME_START,
    ONE_LETTER,
    SLIP,
    SLIP_BEGUN,
    SLIP_FIRST,
    SLIP_NAME,
    SURNAME,
    SURNAME_START,
)
from tagger.core.matching.token_match import SET_LETTER
from tagger.core.matching.variants.variant_words import PARALLEL_SLIP
from tagger.core.model.numbers import canonical, split_total
from tagger.core.model.tags import COLOURS, Row
from tagger.core.model.text import fold, initials, words

if TYPE_CHECKING:
    from support.plain_scan import PlainScan

GENERATION = ("jr", "sr", "ii", "iii", "iv")
NOTHING = (UNREAD, "")

Read = tuple[float, str]


@cache
def edits_between(a: str, b: str) -> int:
    """The optimal string alignment distance, by its table."""
    rows = [[i + j if not i or not j else 0 for j in range(len(b) + 1)] for i in range(len(a) + 1)]
    for i in range(1, len(a) + 1):
        for j in range(1, len(b) + 1):
            rows[i][j] = min(
                rows[i - 1][j] + 1, rows[i][j - 1] + 1, rows[i - 1][j - 1] + (a[i - 1] != b[j - 1])
            )
            if i > 1 and j > 1 and a[i - 1] == b[j - 2] and a[i - 2] == b[j - 1]:
                rows[i][j] = min(rows[i][j], rows[i - 2][j - 2] + 1)
    return rows[len(a)][len(b)]


@cache
def as_a_slip(typed: str, word: str, kind: str, most: int) -> float | None:
    """The best weight of what was typed as a slip for a word or a beginning of it, two letters or
    more, by at most so many edits; None where it is none."""
    found: list[float] = []
    if typed in COLOURS and len(word) > len(typed):
        return None
    for length in range(max(2, len(typed) - most), min(len(word), len(typed) + most) + 1):
        edits = edits_between(typed, word[:length])
        if 0 < edits <= most:
            weight = SLIP * edits + (SLIP_NAME if kind != "surname" else 0.0)
            weight += (SLIP_BEGUN if length < len(word) else 0.0) + (
                SLIP_FIRST if word[0] != typed[0] else 0.0
            )
            found.append(weight)
    return max(found, default=None)


@cache
def words_of(name: str) -> tuple[tuple[str, str], ...]:
    """(word, kind) for each word of a name: surname (what the name ends with, joined or not, a
    generation left out), name, generation."""
    every = words(name)
    known = [word for word in every if word not in GENERATION] or list(every)
    pieces = ["".join(char for char in fold(piece) if char.isalnum()) for piece in name.split()]
    ends = ("".join(pieces), "".join(piece for piece in pieces if piece not in GENERATION))
    return tuple(
        (
            word,
            "generation"
            if word not in known
            else "surname"
            if any(end.endswith(word) for end in ends)
            else "name",
        )
        for word in every
    )


@cache
def words_of_set(name: str) -> frozenset[str]:
    """Words that a set can be called by: its own, the end of a year, the first letters."""
    own = words(name)
    letters = "".join(word[0] for word in fold(name).split() if word[0].isalpha())
    short = [word[2:] for word in own if len(word) == 4 and word.isdigit()]
    return frozenset((*own, *short, *([letters] if len(letters) > 1 else [])))


@cache
def in_names(text: str, names: tuple[str, ...]) -> Read | None:
    """The best reading of a word as part of one of some names; slips left out."""
    spelled = "".join(c for c in text if c.isalnum())
    found: list[Read] = []
    for name in names:
        longer = LONGER * min(15, name.count(" "))
        for word, kind in words_of(name):
            if word == spelled:
                found.append(((SURNAME if kind == "surname" else NAME) + longer, "subject"))
            elif word.startswith(spelled) and kind != "generation" and not spelled.isdigit():
                begun = (SURNAME_START if kind == "surname" else NAME_START) + longer
                found.append(
                    (begun + (ONE_LETTER if len(spelled) == 1 else 0.0), "start of the subject")
                )
    if not found and len(spelled) in INITIALS_LETTERS:
        found = [
            (INITIALS + LONGER * min(15, name.count(" ")), "initials")
            for name in names
            if initials(name) == spelled
        ]
    return max(found, default=None)


class Word:
    """One word of a hint, held against one row at a time."""

    def __init__(self, token: Token, lists: PlainScan) -> None:
        self.token, self.lists = token, lists
        text, pin = token.text, token.pin
        self.spelled = "".join(c for c in text if c.isalnum())
        part = text.startswith("/") or text.endswith("/")  # of a serial number
        self.number = canonical(text) if pin in ("", "number") and not part else ""
        self.total = split_total(text)[1].lstrip("0") if self.number else ""
        if self.total and not any(
            canonical(row.number) == self.number and self._is_of_total(row) for row in lists.rows
        ):
            self.number = ""
        named = any(c.isalpha() or (c.isalnum() and pin == "subject") for c in text)
        self.named = pin in ("", "subject") and named
        self.may_be_team = pin in ("", "team") and len(text) > 1
        self.may_be_set = pin in ("", "set") and bool(text) and (len(text) > 1 or bool(pin))
        letters = len(self.spelled) if self.named and self.spelled.isalpha() else 0
        self.slips = 0 if letters < 3 else 1 if letters < 5 else 2
        self.loose = lists.loose(token)
        self.sets = {set for set in lists.sets if self.as_set(set)}
        self._read_in: dict[str | None, bool] = {}

    def as_number(self, row: Row) -> Read | None:
        if not self.number:
            return None
        whole = canonical(row.number)
        if self.total and not self._is_of_total(row):
            return None
        if whole == self.number:
            return NUMBER, "number"
        if not self.total and self.token.text[0].isdigit() and whole.startswith(self.number):
            rest = whole.removeprefix(self.number)
            lettered = self.number[-1].isdigit() and len(rest) == 1 and "a" <= rest <= "z"
            if lettered and (row.set, self.number) not in self.lists.numbers_by_set:
                return NUMBER_LETTERED, LETTERED
            return NUMBER_START, NUMBER_BEGUN
        return None

    def as_subject(self, row: Row) -> Read | None:
        return in_names(self.token.text, self.lists.names(row)) if self.named else None

    def as_slip(self, row: Row, close: bool) -> Read | None:
        if not self.slips or (not close and len(self.spelled) < FAR_SLIP):
            return None
        if (len(self.spelled) < 4 or not close) and self._is_read_in(row.set if close else None):
            return None
        found = [
            weight
            for name in self.lists.names(row)
            for word, kind in words_of(name)
            if close or word[0] in self.spelled[:2]
            if (weight := as_a_slip(self.spelled, word, kind, self.slips)) is not None
        ]
        return (max(found), MISTYPED) if found else None

    def _is_read_in(self, set: str | None) -> bool:
        """Whether a subject of a set, or of any set, reads as the word with no slip."""
        if set not in self._read_in:
            rows = self.lists.rows if set is None else self.lists.rows_of(set)
            self._read_in[set] = any(self.as_subject(row) for row in rows)
        return self._read_in[set]

    def as_team(self, row: Row) -> bool:
        return self.may_be_team and any(
            word.startswith(self.token.text) for word in words(row.team)
        )

    def as_set(self, set: str) -> bool:
        if not self.may_be_set:
            return False
        text = self.token.text
        return any(
            word == text if text.isdigit() else word.startswith(text) for word in words_of_set(set)
        )

    def as_letter_of_set(self, set: str, carried: str | None, seen: Collection[str]) -> Read:
        """One letter as the beginning of a word of a set that was met, in a row that a word
        names."""
        text = self.token.text
        if self.token.pin or len(text) != 1 or not text.isalpha():
            return NOTHING
        if not any(word.startswith(text) for word in words_of_set(set)):
            return NOTHING
        if set == carried:
            return CARRIED_SET_LETTER, REPEATED
        return (SET_LETTER, "set") if set in seen else NOTHING

    def in_row(self, row: Row, close: bool, repeated: str | None) -> Read:
        """The best reading in a row; a set's word that only repeats the set `repeated` says next to
        nothing."""
        found = [NOTHING, self.as_number(row), self.as_subject(row) or self.as_slip(row, close)]
        if self.as_team(row):
            found.append((TEAM, "team"))
        if row.set in self.sets:
            found.append((CARRIED_SET_WORD, REPEATED) if row.set == repeated else (SET_WORD, "set"))
        return max(read for read in found if read is not None)

    def names_row(self, row: Row) -> bool:
        """Whether the word is the number or part of the subject, slips left out."""
        number = self.as_number(row)
        return self.as_subject(row) is not None or (number is not None and number[0] == NUMBER)

    def is_number_of(self, set: str | None) -> bool:
        """Whether a card of a set has the word as its number."""
        return set is not None and any(
            canonical(row.number) == self.number and (not self.total or self._is_of_total(row))
            for row in self.lists.rows_of(set)
        )

    def is_very_number_of(self, row: Row) -> bool:
        """Whether a row has the word as its number."""
        number = self.as_number(row)
        return number is not None and number[1] == "number"

    def _is_of_total(self, row: Row) -> bool:
        return fold(split_total(row.number)[1]).lstrip("0") == self.total

    @cached_property
    def fits_anywhere(self) -> bool:
        """Whether the word could be a variant of some card; as a slip in a parallel's word only
        where no number and no subject anywhere can be read as it."""
        if self.loose > PARALLEL_SLIP or self.loose <= UNREAD:
            return self.loose > UNREAD
        return not any(self.fits_elsewhere(row) in ("number", "subject") for row in self.lists.rows)

    def fits_elsewhere(self, row: Row) -> str:
        """How a word fits a row of a set that is not at hand: as number, subject, letter of a
        subject, set or team; empty where it does not."""
        number = self.as_number(row)
        if number is not None and number[0] == NUMBER:
            return "number"
        if self.named and (self.as_subject(row) or self.as_slip(row, False)):
            return "subject" if len(self.spelled) > 1 else "letter"
        if row.set in self.sets:
            return "set"
        return "team" if self.as_team(row) else ""

"""One typed word held against the index: what it could be in a row, and how likely each reading is.

Weights are natural logarithms of how probable the word is, given that the row is the right one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import chain, repeat
from typing import TYPE_CHECKING

from tagger.core.index.flat_arrays import within
from tagger.core.matching.read import (
    AS_NOTED,
    CARRIED_SET_LETTER,
    CARRIED_SET_WORD,
    LETTERED,
    NOTED,
    NUMBER,
    NUMBER_BEGUN,
    NUMBER_LETTERED,
    NUMBER_START,
    REPEATED,
    SERIES,
    SET_WORD,
    TEAM,
    UNREAD,
    Read,
)
from tagger.core.matching.subject_match import ONE_LETTER, SubjectMatches
from tagger.core.model.numbers import canonical, printed_key, split_total

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.index.near_set import Near
    from tagger.core.matching.hint import Token

NOTHING: Read = (UNREAD, "")
SET_LETTER = SET_WORD + ONE_LETTER  # in sets met in this lot, beside a word that names the card
SERIES_LETTER = SERIES + ONE_LETTER  # in the carried set, beside a word that names the card


HELD = 8  # words that are held ready while a hint is typed on


def read_token(index: Index, token: Token, exactly: bool = False) -> TokenMatches:
    """What one word could mean, see `TokenMatches`; held ready, since most words of a hint stand
    there with the next key as well."""
    held, key = index.words_held, (token, exactly)
    found = held.pop(key, None)
    # another object each time: a hint may have the same word twice
    found = TokenMatches(index, token, exactly) if found is None else found.afresh()
    held[key] = found
    if len(held) > HELD:
        del held[next(iter(held))]
    return found


class TokenMatches:
    """What one word could mean."""

    def __init__(self, index: Index, token: Token, exactly: bool = False) -> None:
        """With `exactly` no slips are forgiven, and a number is one only as it is printed."""
        self.index, self.token, self.text = index, token, token.text
        self._exactly = exactly
        self.number, total = _as_number(token)
        self.number_id = index.number_id(self.number) if self.number else -1
        # `12/110` is the 12 of a set whose cards say so, and else a serial number
        self._forms = _forms_of(index, self.number_id, total) if total else None
        if self._forms is not None and not self._forms:
            self.number, self.number_id = "", -1
        # it can be the beginning of a longer number
        self._may_go_on = self.text[:1].isdigit() and self._forms is None
        # digits are a word of a name where they are tied to it, and else a number
        in_name = str.isalnum if token.pin == "subject" else str.isalpha
        self.named = token.may_be("subject") and any(map(in_name, self.text))
        # `saint-lo` is looked for as saintlo
        self.spelled = "".join(char for char in self.text if char.isalnum())
        self.teams = _teams(token, index)
        self.sets = _sets(token, index)
        self.series = _series(token, index)
        self.subject = SubjectMatches(index, self.spelled, self.named, exactly)
        self._hits: dict[tuple[int, bool], dict[int, float]] = {}  # by set, and how it is looked at

    def afresh(self) -> TokenMatches:
        """The same word for another search, with all that was found out about it but where slips
        were looked for."""
        other = object.__new__(TokenMatches)
        other.__dict__.update(self.__dict__)
        other.subject = self.subject.afresh()
        return other

    def in_row(self, step: int, set_id: int, repeated: int | None) -> Read:
        """The best reading of the word in the row at a step.

        A word that only repeats the set `repeated` has next to no weight: it is likely meant
        otherwise."""
        best = self._as_number_or_name(step, set_id)
        if self.teams and self.index.team_of[step] in self.teams:
            best = max(best, (TEAM, "team"))
        if self.is_of_series(step):
            best = max(best, (SERIES, "series"))
        if set_id not in self.sets:
            return best
        if set_id == repeated:
            return max(best, (CARRIED_SET_WORD, REPEATED))
        return max(best, (SET_WORD, "set"))

    def _as_number_or_name(self, step: int, set_id: int) -> Read:
        # asked of each word in each row: `max` would be called for most of them in vain
        best: Read | None = self.as_number(step) if self._may_be_number else None
        if best is None or (self._exactly and not self._is_printed_so(step)):
            best = NOTHING
        if self.named:
            read = self.subject.read(self.index.subject_of[step], set_id)
            if read is not None and read > best:
                return read
        return best

    def is_of_series(self, step: int) -> bool:
        """Whether the word could mean the series of the row at a step."""
        return bool(self.series) and self.index.extra_of[step] in self.series

    @cached_property
    def names_rows(self) -> bool:
        """Whether the word can be number, subject, team or set of any row."""
        named = self.named and (len(self.spelled) == 1 or bool(self.subject.far_weights))
        return named or self.number_id >= 0 or bool(self.teams or self.sets or self.series)

    def anywhere(self, steps: Sequence[int]) -> Iterable[float]:
        """The most that the word can weigh as number, subject, set or team of each of some rows
        anywhere."""
        return map(max, repeat(UNREAD), repeat(UNREAD, len(steps)), *self._columns(steps))

    def _columns(self, steps: Sequence[int]) -> Iterator[Iterable[float]]:
        """What it weighs in each of some rows in each way that it can be read in."""
        if self._may_be_number:
            yield [(self.as_number(step) or NOTHING)[0] for step in steps]
        if self.named:
            yield self.subject.weights_in(steps)
        index = self.index
        for ids, of, weight in (
            (self.sets, index.set_of, SET_WORD),
            (self.series, index.extra_of.__getitem__, SERIES),
            (self.teams, index.team_of.__getitem__, TEAM),
        ):
            if ids:
                yield map((UNREAD, weight).__getitem__, map(ids.__contains__, map(of, steps)))

    def as_row(self, step: int) -> float | None:
        """The weight of the word as number or subject of the row at a step, slips left out; None if
        neither."""
        if self.number_id >= 0 and self._is_number_of(step):
            return NUMBER
        if not self.named:
            return None
        return self.subject.weight(self.index.subject_of[step])

    @cached_property
    def _may_be_number(self) -> bool:
        """Whether the word is the number of any row, or the beginning of one."""
        if self.number_id >= 0:
            return True
        return bool(self.number and self.text[0].isdigit() and self._longer_numbers)

    def as_number(self, step: int) -> Read | None:
        """The word as the number of the row at a step."""
        if self._is_number_of(step):
            return NUMBER, "number"
        if self._may_go_on and self.index.number_of(step) in self._longer_numbers:
            return self._longer_number(step)
        return None

    def _is_number_of(self, step: int) -> bool:
        if self.index.number_of(step) != self.number_id:
            return False
        return self._forms is None or self.index.printed_of[step] in self._forms

    def is_whole_number_of(self, step: int) -> bool:
        """Whether the word is the number of the row at a step, but for its letter maybe."""
        read = self.as_number(step) if self._may_be_number else None
        return read is not None and read[0] >= NUMBER_LETTERED

    def whole_numbers(self, near: Near) -> Iterator[int]:
        """The rows of one set of which it is the number so."""
        hits = self._number_hits(near).items()
        return (step for step, weight in hits if weight >= NUMBER_LETTERED)

    def _longer_number(self, step: int) -> Read:
        lettered = self.index.number_of(step) in self._lettered_numbers
        if lettered and not self._is_plain_in(self.index.set_of(step)):
            return NUMBER_LETTERED, LETTERED
        return NUMBER_START, NUMBER_BEGUN

    def _is_plain_in(self, set_id: int) -> bool:
        """Whether a set has a card of this very number."""
        return bool(within(self.index.steps_of_number(self.number_id), self.index.steps(set_id)))

    @cached_property
    def _longer_numbers(self) -> range:
        """The numbers that begin with this one and go on."""
        begun = self.index.numbers_starting(self.number)
        return range(begun.start + (begun.start == self.number_id), begun.stop)

    @cached_property
    def _lettered_numbers(self) -> frozenset[int]:
        """The numbers that are this one and a letter."""
        texts, digits = self.index.number_texts, self.number
        if not digits[-1].isdigit():
            return frozenset()
        starting = self.index.numbers_starting
        lettered = range(starting(f"{digits}a").start, starting(f"{digits}z").stop)
        return frozenset(at for at in lettered if len(texts[at]) == len(digits) + 1)

    def hits(self, near: Near, set_id: int, close: bool) -> Mapping[int, float]:
        """The weight of the word in those rows of a set that it names by number, subject, team or
        series. With `close` slips count where nothing else does; else only the hint names the set,
        and subjects count as they do anywhere."""
        subjects: Mapping[int, float] = {}
        # asked each time: it notes that slips were looked for in this set
        if self.named and close:
            subjects = self.subject.near(near, set_id)
        elif self.named:
            subjects = self.subject.named_anywhere(near)
        found = self._hits.get((set_id, close))
        if found is None:
            found = self._hits[set_id, close] = self._hits_in(near, subjects)
        return found

    def _hits_in(self, near: Near, subjects: Mapping[int, float]) -> dict[int, float]:
        found: dict[int, float] = {}
        for team in self.teams:
            found.update(dict.fromkeys(near.teams.get(team, ()), TEAM))
        if self.series:
            found.update((step, SERIES) for step in near.steps if self.is_of_series(step))
        for hits in (self._number_hits(near), dict(near.with_subjects(subjects))):
            more = hits
            if found:
                more = {step: max(found.get(step, UNREAD), hits[step]) for step in hits}
            found.update(more)
        return found

    def _number_hits(self, near: Near) -> dict[int, float]:
        found: dict[int, float] = {}
        if not self.number:
            return found
        if self._may_go_on:
            steps = near.numbered_in(self._longer_numbers)
            found.update(dict.fromkeys(steps, NUMBER_START))
            # seldom any, so that these alone are asked one by one
            lettered = self._lettered_numbers if steps else ()
            if lettered:
                numbers = range(min(lettered), max(lettered) + 1)
                some = near.numbered_in(numbers)
                found.update((step, self._longer_number(step)[0]) for step in some)
        if self.number_id >= 0:
            steps = near.numbered(self.number_id)
            found.update(dict.fromkeys(filter(self._is_number_of, steps), NUMBER))
        return found

    @cached_property
    def far_numbers(self) -> Sequence[int]:
        """Steps anywhere with this very number."""
        steps = self.index.steps_of_number(self.number_id)
        if self._forms is not None:
            steps = list(filter(self._is_number_of, steps))
        if self._exactly and self.index.is_printed_variously(self.number_id):
            return [step for step in steps if self._is_printed_so(step)]
        return steps

    @cached_property
    def only_set(self) -> frozenset[int]:
        """The one set that has this very number; empty where several have it."""
        # sets lie one behind the other: what is first and last in one set is all in it
        ends = {self.index.set_of(step) for step in (*self.far_numbers[:1], *self.far_numbers[-1:])}
        return frozenset(ends) if len(ends) == 1 else frozenset()

    def _is_printed_so(self, step: int) -> bool:
        return printed_key(self.index.printed(step)) == printed_key(self.text)

    @property
    def is_name(self) -> bool:
        """Whether the word can name a subject by itself: one letter says too little."""
        return self.named and len(self.spelled) > 1

    @property
    def only_a_name(self) -> bool:
        """Whether the word can name rows by their subjects only."""
        return self.is_name and self.number_id < 0 and not (self.sets or self.teams or self.series)

    @property
    def leads_far(self) -> bool:
        """Whether rows anywhere are looked up by the word: as number, subject or set."""
        return bool(self.far_numbers or self.sets or self.subject.far_weights)

    def far_rows(self) -> int:
        """About how many rows the word can be read in, anywhere."""
        index = self.index
        # by what they have on average
        named = len(self.subject.far_weights) * len(index) // max(1, index.count_of_subjects)
        in_sets = sum(len(index.steps(set_id)) for set_id in self.sets)
        rows = len(self.far_numbers) + named + in_sets
        if self.teams or self.series or (self.named and len(self.spelled) == 1):
            rows += len(index)  # those that no list gives
        return rows


def _as_number(token: Token) -> tuple[str, str]:
    """The word as a card's number in its canonical form, and how many cards its set has; empty
    where it is none, or does not say so."""
    text = token.text
    if not text or not token.may_be("number"):
        return "", ""
    # `12/` and `/99` are parts of a serial number; `1/2` may well be a card's
    if text.startswith("/") or text.endswith("/"):
        return "", ""
    return canonical(text), canonical(split_total(text)[1])


def _forms_of(index: Index, number_id: int, total: str) -> frozenset[int]:
    """The ways in which a number is printed with how many cards its set has."""
    if number_id < 0:
        return frozenset()
    forms = index.printed_forms(number_id)
    return frozenset(one for one in forms if canonical(split_total(index.form(one))[1]) == total)


def _teams(token: Token, index: Index) -> frozenset[int]:
    """The teams that the word could mean; one letter says too little."""
    if not token.may_be("team") or len(token.text) < 2:
        return frozenset()
    return index.teams.ids(token.text)


def _series(token: Token, index: Index) -> frozenset[int]:
    """Further columns whose series the word could mean; one letter says too little."""
    text = token.text
    if token.pin or len(text) < 2 or not index.has_series:
        return frozenset()
    if text.isdigit():
        return index.series_words.ids_of(text)
    return index.series_words.ids(text)


def _sets(token: Token, index: Index) -> frozenset[int]:
    """The sets that the word could mean; one letter says too little where it is not tied to it."""
    text = token.text
    if not text or not token.may_be("set"):
        return frozenset()
    if len(text) == 1 and not token.pin:
        return frozenset()
    # Part of a year is no year: `19` is a number, in whatever set.
    if text.isdigit():
        return index.sets_words.ids_of(text)
    return index.sets_words.ids(text)


class Noted:
    """Words that the lists note of cards, in further columns: `rc` beside the number of a card that
    is marked so. Alone they name none."""

    def __init__(self, index: Index, tokens: Sequence[Token]) -> None:
        self._extra_of = index.extra_of
        words = [token.text if not token.pin and len(token.text) > 1 else "" for token in tokens]
        self._known = [index.noted_words.ids_of(word) if word else frozenset() for word in words]
        self.may_be = any(self._known)

    def beside_name(self, reads: Sequence[Read], step: int) -> Sequence[Read]:
        """What words are in the row at a step that another one names."""
        extra = self._extra_of[step]
        return [
            max(read, (NOTED, AS_NOTED)) if extra in known else read
            for read, known in zip(reads, self._known, strict=True)
        ]

    def add(self, hits: Sequence[dict[int, float]], steps: Iterable[int]) -> None:
        """Add what the words weigh so in rows that others name."""
        for found, known in zip(hits, self._known, strict=True):
            for step in steps if known else ():
                if self._extra_of[step] in known:
                    found[step] = max(NOTED, found.get(step, UNREAD))


class Letters:
    """What single letters are beside a word that names the card: one says too little alone, but
    beside a number it tells the lot's sets apart, and the series of the carried one.

    `by_set`: of each word what it is in a set, by the sets of this lot; `sets`: all of these;
    `in_series`: whether any may be of a series."""

    def __init__(
        self,
        index: Index,
        tokens: Sequence[Token],
        carried: int | None,
        met: frozenset[int],
    ) -> None:
        self._index = index
        self.by_set = [self._in_sets(token, carried, met) for token in tokens]
        self.sets = frozenset(chain.from_iterable(self.by_set))
        self._series = [self._of_series(token) for token in tokens]
        self.in_series = any(self._series)

    def _in_sets(self, token: Token, carried: int | None, met: frozenset[int]) -> dict[int, Read]:
        if not _is_letter(token) or not token.may_be("set"):
            return {}
        begun = self._index.sets_words.ids(token.text)
        reads: dict[int, Read] = dict.fromkeys(begun & met, (SET_LETTER, "set"))
        if carried is not None and carried in begun:
            reads[carried] = CARRIED_SET_LETTER, REPEATED
        return reads

    def _of_series(self, token: Token) -> frozenset[int]:
        """Further columns whose series has a word that begins so."""
        if not self._index.has_series or not _is_letter(token):
            return frozenset()
        return self._index.series_words.ids(token.text)

    def may_be_in(self, set_id: int) -> bool:
        """Whether one may say something of the rows of a set."""
        return self.in_series or set_id in self.sets

    def say_series(self, step: int) -> bool:
        """Whether one may be of the series of the row at a step."""
        return self.in_series and any(self._index.extra_of[step] in known for known in self._series)

    def beside_name(
        self, reads: Sequence[Read], step: int, set_id: int, carried: int | None
    ) -> list[Read]:
        """What words are in the row at a step that another one names: as they are read, or as the
        first letter of its set or series."""
        found = [
            max(read, in_set.get(set_id, NOTHING))
            for read, in_set in zip(reads, self.by_set, strict=True)
        ]
        if not self.in_series or set_id != carried:
            return found
        extra, letter = self._index.extra_of[step], (SERIES_LETTER, "series")
        return [
            max(read, letter) if extra in known else read
            for read, known in zip(found, self._series, strict=True)
        ]

    def add(self, hits: Sequence[dict[int, float]], steps: Iterable[int]) -> None:
        """Add what the words weigh so in rows that others name."""
        for found, known in zip(hits, self._series, strict=True):
            for step in steps if known else ():
                if self._index.extra_of[step] in known:
                    found[step] = max(SERIES_LETTER, found.get(step, UNREAD))


def _is_letter(token: Token) -> bool:
    return len(token.text) == 1 and token.text.isalpha() and not token.pin

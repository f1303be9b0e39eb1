"""Looking rows up: which rows of the checklists a typed word could mean, without asking each row.

Rows of a set lie next to each other, sorted by their numbers; a row's place in that order is its
`step`. From numbers and from subjects there are lists of steps; words lead to subjects, of which
there are far fewer than rows. All of it lies in a few flat sections (`packing.py` fills them), so
that an index can be kept in a file and used where it lies."""

from __future__ import annotations

import json
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

from rapidfuzz import process
from rapidfuzz.distance import OSA

from tagger.core.checklist.checklist import Checklist, Problem
from tagger.core.index.flat_arrays import Buffer, Postings, Texts, numbers
from tagger.core.index.index_builder import (
    INITIALS_MARK,
    MARK_BITS,
    extra_of,
    pack_index,
    parallels_of,
)
from tagger.core.model.numbers import canonical
from tagger.core.model.tags import Parallel, Row
from tagger.core.model.text import fold, people

SLIPS = 24  # beginnings that a word with a slip could be, of those with one first letter
AT_HAND = 512  # answers about typed words
WORD_BITS = 32  # of an item, which holds whole numbers of 32 bits
NEAR_AT_HAND = 40  # sets that are held ready; one of 500 rows takes about 0.3 MB
LETTERS_AT_HAND = (
    12  # first letters whose words are held ready for slips; each is a few thousand words at most
)


class Vocabulary:
    """Sorted words and what holds each; a beginning is one range of them.

    Items are `id << MARK_BITS | mark`: which subject (or team, set, parallel) has the word, and
    how."""

    def __init__(self, sections: Mapping[str, Buffer], name: str) -> None:
        self.words = Texts(sections, name)
        self._items = Postings(sections, f"{name}.in")
        self.starting = lru_cache(AT_HAND)(self.words.starting)
        """The places of the words that start with a text."""
        self.find = lru_cache(AT_HAND)(self.words.find)
        """The place of a word, -1 where there is none."""
        self.ids = lru_cache(AT_HAND)(self._ids)
        """What holds a word that starts with a text."""
        self.ids_of = lru_cache(AT_HAND)(
            lambda word: frozenset(item >> MARK_BITS for item in self.exact(word))
        )
        """What holds a word."""

    def exact(self, word: str) -> Sequence[int]:
        """Items of the word itself."""
        at = self.find(word)
        return () if at < 0 else self._items.of(at)

    def begins(self, prefix: str) -> bool:
        """Whether a word starts with `prefix`."""
        return bool(self.starting(prefix))

    def of(self, words: range) -> Iterator[Sequence[int]]:
        """Items of each word of a range."""
        return map(self._items.of, words)

    def _ids(self, prefix: str) -> frozenset[int]:
        return frozenset(
            item >> MARK_BITS for item in self._items.within(self.words.starting(prefix))
        )


class Beginnings:
    """The beginnings of some sorted words, by length."""

    def __init__(self, words: Sequence[str]) -> None:
        self._words = words
        self._by_length: dict[int, list[str]] = {}

    def near(self, word: str, edits: int, limit: int | None = None) -> list[tuple[str, int]]:
        """(beginning of a word, edits) for beginnings at most `edits` away from `word`, nearest
        first.

        An edit is one letter too many, missing, wrong, or changed over with its neighbour: the
        optimal string alignment distance."""
        found: list[tuple[str, int]] = []
        for length in range(max(2, len(word) - edits), len(word) + edits + 1):
            near = process.extract(
                word,
                self._of(length),
                scorer=OSA.distance,
                score_cutoff=edits,
                limit=limit,
                processor=None,
            )
            found.extend((choice, int(distance)) for choice, distance, _ in near if distance > 0)
        found.sort(key=lambda pair: pair[1])
        return found[:limit]

    def _of(self, length: int) -> list[str]:
        known = self._by_length.get(length)
        if known is None:
            known = list(
                dict.fromkeys(word[:length] for word in self._words if len(word) >= length)
            )
            self._by_length[length] = known
        return known


class Index:
    """The rows of a checklist, found by number, by words and initials of the subject, by team and
    by set.

    The steps of set `s` run from `starts[s]` to `starts[s + 1]`, in natural order of numbers.
    """

    def __init__(self, checklist: Checklist) -> None:
        self._open(pack_index(checklist))

    @classmethod
    def opened(cls, sections: Mapping[str, Buffer]) -> Index:
        """An index that was packed before. Raises KeyError, TypeError or ValueError where a section
        is amiss."""
        index = cls.__new__(cls)
        index._open(sections)
        return index

    def _open(self, sections: Mapping[str, Buffer]) -> None:
        self.sections = sections
        self.starts = numbers(sections["starts"]).tolist()
        self.printed_of, self.subject_of = (
            numbers(sections["printed_of"]),
            numbers(sections["subject_of"]),
        )
        self.team_of, self.parallels_of = (
            numbers(sections["team_of"]),
            numbers(sections["parallels_of"]),
        )
        self._extra_of = numbers(sections["extra_of"])
        self._number_of = numbers(sections["number_of"])  # by printed number
        self.sets = list(Texts(sections, "sets"))
        self.number_texts, self._printed = Texts(sections, "numbers"), Texts(sections, "printed")
        self._subjects, self._aliases = Texts(sections, "subjects"), Texts(sections, "aliases")
        self._teams = Texts(sections, "teams")
        self._parallels, self._extras = Texts(sections, "parallels"), Texts(sections, "extras")
        self._by_number, self._by_subject = (
            Postings(sections, "by_number"),
            Postings(sections, "by_subject"),
        )
        self.subjects, self.initials = (
            Vocabulary(sections, "subject_words"),
            Vocabulary(sections, "initials"),
        )
        self.forms, self.short_forms = (
            Postings(sections, "subject_words.of"),
            Postings(sections, "initials.of"),
        )
        self.teams, self.sets_words = (
            Vocabulary(sections, "team_words"),
            Vocabulary(sections, "set_words"),
        )
        self.parallel_words, self.runs = (
            Vocabulary(sections, "parallel_words"),
            Vocabulary(sections, "runs"),
        )
        self._set_ids = {name: id for id, name in enumerate(self.sets)}
        self.held: dict[tuple[str, int], Any] = {}
        """Answers about whole words that `reading` holds ready."""
        self._folded_sets: dict[str, int] | None = None
        self.number_id = lru_cache(AT_HAND)(self.number_texts.find)
        """Where `number_texts` has a number, in its canonical form; -1 where no row has it."""
        self.near_set = lru_cache(NEAR_AT_HAND)(self._near_set)
        self.parallels = lru_cache(4096)(lambda id: parallels_of(json.loads(self._parallels[id])))
        self.parallel_slip = lru_cache(AT_HAND)(self._parallel_slip)
        """The kinds of cards with a parallel, a beginning of whose words a text could be with one
        slip."""
        self._first_letters = lru_cache(LETTERS_AT_HAND)(self._beginnings)

    def __len__(self) -> int:
        return len(self.printed_of)

    def steps(self, set_id: int) -> range:
        """The steps of a set."""
        return range(self.starts[set_id], self.starts[set_id + 1])

    def number_of(self, step: int) -> int:
        """The number of the row at a step, by its place in `number_texts`."""
        return self._number_of[self.printed_of[step]]

    def subject(self, id: int) -> str:
        """A subject by its number."""
        return self._subjects[id]

    @property
    def count_of_subjects(self) -> int:
        """How many subjects there are."""
        return len(self._subjects)

    def names(self, id: int) -> tuple[str, ...]:
        """The names in a subject by its number: of each of several people, and written in other
        ways."""
        alias = self._aliases[id]
        return (*people(self._subjects[id]), *(people(alias) if alias else ()))

    def row(self, step: int) -> Row:
        """The row at a step."""
        subject = self.subject_of[step]
        return Row(
            self.sets[self.set_of(step)],
            self._printed[self.printed_of[step]],
            self._subjects[subject],
            self._teams[self.team_of[step]],
            self.parallels_at(step),
            extra_of(self._extras[self._extra_of[step]]),
            self._aliases[subject],
        )

    def parallels_at(self, step: int) -> tuple[Parallel, ...]:
        """The parallels of the row at a step; the same object for rows that have the same ones."""
        found: tuple[Parallel, ...] = self.parallels(self.parallels_of[step])
        return found

    def set_of(self, step: int) -> int:
        """The set of a step."""
        return bisect_right(self.starts, step) - 1

    def steps_of_number(self, id: int) -> Sequence[int]:
        """Steps with a number."""
        return () if id < 0 else self._by_number.of(id)

    def steps_of_subject(self, id: int) -> Sequence[int]:
        """Steps of a subject."""
        return self._by_subject.of(id)

    def count_of_subject(self, id: int) -> int:
        """How many rows a subject has."""
        return self._by_subject.count(id)

    def set_id(self, name: str) -> int | None:
        """The index of a set by its name, spelled in any case; None where no checklist has it."""
        known = self._set_ids.get(name)
        if known is None:
            if self._folded_sets is None:
                self._folded_sets = {
                    fold(other): id for id, other in reversed(list(enumerate(self.sets)))
                }
            known = self._folded_sets.get(fold(name))
        return known

    def find(self, set: str, number: str, subject: str) -> int | None:
        """The step of a card that was tagged before, or None where the checklists do not have it
        (any more)."""
        set_id = self.set_id(set)
        if set_id is None:
            return None
        if number:
            near: Sequence[int] = within(
                self.steps_of_number(self.number_id(canonical(number))), self.steps(set_id)
            )
        else:
            near = [
                step
                for step in self.steps(set_id)
                if self.subject(self.subject_of[step]) == subject
            ]
        return next(
            (step for step in near if self.subject(self.subject_of[step]) == subject),
            near[0] if near else None,
        )

    def mistyped(self, word: str, edits: int) -> list[tuple[str, int]]:
        """(beginning, edits): beginnings of words anywhere that are nearly `word`, with its first
        or second letter."""
        letters = dict.fromkeys(word[:2])
        return [
            found
            for letter in letters
            for found in self._first_letters(letter).near(word, edits, SLIPS)
        ]

    def _parallel_slip(self, text: str) -> frozenset[int]:
        words = self.parallel_words
        return frozenset(
            item >> MARK_BITS
            for beginning, _ in self._parallel_beginnings.near(text, 1)
            for items in words.of(words.starting(beginning))
            for item in items
            if not item & INITIALS_MARK
        )

    @cached_property
    def _parallel_beginnings(self) -> Beginnings:
        return Beginnings(list(self.parallel_words.words))

    def _near_set(self, set_id: int) -> Near:
        """One set looked up closely."""
        return Near(self, set_id)

    def _beginnings(self, letter: str) -> Beginnings:
        words = self.subjects.words
        return Beginnings([words[at] for at in words.starting(letter)])


@dataclass(frozen=True)
class Indexed:
    """Checklist files read and indexed, `files` of `of` so far; `problems` says what could not be
    read of them."""

    index: Index
    problems: tuple[Problem, ...] = ()
    files: int = 0
    of: int = 0

    @property
    def whole(self) -> bool:
        """Whether nothing is left to be read."""
        return self.files == self.of


def within(steps: Sequence[int], some: range) -> Sequence[int]:
    """Those of some rising steps that lie in a range."""
    low = bisect_left(steps, some.start)
    return steps[low : bisect_left(steps, some.stop, low)]


class Near:
    """One set at close range: its steps by number and by the words of the subject, beginnings
    included."""

    def __init__(self, index: Index, set_id: int) -> None:
        self._index = index
        self.steps = index.steps(set_id)

    @property
    def subject_of(self) -> Sequence[int]:
        """The subject of each step."""
        return self._index.subject_of[self.steps.start : self.steps.stop]

    def numbered(self, number: int) -> Sequence[int]:
        """Steps with a number, by its place among the canonical ones."""
        return within(self._index.steps_of_number(number), self.steps)

    def of_subject(self, subject: int) -> Sequence[int]:
        """Steps of a subject."""
        return within(self._index.steps_of_subject(subject), self.steps)

    def number_starts(self, prefix: str) -> list[int]:
        """Steps whose number goes on after `prefix`."""
        texts = self._index.number_texts
        found = texts.starting(prefix)
        low, high = bisect_left(self._numbers, found.start), bisect_left(self._numbers, found.stop)
        numbers = self._numbers[low:high]
        if numbers and texts[numbers[0]] == prefix:
            numbers = numbers[1:]
        return [step for number in numbers for step in self.numbered(number)]

    def starting(self, words: range) -> Iterator[tuple[int, int]]:
        """(word, item) for those of a range of words that the set has; see `Vocabulary`."""
        return _between(self._forms, words)

    def initialled(self, word: int) -> Iterator[int]:
        """Items of those initials, by their place in the index's vocabulary."""
        return (item for _, item in _between(self._short, range(word, word + 1)))

    def mistyped(self, word: str, edits: int) -> list[tuple[str, int]]:
        """(beginning, edits): beginnings of words of the set that are nearly `word`."""
        return self._beginnings.near(word, edits)

    @cached_property
    def teams(self) -> Mapping[int, Sequence[int]]:
        """Steps by team."""
        found: dict[int, list[int]] = defaultdict(list)
        for step in self.steps:
            found[self._index.team_of[step]].append(step)
        return found

    @cached_property
    def by_parallels(self) -> Mapping[int, Sequence[int]]:
        """Steps by what parallels the rows have."""
        found: dict[int, list[int]] = defaultdict(list)
        for step, parallels in enumerate(
            self._index.parallels_of[self.steps.start : self.steps.stop], self.steps.start
        ):
            found[parallels].append(step)
        return found

    @cached_property
    def _numbers(self) -> list[int]:
        return sorted(set(map(self._index.number_of, self.steps)))

    @cached_property
    def _subjects(self) -> list[int]:
        return list(dict.fromkeys(self.subject_of))

    @cached_property
    def _forms(self) -> list[int]:
        return _by_word(self._index.forms, self._subjects)

    @cached_property
    def _short(self) -> list[int]:
        return _by_word(self._index.short_forms, self._subjects)

    @cached_property
    def _beginnings(self) -> Beginnings:
        words = self._index.subjects.words
        return Beginnings(
            [words[at] for at in dict.fromkeys(pair >> WORD_BITS for pair in self._forms)]
        )


def _by_word(forms: Postings, subjects: Iterable[int]) -> list[int]:
    """`word << WORD_BITS | item` for each word of some subjects, sorted."""
    low = (1 << MARK_BITS) - 1
    return sorted(
        item >> MARK_BITS << WORD_BITS | subject << MARK_BITS | item & low
        for subject in subjects
        for item in forms.of(subject)
    )


def _between(pairs: list[int], words: range) -> Iterator[tuple[int, int]]:
    low = bisect_left(pairs, words.start << WORD_BITS)
    for pair in pairs[low : bisect_left(pairs, words.stop << WORD_BITS, low)]:
        yield pair >> WORD_BITS, pair & (1 << WORD_BITS) - 1

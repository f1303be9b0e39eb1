"""What an index is made of: the rows by column, the texts that they name, and the posting lists
from numbers, subjects and words. All of it lies in a few flat sections (`index_builder` fills
them), so that an index can be kept in a file and used where it lies."""

from __future__ import annotations

import json
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache, partial

from tagger.core.index.flat_arrays import Buffer, Postings, Texts, column, numbers
from tagger.core.index.packed_values import extra_of, parallels_of
from tagger.core.index.vocabulary import AT_HAND, Begun, Vocabulary
from tagger.core.model.tags import Parallel, Row, series_of
from tagger.core.model.text import people

ROWS_AT_HAND = 64  # what is shown, most of it with the next key as well
KINDS_AT_HAND = 4096  # kinds of cards whose parallels are held ready


class IndexTables:
    """The rows of a checklist by `step`: the steps of set `s` run from `starts[s]` to `starts[s +
    1]`, in natural order of numbers."""

    def __init__(self, sections: Mapping[str, Buffer]) -> None:
        """Raises KeyError, TypeError or ValueError where a section is amiss."""
        self.sections = sections
        self._open_rows()
        self._open_texts()
        self._open_postings()
        self._open_words()

    def _open_rows(self) -> None:
        """By step, where the texts have what a row says. Hundreds of thousands of steps are looked
        at for a hint, so these are no methods."""
        sections = self.sections
        self.starts = numbers(sections["starts"]).tolist()
        self.subject_of = numbers(sections["subject_of"])
        rows = len(self.subject_of)
        self.printed_of = column(sections["printed_of"], rows)
        self.team_of = column(sections["team_of"], rows)
        self.parallels_of = column(sections["parallels_of"], rows)
        self.extra_of = column(sections["extra_of"], rows)
        self.letters_of = numbers(sections["letters_of"])
        """By subject the first letters of its words, a bit each."""
        self._number_of = numbers(sections["number_of"])  # by printed number

    def _open_texts(self) -> None:
        sections = self.sections
        # held as texts: sets are few, and each row that is shown names one
        self.sets = list(Texts(sections, "sets"))
        self.number_texts = Texts(sections, "numbers")
        self._printed = Texts(sections, "printed")
        self._subjects = Texts(sections, "subjects")
        self._aliases = Texts(sections, "aliases")
        self._teams = Texts(sections, "teams")
        self._extras = Texts(sections, "extras")
        self.row = lru_cache(ROWS_AT_HAND)(partial(_row_at, self))
        """The row at a step."""
        # thousands of rows share their parallels, and JSON is slow to read
        kinds = Texts(sections, "parallels")
        self.parallels = lru_cache(KINDS_AT_HAND)(lambda id: parallels_of(json.loads(kinds[id])))
        """The parallels of a kind of card; the same object for rows that have the same ones."""
        begun = Begun(self.number_texts)
        self.number_id = lru_cache(AT_HAND)(begun.find)
        """Where `number_texts` has a number, in its canonical form; -1 where no row has it."""
        self.numbers_starting = begun.starting
        """The places in `number_texts` of the numbers that start with a text."""
        self.various = numbers(sections["various"])
        """The numbers that rows print in more than one way, by their places in `number_texts`."""
        self.printed_forms = lru_cache(AT_HAND)(partial(_forms_of, self))
        """The ways in which a number is printed, by its place in `number_texts`."""

    def _open_postings(self) -> None:
        sections = self.sections
        self._by_number = Postings(sections, "by_number")
        self.by_subject = Postings(sections, "by_subject")
        """The steps of each subject."""
        self.forms = Postings(sections, "subject_words.of")
        self.short_forms = Postings(sections, "initials.of")

    def _open_words(self) -> None:
        sections = self.sections
        self.subjects = Vocabulary(sections, "subject_words")
        self.initials = Vocabulary(sections, "initials")
        self.teams = Vocabulary(sections, "team_words")
        # by the further columns of rows
        self.series_words = Vocabulary(sections, "series_words")
        self.noted_words = Vocabulary(sections, "noted_words")
        self.sets_words = Vocabulary(sections, "set_words")
        self.parallel_words = Vocabulary(sections, "parallel_words")
        # numbers, by their places in `number_texts`, by the digits behind a prefix: 19 of RC-19
        self.tails = Vocabulary(sections, "tails")
        self.runs = Vocabulary(sections, "runs")

    def __len__(self) -> int:
        return len(self.printed_of)

    def steps(self, set_id: int) -> range:
        """The steps of a set."""
        return range(self.starts[set_id], self.starts[set_id + 1])

    def edges(self, sets: Iterable[int]) -> list[int]:
        """Where some sets begin and end, in their order."""
        starts = self.starts
        return [edge for set_id in sorted(sets) for edge in (starts[set_id], starts[set_id + 1])]

    def number_of(self, step: int) -> int:
        """The number of the row at a step, by its place in `number_texts`."""
        return self._number_of[self.printed_of[step]]

    def each_number(self, steps: range) -> Iterable[int]:
        """The number of the row at each of some steps, by its place in `number_texts`."""
        return map(self._number_of.__getitem__, self.printed_of[steps.start : steps.stop])

    def printed(self, step: int) -> str:
        """The number of the row at a step as it is printed."""
        return self._printed[self.printed_of[step]]

    def form(self, id: int) -> str:
        """A number as it is printed, by its number among these."""
        return self._printed[id]

    def is_printed_variously(self, number: int) -> bool:
        """Whether rows print a number in more than one way, as 7 and 007."""
        at = bisect_left(self.various, number)
        return at < len(self.various) and self.various[at] == number

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
        return (*people(self._subjects[id]), *people(alias))

    @property
    def has_series(self) -> bool:
        """Whether any set has series."""
        return bool(self.series_words.words)

    def series_at(self, step: int) -> str:
        """The series of the row at a step, empty where it has none."""
        return series_of(extra_of(self._extras[self.extra_of[step]]))

    def parallels_at(self, step: int) -> tuple[Parallel, ...]:
        """The parallels of the row at a step; the same object for rows that have the same ones."""
        return self.parallels(self.parallels_of[step])

    def set_of(self, step: int) -> int:
        """The set of a step."""
        # sets lie one behind the other, so a step needs no column for its set
        return bisect_right(self.starts, step) - 1

    def steps_of_number(self, id: int) -> Sequence[int]:
        """Steps with a number."""
        if id < 0:
            return ()
        return self._by_number.of(id)

    def steps_of_subject(self, id: int) -> Sequence[int]:
        """Steps of a subject."""
        return self.by_subject.of(id)


def _forms_of(index: IndexTables, number: int) -> frozenset[int]:
    return frozenset(map(index.printed_of.__getitem__, index.steps_of_number(number)))


def _row_at(index: IndexTables, step: int) -> Row:
    subject = index.subject_of[step]
    return Row(
        index.sets[index.set_of(step)],
        index.printed(step),
        index.subject(subject),
        index._teams[index.team_of[step]],
        index.parallels_at(step),
        extra_of(index._extras[index.extra_of[step]]),
        index._aliases[subject],
    )

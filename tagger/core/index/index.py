"""Looking rows up: which rows of the checklists a typed word could mean, without asking each row.

Rows of a set lie next to each other, sorted by their numbers; a row's place in that order is its
`step`. From numbers and from subjects there are lists of steps (posting lists); words lead to
subjects, of which there are far fewer than rows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any

from tagger.core.index.flat_arrays import Buffer, within
from tagger.core.index.index_builder import pack_index
from tagger.core.index.index_tables import IndexTables
from tagger.core.index.near_set import Near
from tagger.core.index.number_frames import BARE, Frame, frames_of
from tagger.core.index.set_names import SetNames
from tagger.core.index.slips import Slips
from tagger.core.index.vocabulary import AT_HAND
from tagger.core.model.numbers import are_roman, canonical
from tagger.core.model.tags import series_of
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Checklist
    from tagger.core.checklist.oddities import Problem
    from tagger.core.model.tags import Tags

NEAR_AT_HAND = 40  # sets that are held ready; one of 500 rows takes about 0.3 MB


class Index(IndexTables):
    """The rows of a checklist, found by number, by words and initials of the subject, by team and
    by set; what was found lately is held ready."""

    def __init__(self, checklist: Checklist) -> None:
        # The same sections that a file has: an index just built and one that was kept are read by
        # the same code.
        self._open(pack_index(checklist))

    @classmethod
    def opened(cls, sections: Mapping[str, Buffer]) -> Index:
        """An index that was packed before. Raises KeyError, TypeError or ValueError where a section
        is amiss."""
        index = cls.__new__(cls)
        index._open(sections)
        return index

    def _open(self, sections: Mapping[str, Buffer]) -> None:
        super().__init__(sections)
        # caches by instance: on the methods they would hold each index that ever was
        self.held: dict[tuple[str, int], Any] = {}
        """Answers about whole words that `subject_match` holds ready."""
        self.letters_held: dict[str, dict[int, Any]] = {}
        """By single letter what it is in subjects: a hint has one of few, and in many cards."""
        self.words_held: dict[Any, Any] = {}
        """What words of a hint could mean, which `token_match` holds ready."""
        self.near_set = lru_cache(NEAR_AT_HAND)(self._near_set)
        """One set looked up closely."""
        self.is_roman = lru_cache(NEAR_AT_HAND)(partial(_is_roman, self))
        """Whether all numbers of a set are Roman."""
        self.frames_in = lru_cache(NEAR_AT_HAND)(partial(_frames_in, self))
        """What stands around the digits of each number of a set, by the number."""
        self.frame_of = lru_cache(NEAR_AT_HAND)(partial(_frame_of, self))
        """The same of a set where it is one for all; BARE where it is not."""
        names, slips = SetNames(self.sets, self.sets_words), Slips(self)
        self.set_id = names.id
        """The index of a set by its name, spelled in any case; None where no checklist has it."""
        self.sets_with = names.with_word
        """The sets that a folded word could name: by a whole word, or by its beginning."""
        self.mistyped = slips.of_subjects
        """(beginning, edits): beginnings of subjects' words that are nearly a word."""
        self.parallel_slip = lru_cache(AT_HAND)(slips.of_parallels)
        """The kinds of cards with a parallel, a beginning of whose words a text could be with one
        slip."""

    def find(self, card: Tags) -> int | None:
        """The step of a card that was tagged before, or None where the checklists do not have it
        (any more). Its further columns say of which series it is."""
        set_id = self.set_id(card.set)
        if set_id is None:
            return None
        of_set = self.steps(set_id)
        if not card.number:
            return _named(self, of_set, card)
        numbered = within(self.steps_of_number(self.number_id(canonical(card.number))), of_set)
        named = _named(self, numbered, card)
        # A subject may have been put right in the list since; a number stands for its card.
        if named is None:
            return next(iter(numbered), None)
        return named

    def find_named(self, card: Tags) -> int | None:
        """The same, but None where the row of the card's number has another name: what was typed,
        or is done to many, is not held against that."""
        step = self.find(card)
        if step is None or fold(self.subject(self.subject_of[step])) != fold(card.subject):
            return None
        return step

    def numbered(self, set_id: int, number: str, alone: bool = False) -> int | None:
        """The first step of a set with a number, None where it has none such; with `alone` also
        where it has several."""
        id = self.number_id(canonical(number))
        found = within(self.steps_of_number(id), self.steps(set_id))
        return None if not found or (alone and len(found) > 1) else found[0]

    def numbered_alone(self, set_name: str, number: str) -> int | None:
        """The step of the one card of a set with a number, None where it has none, or several."""
        set_id = self.set_id(set_name)
        return None if set_id is None or not number else self.numbered(set_id, number, alone=True)

    def _near_set(self, set_id: int) -> Near:
        return Near(self, set_id)


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


def _is_roman(index: Index, set_id: int) -> bool:
    return are_roman(_numbers_of(index, set_id))


def _frames_in(index: Index, set_id: int) -> dict[str, Frame]:
    return frames_of(_numbers_of(index, set_id))


def _numbers_of(index: Index, set_id: int) -> list[str]:
    return index.number_texts.several(sorted(set(index.each_number(index.steps(set_id)))))


def _frame_of(index: Index, set_id: int) -> Frame:
    alike = set(index.frames_in(set_id).values())
    return alike.pop() if len(alike) == 1 else BARE


def _named(index: Index, steps: Sequence[int], card: Tags) -> int | None:
    name, series = fold(card.subject), series_of(card.extra)
    found = [step for step in steps if fold(index.subject(index.subject_of[step])) == name]

    def differs(step: int) -> tuple[bool, bool]:
        other = bool(series) and index.series_at(step) != series
        return other, index.subject(index.subject_of[step]) != card.subject

    # of several that differ alike the first step
    return min(found, key=differs, default=None)

"""One typed word held against the index: what it could be in a row, and how likely each reading is.

Weights are natural logarithms of how probable the word is, given that the row is the right one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property

from tagger.core.index.index import Index
from tagger.core.index.near_set import Near
from tagger.core.index.word_marks import MARK_BITS, WordKind
from tagger.core.matching.hint import Token
from tagger.core.matching.variant_words import PARALLEL_MISTYPED, UNREAD
from tagger.core.model.numbers import canonical, printed_key

NUMBER = 0.0
NUMBER_START = -12.0  # half a number must not outweigh a whole one anywhere in the carried set
SURNAME, NAME, SURNAME_START, NAME_START = -0.3, -0.6, -1.0, -1.5
INITIALS, LONGER = -2.0, -0.05  # for each further word of a name
SLIP = -3.5  # for each edit
# in a beginning, in a given name, in the first letter
SLIP_BEGUN, SLIP_NAME, SLIP_FIRST = -0.7, -0.5, -0.7
ONE_LETTER = -1.5  # beside the start of a longer one
TEAM, SET_WORD, SERIES = -4.0, -1.5, -1.5
SET_LETTER = SET_WORD + ONE_LETTER  # in sets met in this lot, beside a word that names the card
CARRIED_SET_WORD = -12.0  # where it says nothing new
INITIALS_LETTERS = range(2, 5)
HELD = 4  # words whose subjects are held ready
FAR_SLIP = 4  # letters of a word that may be mistyped in a set that nothing points to
BESIDE = 4  # letters from which a slip is looked for beside other readings

MISTYPED, REPEATED, NUMBER_BEGUN = "subject, mistyped", "set, as carried", "start of the number"
GUESSES = frozenset({MISTYPED, PARALLEL_MISTYPED, REPEATED})
POOR = GUESSES | {NUMBER_BEGUN}  # readings that something else may be meant by
# readings that name a card by themselves
NAMING = frozenset({"number", "subject", "start of the subject", MISTYPED})
Read = tuple[float, str]  # a weight, and what the word was read as

_LONGER = [LONGER * (mark >> 2) for mark in range(1 << MARK_BITS)]
_LOW = (1 << MARK_BITS) - 1
# By mark: the reading of a whole word and of a word's beginning. Of a generation (`jr`) a beginning
# says nothing.
_WHOLE: tuple[Read, ...] = tuple(
    ((NAME, SURNAME)[mark & 3 == WordKind.SURNAME] + _LONGER[mark], "subject")
    for mark in range(1 << MARK_BITS)
)


def _begun(mark: int) -> Read | None:
    kind = mark & 3
    if kind == WordKind.GENERATION:
        return None
    weight = SURNAME_START if kind == WordKind.SURNAME else NAME_START
    return weight + _LONGER[mark], "start of the subject"


_START = tuple(map(_begun, range(1 << MARK_BITS)))
_LETTER = tuple(read and (read[0] + ONE_LETTER, read[1]) for read in _START)
_INITIALS: tuple[Read, ...] = tuple(
    (INITIALS + _LONGER[mark], "initials") for mark in range(1 << MARK_BITS)
)


class FuzzyNames:
    """The subjects that a word names anywhere, by weight; `slips` says that it does by slips
    only."""

    def __init__(self, index: Index, subjects: dict[int, float], slips: bool = False) -> None:
        self._index, self.subjects, self.slips = index, subjects, slips

    @cached_property
    def by_weight(self) -> list[tuple[float, list[int], int]]:
        """(weight, subjects in the order of their first steps, their rows), the heaviest first."""
        found: dict[float, list[int]] = {}
        for subject, weight in self.subjects.items():
            found.setdefault(weight, []).append(subject)
        count = self._index.count_of_subject
        return [
            (weight, sorted(found[weight]), sum(map(count, found[weight])))
            for weight in sorted(found, reverse=True)
        ]


class TokenMatches:
    """What one word could mean. Weights by subject are found when they are asked for, once a
    subject."""

    def __init__(self, index: Index, token: Token, exactly: bool = False) -> None:
        """With `exactly` no slips are forgiven, and a number is one only as it is printed."""
        self.index, self.token, self.text = index, token, token.text
        self._exactly = exactly
        self.number = _as_number(token)
        self.number_id = index.number_id(self.number) if self.number else -1
        self.named = token.may_be("subject") and any(char.isalpha() for char in self.text)
        # `saint-lo` is looked for as saintlo
        self.spelled = "".join(char for char in self.text if char.isalnum())
        self.teams = _teams(token, index)
        self.sets = _sets(token, index)
        self.series = _series(token, index)
        self._subjects: dict[int, Read | None] = {}
        # By set that was looked at closely (None for all others), then by subject: the weight of
        # the best slip.
        self._slips: dict[int | None, dict[int, float]] = {}

    @cached_property
    def _words(self) -> range:
        """The words of subjects that start with this one."""
        return self.index.subjects.starting(self.spelled)

    @cached_property
    def _whole(self) -> int:
        """The very word among those of subjects, -1 where there is none."""
        return self.index.subjects.find(self.spelled)

    @cached_property
    def _letters(self) -> int:
        """The word among the initials of subjects, -1 where there is none."""
        if len(self.spelled) not in INITIALS_LETTERS:
            return -1
        return self.index.initials.find(self.spelled)

    @cached_property
    def edits(self) -> int:
        """How many slips of the finger are forgiven: none below three letters, two from five on."""
        if self._exactly:
            return 0
        if not (self.named and self.spelled.isalpha() and len(self.spelled) >= 3):
            return 0
        if len(self.spelled) >= 5:
            return 2
        return 1

    def in_row(self, step: int, set_id: int, repeated: int | None) -> Read:
        """The best reading of the word in the row at a step.

        A word that only repeats the set `repeated` has next to no weight: it is likely meant
        otherwise."""
        best: Read = (UNREAD, "")
        read = self.number and self.as_number(self.index.number_of(step))
        if read and (not self._exactly or self._is_printed_so(step)):
            best = read
        if self.named and (read := self.as_subject(self.index.subject_of[step], set_id)):
            best = max(best, read)
        if self.teams and self.index.team_of[step] in self.teams:
            best = max(best, (TEAM, "team"))
        if self.is_of_series(step):
            best = max(best, (SERIES, "series"))
        if set_id not in self.sets:
            return best
        if set_id == repeated:
            return max(best, (CARRIED_SET_WORD, REPEATED))
        return max(best, (SET_WORD, "set"))

    def is_of_series(self, step: int) -> bool:
        """Whether the word could mean the series of the row at a step."""
        return bool(self.series) and self.index.extra_of[step] in self.series

    @cached_property
    def names_rows(self) -> bool:
        """Whether the word can be number, subject, team or set of any row."""
        named = self.named and (len(self.spelled) == 1 or bool(self.far_subjects))
        return named or self.number_id >= 0 or bool(self.teams or self.sets or self.series)

    def anywhere(self, step: int) -> float:
        """The most that the word can weigh as number, subject, set or team of the row at a step
        anywhere."""
        best = UNREAD
        if self.number and (read := self.as_number(self.index.number_of(step))):
            best = read[0]
        if self.named and (weight := self.far_weigher(self.index.subject_of[step])) is not None:
            best = max(best, weight)
        if self.sets and self.index.set_of(step) in self.sets:
            best = max(best, SET_WORD)
        if self.is_of_series(step):
            best = max(best, SERIES)
        if self.teams and self.index.team_of[step] in self.teams:
            return max(best, TEAM)
        return best

    def as_row(self, step: int) -> float | None:
        """The weight of the word as number or subject of the row at a step, slips left out; None if
        neither."""
        if self.number_id >= 0 and self.index.number_of(step) == self.number_id:
            return NUMBER
        if not self.named:
            return None
        return self.weight_of_subject(self.index.subject_of[step])

    def as_number(self, number: int) -> Read | None:
        """The word as a number, by its place among the canonical ones."""
        if number == self.number_id:
            return NUMBER, "number"
        if self.text[0].isdigit() and number in self._longer_numbers:
            return NUMBER_START, NUMBER_BEGUN
        return None

    @cached_property
    def _longer_numbers(self) -> range:
        return self.index.number_texts.starting(self.number)

    def as_subject(self, id: int, set_id: int | None = None) -> Read | None:
        """The word as part of a subject; as a slip as far as it was looked for as one in this
        set."""
        if id not in self._subjects:
            self._subjects[id] = self._in_subject(id)
        found = self._subjects[id]
        if found is None:
            looked_for = set_id if set_id in self._slips else None
            weight = self._slips.get(looked_for, {}).get(id)
            if weight is None:
                return None
            return weight, MISTYPED
        return found

    def weight_of_subject(self, id: int) -> float | None:
        """The weight of the word as part of a subject, slips left out."""
        if id not in self._subjects:
            self._subjects[id] = self._in_subject(id)
        found = self._subjects[id]
        if found is None:
            return None
        return found[0]

    @cached_property
    def far_weigher(self) -> Callable[[int], float | None]:
        """What gives the same by subject in a set that nothing points to, where one letter fits as
        well."""
        if self.named and len(self.spelled) == 1:
            return self.weight_of_subject
        return self.far_subjects.get

    def _in_subject(self, id: int) -> Read | None:
        """The best reading of the word in one subject, slips left out. A name with more words is a
        little less likely."""
        best: Read | None = None
        if self._words:
            best = self._as_words(id)
        if best is None and self._letters >= 0:
            return self._as_initials(id)
        return best

    def _as_words(self, id: int) -> Read | None:
        best: Read | None = None
        words, whole, start = self._words, self._whole, _START
        if len(self.spelled) == 1:
            start = _LETTER
        for item in self.index.forms.of(id):
            word = item >> MARK_BITS
            if word in words:
                read = _WHOLE[item & _LOW] if word == whole else start[item & _LOW]
                if read is not None and (best is None or read > best):
                    best = read
        return best

    def _as_initials(self, id: int) -> Read | None:
        letters, items = self._letters, self.index.short_forms.of(id)
        reads = [_INITIALS[item & _LOW] for item in items if item >> MARK_BITS == letters]
        return max(reads, default=None)

    def near_hits(self, near: Near, set_id: int) -> Iterator[tuple[int, float]]:
        """(step, weight) of the rows of one set that the word names; slips count where nothing else
        does."""
        yield from self._number_hits(near)
        if not self.named:
            return
        for id in self._near_subjects(near, set_id):
            read = self.as_subject(id, set_id)
            if read is not None:
                for step in near.of_subject(id):
                    yield step, read[0]

    def _near_subjects(self, near: Near, set_id: int) -> set[int]:
        """The subjects of one set that the word could name."""
        found = {item >> MARK_BITS for _, item in near.starting(self._words)}
        if self._letters >= 0:
            found.update(item >> MARK_BITS for item in near.initialled(self._letters))
        slips = self._slips.setdefault(set_id, {})
        # A word of three letters is one edit from too many others to be looked for beside a name.
        if self.edits and (not found or len(self.spelled) >= BESIDE):
            self._note_slips(near, slips)
            found.update(slips)
        return found

    def _note_slips(self, near: Near, slips: dict[int, float]) -> None:
        """Note the subjects of a set that have a word which this one could be with a slip."""
        starting = self.index.subjects.starting
        for beginning, edits in near.mistyped(self.spelled, self.edits):
            for word, item in near.starting(starting(beginning)):
                self._note_slip(slips, item, beginning, edits, word)

    def named_hits(self, near: Near) -> Iterator[tuple[int, float]]:
        """The same for a set that only the hint names: subjects count as they do anywhere."""
        yield from self._number_hits(near)
        if self.named and (self.far_subjects or len(self.spelled) == 1):
            weigh = self.far_weigher
            yield from (
                (step, weight)
                for step, id in zip(near.steps, near.subject_of, strict=True)
                if (weight := weigh(id)) is not None
            )

    def _number_hits(self, near: Near) -> Iterator[tuple[int, float]]:
        if not self.number:
            return
        if self.number_id >= 0:
            for step in near.numbered(self.number_id):
                yield step, NUMBER
        if self.text[0].isdigit():
            for step in near.number_starts(self.number):
                yield step, NUMBER_START

    def _note_slip(
        self, slips: dict[int, float], item: int, beginning: str, edits: int, word: int
    ) -> None:
        """Note the weight of a slip for the subject that holds a word which begins so."""
        weight = SLIP * edits
        if beginning[0] != self.spelled[0]:
            weight += SLIP_FIRST
        if word != self.index.subjects.find(beginning):
            weight += SLIP_BEGUN
        if item & 3 != WordKind.SURNAME:
            weight += SLIP_NAME
        id = item >> MARK_BITS
        slips[id] = max(weight, slips.get(id, weight))

    @cached_property
    def far(self) -> FuzzyNames:
        """The subjects that the word names anywhere, held ready while the hint is typed on."""
        key, held = (self.spelled, self.edits), self.index.held
        found = held.get(key)
        if found is None:
            # words of hints that were typed before; the next hint has others
            if len(held) >= HELD:
                held.clear()
            found = held[key] = self._far()
        # the answer may be of an earlier key's TokenMatches: what it says of slips is noted anew
        if found.slips:
            self._slips[None] = found.subjects
        return found

    @property
    def far_subjects(self) -> dict[int, float]:
        """Weight by subject, anywhere. One letter names too many to be of use, and gives none.

        A slip counts where nothing else does, in words of four letters and more that begin with the
        right ones."""
        if not self.named or len(self.spelled) == 1:
            return {}
        return self.far.subjects

    def _far(self) -> FuzzyNames:
        found = self._far_words()
        if len(self.spelled) in INITIALS_LETTERS:
            for item in self.index.initials.exact(self.spelled):
                found.setdefault(item >> MARK_BITS, _INITIALS[item & _LOW][0])
        if found or not self.edits or len(self.spelled) < FAR_SLIP:
            return FuzzyNames(self.index, found)
        return FuzzyNames(self.index, self._far_slips(), slips=True)

    def _far_words(self) -> dict[int, float]:
        found: dict[int, float] = {}
        for word, items in zip(self._words, self.index.subjects.of(self._words), strict=True):
            table: Sequence[Read | None] = _START
            if word == self._whole:
                table = _WHOLE
            for item in items:
                read = table[item & _LOW]
                if read is not None and found.get(item >> MARK_BITS, UNREAD) < read[0]:
                    found[item >> MARK_BITS] = read[0]
        return found

    def _far_slips(self) -> dict[int, float]:
        found: dict[int, float] = {}
        known = self.index.subjects
        for beginning, edits in self.index.mistyped(self.spelled, self.edits):
            words = known.starting(beginning)
            for word, items in zip(words, known.of(words), strict=True):
                for item in items:
                    self._note_slip(found, item, beginning, edits, word)
        return found

    @cached_property
    def far_numbers(self) -> Sequence[int]:
        """Steps anywhere with this very number."""
        steps = self.index.steps_of_number(self.number_id)
        if self._exactly and len(self.index.printed_forms(self.number_id)) > 1:
            return [step for step in steps if self._is_printed_so(step)]
        return steps

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

    def far_rows(self) -> int:
        """About how many rows the word can be read in, anywhere."""
        index = self.index
        # by what they have on average
        named = len(self.far_subjects) * len(index) // max(1, index.count_of_subjects)
        in_sets = sum(len(index.steps(set_id)) for set_id in self.sets)
        rows = len(self.far_numbers) + named + in_sets
        if self.teams or self.series or (self.named and len(self.spelled) == 1):
            rows += len(index)  # those that `far_steps` does not give
        return rows

    def far_steps(self, most: int) -> dict[int, float]:
        """Weight by step of the rows that the word names by number, subject or set, about `most` of
        them."""
        index = self.index
        found: dict[int, float] = dict.fromkeys(self.far_numbers[:most], NUMBER)
        for subject, weight in self.far_subjects.items():
            if len(found) >= most:
                break
            for step in index.steps_of_subject(subject):
                if found.get(step, UNREAD) < weight:
                    found[step] = weight
        for set_id in sorted(self.sets):
            if len(found) >= most:
                break
            for step in index.steps(set_id):
                if found.get(step, UNREAD) < SET_WORD:
                    found[step] = SET_WORD
        return found


def _as_number(token: Token) -> str:
    """The word as a card's number in its canonical form, empty where it is none."""
    text = token.text
    if not text or not token.may_be("number"):
        return ""
    # `12/` and `/99` are parts of a serial number; `1/2` may well be a card's
    if text.startswith("/") or text.endswith("/"):
        return ""
    return canonical(text)


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


def sets_by_letter(token: Token, index: Index) -> frozenset[int]:
    """The sets of which a word begins with the one letter that was typed; of more letters none."""
    if len(token.text) != 1 or not token.text.isalpha() or token.pin or not token.may_be("set"):
        return frozenset()
    return index.sets_words.ids(token.text)

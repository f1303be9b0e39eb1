"""One typed word held against the subjects: by whole words of names, by their beginnings, by
initials, and by words that a slip of the finger could have made of it (optimal string alignment).

Weights are natural logarithms of how probable the word is, given that the subject is the right one.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import compress, repeat
from operator import rshift
from typing import TYPE_CHECKING

from tagger.core.index.word_marks import MARK_BITS, WordKind, letter_bit
from tagger.core.matching.read import MISTYPED, UNREAD, Read
from tagger.core.model.tags import COLOURS, is_colour_of

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.index.near_set import Near

SURNAME, NAME, SURNAME_START, NAME_START = -0.3, -0.6, -1.0, -1.5
INITIALS, LONGER = -2.0, -0.05  # for each further word of a name
SLIP = -3.5  # for each edit
# in a beginning, in a given name, in the first letter
SLIP_BEGUN, SLIP_NAME, SLIP_FIRST = -0.7, -0.5, -0.7
ONE_LETTER = -1.5  # beside the start of a longer one
INITIALS_LETTERS = range(2, 5)
LETTER_HELD = 1000  # subjects that are held ready for each single letter
HELD = 4  # words whose subjects are held ready
FAR_SLIP = 4  # letters of a word that may be mistyped in a set that nothing points to
BESIDE = 4  # letters from which a slip is looked for beside other readings

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


_WHOLE_WEIGHTS = [read[0] for read in _WHOLE]
_START_WEIGHTS = [UNREAD if read is None else read[0] for read in _START]


def _heaviest(items: Sequence[int], weights: Sequence[float]) -> dict[int, float]:
    """By subject the weight of the items of some words; `weights`: by mark, UNREAD for those that
    say nothing."""
    # thousands of items begin with two letters, so that the loops run within the interpreter
    subjects = [*map(rshift, items, repeat(MARK_BITS))]
    weighed = [*map(weights.__getitem__, map(_LOW.__and__, items))]
    found = dict(zip(subjects, weighed, strict=True))
    if len(found) < len(subjects):  # of several words of one subject the heaviest counts
        for subject, weight in zip(subjects, weighed, strict=True):
            found[subject] = max(weight, found[subject])
    if UNREAD in weighed:
        return {subject: weight for subject, weight in found.items() if weight > UNREAD}
    return found


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
        known = [(weight, sorted(found[weight])) for weight in sorted(found, reverse=True)]
        count = self._index.by_subject.count_all
        return [(weight, subjects, count(subjects)) for weight, subjects in known]


def _of_letter(index: Index, letter: str) -> dict[int, Read | None]:
    """What a letter is in the subjects that were asked lately."""
    held = index.letters_held.setdefault(letter, {})
    if len(held) > LETTER_HELD:
        held.clear()
    return held


class SubjectMatches:
    """What a word, spelled in letters and digits alone, could mean in the subjects; nothing where
    it is not `named`. Weights by subject are found when they are asked for, once a subject."""

    def __init__(self, index: Index, spelled: str, named: bool, exactly: bool) -> None:
        """With `exactly` no slips are forgiven."""
        self._index, self._spelled = index, spelled
        self.named, self._exactly = named, exactly
        self._subjects: dict[int, Read | None] = {}
        if len(spelled) == 1:
            self._subjects = _of_letter(index, spelled)
        # By set that was looked at closely (None for all others), then by subject: the weight of
        # the best slip.
        self._slips: dict[int | None, dict[int, float]] = {}
        # by set: the subjects that it could name there, and those among them that need a slip
        self._near: dict[int, tuple[Mapping[int, float], dict[int, float]]] = {}

    def afresh(self) -> SubjectMatches:
        """The same for another search: what was found out is kept, but not where slips were looked
        for."""
        other = object.__new__(SubjectMatches)
        other.__dict__.update(self.__dict__)
        other._slips = {}
        # asked for anew, these note slips anew
        for name in ("far", "weigher"):
            other.__dict__.pop(name, None)
        return other

    @cached_property
    def _words(self) -> range:
        """The words of subjects that start with this one; digits are whole."""
        if self._spelled.isdigit():
            return range(self._whole, self._whole + 1) if self._whole >= 0 else range(0)
        return self._index.subjects.starting(self._spelled)

    @cached_property
    def _whole(self) -> int:
        """The very word among those of subjects, -1 where there is none."""
        return self._index.subjects.find(self._spelled)

    @cached_property
    def _letters(self) -> int:
        """The word among the initials of subjects, -1 where there is none."""
        if len(self._spelled) not in INITIALS_LETTERS:
            return -1
        return self._index.initials.find(self._spelled)

    @cached_property
    def edits(self) -> int:
        """How many slips of the finger are forgiven: none below three letters, two from five on."""
        if self._exactly:
            return 0
        if not (self.named and self._spelled.isalpha() and len(self._spelled) >= 3):
            return 0
        if len(self._spelled) >= 5:
            return 2
        return 1

    def read(self, id: int, set_id: int | None = None) -> Read | None:
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

    def weight(self, id: int) -> float | None:
        """The weight of the word as part of a subject, slips left out."""
        if id not in self._subjects:
            self._subjects[id] = self._in_subject(id)
        found = self._subjects[id]
        if found is None:
            return None
        return found[0]

    @cached_property
    def weigher(self) -> Callable[[int], float | None]:
        """What gives the same by subject in a set that nothing points to, where one letter fits as
        well."""
        if self.named and len(self._spelled) == 1:
            return self.weight
        return self.far_weights.get

    def among(self, subjects: Iterable[int]) -> Iterable[int]:
        """Those of some subjects that the word may name so, the others left out as far as that is
        soon told."""
        if not self.named:
            return ()
        if len(self._spelled) == 1:
            return self._letter_fits([*subjects])
        return filter(self.far_weights.__contains__, subjects)

    def named_of(self, rows: Sequence[int]) -> list[int]:
        """Those of some rows whose subjects the word names so."""
        if not self.named:
            return []
        subjects = map(self._index.subject_of.__getitem__, rows)
        if len(self._spelled) > 1:
            return list(compress(rows, map(self.far_weights.__contains__, subjects)))
        # most are told by their first letters alone
        begun = map(
            letter_bit(self._spelled).__and__, map(self._index.letters_of.__getitem__, subjects)
        )
        return [row for row, _ in self._named_rows([*compress(rows, begun)])]

    def _named_rows(self, rows: Sequence[int]) -> Iterator[tuple[int, float]]:
        """(row, weight) of those of some rows that the word names, slips left out."""
        subjects = [*map(self._index.subject_of.__getitem__, rows)]
        reads = map(self._known(subjects).__getitem__, subjects)
        pairs = zip(rows, reads, strict=True)
        return ((row, read[0]) for row, read in pairs if read is not None)

    def _known(self, subjects: Iterable[int]) -> Mapping[int, Read | None]:
        """What the word is in subjects, slips left out; these among them."""
        known = self._subjects
        for id in {*subjects}.difference(known):
            known[id] = self._in_subject(id)
        return known

    def weights_in(self, rows: Sequence[int]) -> Iterable[float]:
        """The weight of the word by the subject of each of some rows in sets that nothing points
        to, UNREAD where it is none of it."""
        subjects = map(self._index.subject_of.__getitem__, rows)
        if len(self._spelled) > 1:
            weights = self.far_weights
            return [weights.get(subject, UNREAD) for subject in subjects]
        named = dict(self._named_rows(self.named_of(rows)))
        return map(named.get, rows, repeat(UNREAD))

    def _in_subject(self, id: int) -> Read | None:
        """The best reading of the word in one subject, slips left out. A name with more words is a
        little less likely."""
        best: Read | None = None
        if self._words:
            best = self._as_words(id)
        # As words first: `ed` begins Edwards more often than it stands for E. D.
        if best is None and self._letters >= 0:
            return self._as_initials(id)
        return best

    def _as_words(self, id: int) -> Read | None:
        best: Read | None = None
        low, high = self._words.start << MARK_BITS, self._words.stop << MARK_BITS
        begun, whole = self._begins, self._whole
        for item in self._index.forms.of(id):
            if low <= item < high:
                # a word of a subject that this one is, or the beginning of
                read = (begun, _WHOLE)[item >> MARK_BITS == whole][item & _LOW]
                if read is not None and (best is None or read > best):
                    best = read
        return best

    @cached_property
    def _begins(self) -> Sequence[Read | None]:
        """By mark the reading of the word as a beginning."""
        if len(self._spelled) == 1:
            return _LETTER
        return _START

    def _as_initials(self, id: int) -> Read | None:
        letters, items = self._letters, self._index.short_forms.of(id)
        reads = [_INITIALS[item & _LOW] for item in items if item >> MARK_BITS == letters]
        return max(reads, default=None)

    def near(self, near: Near, set_id: int) -> Mapping[int, float]:
        """The subjects of one set that the word could name, and what it weighs there."""
        if len(self._spelled) > 1 and self.named:
            self.far  # noqa: B018 (asked for first: it notes the slips of all other sets)
        if set_id not in self._near:
            found, slips = self._named_in(near), dict[int, float]()
            # A word of three letters is one edit from too many others to be looked for beside a
            # name.
            if self.edits and (not found or len(self._spelled) >= BESIDE):
                self._note_slips(near, slips)
            self._near[set_id] = slips | found, slips
        weights, self._slips[set_id] = self._near[set_id]
        return weights

    def _named_in(self, near: Near) -> dict[int, float]:
        """The same, slips left out."""
        if not self.named or not self._spelled:
            return {}
        if len(self._spelled) == 1:
            return self._begun_in(near)
        if self.far.slips:
            return {}
        weights = self.far.subjects
        return {id: weights[id] for id in near.subjects & weights.keys()}

    def named_anywhere(self, near: Near) -> Mapping[int, float]:
        """The subjects of one set that the word names as it does anywhere, and more maybe."""
        if len(self._spelled) == 1:
            return self._begun_in(near)
        return self.far_weights

    def _begun_in(self, near: Near) -> dict[int, float]:
        """The subjects of one set with a word that begins with the one letter."""
        begun = [*self._letter_fits(near.subjects)]
        reads = map(self._known(begun).__getitem__, begun)
        return {id: read[0] for id, read in zip(begun, reads, strict=True) if read is not None}

    def _letter_fits(self, subjects: Collection[int]) -> Iterator[int]:
        """Those of some subjects that may have a word which begins with the letter."""
        letters = map(self._index.letters_of.__getitem__, subjects)
        return compress(subjects, map(letter_bit(self._spelled).__and__, letters))

    def _note_slips(self, near: Near, slips: dict[int, float]) -> None:
        """Note the subjects of a set that have a word which this one could be with a slip."""
        starting = self._index.subjects.starting
        for beginning, edits in near.mistyped(self._spelled, self.edits):
            self._note_slip(slips, near.starting(starting(beginning)), beginning, edits)

    def _note_slip(
        self,
        slips: dict[int, float],
        found: Iterable[tuple[int, int]],
        beginning: str,
        edits: int,
    ) -> None:
        """Note the weight of a slip for the subjects that hold words which begin so; `found`:
        (word, item) of each."""
        whole = self._index.subjects.find(beginning)
        begins = SLIP * edits
        # The first letter is wrong far less often than those behind it (common finding on typed and
        # spelling errors: Pollock and Zamora 1984).
        if beginning[0] != self._spelled[0]:
            begins += SLIP_FIRST
        colour, words = self._spelled in COLOURS, self._index.subjects.words
        for word, item in found:
            if colour and is_colour_of(self._spelled, words[word]):
                continue
            weight, id = begins, item >> MARK_BITS
            if word != whole:
                weight += SLIP_BEGUN
            if item & 3 != WordKind.SURNAME:
                weight += SLIP_NAME
            if slips.get(id, UNREAD) < weight:
                slips[id] = weight

    @cached_property
    def far(self) -> FuzzyNames:
        """The subjects that the word names anywhere, held ready while the hint is typed on."""
        key, held = (self._spelled, self.edits), self._index.held
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
    def far_weights(self) -> dict[int, float]:
        """Weight by subject, anywhere. One letter names too many to be of use, and gives none.

        A slip counts where nothing else does, in words of four letters and more that begin with the
        right ones."""
        if not self.named or len(self._spelled) == 1:
            return {}
        return self.far.subjects

    def _far(self) -> FuzzyNames:
        found = self._far_words()
        if len(self._spelled) in INITIALS_LETTERS:
            for item in self._index.initials.exact(self._spelled):
                found.setdefault(item >> MARK_BITS, _INITIALS[item & _LOW][0])
        if found or not self.edits or len(self._spelled) < FAR_SLIP:
            return FuzzyNames(self._index, found)
        return FuzzyNames(self._index, self._far_slips(), slips=True)

    def _far_words(self) -> dict[int, float]:
        whole, known = range(0), self._index.subjects
        begun = self._words
        # what starts with a word comes right behind the word itself
        if self._whole >= 0:
            whole = range(self._whole, self._whole + 1)
            begun = range(whole.stop, max(whole.stop, begun.stop))
        found = _heaviest(known.all_of(whole), _WHOLE_WEIGHTS)
        begins = _heaviest(known.all_of(begun), _START_WEIGHTS)
        for subject in found.keys() & begins.keys():
            begins[subject] = max(found[subject], begins[subject])
        return found | begins

    def _far_slips(self) -> dict[int, float]:
        found: dict[int, float] = {}
        known = self._index.subjects
        for beginning, edits in self._index.mistyped(self._spelled, self.edits):
            words = known.starting(beginning)
            held = zip(words, known.of(words), strict=True)
            pairs = ((word, item) for word, items in held for item in items)
            self._note_slip(found, pairs, beginning, edits)
        return found

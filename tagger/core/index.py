"""Looking rows up: which rows of the checklists a typed word could mean, without asking each row.

Rows of a set lie next to each other in `order`, sorted by their numbers; a place there is a `step`. From numbers and
from subjects there are lists of steps; words lead to subjects, of which there are far fewer than rows.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import accumulate

from rapidfuzz import process
from rapidfuzz.distance import OSA

from tagger.core.checklist import Checklist
from tagger.core.columns import Rows
from tagger.core.model import Row
from tagger.core.numbers import canonical, natural
from tagger.core.text import fold, initials, people, words

_LAST = "\U0010ffff"


class Vocabulary:
    """Words and the ids that hold them; a prefix is one slice of the sorted words."""

    def __init__(self) -> None:
        self._ids: dict[str, list[int]] = defaultdict(list)
        self._sorted: list[str] = []
        self._prefixes: dict[int, list[str]] = {}

    def add(self, word: str, id: int) -> None:
        """Note that `id` holds `word`. Ids come in rising order."""
        ids = self._ids[word]
        if not ids or ids[-1] != id:
            ids.append(id)

    def seal(self) -> None:
        """Sort once everything is in."""
        self._sorted = sorted(self._ids)

    def exact(self, word: str) -> Sequence[int]:
        """Ids that hold the word itself."""
        return self._ids.get(word, ())

    def begins(self, prefix: str) -> bool:
        """Whether a word starts with `prefix`."""
        at = bisect_left(self._sorted, prefix)
        return at < len(self._sorted) and self._sorted[at].startswith(prefix)

    def starting(self, prefix: str) -> Iterator[tuple[str, Sequence[int]]]:
        """(word, ids) for each word that starts with `prefix`, the prefix itself among them."""
        low = bisect_left(self._sorted, prefix)
        high = bisect_left(self._sorted, prefix + _LAST, low)
        for word in self._sorted[low:high]:
            yield word, self._ids[word]

    def mistyped(self, word: str, edits: int, limit: int = 24) -> list[tuple[str, int]]:
        """(beginning of a word, edits) for beginnings at most `edits` away from `word`, nearest first.

        An edit is one letter too many, missing, wrong, or changed over with its neighbour: the optimal string
        alignment distance.
        """
        found: list[tuple[str, int]] = []
        for length in range(max(2, len(word) - edits), len(word) + edits + 1):
            near = process.extract(
                word, self._beginnings(length), scorer=OSA.distance, score_cutoff=edits, limit=limit, processor=None
            )
            found.extend((choice, int(distance)) for choice, distance, _ in near if distance > 0)
        found.sort(key=lambda pair: pair[1])
        return found[:limit]

    def _beginnings(self, length: int) -> list[str]:
        known = self._prefixes.get(length)
        if known is None:
            known = list(dict.fromkeys(word[:length] for word in self._sorted if len(word) >= length))
            self._prefixes[length] = known
        return known


def set_words(name: str) -> tuple[str, ...]:
    """The words that a set can be typed by: its own, a year's last two digits, and the initials of the rest."""
    own = words(name)
    short = [word[2:] for word in own if len(word) == 4 and word.isdigit()]
    letters = "".join(word[0] for word in fold(name).split() if word[0].isalpha())
    return tuple(dict.fromkeys((*own, *short, *([letters] if len(letters) > 1 else []))))


class Postings:
    """For each key from 0 the steps that hold it, in rising order: two arrays instead of a list of lists."""

    def __init__(self, keys: Sequence[int], count: int) -> None:
        """`keys[step]` is the key of a step; keys are below `count`."""
        sizes = [0] * (count + 1)
        for key in keys:
            sizes[key + 1] += 1
        self._starts = array("I", accumulate(sizes))
        filled = self._starts.tolist()
        steps = array("I", bytes(4 * len(keys)))
        for step, key in enumerate(keys):
            steps[filled[key]] = step
            filled[key] += 1
        self._steps = steps

    def of(self, key: int) -> Sequence[int]:
        """The steps of a key."""
        return self._steps[self._starts[key] : self._starts[key + 1]]

    def count(self, key: int) -> int:
        """How many steps a key has."""
        return self._starts[key + 1] - self._starts[key]


class Index:
    """The rows of a checklist, found by number, by words and initials of the subject, by team and by set.

    `order[step]` is a row; the steps of set `s` run from `starts[s]` to `starts[s + 1]`, in natural order of numbers.
    """

    def __init__(self, checklist: Checklist) -> None:
        given = checklist.rows
        rows = given if isinstance(given, Rows) else Rows(given)
        self.rows: Sequence[Row] = rows
        self._rows = rows
        self.sets: list[str] = rows.sets.values
        self._lay_out(rows)
        self._index_numbers(rows)
        self._index_names(rows)
        self.near: dict[int, Near] = {}

    def _lay_out(self, rows: Rows) -> None:
        """Put the rows into the order of sets and numbers."""
        by_number = sorted(range(len(rows.numbers.values)), key=lambda id: natural(rows.numbers.values[id]))
        rank = [0] * len(by_number)
        for place, id in enumerate(by_number):
            rank[id] = place
        wide = len(by_number) + 1
        keys = [set_id * wide + rank[number] for set_id, number in zip(rows.sets.of, rows.numbers.of, strict=True)]
        self.order = array("I", sorted(range(len(rows)), key=keys.__getitem__))
        sizes = [0] * (len(self.sets) + 1)
        for set_id in rows.sets.of:
            sizes[set_id + 1] += 1
        self.starts = list(accumulate(sizes))
        self._set_ids = {name: id for id, name in enumerate(self.sets)}

    def _index_numbers(self, rows: Rows) -> None:
        known: dict[str, int] = {}
        self.canonicals = [canonical(number) for number in rows.numbers.values]
        key_of = [known.setdefault(text, len(known)) for text in self.canonicals]
        self._number_ids = known
        numbers = rows.numbers.of
        self.number_of = array("I", [key_of[numbers[row]] for row in self.order])
        self._by_number = Postings(self.number_of, len(known))
        self.number_texts = list(known)

    def _index_names(self, rows: Rows) -> None:
        subjects, teams = rows.subjects.of, rows.teams.of
        self.subject_of = array("I", [subjects[row] for row in self.order])
        self.team_of = array("I", [teams[row] for row in self.order])
        self._by_subject = Postings(self.subject_of, len(rows.subjects.values))
        self.subjects, self.initials, self.teams = Vocabulary(), Vocabulary(), Vocabulary()
        self.sets_words, self.parallel_words = Vocabulary(), Vocabulary()
        for id in range(len(rows.subjects.values)):
            for name in self.names(id):
                for word in words(name):
                    self.subjects.add(word, id)
                self.initials.add(initials(name), id)
        for vocabulary, values in ((self.teams, rows.teams.values), (self.sets_words, self.sets)):
            for id, name in enumerate(values):
                for word in set_words(name) if vocabulary is self.sets_words else words(name):
                    vocabulary.add(word, id)
        names = dict.fromkeys(p.name for parallels in rows.parallels.values for p in parallels)
        for id, name in enumerate(names):
            for word in words(name):
                self.parallel_words.add(word, id)
        for vocabulary in (self.subjects, self.initials, self.teams, self.sets_words, self.parallel_words):
            vocabulary.seal()

    @property
    def ordered(self) -> list[Sequence[int]]:
        """The rows of each set in the natural order of their numbers."""
        return [self.order[a:b] for a, b in zip(self.starts, self.starts[1:], strict=False)]

    def subject(self, id: int) -> str:
        """A subject by its number."""
        return self._rows.subjects.values[id]

    def names(self, id: int) -> tuple[str, ...]:
        """The names in a subject by its number: of each of several people, and written in other ways."""
        plain = people(self._rows.subjects.values[id])
        return (*plain, *(name for alias in self._rows.aliases.get(id, ()) for name in people(alias)))

    def row(self, step: int) -> Row:
        """The row at a step."""
        return self._rows[self.order[step]]

    def set_of(self, step: int) -> int:
        """The set of a step."""
        return bisect_right(self.starts, step) - 1

    def steps_of_number(self, text: str) -> Sequence[int]:
        """Steps with this number, in its canonical form."""
        id = self._number_ids.get(text)
        return () if id is None else self._by_number.of(id)

    def has_number(self, text: str) -> bool:
        """Whether any row has this number, in its canonical form."""
        return text in self._number_ids

    def steps_of_subject(self, id: int) -> Sequence[int]:
        """Steps of a subject."""
        return self._by_subject.of(id)

    def count_of_subject(self, id: int) -> int:
        """How many rows a subject has."""
        return self._by_subject.count(id)

    def near_set(self, set_id: int) -> Near:
        """One set looked up closely; made at its first use."""
        found = self.near.get(set_id)
        if found is None:
            found = self.near[set_id] = Near(self, set_id)
        return found

    def set_id(self, name: str) -> int | None:
        """The index of a set by its name, spelled in any case; None where no checklist has it."""
        known = self._set_ids.get(name)
        if known is None:
            folded = fold(name)
            known = next((id for id, other in enumerate(self.sets) if fold(other) == folded), None)
        return known

    def find(self, set: str, number: str, subject: str) -> int | None:
        """The step of a card that was tagged before, or None where the checklists do not have it (any more)."""
        set_id = self.set_id(set)
        if set_id is None:
            return None
        if number:
            near = self.near_set(set_id).numbers.get(canonical(number), [])
        else:
            near = [s for s in range(self.starts[set_id], self.starts[set_id + 1]) if self.row(s).subject == subject]
        return next(
            (step for step in near if self.subject(self.subject_of[step]) == subject), near[0] if near else None
        )


class Near:
    """One set at close range: its steps by number and by the words of the subject, beginnings included."""

    def __init__(self, index: Index, set_id: int) -> None:
        self.steps = range(index.starts[set_id], index.starts[set_id + 1])
        self.numbers: dict[str, list[int]] = defaultdict(list)
        self.subjects: dict[int, list[int]] = defaultdict(list)
        self.teams: dict[int, list[int]] = defaultdict(list)
        self.words, self.initials = Vocabulary(), Vocabulary()
        for step in self.steps:
            self.numbers[index.number_texts[index.number_of[step]]].append(step)
            self.subjects[index.subject_of[step]].append(step)
            self.teams[index.team_of[step]].append(step)
        for subject in sorted(self.subjects):
            for name in index.names(subject):
                for word in words(name):
                    self.words.add(word, subject)
                self.initials.add(initials(name), subject)
        self.words.seal()

    def number_starts(self, prefix: str) -> list[int]:
        """Steps whose number goes on after `prefix`."""
        return [s for text, steps in self.numbers.items() if text != prefix and text.startswith(prefix) for s in steps]

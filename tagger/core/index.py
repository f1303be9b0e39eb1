"""Looking rows up: which rows of the checklists a typed word could mean, without asking each row."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Sequence

from rapidfuzz import process
from rapidfuzz.distance import OSA

from tagger.core.checklist import Checklist
from tagger.core.model import Row
from tagger.core.numbers import canonical, natural
from tagger.core.text import fold, initials, words

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

    def exact(self, word: str) -> list[int]:
        """Ids that hold the word itself."""
        return self._ids.get(word, [])

    def begins(self, prefix: str) -> bool:
        """Whether a word starts with `prefix`."""
        at = bisect_left(self._sorted, prefix)
        return at < len(self._sorted) and self._sorted[at].startswith(prefix)

    def starting(self, prefix: str) -> Iterator[tuple[str, list[int]]]:
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
        choices: list[str] = []
        for length in range(max(2, len(word) - edits), len(word) + edits + 1):
            choices.extend(self._beginnings(length))
        found = process.extract(word, choices, scorer=OSA.distance, score_cutoff=edits, limit=limit)
        return [(choice, int(distance)) for choice, distance, _ in found if distance > 0]

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


class Index:
    """The rows of a checklist, found by number, by words and initials of the subject, by team and by set.

    `set_of[row]` is the row's set (an index into `sets`), `step_of[row]` its place in the set's natural order of
    numbers, counted from 0, and `ordered[set]` the rows of a set in that order.
    """

    def __init__(self, checklist: Checklist) -> None:
        self.rows: Sequence[Row] = checklist.rows
        self.numbers = Vocabulary()
        self.subjects = Vocabulary()
        self.initials = Vocabulary()
        self.teams = Vocabulary()
        self.sets_words = Vocabulary()
        self.parallel_words = Vocabulary()
        self.sets: list[str] = []
        self.set_of: list[int] = []
        self.step_of: list[int] = [0] * len(self.rows)
        self.team_of: list[int] = []
        self.ordered: list[list[int]] = []
        self._set_ids: dict[str, int] = {}
        self._fill()

    def _fill(self) -> None:
        team_ids: dict[str, int] = {}
        parallel_names: dict[str, int] = {}
        for id, row in enumerate(self.rows):
            set_id = self._set_ids.get(row.set)
            if set_id is None:
                set_id = self._set_ids[row.set] = len(self.sets)
                self.sets.append(row.set)
                self.ordered.append([])
                for word in set_words(row.set):
                    self.sets_words.add(word, set_id)
            self.set_of.append(set_id)
            self.ordered[set_id].append(id)
            team_id = team_ids.get(row.team)
            if team_id is None:
                team_id = team_ids[row.team] = len(team_ids)
                for word in words(row.team):
                    self.teams.add(word, team_id)
            self.team_of.append(team_id)
            if row.number:
                self.numbers.add(canonical(row.number), id)
            for word in words(row.subject):
                self.subjects.add(word, id)
            self.initials.add(initials(row.subject), id)
            for parallel in row.parallels:
                if parallel.name not in parallel_names:
                    parallel_names[parallel.name] = len(parallel_names)
                    for word in words(parallel.name):
                        self.parallel_words.add(word, parallel_names[parallel.name])
        for ids in self.ordered:
            ids.sort(key=lambda id: natural(self.rows[id].number))
            for step, id in enumerate(ids):
                self.step_of[id] = step
        for vocabulary in (
            self.numbers,
            self.subjects,
            self.initials,
            self.teams,
            self.sets_words,
            self.parallel_words,
        ):
            vocabulary.seal()

    def set_id(self, name: str) -> int | None:
        """The index of a set by its name, spelled in any case; None where no checklist has it."""
        known = self._set_ids.get(name)
        if known is None:
            folded = fold(name)
            known = next((id for id, other in enumerate(self.sets) if fold(other) == folded), None)
        return known

    def find(self, set: str, number: str, subject: str) -> int | None:
        """The row of a card that was tagged before, or None where the checklists do not have it (any more)."""
        set_id = self.set_id(set)
        if set_id is None:
            return None
        near = [id for id in self.numbers.exact(canonical(number)) if self.set_of[id] == set_id]
        if not number:
            near = [id for id in self.ordered[set_id] if self.rows[id].subject == subject]
        return next((id for id in near if self.rows[id].subject == subject), near[0] if near else None)

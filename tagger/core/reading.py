"""One typed word held against the index: what it could be in a row, and how likely each reading is.

Weights are natural logarithms of how probable the word is, given that the row is the right one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rapidfuzz.distance import OSA

from tagger.core.hint import Token
from tagger.core.index import Index, Near
from tagger.core.numbers import canonical
from tagger.core.text import initials, words
from tagger.core.variant import SET_WORD, UNREAD

NUMBER, NUMBER_START = 0.0, -12.0  # half a number must not outweigh a whole one anywhere in the carried set
SURNAME, NAME, SURNAME_START, NAME_START = -0.3, -0.6, -1.0, -1.5
INITIALS, LONGER = -2.0, -0.05  # for each further word of a name
SLIP = -3.5  # for each edit
TEAM = -4.0
CARRIED_SET_WORD = -12.0  # where it says nothing new
GENERATION = frozenset({"jr", "sr", "ii", "iii", "iv"})

MISTYPED = "subject, mistyped"
Read = tuple[float, str]  # a weight, and what the word was read as


class Reading:
    """What one word could mean. Weights by subject are found when they are asked for, once a subject."""

    def __init__(self, index: Index, token: Token) -> None:
        self.index, self.token = index, token
        text, pin = token.text, token.pin
        self.text = text
        self.number = canonical(text) if text and pin in ("", "number") else ""
        self.named = bool(text) and pin in ("", "subject") and any(c.isalpha() for c in text)
        self.spelled = "".join(c for c in text if c.isalnum())  # `saint-lo` is looked for as saintlo
        self.teams: frozenset[int] = frozenset()
        self.sets: frozenset[int] = frozenset()
        if text and pin in ("", "team") and len(text) > 1:
            self.teams = frozenset(id for _, ids in index.teams.starting(text) for id in ids)
        if text and pin in ("", "set") and (len(text) > 1 or pin):
            # Part of a year is no year: `19` is a number, in whatever set.
            found = [(text, index.sets_words.exact(text))] if text.isdigit() else index.sets_words.starting(text)
            self.sets = frozenset(id for _, ids in found for id in ids)
        self._subjects: dict[int, Read | None] = {}

    @property
    def edits(self) -> int:
        """How many slips of the finger are forgiven: none below three letters, two from five on."""
        if not (self.named and self.spelled.isalpha() and len(self.spelled) >= 3):
            return 0
        return 2 if len(self.spelled) >= 5 else 1

    def in_row(self, step: int, set_id: int, repeated: int | None) -> Read:
        """The best reading of the word in the row at a step.

        A word that only repeats the set `repeated` has next to no weight: it is likely meant otherwise.
        """
        index = self.index
        readings: list[Read] = []
        if self.number and (as_number := self.as_number(index.number_texts[index.number_of[step]])):
            readings.append(as_number)
        if self.named and (as_subject := self.as_subject(index.subject_of[step])):
            readings.append(as_subject)
        if index.team_of[step] in self.teams:
            readings.append((TEAM, "team"))
        if set_id in self.sets:
            readings.append((CARRIED_SET_WORD if set_id == repeated else SET_WORD, "set"))
        return max(readings, default=(UNREAD, ""))

    def as_row(self, step: int) -> float | None:
        """The weight of the word as number or subject of the row at a step, slips left out; None if neither."""
        index = self.index
        if self.number and index.number_texts[index.number_of[step]] == self.number:
            return NUMBER
        if self.named and (read := self.as_subject(index.subject_of[step], forgiving=False)) is not None:
            return read[0]
        return None

    def as_number(self, number: str) -> Read | None:
        """The word as a number, in its canonical form."""
        if number == self.number:
            return NUMBER, "number"
        if self.text[0].isdigit() and number.startswith(self.number):
            return NUMBER_START, "start of the number"
        return None

    def as_subject(self, id: int, forgiving: bool = True) -> Read | None:
        """The word as part of a subject."""
        if id not in self._subjects:
            self._subjects[id] = max((r for name in self.index.names(id) if (r := self._in_name(name))), default=None)
        found = self._subjects[id]
        if found is None and forgiving and self.edits:
            found = max((r for name in self.index.names(id) if (r := self._slip(name))), default=None)
            self._subjects[id] = found
        return found

    def _in_name(self, subject: str) -> Read | None:
        """The best reading of the word in one name, slips left out. A name with more words is a little less likely."""
        text = self.spelled
        known = [word for word in words(subject) if word not in GENERATION] or list(words(subject))
        longer = LONGER * subject.count(" ")
        last = known[-2:]  # the surname, and the last two words joined
        if text in last:
            return SURNAME + longer, "subject"
        if text in words(subject):
            return NAME + longer, "subject"
        if any(word.startswith(text) for word in last):
            return SURNAME_START + longer, "start of the subject"
        if any(word.startswith(text) for word in known):
            return NAME_START + longer, "start of the subject"
        if 2 <= len(text) <= 4 and initials(subject) == text:
            return INITIALS, "initials"
        return None

    def _slip(self, subject: str) -> Read | None:
        """The word as a mistyped beginning of a word of one name."""
        text, edits = self.spelled, self.edits
        best = edits + 1
        for word in words(subject):
            for length in range(max(2, len(text) - edits), len(text) + edits + 1):
                if length <= len(word) or length - 1 <= len(word) < length:
                    best = min(best, OSA.distance(text, word[:length], score_cutoff=edits))
        return (SLIP * best, MISTYPED) if best <= edits else None

    def near_hits(self, near: Near) -> Iterator[tuple[int, float]]:
        """(step, weight) of the rows of one set that the word names; slips count where nothing else does."""
        if self.number:
            for step in near.numbers.get(self.number, ()):
                yield step, NUMBER
            if self.text[0].isdigit():
                for step in near.number_starts(self.number):
                    yield step, NUMBER_START
        if not self.named:
            return
        found = {id for _, ids in near.words.starting(self.spelled) for id in ids}
        if 2 <= len(self.spelled) <= 4:
            found.update(near.initials.exact(self.spelled))
        if self.edits and (not found or len(self.spelled) >= 4):
            for beginning, _ in near.words.mistyped(self.spelled, self.edits):
                found.update(id for _, ids in near.words.starting(beginning) for id in ids)
        for id in found:
            read = self.as_subject(id)
            if read is not None:
                for step in near.subjects[id]:
                    yield step, read[0]

    def far_subjects(self) -> list[tuple[float, int]]:
        """(weight, subject) anywhere, the heaviest first. One letter names too many to be of use, and gives none."""
        if not self.named or len(self.spelled) < 2:
            return []
        index = self.index
        found = {id for _, ids in index.subjects.starting(self.spelled) for id in ids}
        found.update(index.initials.exact(self.spelled) if len(self.spelled) <= 4 else ())
        if not found and self.edits:
            for beginning, _ in index.subjects.mistyped(self.spelled, self.edits):
                found.update(id for _, ids in index.subjects.starting(beginning) for id in ids)
        weighed = ((read[0], id) for id in found if (read := self.as_subject(id)) is not None)
        return sorted(weighed, key=lambda pair: (-pair[0], pair[1]))

    def far_numbers(self) -> Sequence[int]:
        """Steps anywhere with this very number."""
        return self.index.steps_of_number(self.number) if self.number else ()

"""Which card a hint means: rows of the checklist, weighed by what the lot makes likely.

The score of a row is a natural logarithm::

    score = log prior(row | lot) + sum over the words of log weight(best reading of the word in this row)

The prior looks at the step from the card before in the set's order of numbers (double, next, a small gap, a jump), at
the carried set, at the sets met in this lot, and at all else. A word is read as number, as a word or the initials of
the subject, as team, set, parallel, serial number or condition, as a slip of the finger, or not at all. Confidence is
the score's share among all candidates and one more: "this card is not in the checklists".
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from tagger.core.condition import Scale
from tagger.core.hint import Hint, Token, parse_hint, split_mixed
from tagger.core.index import Index
from tagger.core.model import Carried, Tags
from tagger.core.numbers import canonical
from tagger.core.text import words
from tagger.core.variant import SET_WORD, UNREAD, Option, Variants, Weighed

LOG = math.log

# The lot: shares of probability, set by hand from presorted trays; a dealer's own steps will teach better ones.
STEP = {0: 0.22, 1: 0.48, 2: 0.10, 3: 0.05, 4: 0.03, 5: 0.02}
JUMP = 0.10
CARRIED, SEEN, ANY = 0.90, 0.06, 0.04
UNLISTED, UNLISTED_WORD = -11.5, -5.0  # log probability of "not in the checklists", and of each further word then

# Words: log weight of a reading.
NUMBER, NUMBER_START = 0.0, -12.0
SURNAME, NAME, SURNAME_START, NAME_START = -0.3, -0.6, -1.0, -1.5
INITIALS = -2.0
SLIP = -3.5  # for each edit
TEAM = -4.0
CARRIED_SET_WORD = -12.0  # where it says nothing new

MISTYPED, GUESSED = "subject, mistyped", 0.85  # a name that had to be mended is never quite sure
GENERATION = frozenset({"jr", "sr", "ii", "iii", "iv"})
CONSIDERED = 96  # rows that are weighed in full


@dataclass(frozen=True, slots=True)
class Context:
    """What the lot makes likely: carried tags, the tags of the card before, and the sets met so far."""

    carried: Carried = field(default_factory=Carried)
    before: Tags | None = None
    seen: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Candidate:
    """One card that a hint could mean. `confidence` is 0 to 1; `problem` says why it must not be taken as it stands;
    `reasons` pairs each typed word with what it was read as (empty: not read)."""

    tags: Tags
    confidence: float
    run: int | None = None
    problem: str = ""
    reasons: tuple[tuple[str, str], ...] = ()

    @property
    def sure(self) -> bool:
        """Whether the candidate can be taken with no second look at the line."""
        return self.confidence >= 0.9 and not self.problem


class Matcher:
    """Ranks the rows of an index against hints."""

    def __init__(self, index: Index, scale: Scale | None = None) -> None:
        self.index = index
        self.scale = scale or Scale()
        self.variants = Variants(self.scale)

    def rank(self, hint: str, context: Context | None = None, limit: int = 9) -> list[Candidate]:
        """Candidates for a hint, best first, at most `limit`. The same hint in the same lot gives the same order."""
        context = context or Context()
        parsed = parse_hint(hint)
        prior = _Prior(self.index, context)
        best: dict[tuple[int, str], tuple[float, int, Option]] = {}
        for order, tokens in enumerate(self._spellings(parsed.tokens)):
            for score, id, option in self._weigh(tokens, prior, context):
                if tokens and not any(meaning for _, meaning in option.reasons):
                    continue
                key = (id, option.parallel)
                if key not in best or best[key][0] < score - order * 0.3:
                    best[key] = (score - order * 0.3, id, option)
        ranked = sorted(best.values(), key=lambda item: (-item[0], item[1], item[2].parallel))
        spare = UNLISTED + UNLISTED_WORD * max(0, len(parsed.tokens) - 1)
        return self._candidates(ranked, spare, parsed, context, limit)

    def _candidates(
        self, ranked: list[tuple[float, int, Option]], spare: float, parsed: Hint, context: Context, limit: int
    ) -> list[Candidate]:
        if not ranked:
            return []
        if any(not _unread(option) for _, _, option in ranked[:limit]):
            shown = [item for item in ranked if not _unread(item[2])]
        else:
            shown = ranked
        top = ranked[0][0]
        total = sum(math.exp(score - top) for score, _, _ in ranked) + math.exp(spare - top)
        found: list[Candidate] = []
        for score, id, option in shown[:limit]:
            row = self.index.rows[id]
            tags = Tags(
                row.set, row.number, row.subject, row.team, option.parallel, option.serial,
                option.condition or context.carried.get("condition"),
                context.carried.get("place") if parsed.place is None else parsed.place,
                context.carried.get("note") if parsed.note is None else parsed.note,
                True, row.extra,
            )  # fmt: skip
            share = math.exp(score - top) / total
            problem = option.problem or _not_read(option)
            if any(meaning == MISTYPED for _, meaning in option.reasons):
                share *= GUESSED
            found.append(Candidate(tags, share * option.doubt, option.run, problem, option.reasons))
        return found

    def _spellings(self, tokens: tuple[Token, ...]) -> list[tuple[Token, ...]]:
        """The hint as typed, and where it can be, with words joined (`rc 7`) or parted (`23g`, `marsh23`)."""
        spellings = [tokens]
        joined = self._join_numbers(tokens)
        if joined != tokens:
            spellings.append(joined)
        parted: list[Token] = []
        for token in tokens:
            halves = None if self.index.numbers.exact(canonical(token.text)) else split_mixed(token)
            parted.extend(halves or (token,))
        if len(parted) != len(tokens):
            spellings.append(tuple(parted))
        return spellings

    def _join_numbers(self, tokens: tuple[Token, ...]) -> tuple[Token, ...]:
        out: list[Token] = []
        for token in tokens:
            if out and not token.pin and not out[-1].pin and out[-1].text.isalpha() != token.text.isalpha():
                whole = out[-1].text + token.text
                if self.index.numbers.exact(canonical(whole)):
                    out[-1] = Token(f"{out[-1].raw} {token.raw}", whole, "number")
                    continue
            out.append(token)
        return tuple(out)

    def _weigh(self, tokens: tuple[Token, ...], prior: _Prior, context: Context) -> Iterable[tuple[float, int, Option]]:
        """(score, row, option) for the rows that the words point to, or that the lot makes likely."""
        tokens, condition = self.variants.take_condition(tokens, self.index)
        weighed = [_Reading(self.index, token) for token in tokens]
        loose = [self.variants.loose(token, self.index) for token in tokens]
        rough: dict[int, float] = {}
        rowless = sum(spare for spare in loose)
        for reading, spare in zip(weighed, loose, strict=True):
            for id, weight in reading.rows.items():
                rough[id] = rough.get(id, rowless) + max(0.0, weight - spare)
        for id in prior.likely(weighed):
            rough.setdefault(id, rowless)
        scored = ((score + prior.of(id), -id) for id, score in rough.items())
        for _, negative in heapq.nlargest(CONSIDERED, scored):
            id = -negative
            row = self.index.rows[id]
            named = any(id in reading.rows for reading in weighed)
            repeated = prior.carried if not named else None
            words = [Weighed(reading.token, *reading.in_row(id, repeated)) for reading in weighed]
            for option in self.variants.options(row, words, context.carried, condition):
                yield prior.of(id) + option.weight, id, option


def _unread(option: Option) -> list[str]:
    return [word for word, meaning in option.reasons if not meaning]


def _not_read(option: Option) -> str:
    words_left = ", ".join(f"'{word}'" for word in _unread(option))
    return f"nothing on this card reads as {words_left}" if words_left else ""


class _Reading:
    """One word held against the index: the rows it could name, and the sets and teams it could stand for."""

    def __init__(self, index: Index, token: Token) -> None:
        self.token = token
        self.index = index
        self.rows: dict[int, float] = {}
        self.how: dict[int, str] = {}
        self.teams: dict[int, float] = {}
        self.sets: dict[int, float] = {}
        pin, text = token.pin, token.text
        if not text or (pin and pin not in ("number", "subject", "team", "set")):
            return
        if pin in ("", "number"):
            self._as_number(canonical(text))
        if pin in ("", "subject") and any(c.isalpha() for c in text):
            self._as_subject(text)
        if pin in ("", "team") and len(text) > 1:
            self.teams = {id: TEAM for _, ids in index.teams.starting(text) for id in ids}
        if pin in ("", "set") and (len(text) > 1 or pin):
            # Part of a year is no year: `19` is a number, in whatever set.
            named = [(text, index.sets_words.exact(text))] if text.isdigit() else index.sets_words.starting(text)
            self.sets = {id: SET_WORD for _, ids in named for id in ids}

    def in_row(self, id: int, repeated: int | None) -> tuple[float, str]:
        """Log weight of the best reading of the word in this row, and what it was read as (empty: nothing).

        A word that only repeats the set `repeated` has next to no weight: it is more likely meant as something else.
        """
        readings = [(self.rows[id], self.how[id])] if id in self.rows else []
        if (team := self.teams.get(self.index.team_of[id])) is not None:
            readings.append((team, "team"))
        if (in_set := self.sets.get(self.index.set_of[id])) is not None:
            readings.append((in_set if self.index.set_of[id] != repeated else CARRIED_SET_WORD, "set"))
        return max(readings, default=(UNREAD, ""))

    def _put(self, ids: Iterable[int], weight: float, how: str) -> None:
        rows = self.rows
        for id in ids:
            if id not in rows or rows[id] < weight:
                rows[id] = weight
                self.how[id] = how

    def _as_number(self, number: str) -> None:
        if not number:
            return
        self._put(self.index.numbers.exact(number), NUMBER, "number")
        if any(c.isdigit() for c in number):
            for word, ids in self.index.numbers.starting(number):
                if word != number:
                    # Below UNREAD on purpose: half a number must not outweigh a whole one anywhere in the set.
                    self._put(ids, NUMBER_START, "start of the number")

    def _as_subject(self, text: str) -> None:
        index = self.index
        found = False
        for word, ids in index.subjects.starting(text):
            found = True
            whole = word == text
            for id in ids:
                name = index.rows[id].subject
                surname = _is_surname(name, word)
                weight = (SURNAME if surname else NAME) if whole else (SURNAME_START if surname else NAME_START)
                self._put((id,), weight, "subject" if whole else "start of the subject")
        if 2 <= len(text) <= 4:
            self._put(index.initials.exact(text), INITIALS, "initials")
        if len(text) >= 3 and text.isalpha() and (len(text) >= 4 or not found):
            edits = 2 if len(text) >= 5 else 1
            for beginning, distance in index.subjects.mistyped(text, edits):
                for _, ids in index.subjects.starting(beginning):
                    self._put(ids, SLIP * distance, MISTYPED)


def _is_surname(name: str, word: str) -> bool:
    """Whether a folded word is the last word of a name (or of one of several, parted by `/` or `&`)."""
    known = [part for part in words(name) if part not in GENERATION]
    return word in known[-2:]


class _Prior:
    """How likely the lot makes each row, before a word is typed."""

    def __init__(self, index: Index, context: Context) -> None:
        self.index = index
        name = context.carried.get("set")
        self.carried = index.set_id(name) if name else None
        if self.carried is None and not name and len(index.sets) == 1:
            self.carried = 0
        self.seen = {id for id in map(index.set_id, context.seen) if id is not None}
        before = context.before
        row = index.find(before.set, before.number, before.subject) if before is not None else None
        self.before = row if row is not None and index.set_of[row] == self.carried else None
        self._any = LOG(ANY / max(1, len(index.rows)))
        self._seen = LOG(SEEN / max(1, sum(len(index.ordered[id]) for id in self.seen)))
        size = len(index.ordered[self.carried]) if self.carried is not None else 1
        self._jump = LOG(CARRIED * JUMP / size)
        self._flat = LOG(CARRIED / size)

    def of(self, id: int) -> float:
        """log prior of a row."""
        set_id = self.index.set_of[id]
        if set_id == self.carried:
            step = self.index.step_of[id]
            if self.before is None:
                return LOG(CARRIED * STEP[1]) if step == 0 else self._flat
            share = STEP.get(step - self.index.step_of[self.before])
            return self._jump if share is None else max(self._jump, LOG(CARRIED * share))
        return self._seen if set_id in self.seen else self._any

    def likely(self, readings: list[_Reading]) -> list[int]:
        """Rows worth a look though no word names them: the next steps of the carried set, and the first rows of a
        set that the hint names."""
        index = self.index
        found: list[int] = []
        if self.carried is not None:
            ordered = index.ordered[self.carried]
            start = 0 if self.before is None else index.step_of[self.before]
            found.extend(ordered[start : start + len(STEP) + 1])
            if readings:
                found.extend(self._team_mates(ordered, readings))
        named = [set(reading.sets) for reading in readings if reading.sets]
        if named:
            common = set.intersection(*named) or set().union(*named)
            for set_id in sorted(common)[:24]:
                found.extend(index.ordered[set_id][:4])
                found.extend(self._team_mates(index.ordered[set_id], readings))
        return found

    def _team_mates(self, ordered: list[int], readings: list[_Reading]) -> list[int]:
        teams = set().union(*(reading.teams for reading in readings))
        return [id for id in ordered if self.index.team_of[id] in teams][:24] if teams else []

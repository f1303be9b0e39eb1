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
from collections import Counter
from collections.abc import Iterator
from itertools import islice

from tagger.core.candidate import Candidate, Context
from tagger.core.condition import Scale
from tagger.core.hint import Hint, Token, parse_hint, split_mixed
from tagger.core.index import Index
from tagger.core.model import Tags
from tagger.core.numbers import canonical
from tagger.core.reading import MISTYPED, NUMBER, TEAM, Reading
from tagger.core.variant import SET_WORD, UNASKED, UNREAD, Option, Plan, Variants, Weighed

# The lot: how much of the probability lies in the carried set, in sets met in this lot, and in all others.
CARRIED, SEEN, ANY = 0.97, 0.02, 0.01
AHEAD, REACH = 0.6, 30  # of the jumps, how many go on by no more than so many rows
UNLISTED, UNLISTED_WORD = -11.5, -7.0  # log probability of "not in the checklists", and of each further word then
RESPELLED = -0.3  # for each way of joining or parting words that was tried before

GUESSED = 0.85  # a name that had to be mended is never quite sure
CONSIDERED, SETTLED = 24, 9  # rows that are weighed in full, and how many better ones make that needless
HOPELESS = 14.0  # a row whose first score is so far below the best is not weighed: less than one in a million
NEAR_ROWS, NEAR_SETS = 4000, 24  # how much is looked at closely
NAMED_SETS = 6  # that one hint can name; a year that more of them share tells them apart only with other words
FAR_ROWS = 20_000  # rows of other sets that are tried where two words must fit


Ranked = tuple[float, int, Option]  # log score, step, variant


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
        best: dict[tuple[int, str], Ranked] = {}
        others = math.exp(UNLISTED + UNLISTED_WORD * max(0, len(parsed.tokens) - 1))
        for order, tokens in enumerate(self._spellings(parsed.tokens)):
            search = _Search(self.index, self.variants, tokens, prior)
            for score, step, option in search.weigh(context):
                if tokens and not any(meaning for _, meaning in option.reasons):
                    continue
                key, score = (step, option.parallel), score + order * RESPELLED
                if key not in best or best[key][0] < score:
                    best[key] = (score, step, option)
            others += search.passed_over
        if not parsed.tokens:  # nothing speaks for or against a row yet: its share is what the lot makes of it
            others = max(0.0, 1.0 - sum(math.exp(score) for score, _, _ in best.values()))
        ranked = sorted(best.values(), key=lambda item: (-item[0], item[1], item[2].parallel))
        return self._candidates(ranked, others, parsed, context, limit)

    def _candidates(
        self, ranked: list[Ranked], others: float, parsed: Hint, context: Context, limit: int
    ) -> list[Candidate]:
        if not ranked:
            return []
        if any(not _unread(option) for _, _, option in ranked[:limit]):
            shown = [item for item in ranked if not _unread(item[2])]
        else:
            shown = ranked
        total = sum(math.exp(score) for score, _, _ in ranked) + others
        found: list[Candidate] = []
        for score, step, option in shown[:limit]:
            row = self.index.row(step)
            tags = Tags(
                row.set, row.number, row.subject, row.team, option.parallel, option.serial,
                option.condition or context.carried.get("condition"),
                context.carried.get("place") if parsed.place is None else parsed.place,
                context.carried.get("note") if parsed.note is None else parsed.note,
                True, row.extra,
            )  # fmt: skip
            share = math.exp(score) / total
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
            halves = None if self.index.number_id(canonical(token.text)) >= 0 else split_mixed(token)
            parted.extend(halves or (token,))
        if len(parted) != len(tokens):
            spellings.append(tuple(parted))
        return spellings

    def _join_numbers(self, tokens: tuple[Token, ...]) -> tuple[Token, ...]:
        out: list[Token] = []
        for token in tokens:
            if out and not token.pin and not out[-1].pin and out[-1].text.isalpha() != token.text.isalpha():
                whole = out[-1].text + token.text
                if self.index.number_id(canonical(whole)) >= 0:
                    out[-1] = Token(f"{out[-1].raw} {token.raw}", whole, "number")
                    continue
            out.append(token)
        return tuple(out)


def _unread(option: Option) -> list[str]:
    return [word for word, meaning in option.reasons if not meaning]


def _not_read(option: Option) -> str:
    words_left = ", ".join(f"'{word}'" for word in _unread(option))
    return f"nothing on this card reads as {words_left}" if words_left else ""


def _named_sets(readings: list[Reading]) -> list[int]:
    """The sets that most words of the hint name; none where those are too many to be meant."""
    votes = Counter(set_id for reading in readings for set_id in reading.sets)
    most = max(votes.values(), default=0)
    named = sorted(set_id for set_id, count in votes.items() if count == most)
    return named if len(named) <= NAMED_SETS else []


class _Search:
    """The rows that one spelling of a hint points to. `passed_over` is the probability of rows that fit as well, but
    were too many to be weighed one by one."""

    def __init__(self, index: Index, variants: Variants, tokens: tuple[Token, ...], prior: _Prior) -> None:
        self.index, self.variants, self.prior = index, variants, prior
        left, self.condition = variants.take_condition(tokens, index)
        self.readings = [Reading(index, token) for token in left]
        self.loose = [variants.loose(token, index) for token in left]
        tied = [reading.sets for reading in self.readings if reading.token.pin == "set" and reading.text]
        self.only = frozenset.intersection(*tied) if tied else None  # the sets that `s=` leaves
        self.passed_over = 0.0
        self._looked_at: set[int] = set()

    def weigh(self, context: Context) -> Iterator[Ranked]:
        """The likeliest rows in all their variants."""
        rough = self._near()
        for step, score in self._far():
            if self.only is None or self.index.set_of(step) in self.only:
                rough[step] = score
        top = heapq.nlargest(CONSIDERED, ((score, -step) for step, score in rough.items()))
        tokens = [reading.token for reading in self.readings]
        plans: dict[int, list[Plan]] = {}
        # A first score is the most that a row can come to, so nine that are better than the rest can be settle it.
        more = 0.0 if any(loose > UNREAD for loose in self.loose) else UNASKED
        best: list[float] = []
        for score, negative in top:
            if score < top[0][0] - HOPELESS:
                break
            if len(best) >= SETTLED and score + more <= best[0]:
                self.passed_over += math.exp(score + more)
                continue
            step = -negative
            prior, set_id = self.prior.of(step), self.index.set_of(step)
            repeated = self.prior.carried
            if repeated is not None and any(reading.as_row(step) is not None for reading in self.readings):
                repeated = None
            words = [Weighed(reading.token, *reading.in_row(step, set_id, repeated)) for reading in self.readings]
            parallels = self.index.parallels_at(step)
            if id(parallels) not in plans:
                plans[id(parallels)] = self.variants.plans(parallels, tokens, context.carried)
            for plan in plans[id(parallels)]:
                option = self.variants.option(plan, words, self.condition)
                if option is not None:
                    yield prior + option.weight, step, option
                    heapq.heappush(best, prior + option.weight)
                    if len(best) > SETTLED:
                        heapq.heappop(best)

    def _near(self) -> dict[int, float]:
        """Rows of the carried set, of sets met in this lot and of sets that the hint names, with a first score."""
        scores: dict[int, float] = {}
        likely = self.prior.likely(self.readings)
        sets = self._near_sets()
        close = frozenset(self.prior.first()) or frozenset(sets)
        for set_id in sets:
            near = self.index.near_set(set_id)
            self._looked_at.add(set_id)
            least = [self._around(at, set_id) for at in range(len(self.readings))]
            gains: dict[int, float] = {step: 0.0 for step in likely if step in near.steps}
            for at, reading in enumerate(self.readings):
                best: dict[int, float] = {}
                for step, weight in reading.near_hits(near) if set_id in close else reading.named_hits(near):
                    best[step] = max(weight - least[at], best.get(step, 0.0))
                for step, gain in best.items():
                    gains[step] = gains.get(step, 0.0) + gain
            base = sum(least)
            scores.update((step, self.prior.of(step) + base + gain) for step, gain in gains.items())
        return scores

    def _around(self, at: int, set_id: int) -> float:
        """The best log weight of a word in a row of a set that it does not name by number or subject."""
        reading = self.readings[at]
        in_set = SET_WORD if set_id in reading.sets else UNREAD
        return max(self.loose[at], in_set, TEAM if reading.teams else UNREAD)

    def _near_sets(self) -> list[int]:
        """The sets that are looked at closely, at least one where any is wanted."""
        index = self.index
        wanted = dict.fromkeys([*self.prior.first(), *_named_sets(self.readings)])
        if self.only is not None:
            wanted = dict.fromkeys(set_id for set_id in wanted if set_id in self.only)
        if not wanted and self.only is None and len(index) <= NEAR_ROWS:
            return list(range(len(index.sets)))
        rows, taken = 0, list[int]()
        for set_id in wanted:
            rows += len(index.steps(set_id))
            if taken and (rows > NEAR_ROWS or len(taken) >= NEAR_SETS):
                break
            taken.append(set_id)
        return taken

    def _is_near(self, step: int) -> bool:
        return self.index.set_of(step) in self._looked_at

    def _far(self) -> Iterator[tuple[int, float]]:
        """Rows of all other sets that every word fits, with a first score."""
        pairs = list(zip(self.readings, self.loose, strict=True))
        hard = [reading for reading, loose in pairs if loose <= UNREAD]
        soft = sum(loose for _, loose in pairs if loose > UNREAD)
        rowful = hard or [reading for reading, _ in pairs if reading.far_numbers or len(reading.text) > 1]
        if len(rowful) == 1:
            yield from self._far_one(rowful[0], soft if hard else 0.0)
            return
        # A row must fit every word, so the rows of the one that has the fewest are all that can.
        counted = [(reading.far_rows(), at) for at, reading in enumerate(rowful)]
        _, first = min(counted, default=(0, 0))
        found = rowful[first].far_steps(FAR_ROWS) if rowful else {}
        for at, reading in enumerate(rowful):
            if at != first:
                found = self._fitting(reading, found)
        prior = self.prior.any + soft
        for step, weight in found.items():
            if not self._is_near(step):
                yield step, prior + weight

    def _fitting(self, reading: Reading, found: dict[int, float]) -> dict[int, float]:
        """Those rows that a word fits as well, with its weight added: the best of what it can be in each."""
        index, fits = self.index, dict[int, float]()
        if reading.teams:
            team_of, teams = index.team_of, reading.teams
            fits.update((step, TEAM) for step in found if team_of[step] in teams)
        if reading.sets:
            set_of, sets = index.set_of, reading.sets
            fits.update((step, SET_WORD) for step in found if set_of(step) in sets)
        if weights := reading.far_subjects:
            subject_of, get = index.subject_of, weights.get
            named = {step: weight for step in found if (weight := get(subject_of[step])) is not None}
            if fits:
                named = {step: max(weight, fits.get(step, UNREAD)) for step, weight in named.items()}
            fits |= named
        fits.update((step, NUMBER) for step in reading.far_numbers if step in found)
        return {step: found[step] + weight for step, weight in fits.items()}

    def _far_one(self, reading: Reading, soft: float) -> Iterator[tuple[int, float]]:
        """The rows that one word names, the likeliest first; the share of the others is kept in `passed_over`."""
        prior, index = self.prior.any + soft, self.index
        numbered = list(islice((s for s in reading.far_numbers if not self._is_near(s)), CONSIDERED))
        yield from ((step, prior + NUMBER) for step in numbered)
        self.passed_over += (len(reading.far_numbers) - len(numbered)) * math.exp(prior + NUMBER)
        by_weight: dict[float, list[int]] = {}
        for subject, weight in reading.far_subjects.items():
            by_weight.setdefault(weight, []).append(subject)
        left = CONSIDERED
        for weight in sorted(by_weight, reverse=True):
            steps = self._first_steps(by_weight[weight], left) if left else []
            yield from ((step, prior + weight) for step in steps)
            left -= len(steps)
            rows = sum(map(index.count_of_subject, by_weight[weight]))
            self.passed_over += max(0, rows - len(steps)) * math.exp(prior + weight)

    def _first_steps(self, subjects: list[int], count: int) -> list[int]:
        """The first steps of some subjects, sets that are looked at closely left out."""
        found: list[int] = []
        for subject in sorted(subjects):  # in the order of their first steps
            steps = self.index.steps_of_subject(subject)
            if len(found) >= count and steps[0] > found[-1]:
                break
            found.extend(islice((step for step in steps if not self._is_near(step)), count))
            found.sort()
            del found[count:]
        return found


class _Prior:
    """How likely the lot makes each row, before a word is typed."""

    def __init__(self, index: Index, context: Context) -> None:
        self.index = index
        name = context.carried.get("set")
        self.carried = index.set_id(name) if name else None
        if self.carried is None and not name and len(index.sets) == 1:
            self.carried = 0
        self.seen = frozenset(id for id in map(index.set_id, context.seen) if id is not None)
        before = context.before
        step = index.find(before.set, before.number, before.subject) if before is not None else None
        self.before = step if step is not None and index.set_of(step) == self.carried else None
        elsewhere = ANY + (CARRIED if self.carried is None else 0.0) + (0.0 if self.seen else SEEN)
        self.any = math.log(elsewhere / max(1, len(index)))
        self._seen = math.log(SEEN / max(1, sum(self._size(id) for id in self.seen)))
        size = self._size(self.carried) if self.carried is not None else 1
        self._steps = context.steps
        self._jump = math.log(CARRIED * self._steps.jump * (1 - AHEAD) / size)
        self._ahead = math.log(CARRIED * self._steps.jump * (AHEAD / REACH + (1 - AHEAD) / size))
        self._flat = math.log(CARRIED / size)

    def _size(self, set_id: int) -> int:
        return self.index.starts[set_id + 1] - self.index.starts[set_id]

    def first(self) -> list[int]:
        """The sets to look at first: the carried one, then those met in this lot."""
        return [*([self.carried] if self.carried is not None else []), *sorted(self.seen - {self.carried})]

    def of(self, step: int) -> float:
        """log prior of the row at a step."""
        set_id = self.index.set_of(step)
        if set_id == self.carried:
            if self.before is None:
                first = step == self.index.starts[set_id]
                return math.log(CARRIED * (self._steps.share(1) or 0.5)) if first else self._flat
            share = self._steps.share(step - self.before)
            if share is None:
                return self._ahead if 0 < step - self.before <= REACH else self._jump
            return max(self._jump, math.log(CARRIED * share))
        return self._seen if set_id in self.seen else self.any

    def likely(self, readings: list[Reading]) -> list[int]:
        """Steps worth a look though no word names them: the next ones of the carried set, team mates in it, and the
        first ones of a set that the hint names."""
        index, found = self.index, list[int]()
        if self.carried is not None:
            low, high, span = index.starts[self.carried], index.starts[self.carried + 1], self._steps.span
            if self.before is None:
                found.extend(range(low, min(high, low + span.stop)))
            else:
                found.extend(range(max(low, self.before + span.start), min(high, self.before + span.stop)))
            found.extend(self._team_mates(self.carried, readings))
        for set_id in _named_sets(readings):
            found.extend(range(index.starts[set_id], min(index.starts[set_id] + 4, index.starts[set_id + 1])))
            found.extend(self._team_mates(set_id, readings))
        return found

    def _team_mates(self, set_id: int, readings: list[Reading]) -> list[int]:
        teams = frozenset().union(*(reading.teams for reading in readings))
        if not teams:
            return []
        mates = self.index.near_set(set_id).teams
        return sorted(step for team in teams for step in mates.get(team, ()))[:NEAR_SETS]

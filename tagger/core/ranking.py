"""Which card a hint means: rows of the checklist, weighed by what the lot makes likely.

The score of a row, in one of its variants (parallel), is a natural logarithm::

    score = log prior(row | lot) + sum over the words of log weight(best reading of the word in this row)
            + RESPELLED for each way of joining or parting words that was tried before

    prior = CARRIED * share of the step          in the carried set; the step is counted in rows from the card before,
                                                 and its share is learned from this lot (`steps`); all steps that are
                                                 none of the usual ones share what is left, more of it ahead than behind
          = SEEN / rows of those sets            in a set met in this lot
          = ANY / all rows                       anywhere else

A word is read as number (its start counts little), as a word, the beginning of a word or the initials of the subject,
as team, set, parallel, serial number or condition, as a slip of the finger (`reading`, `variant`), or not at all.

Where each row could be meant:

- In the carried set, in sets met in this lot (and in all, where the lists are short and nothing is carried) every
  reading counts. A slip counts beside other readings from four letters on, before that where nothing else is found.
- A set that the hint names (at most NAMED_SETS) is searched as well; names count there as they do anywhere.
- Anywhere else a row counts only where every word fits it, half numbers left out; one letter is no name there, and a
  slip needs four letters, the right first one (or the first two changed over), and that nothing else has that word.

Confidence is the score's share among all candidates and one more: "this card is not in the checklists".
"""

from __future__ import annotations

import heapq
import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator
from itertools import islice

from tagger.core.candidate import Candidate, Context
from tagger.core.condition import Scale
from tagger.core.hint import Hint, Token, parse_hint, split_mixed
from tagger.core.index import Index, Near, within
from tagger.core.model import Tags
from tagger.core.numbers import canonical
from tagger.core.reading import GUESSES, NAMING, NUMBER, POOR, TEAM, Reading
from tagger.core.variant import SET_WORD, UNASKED, UNREAD, Option, Plan, Variants, Weighed, names

# The lot: how much of the probability lies in the carried set, in sets met in this lot, and in all others.
CARRIED, SEEN, ANY = 0.97, 0.02, 0.01
AHEAD, REACH = 0.6, 30  # of the jumps, how many go on by no more than so many rows
UNLISTED, UNLISTED_WORD = -11.5, -7.0  # log probability of "not in the checklists", and of each further word then
RESPELLED = -0.3  # for each way of joining or parting words that was tried before

GUESSED = 0.85  # a name that had to be mended, or a year that could be a number, is never quite sure
CONSIDERED, SETTLED = 24, 9  # rows that are weighed in full, and how many better ones make that needless
HOPELESS = 14.0  # a row whose first score is so far below the best is not weighed: less than one in a million
NEAR_ROWS, NEAR_SETS = 4000, 24  # how much is looked at closely
NAMED_SETS = 6  # that one hint can name; a year that more of them share tells them apart only with other words
CLOSEST = 12  # rows of each kind of parallels that are looked at to either side of the card before
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
        best: dict[tuple[int, str, str], Ranked] = {}
        others = math.exp(UNLISTED + UNLISTED_WORD * max(0, len(parsed.tokens) - 1))
        searches = [_Search(self.index, self.variants, each, prior) for each in self._spellings(parsed.tokens)]
        for order, search in enumerate(searches):
            for score, step, option in search.weigh(context):
                if parsed.tokens and not any(meaning for _, meaning in option.reasons):
                    continue
                key, score = (step, option.parallel, option.condition), score + order * RESPELLED
                if key not in best or best[key][0] < score:
                    best[key] = (score, step, option)
            others += search.passed_over
        if not parsed.tokens:  # nothing speaks for or against a row yet: its share is what the lot makes of it
            others = max(0.0, 1.0 - sum(math.exp(score) for score, _, _ in best.values()))
        ranked = sorted(best.values(), key=_order)
        total = sum(math.exp(score) for score, _, _ in ranked) + others
        whole = [item for item in ranked if not _unread(item[2])]
        shown = (whole or ranked)[:limit]
        if len(parsed.tokens) > 1 and not (shown and _is_clean(shown[0][2])):
            apart = [item for item in self._apart(searches[0], context) if item[1] not in _steps(shown)]
            shown = sorted(shown[: max(1, limit - len(apart))] + apart, key=_order)[:limit]
        return [self._candidate(item, total, parsed, context) for item in shown]

    def _apart(self, search: _Search, context: Context) -> list[Ranked]:
        """A number and a name that disagree: the likeliest card of each, whatever the other says."""
        numbers, subjects = search.naming()
        found: dict[int, Ranked] = {}
        for token in (*numbers, *subjects) if numbers and subjects else ():
            alone = _Search(self.index, self.variants, (token,), search.prior)
            named = [item for item in alone.weigh(context) if item[2].reasons and item[2].reasons[0][1] in NAMING]
            if named:
                step = min(named, key=_order)[1]
                found[step] = min(search.weigh_row(step, context), key=_order)
        return list(found.values())

    def _candidate(self, ranked: Ranked, total: float, parsed: Hint, context: Context) -> Candidate:
        score, step, option = ranked
        row = self.index.row(step)
        tags = Tags(
            row.set, row.number, row.subject, row.team, option.parallel, option.serial,
            option.condition or context.carried.get("condition"),
            context.carried.get("place") if parsed.place is None else parsed.place,
            context.carried.get("note") if parsed.note is None else parsed.note,
            True, row.extra,
        )  # fmt: skip
        share = min(1.0, math.exp(score) / total) * option.doubt
        if any(meaning in GUESSES for _, meaning in option.reasons):
            share *= GUESSED
        return Candidate(tags, share, option.run, option.problem or _not_read(option), option.reasons)

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


def _order(item: Ranked) -> tuple[float, int, str, str]:
    return -item[0], item[1], item[2].parallel, item[2].condition


def _steps(shown: list[Ranked]) -> set[int]:
    return {step for _, step, _ in shown}


def _is_clean(option: Option) -> bool:
    return all(meaning and meaning not in POOR for _, meaning in option.reasons)


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
        self._plans: dict[int, list[Plan]] = {}
        # Words that repeat the carried set, but could be a number of it as well.
        self._numbers_too = {
            reading
            for reading in self.readings
            if prior.carried in reading.sets and within(reading.far_numbers, index.steps(prior.carried))
        }

    def weigh(self, context: Context) -> Iterator[Ranked]:
        """The likeliest rows in all their variants."""
        rough = self._near()
        for step, score in self._far():
            if self.only is None or self.index.set_of(step) in self.only:
                rough[step] = score
        top = heapq.nlargest(CONSIDERED, ((score, -step) for step, score in rough.items()))
        # A first score is the most that a row can come to, so nine that are better than the rest can be settle it.
        more = 0.0 if any(loose > UNREAD for loose in self.loose) else UNASKED
        best: list[float] = []
        for score, negative in top:
            if score < top[0][0] - HOPELESS:
                break
            if len(best) >= SETTLED and score + more <= best[0]:
                self.passed_over += math.exp(score + more)
                continue
            for item in self.weigh_row(-negative, context):
                yield item
                heapq.heappush(best, item[0])
                if len(best) > SETTLED:
                    heapq.heappop(best)

    def naming(self) -> tuple[list[Token], list[Token]]:
        """The words that are numbers, and those that can only be names."""
        hard = [reading for reading, loose in zip(self.readings, self.loose, strict=True) if loose <= UNREAD]
        numbers = [reading.token for reading in hard if reading.number_id >= 0]
        subjects = [reading.token for reading in hard if reading.named and len(reading.spelled) > 1]
        return numbers, [token for token in subjects if token not in numbers]

    def weigh_row(self, step: int, context: Context) -> Iterator[Ranked]:
        """One row in all its variants."""
        prior, set_id, carried = self.prior.of(step), self.index.set_of(step), self.prior.carried
        named = carried is None or any(reading.as_row(step) is not None for reading in self.readings)
        words = [
            Weighed(
                reading.token,
                *reading.in_row(step, set_id, carried if not named or reading in self._numbers_too else None),
            )
            for reading in self.readings
        ]
        parallels = self.index.parallels_at(step)
        plans = self._plans.get(id(parallels))
        if plans is None:
            tokens = [reading.token for reading in self.readings]
            plans = self._plans[id(parallels)] = self.variants.plans(parallels, tokens, context.carried)
        for plan in plans:
            for option in self.variants.options(plan, words, self.condition):
                yield prior + option.weight, step, option

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
            if set_id in close:
                gains.update(dict.fromkeys(self._of_named_kinds(near), 0.0))
            for at, reading in enumerate(self.readings):
                best: dict[int, float] = {}
                for step, weight in reading.near_hits(near) if set_id in close else reading.named_hits(near):
                    best[step] = max(weight - least[at], best.get(step, 0.0))
                for step, gain in best.items():
                    gains[step] = gains.get(step, 0.0) + gain
            base = sum(least)
            scores.update((step, self.prior.of(step) + base + gain) for step, gain in gains.items())
        return scores

    def _of_named_kinds(self, near: Near) -> list[int]:
        """Rows of a set that have a parallel which a word names while others have none: the next ones from the card
        before, and the first of the set."""
        if len(near.by_parallels) < 2:
            return []
        soft = [reading.token for reading, loose in zip(self.readings, self.loose, strict=True) if loose > UNREAD]
        found: list[int] = []
        for steps in near.by_parallels.values() if soft else ():
            if any(names(parallel, token) for parallel in self.index.parallels_at(steps[0]) for token in soft):
                after = bisect_left(steps, self.prior.before or 0)
                found.extend((*steps[max(0, after - CLOSEST) : after + CLOSEST], *steps[:CLOSEST]))
        return found

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
        if weights := reading.far_subjects or (reading.named and len(reading.spelled) == 1):
            subject_of = index.subject_of
            get = weights.get if isinstance(weights, dict) else reading.weight_of_subject
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
        near = sum(len(within(reading.far_numbers, index.steps(set_id))) for set_id in self._looked_at)
        self.passed_over += (len(reading.far_numbers) - len(numbered) - near) * math.exp(prior + NUMBER)
        by_weight: dict[float, list[int]] = {}
        for subject, weight in reading.far_subjects.items():
            by_weight.setdefault(weight, []).append(subject)
        near_rows = self._near_rows(reading) if by_weight else Counter[float]()
        left = CONSIDERED
        for weight in sorted(by_weight, reverse=True):
            steps = self._first_steps(by_weight[weight], left) if left else []
            yield from ((step, prior + weight) for step in steps)
            left -= len(steps)
            rows = sum(map(index.count_of_subject, by_weight[weight])) - near_rows[weight]
            self.passed_over += (rows - len(steps)) * math.exp(prior + weight)

    def _near_rows(self, reading: Reading) -> Counter[float]:
        """How many of the rows that a word names are looked at closely, by its weight."""
        found: Counter[float] = Counter()
        get = reading.far_subjects.get
        for set_id in self._looked_at:
            found.update(w for subject in self.index.near_set(set_id).subject_of if (w := get(subject)) is not None)
        return found

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

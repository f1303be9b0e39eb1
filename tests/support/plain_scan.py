"""A plain scan in place of the index: every row is weighed under every spelling of a hint, one
after the other.

It is slow and has nothing to look anything up in, so there is nothing in it that could pass over a
row. What it takes from the program is the formula: the weights, the taking apart of a hint, and the
variants of one row. The rules that say which rows count at all are written out here:

1. A set is *at hand* where it is the carried one, was met in this lot, or is named by the most
   words of the hint; where so many are named that no one is meant, none is. Where no set is at hand
   all are, unless the hint ties itself to a set. There is a limit to the sets and rows at hand, and
   in this order: carried, named, met.
2. In a set at hand each row counts that a word names by number, subject or team, that every word
   fits, or that is one of the usual steps: in the carried set from the card before, in one that was
   met from its last card or from the number of the card before, whichever foretells this lot
   better. In any other set a row counts only where every word fits it. A word that could be a
   parallel, a serial number or a condition of some card fits anywhere, as a slip in a parallel's
   word only where no number and no subject anywhere can be read as it; the start of a number fits
   nowhere. One of the words that can be no variant (where all can: one of them) must name the row
   by number or by two letters of a subject at least; of two such words one may name it by its set.
3. A slip of the finger is looked for in the carried set and in those met in this lot (where there
   are none, in those at hand), from four letters on always, and with three where nothing else in
   that set reads as the word. In any other set it takes four letters, no subject at all that reads
   as the word, and a name that starts with its first or second one.
4. With nothing typed, or a condition only, the usual steps from the card before count, or the first
   cards of the carried set, and no more; what the lot gives to all others remains theirs.
5. A row on which not one word can be read is no candidate. Where the words of the best candidate do
   not all read well, and one word can only be a number and another only a name, the likeliest card
   of each is shown as well.
6. A card that needs a slip in a word stands behind the best that reads well and has that word in
   its name as typed. So does one whose number is written otherwise than typed, where leading zeros
   or a sign between digits were typed, behind the best that is written so; and in one set it does
   whatever was typed.
7. A number alone may be one with letters before it, as the card before has them, before the number
   itself; letters may be those that others begin with. One whose letters were left out is shown in
   any case.
8. Beside a number a set that no word says is less likely, unless it is the carried one or alone has
   that number, by how
   often the dealer leaves it out; no card is sure by that alone. Cards that need a slip count
   together no more than one of them would.
9. Digits that could be a number of the carried set as well as its year say that it is that where
   another word is the number of the card; behind the number they say less. Of the same digits
   twice, the first are the year. Where two words name a card either way, as number and year, none
   of these is sure, and those whose set stands behind stand behind the best of the others.
10. Digits are a word of a name where another word is of the same name, and so are the words of a
   condition where they are not all that is typed of a name, in its order, or are all of it.
11. Where a name is typed in full, other cards of its set (of any, where none is carried) stand
   behind it, all together: of one word those that read it as of their names, else all. Of one card
   what reads fewer words of two or more that follow each other in its name stands behind as well.
12. Scores that differ by less than a billionth are the same: such cards stand in the order of their
   steps.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import accumulate, pairwise
from typing import NamedTuple

from support.plain_words import Word, words_of_set
from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import SURE, Candidate
from tagger.core.matching.hint import Token, parse_hint, split_mixed
from tagger.core.matching.matcher import RESPELLED
from tagger.core.matching.prefixed import BEGUN, LEFT_OUT, MOST, OUT_OF_RUN
from tagger.core.matching.prefixed import BEHIND as LESS
from tagger.core.matching.priors.context import Context
from tagger.core.matching.priors.prior import ANY, CARRIED, SEEN
from tagger.core.matching.priors.steps import REACH, Steps
from tagger.core.matching.priors.years import SET_BEHIND
from tagger.core.matching.ranking import set_first, whole_names
from tagger.core.matching.ranking.confidence import (
    BY_CHANCE,
    ELSE,
    GUESSED,
    LEANING,
    LONG,
    MOST_LETTERS,
    OF_NUMBER,
    UNLISTED,
    UNLISTED_WORD,
)
from tagger.core.matching.ranking.typed_exactly import BEHIND, BEHIND_PRINTED
from tagger.core.matching.read import (
    CARRIED_SET_LETTER,
    CARRIED_SET_WORD,
    GUESSES,
    LETTERED,
    NAMING,
    NUMBER_START,
    POOR,
    REPEATED,
    SET_WORD,
    UNREAD,
)
from tagger.core.matching.search import NAMED_SETS, NEAR_ROWS, NEAR_SETS
from tagger.core.matching.variants.option import Option
from tagger.core.matching.variants.variant import SpelledCondition, Variants
from tagger.core.matching.variants.variant_words import (
    PARALLEL_SLIP,
    SERIAL,
    Weighed,
    condition_weight,
)
from tagger.core.model.condition import Scale
from tagger.core.model.numbers import canonical, parse_serial
from tagger.core.model.tags import Parallel, Row, Tags
from tagger.core.model.text import fold, initials, natural, people, words

Ranked = tuple[float, int, Option]  # log score, step, variant
Way = tuple[float, Steps, int | None]  # how much it counts, its steps, the row that it goes on from


def _pieces(name: str) -> list[str]:
    found = ("".join(c for c in fold(piece) if c.isalnum()) for piece in name.split())
    return [piece for piece in found if piece]


def _within_name(typed: list[str], places: range, name: str) -> bool:
    """Whether the words at some places are words of a name, and the one before or behind is the
    next of it, or they are all of it."""
    pieces, own = _pieces(name), typed[places.start : places.stop]
    if len(pieces) == len(own):
        return pieces == own
    for at in range(len(pieces)):
        if pieces[at : at + len(own)] == own:
            before = typed[places.start - 1] if places.start else None
            if at and before == pieces[at - 1]:
                return True
            behind = "".join(typed[places.stop : places.stop + 1])
            if len(behind) > 1 and "".join(pieces[at + len(own) :][:1]).startswith(behind):
                return True
    return False


def _only_repeating(option: Option) -> list[str]:
    said = {meaning for _, meaning in option.reasons} - {"", REPEATED}
    return [word for word, meaning in option.reasons if said and meaning == REPEATED]


def _number_and_year(option: Option) -> tuple[str, str, bool] | None:
    """The words that are number and year of a card, and whether the year goes first."""
    numbers = [at for at, (_, as_) in enumerate(option.reasons) if as_ in ("number", LETTERED)]
    years = [
        at
        for at, (word, as_) in enumerate(option.reasons)
        if as_ in ("set", REPEATED) and word.isdecimal()
    ]
    if not numbers or not years or not all(as_ for _, as_ in option.reasons):
        return None
    number, year = option.reasons[numbers[-1]][0], option.reasons[years[-1]][0]
    return None if number == year else (number, year, years[-1] < numbers[-1])


class Search(NamedTuple):
    """The words of one spelling, the sets that it is tied to, and the sets that are at hand."""

    words: list[Word]
    only: set[str] | None
    at_hand: set[str]


def _digits_at(tokens: tuple[Token, ...], set_words: set[str]) -> int | None:
    """The first word of digits alone that may be a number; a year of a set as the last resort."""
    found = [
        at
        for at, token in enumerate(tokens)
        if token.pin in ("", "number") and re.fullmatch("[0-9]{1,6}", token.text)
    ]
    found.sort(key=lambda at: tokens[at].text in set_words)
    return found[0] if found else None


def _as_number(tokens: tuple[Token, ...], start: int, end: int, text: str) -> tuple[Token, ...]:
    """Words in one as the number `text`."""
    raw = " ".join(token.raw for token in tokens[start:end])
    return (*tokens[:start], Token(raw, text, "number"), *tokens[end:])


def _around(number: str, of_set: set[str]) -> tuple[str, str]:
    """What stands around the digits of a number that most others of its form differ in."""
    form = re.split("[0-9]+", number)
    alike = [re.findall("[0-9]+", one) for one in of_set if re.split("[0-9]+", one) == form]
    kinds = [len({each[at] for each in alike}) for at in range(len(form) - 1)]
    own = max(at for at, count in enumerate(kinds) if count == max(kinds))
    digits = re.findall("[0-9]+", number)
    head = "".join(text + said for text, said in zip(form, digits[:own], strict=False))
    tail = "".join(
        said + text for said, text in zip(digits[own + 1 :], form[own + 2 :], strict=True)
    )
    return head + form[own], form[own + 1] + tail


def _signed(number: str) -> str:
    """A number with its leading zeros and with the signs between its digits."""
    return re.sub(r"(?<!\d)[\W_]|[\W_](?!\d)", "", number)


def _order(item: Ranked) -> tuple[float, int, str, str]:
    return -round(item[0], 9), item[1], item[2].parallel, item[2].condition


def _likeliest(
    set: str, carried: str | None, others: dict[str, float], step: int
) -> tuple[bool, float, int]:
    """Orders rows: those of the carried set first, then those of the likeliest sets."""
    return set != carried, -others.get(set, 0.0), step


def _letters_named(item: Ranked) -> int:
    """How many letters of a word begin a name; of a card in no checklist they would by chance."""
    reasons = item[2].reasons
    if item[2].problem or not _reads_well(item[2]):
        return 0
    named = [len(word) for word, meaning in reasons if "the subject" in f"the {meaning}"]
    numbers = [
        _signed(fold(word).split("=")[-1]) for word, meaning in reasons if meaning == "number"
    ]
    of_numbers = [OF_NUMBER * len(number) for number in numbers if not number.isdigit()]
    letters = max((length for length in named if length >= LONG), default=0)
    return min(MOST_LETTERS, max(letters, *of_numbers, 0))


def _reads_well(option: Option) -> bool:
    return all(meaning and meaning not in POOR for _, meaning in option.reasons)


class PlainScan:
    """Ranks the rows of a checklist against hints without an index."""

    def __init__(self, rows: Sequence[Row]) -> None:
        self.scale = Scale()
        self.variants = Variants(self.scale)
        self.sets = list(dict.fromkeys(row.set for row in rows))
        first: dict[str, str] = {}
        for row in rows:
            first.setdefault(canonical(row.number), row.number)
        places = {set: at for at, set in enumerate(self.sets)}
        self.rows = sorted(
            rows, key=lambda row: (places[row.set], natural(first[canonical(row.number)]))
        )
        self._by_set = {set: [row for row in self.rows if row.set == set] for set in self.sets}
        self._starts = {
            set: next(at for at, row in enumerate(self.rows) if row.set == set) for set in self.sets
        }
        aliases: dict[str, dict[str, None]] = {}
        for row in rows:
            aliases.setdefault(row.subject, {}).update({row.alias: None} if row.alias else {})
        self._names = {
            subject: (*people(subject), *(person for alias in known for person in people(alias)))
            for subject, known in aliases.items()
        }
        self._parallels = {row.parallels for row in rows}
        self.numbers = {canonical(row.number) for row in rows}
        self.numbers_by_set = {(row.set, canonical(row.number)) for row in rows}
        self.subject_words = {
            word for names in self._names.values() for name in names for word in words(name)
        }
        self.set_words = {word for set in self.sets for word in words_of_set(set)}
        self.initials = {initials(name) for names in self._names.values() for name in names}
        self.parallel_words = {
            word for row in rows for parallel in row.parallels for word in words(parallel.name)
        }

    def names(self, row: Row) -> tuple[str, ...]:
        """The names of all people on a card, also written in other ways."""
        return self._names[row.subject]

    def rows_of(self, set: str) -> list[Row]:
        """The rows of a set, by number."""
        return self._by_set[set]

    def _begin(self, context: Context) -> None:
        """What is asked of each row is worked out once a lot."""
        self._bare, self._bare_at_most, self._said = 0.0, 0.0, set[str | None]()
        self._ways: dict[str, list[Way]] = {}
        self._of_sets = self._shares(context)

    def rank(self, hint: str, context: Context | None = None, limit: int = 9) -> list[Candidate]:
        """Candidates, best first, as `Matcher.rank` has them."""
        context = context or Context()
        self._begin(context)
        parsed = parse_hint(hint)
        best: dict[tuple[int, str, str], Ranked] = {}
        self._leave_out(self._weighed_spellings(parsed.tokens, context), context)
        for tokens, weight in self._weighed_spellings(parsed.tokens, context):
            left, condition = self._take_condition(tokens)
            for score, step, option in self._weigh(left, condition, context):
                key, score = (step, option.parallel, option.condition), score + weight
                if key not in best or best[key][0] < score:
                    best[key] = (score, step, option)
        read_whole = [item[0] for item in best.values() if all(read for _, read in item[2].reasons)]
        named = set() if read_whole else self._named_by(self._take_condition(parsed.tokens)[0])
        anywhere = not read_whole and not named
        left_out = self._left_out(parsed.tokens, context, named, anywhere)
        peak = max(read_whole, default=0.0)
        for key, (score, step, option) in left_out.items():
            item = min(score, peak - LESS), step, option
            if key not in best or best[key][0] < item[0]:
                best[key] = item
        best = {key: self._behind(item, best.values()) for key, item in best.items()}
        best = self._held(best)
        best = self._set_first(self._whole_names(best, context))
        whole = [item for item in best.values() if all(meaning for _, meaning in item[2].reasons)]
        apart = [best[key] for key in left_out]
        if len(parsed.tokens) > 1 and not (whole and _reads_well(min(whole, key=_order)[2])):
            for item in self._apart(parsed.tokens, context):
                apart.append(best.setdefault((item[1], item[2].parallel, item[2].condition), item))
        known = sum(math.exp(score) for score, _, _ in best.values())
        if self._take_condition(parsed.tokens)[0]:
            read = len(min(whole, key=_order)[2].reasons) if whole else 0
            unlisted = UNLISTED + UNLISTED_WORD * (max(len(parsed.tokens), read) - 1)
            for word in _only_repeating(min(whole, key=_order)[2]) if whole else ():
                as_repeated = CARRIED_SET_LETTER if len(word) == 1 else CARRIED_SET_WORD
                unlisted += as_repeated - UNLISTED_WORD
            letters = max(map(_letters_named, best.values()), default=0)
            others, at_most = math.exp(unlisted + BY_CHANCE * letters), math.exp(unlisted)
        else:
            others = at_most = max(0.0, 1.0 - known)
        shown = sorted(whole or best.values(), key=_order)[:limit]
        apart = [item for item in apart if item not in shown]
        shown = sorted(shown[: max(1, limit - len(apart))] + apart, key=_order)[:limit]
        found = [
            self._candidate(item, known + others, parsed.place, parsed.note, context)
            for item in shown
        ]
        more = sum(self._as_said(one) - math.exp(one[0]) for one in best.values())
        doubted = known + at_most + more
        for at, item in enumerate(shown):
            if doubted != known + others and self._as_said(item) < SURE * doubted:
                found[at] = replace(found[at], confidence=min(found[at].confidence, LEANING))
        return found

    def _leave_out(
        self, spelled: Iterable[tuple[tuple[Token, ...], float]], context: Context
    ) -> None:
        """How likely a set is left out of a hint, and the sets for which that does not hold."""
        self._said = {self._carried(context)}
        for tokens, _ in spelled:
            for word in self._read(self._take_condition(tokens)[0], context).words:
                self._said |= word.sets
                having = {row.set for row in self.rows if word.is_very_number_of(row)}
                if len(having) == 1:
                    self._said |= having
                for set in self.sets:
                    if word.as_letter_of_set(set, self._carried(context), self._seen(context))[1]:
                        self._said.add(set)
                if word.number and word.number in self.numbers and self._carried(context):
                    self._bare = math.log(context.changes.bare)
                    self._bare_at_most = math.log(context.changes.bare_at_most)

    def _as_said(self, item: Ranked) -> float:
        """The probability of a card, if its set was not left out."""
        unsaid = self._unsaid(self.rows[item[1]].set)
        return math.exp(item[0] - (unsaid - self._bare_at_most if unsaid else 0.0))

    def _unsaid(self, set: str) -> float:
        return 0.0 if set in self._said else self._bare

    def _set_first(
        self, best: dict[tuple[int, str, str], Ranked]
    ) -> dict[tuple[int, str, str], Ranked]:
        """The cards that two words name either way, as number and year, none of them sure."""
        found = dict(best)
        for key, (score, step, option) in best.items():
            two = _number_and_year(option)
            others = [
                item[0]
                for item in best.values()
                if two and (other := _number_and_year(item[2])) and other[:2] == (two[1], two[0])
            ]
            if two and others:
                least = score if two[2] else min(score, max(others) - set_first.BEHIND)
                option = option._replace(doubt=option.doubt * set_first.UNCLEAR)
                found[key] = least, step, option
        return found

    def _whole_names(
        self, best: dict[tuple[int, str, str], Ranked], context: Context
    ) -> dict[tuple[int, str, str], Ranked]:
        """The cards with those behind that read words of a whole name otherwise."""
        carried = self._carried(context)
        limits: dict[tuple[int, str, str], float] = {}
        whole: dict[str, tuple[float, tuple[str, ...]]] = {}
        for score, step, option in best.values():
            typed, is_whole, in_order = self._typed_of(step, option)
            place = self.rows[step].set if carried is not None else ""
            if option.problem or not _reads_well(option) or not in_order:
                continue
            if is_whole:
                whole[place] = max(whole.get(place, (-math.inf, ())), (score, typed))
            if len(typed) > 1:
                for key, (_, other, its) in best.items():
                    if other == step and len(self._typed_of(other, its)[0]) < len(typed):
                        limits[key] = min(
                            limits.get(key, math.inf), score - whole_names.BEHIND_WORDS
                        )
        for place, (score, typed) in whole.items():
            behind = [
                key
                for key, (its_score, step, option) in best.items()
                if place in ("", self.rows[step].set)
                and not self._typed_of(step, option)[1]
                and its_score > score - whole_names.BEHIND_WHOLE
                and (
                    len(typed) > 1
                    or any(w in typed and m in whole_names.OF_NAMES for w, m in option.reasons)
                )
            ]
            for key in behind:
                most = score - whole_names.BEHIND_WHOLE - math.log(len(behind))
                limits[key] = min(limits.get(key, math.inf), most)
        return {
            key: (min(item[0], limits.get(key, math.inf)), *item[1:]) for key, item in best.items()
        }

    def _typed_of(self, step: int, option: Option) -> tuple[tuple[str, ...], bool, bool]:
        """The words that stand in the name of a card; whether they are all of it, and whether they
        follow each other there."""
        typed = tuple(dict.fromkeys(word for word, as_ in option.reasons if as_ == "subject"))
        spelled = [
            "".join(c for c in fold(word.rpartition("=")[2]) if c.isalnum()) for word in typed
        ]
        row = self.rows[step]
        every = [_pieces(name) for name in (row.subject, *self.names(row))]
        whole = bool(typed) and any("".join(spelled) == "".join(pieces) for pieces in every)
        follow = any(
            pieces[at : at + len(spelled)] == spelled
            for pieces in every
            for at in range(len(pieces))
        )
        return typed, whole, bool(typed) and (whole or follow)

    def _held(self, best: dict[tuple[int, str, str], Ranked]) -> dict[tuple[int, str, str], Ranked]:
        """The cards with those that need a slip in the same words held as low together as one."""
        slips = {
            key: frozenset(word for word, as_ in item[2].reasons if as_.endswith("mistyped"))
            for key, item in best.items()
        }
        held = {}
        for key, (score, step, option) in best.items():
            exact = [
                other[0]
                for other in best.values()
                if not other[2].problem
                and _reads_well(other[2])
                and slips[key]
                <= {word for word, as_ in other[2].reasons if "the subject" in f"the {as_}"}
            ]
            if slips[key] and exact:
                whole = sum(math.exp(best[one][0]) for one in best if slips[one] == slips[key])
                score += min(0.0, max(exact) - BEHIND - math.log(whole))
            held[key] = score, step, option
        return held

    def _behind(self, item: Ranked, every: Collection[Ranked]) -> Ranked:
        """A card behind the best of all that are more exactly what was typed."""
        score, step, option = item
        slips = {word for word, meaning in option.reasons if meaning.endswith("mistyped")}
        typed, written = self._number(item)
        # nothing that others could be more exactly, and they may be thousands
        if not (slips or typed):
            return item
        limit = math.inf
        for kind in ("name", "key", "set", "nearly"):
            better: list[float] = []
            for other in every:
                if other[2].problem or not _reads_well(other[2]):
                    continue
                names = {
                    word for word, meaning in other[2].reasons if "the subject" in f"the {meaning}"
                }
                its_typed, its_written = self._number(other)
                same_set = self.rows[other[1]].set == self.rows[step].set
                zeros = typed and _signed(typed) != canonical(typed).replace("-", "")
                nearly = bool(typed and its_typed) and _signed(typed) != _signed(written)
                alike = _signed(its_typed) == _signed(its_written)
                if (
                    (kind == "name" and slips and slips <= names)
                    or (kind == "key" and zeros and nearly and alike)
                    or (
                        kind == "set" and same_set and typed != written and its_typed == its_written
                    )
                    or (kind == "nearly" and same_set and nearly and alike)
                ):
                    better.append(other[0])
            if better and (kind in ("name", "key") or typed):
                limit = min(
                    limit, max(better) - (BEHIND if kind in ("name", "key") else BEHIND_PRINTED)
                )
        return min(score, limit), step, option

    def _number(self, item: Ranked) -> tuple[str, str]:
        """The number of a card as typed and as written; both empty where none was read as it."""
        typed = [word for word, meaning in item[2].reasons if meaning == "number"]
        written = fold(self.rows[item[1]].number)
        number = fold(typed[0].split("=")[-1].lstrip("#")) if typed else ""
        if canonical(number) != canonical(written):
            return "", ""
        return number, written

    def _apart(self, tokens: tuple[Token, ...], context: Context) -> list[Ranked]:
        """Where one word can only be a number and another only a name: the likeliest card of each,
        weighed under all words."""
        left, condition = self._take_condition(tokens)
        search = self._read(left, context)
        hard = [word for word in search.words if word.loose <= UNREAD]
        numbers = [word for word in hard if word.number in self.numbers]
        names = [
            word for word in hard if word.named and len(word.spelled) > 1 and word not in numbers
        ]
        found: dict[int, Ranked] = {}
        for word in (*numbers, *names) if numbers and names else ():
            alone = self._weigh(*self._take_condition((word.token,)), context)
            named = [item for item in alone if item[2].reasons[0][1] in NAMING]
            if named:
                step = min(named, key=_order)[1]
                found[step] = min(self._weigh_row(step, search, condition, context), key=_order)
        return list(found.values())

    def _candidate(
        self, item: Ranked, total: float, place: str | None, note: str | None, context: Context
    ) -> Candidate:
        score, step, option = item
        row = self.rows[step]
        carried = context.carried.get
        tags = Tags(
            row.set, row.number, row.subject, row.team, option.parallel, option.serial,
            option.condition or carried("condition"),
            carried("place") if place is None else place,
            carried("note") if note is None else note, True, row.extra,
        )  # fmt: skip
        unread = ", ".join(f"'{word}'" for word, meaning in option.reasons if not meaning)
        problem = option.problem or (f"this card does not match {unread}" if unread else "")
        begun = [word for word, as_ in option.reasons[:-1] if as_ == "start of the number"]
        problem = problem or (f"'{begun[0]}' is only the beginning of its number" if begun else "")
        guessed = any(meaning in GUESSES for _, meaning in option.reasons)
        elsewise = False
        for (earlier, _), (word, meaning) in pairwise(option.reasons):
            if meaning == "serial number" and re.fullmatch("[0-9]+", word):
                elsewise |= word in self.set_words or (
                    re.fullmatch("[0-9]+", earlier) is not None
                    and canonical(earlier + word) in self.numbers
                )
        certain = ELSE if elsewise else GUESSED if guessed else 1.0
        confidence = min(1.0, math.exp(score) / total) * option.doubt * certain
        return Candidate(tags, confidence, option.run, problem, option.reasons)

    def _spellings(self, tokens: tuple[Token, ...], context: Context) -> list[tuple[Token, ...]]:
        """As typed; with letters and digits joined to a number that exists; with letters and digits
        parted where they are no number; with the last of several numbers as a serial number, where
        a parallel is carried and none is typed."""
        joined: list[Token] = []
        for token in tokens:
            before = joined[-1] if joined else None
            if (
                before
                and not before.pin
                and not token.pin
                and before.text.isalpha() != token.text.isalpha()
            ):
                whole = before.text + token.text
                if canonical(whole) in self.numbers:
                    joined[-1] = Token(f"{before.raw} {token.raw}", whole, "number")
                    continue
            joined.append(token)
        parted: list[Token] = []
        for token in tokens:
            halves = None if canonical(token.text) in self.numbers else split_mixed(token)
            parted.extend(halves or (token,))
        serial, named = _serial_last(joined, context), self._of_names(tokens)
        return list(dict.fromkeys((tokens, tuple(joined), tuple(parted), serial, named)))

    def _of_names(self, tokens: tuple[Token, ...]) -> tuple[Token, ...]:
        """The hint with the words tied to a name that would by themselves be read otherwise."""
        found = list(tokens)
        every = {name for names in self._names.values() for name in names}
        for at, token in enumerate(tokens):
            if not token.pin and token.text.isdigit():
                names = [name for name in every if token.text in words(name)]
                if any(
                    other.pin in ("", "subject")
                    and len(other.text) > 1
                    and not other.text.isdigit()
                    and any(word.startswith(other.text) for name in names for word in words(name))
                    for other in tokens
                ):
                    found[at] = token._replace(pin="subject")
            texts = [one.text if one.pin in ("", "condition") else "" for one in tokens[at:]]
            read = self.scale.read_several(texts)
            if read is not None and any(
                _within_name([one.text for one in tokens], range(at, at + read[1]), subject)
                for subject in self._names
            ):
                for place in range(at, at + read[1]):
                    found[place] = tokens[place]._replace(pin="subject")
        return tuple(found)

    def _weighed_spellings(
        self, tokens: tuple[Token, ...], context: Context
    ) -> Iterator[tuple[tuple[Token, ...], float]]:
        """All spellings with their weights: as above; with the letters before the number of the
        card before put before a number, where the carried set has such a card; and with letters
        before a number that begin those of other cards written out."""
        head, tail = self._around_digits(context)
        every = self._spellings(tokens, context)
        for order, spelling in enumerate(every):
            at = _digits_at(spelling, self.set_words)
            text = spelling[at].text if at is not None else ""
            # zeros that are printed so are meant
            zeros = text[:1] == "0" and text in {row.number for row in self.rows} - {"0"}
            digits = canonical(text)
            whole = head + digits + tail if (head or tail) and text and not zeros else ""
            rows = self.rows_of(self._carried(context) or "") if whole else []
            prefix = not tail and re.search(r"[^\W\d_]", head)
            if not prefix and any(canonical(row.number) == digits for row in rows):
                rows = []
            versions = {
                canonical(row.number)
                for row in rows
                if re.fullmatch(f"{re.escape(head + digits)}[^\\W\\d_]", canonical(row.number))
            }
            if re.fullmatch("[^\\W\\d_]", tail) and len(versions) > 1:
                rows = []
            in_run = any(canonical(row.number) == whole for row in rows)
            again = in_run and self._is_begun_again(whole, (head, tail), context)
            yield spelling, order * RESPELLED + (OUT_OF_RUN if in_run and not again else 0.0)
            if in_run and at is not None:
                yield _as_number(spelling, at, at + 1, whole), order * RESPELLED
        for at, token in enumerate(tokens):
            match = re.fullmatch(r"([^\W\d_]+)([0-9]+)", token.text)
            before = tokens[at - 1] if at else None
            if match and token.pin in ("", "number"):
                start, letters, digits = at, match[1], match[2]
            elif (
                before
                and before.text.isalpha()
                and before.pin == token.pin == ""
                and re.fullmatch("[0-9]{1,6}", token.text)
            ):
                start, letters, digits = at - 1, before.text, token.text
            else:
                continue
            begun = [
                number
                for number in self._ending_in(canonical(digits), context)
                if number.startswith(letters) and number != letters + canonical(digits)
            ]
            for number in begun[:MOST]:
                yield _as_number(tokens, start, at + 1, number), BEGUN
            return

    def _ending_in(self, digits: str, context: Context) -> list[str]:
        """Numbers with letters before these digits, those of the carried set first."""
        carried = {canonical(row.number) for row in self.rows if row.set == self._carried(context)}
        found = (
            number
            for number in self.numbers
            if (match := re.fullmatch(r".*[^0-9]([0-9]+)[^0-9]*", number)) and match[1] == digits
        )
        return sorted(found, key=lambda number: (number not in carried, number))

    def _around_digits(self, context: Context) -> tuple[str, str]:
        """What stands before and behind the digits of the card before, where that is of the
        carried set; else of all cards of that."""
        carried = self._carried(context)
        of_set = {canonical(row.number) for row in self.rows_of(carried)} if carried else set[str]()
        around = {
            number: _around(number, of_set) for number in of_set if re.search("[0-9]", number)
        }
        if self._before(context) is not None and context.before is not None:
            return around.get(canonical(context.before.number), ("", ""))
        return next(iter(around.values())) if len(set(around.values())) == 1 else ("", "")

    def _is_begun_again(self, whole: str, around: tuple[str, str], context: Context) -> bool:
        """Whether the card before is the last that is numbered so, and this one comes before it."""
        before, carried = self._before(context), self._carried(context)
        if before is None or carried is None:
            return False
        numbers = [canonical(row.number) for row in self.rows_of(carried)]
        at = before - self._starts[carried]
        after = numbers[at + 1 : at + 2]
        goes_on = any(_around(number, set(numbers)) == around for number in after)
        return not goes_on and all(
            place < at for place, number in enumerate(numbers) if number == whole
        )

    def _left_out(
        self, tokens: tuple[Token, ...], context: Context, named: set[str], anywhere: bool
    ) -> dict[tuple[int, str, str], Ranked]:
        """The cards that a number could be whose letters were left out, in the sets that are
        named, carried or were met, where there are such; behind those in the first ones of all."""
        at = _digits_at(tokens, self.set_words)
        if at is None:
            return {}
        met, found, tried = self._met(context) | named, list[Ranked](), 0
        carried, (_, others, _) = self._carried(context), self._of_sets
        for number in self._ending_in(canonical(tokens[at].text), context):
            steps = [
                step
                for step, row in enumerate(self.rows)
                if canonical(row.number) == number and (row.set in met or not met)
            ]
            steps.sort(
                key=lambda step: (
                    self.rows[step].set not in named,
                    _likeliest(self.rows[step].set, carried, others, step),
                )
            )
            if anywhere:
                rest = [at for at, row in enumerate(self.rows) if canonical(row.number) == number]
                steps = list(dict.fromkeys((*steps[:MOST], *rest[:MOST])))
            left, condition = self._take_condition(_as_number(tokens, at, at + 1, number))
            search = self._read(left, context)
            for step in steps[:MOST]:
                item = min(self._weigh_row(step, search, condition, context), key=_order)
                if all(meaning for _, meaning in item[2].reasons):
                    found.append((item[0] + LEFT_OUT, *item[1:]))
            tried += bool(steps)
            if tried == MOST:
                break
        return {
            (item[1], item[2].parallel, item[2].condition): item
            for item in sorted(found, key=_order)[:MOST]
        }

    def _read(self, left: tuple[Token, ...], context: Context) -> Search:
        read = [Word(token, self) for token in left]
        tied = [word.sets for word in read if word.token.pin == "set" and word.token.text]
        only = set.intersection(*tied) if tied else None
        return Search(read, only, self._at_hand(read, only, context))

    def _weigh(
        self, left: tuple[Token, ...], condition: SpelledCondition, context: Context
    ) -> Iterator[Ranked]:
        search = self._read(left, context)
        for step, row in enumerate(self.rows):
            if search.only is not None and row.set not in search.only:
                continue
            if not left:
                if not self._next(step, context):
                    continue
            elif row.set not in search.at_hand and not self._fits_elsewhere(search.words, row):
                continue
            counts = not left or self._next(step, context) or self._is_named(row, search, context)
            for item in self._weigh_row(step, search, condition, context):
                read = [bool(meaning) for _, meaning in item[2].reasons]
                if all(read) or (counts and any(read)):
                    yield item

    def _weigh_row(
        self, step: int, search: Search, condition: SpelledCondition, context: Context
    ) -> Iterator[Ranked]:
        row, carried = self.rows[step], self._carried(context)
        named = any(word.names_row(row) for word in search.words)
        close = row.set in (self._met(context) or search.at_hand)
        weighed = []
        for word in search.words:
            twofold = carried in word.sets and word.is_number_of(carried)
            twofold = twofold and not any(
                other is not word and (found := other.as_number(row)) and found[0] > NUMBER_START
                for other in search.words
            )
            of_copy = self._may_be_of_copy(word, row)
            says_nothing = twofold or of_copy or not named
            read = word.in_row(row, close, carried if says_nothing else None)
            if named:
                read = max(read, word.as_letter_of_set(row.set, carried, self._seen(context)))
            weighed.append(Weighed(word.token, *read))
        numbered = False
        for at, (word, one) in enumerate(zip(search.words, weighed, strict=True)):
            again = word.token.text in [other.token.text for other in search.words[at + 1 :]]
            if one.meaning == "number" and again and row.set in word.sets:
                weighed[at] = one = Weighed(word.token, SET_WORD, "set")
            twofold = row.set == carried and carried in word.sets and word.is_number_of(carried)
            if one.meaning == "set" and numbered and twofold:
                weighed[at] = Weighed(word.token, SET_BEHIND, "set")
            numbered = numbered or one.meaning in ("number", LETTERED)
        prior = self._prior(step, context) + self._unsaid(row.set)
        for plan in self.variants.plans(
            row.parallels, [word.token for word in search.words], context.carried
        ):
            for option in self.variants.options(plan, weighed, condition):
                yield prior + option.weight, step, option

    def _is_named(self, row: Row, search: Search, context: Context) -> bool:
        """Whether a word says more of a row than its set and its parallels: number, subject or
        team."""
        close = row.set in (self._met(context) or search.at_hand)
        return any(
            word.as_number(row)
            or word.as_subject(row)
            or word.as_slip(row, close)
            or word.as_team(row)
            for word in search.words
        )

    def _fits_elsewhere(self, read: list[Word], row: Row) -> bool:
        fits = [(word.fits_elsewhere(row), word.fits_anywhere) for word in read]
        hard = [fit for fit, loose in fits if not loose]
        naming = ("number", "subject", "set") if len(hard) > 1 else ("number", "subject")
        return all(hard) and any(fit in naming for fit in hard or (fit for fit, _ in fits))

    def _at_hand(self, read: list[Word], only: set[str] | None, context: Context) -> set[str]:
        wanted = [set for set in self.sets if set == self._carried(context)]
        wanted += self._named(read)
        wanted += [set for set in self.sets if set in self._seen(context)]
        wanted = [set for set in dict.fromkeys(wanted) if only is None or set in only]
        if not wanted and only is None and len(self.rows) <= NEAR_ROWS:
            return set(self.sets)
        rows = accumulate(len(self.rows_of(set)) for set in wanted)
        return {
            set
            for at, (set, sum) in enumerate(zip(wanted, rows, strict=True))
            if not at or self._few(at, sum)
        }

    def _named(self, read: list[Word]) -> list[str]:
        """The sets that most words name, none where those are too many to be meant."""
        votes = Counter(set for word in read for set in word.sets)
        most = max(votes.values(), default=0)
        named = [set for set in self.sets if votes[set] == most > 0]
        return named if len(named) <= NAMED_SETS else []

    def _named_by(self, left: tuple[Token, ...]) -> set[str]:
        return set(self._named([Word(token, self) for token in left]))

    def _few(self, sets: int, rows: int) -> bool:
        return sets < NEAR_SETS and rows <= NEAR_ROWS

    def _met(self, context: Context) -> set[str]:
        """The sets that the lot points to: the carried one and those met so far."""
        carried = self._carried(context)
        return self._seen(context) | ({carried} if carried is not None else set())

    def _known(self, name: str) -> str | None:
        if name in self.sets:
            return name
        return next((set for set in self.sets if fold(set) == fold(name)), None)

    def _carried(self, context: Context) -> str | None:
        name = context.carried.get("set")
        if not name:
            return self.sets[0] if len(self.sets) == 1 else None
        return self._known(name)

    def _seen(self, context: Context) -> set[str]:
        return {known for name in context.seen if (known := self._known(name)) is not None}

    def _before(self, context: Context) -> int | None:
        """The step of the card before, where it is of the carried set."""
        tags, carried = context.before, self._carried(context)
        if tags is None or carried is None or self._known(tags.set) != carried:
            return None
        start = self._starts[carried]
        of_set = list(enumerate(self.rows_of(carried), start))
        if tags.number:
            of_set = [
                (at, row) for at, row in of_set if canonical(row.number) == canonical(tags.number)
            ]
            return next(
                (at for at, row in of_set if row.subject == tags.subject),
                of_set[0][0] if of_set else None,
            )
        return next((at for at, row in of_set if row.subject == tags.subject), None)

    def _next(self, step: int, context: Context) -> bool:
        row, before = self.rows[step], self._before(context)
        start = self._starts[row.set]
        if row.set == self._carried(context):
            if before is None:
                return step - start < context.steps.span.stop
            return step - before in context.steps.span
        if row.set not in self._seen(context):
            return False
        # in another set from its last card or from the number of the card before, whichever counts
        # more in this lot
        ways = self._ways_into(row.set, context)
        _, _, last = max(ways, key=lambda way: way[0])
        return last is not None and step - last in context.steps.span

    def _ways_into(self, set: str, context: Context) -> list[Way]:
        """How the lot may go on in another set; from no row on all are alike."""
        if set not in self._ways:
            self._ways[set] = self._new_ways(set, context)
        return self._ways[set]

    def _new_ways(self, set: str, context: Context) -> list[Way]:
        changes, tags, beside = context.changes, context.before, None
        if self._learned(context) and tags is not None:
            same = (
                self._starts[set] + at
                for at, row in enumerate(self.rows_of(set))
                if canonical(row.number) == canonical(tags.number)
            )
            beside = next(same, None)
        before = "" if tags is None else tags.set
        weights = [way for way, _ in changes.runs_into(before, set, range(1), beside)]
        own = changes.resumed, changes.last.get(set)
        sister = changes.sisters.between(before, set), beside
        return [
            (weight, steps, last)
            for weight, (steps, last) in zip(weights, (own, sister), strict=False)
        ]

    def _learned(self, context: Context) -> bool:
        """Whether the lot says from which set to which it goes."""
        return self._before(context) is not None and context.changes.known

    def _of_row(self, step: int, steps: Steps, last: int | None) -> float:
        """The probability of a row among those of its set; from no row on all are alike."""
        size = len(self.rows_of(self.rows[step].set))
        if last is None:
            return 1 / size
        jump = steps.jump / size
        share = steps.usual().get(step - last)
        if share is not None:
            return max(jump, share)
        return jump + (steps.ahead / REACH if 0 < step - last <= REACH else 0.0)

    def _shares(self, context: Context) -> tuple[float, dict[str, float], float]:
        """The probability of the carried set, of each other one that was met, of all others."""
        carried, seen, stay = self._carried(context), self._seen(context), CARRIED
        new = ANY + (CARRIED if carried is None else 0.0) + (0.0 if seen else SEEN)
        rows = sum(len(self.rows_of(set)) for set in seen)
        others = {set: SEEN * len(self.rows_of(set)) / rows for set in seen}
        if self._learned(context) and context.before is not None:
            stay, named, new = context.changes.shares(context.before.set, context.seen)
            others = {known: named[name] for name in named if (known := self._known(name))}
        return stay, others, new

    def _prior(self, step: int, context: Context) -> float:
        row, carried, seen = self.rows[step], self._carried(context), self._seen(context)
        before, (stay, others, new) = self._before(context), self._of_sets
        if row.set == carried:
            if before is None and step == self._starts[carried]:
                return math.log(stay * (context.steps.share(1) or 0.5))
            return math.log(stay * self._of_row(step, context.steps, before))
        ways = self._ways_into(row.set, context)
        if row.set in others:
            shares = [others[row.set] * weight for weight, _, _ in ways]
        else:
            any_row = new / len(self.rows) * len(self.rows_of(row.set))
            by_set = new / max(1, len(self.sets) - len(seen))
            shares = [
                weight * whole
                for (weight, _, _), whole in zip(ways, (any_row, by_set), strict=False)
            ]
        return math.log(
            sum(
                share * self._of_row(step, steps, last)
                for share, (_, steps, last) in zip(shares, ways, strict=True)
            )
        )

    def loose(self, token: Token) -> float:
        """The best log weight that a word could have as parallel, serial number or condition of
        some card; without its print run a serial number could be of any."""
        return self._loose(token, self._parallels)

    def _may_be_of_copy(self, word: Word, row: Row) -> bool:
        """Whether a word could be parallel, serial number or condition of this card, without a
        slip."""
        return self._loose(word.token, (row.parallels,)) > PARALLEL_SLIP

    def _loose(self, token: Token, kinds: Iterable[tuple[Parallel, ...]]) -> float:
        found = [UNREAD]
        said = parse_serial(token.text)
        if token.pin in ("", "serial") and (said is not None and said[1] is None):
            found.append(SERIAL)
        if token.pin == "serial" and token.text.isdigit():
            found.append(SERIAL)
        if token.pin in ("", "condition") and (read := self.scale.read(token.text)):
            found.append(condition_weight(read))
        for parallels in kinds:
            for plan in self.variants.plans(parallels, (token,), Carried()):
                ((as_parallel, as_serial, _),) = plan.read
                found += [read[0] for read in (as_parallel, as_serial) if read is not None]
        return max(found)

    def _take_condition(
        self, tokens: tuple[Token, ...]
    ) -> tuple[tuple[Token, ...], SpelledCondition]:
        """The words left, and the condition that the others spell for sure: several words that
        follow each other, or the first word that is no word of a parallel and begins none of a
        subject."""
        left: list[Token] = []
        said = SpelledCondition()
        waiting = list(tokens)
        while waiting:
            token = waiting.pop(0)
            if token.pin not in ("", "condition"):
                left.append(token)
                continue
            behind: list[str] = []
            for other in waiting:
                if other.pin not in ("", "condition"):
                    break
                behind.append(other.text)
            spelled = [
                (len(parts) - 1, step.name)
                for step in self.scale.steps
                if len(parts := fold(step.name).split()) > 1
                and parts[0] == token.text
                and len(behind) >= len(parts) - 1
                and all(
                    text and part.startswith(text)
                    for text, part in zip(behind, parts[1:], strict=False)
                )
            ]
            if spelled:
                more, name = max(spelled)
                raws = [token.raw, *(other.raw for other in waiting[:more])]
                said = SpelledCondition(name, " ".join(raws))
                del waiting[:more]
                continue
            read = self.scale.read(token.text)
            if read and not said.name and not token.pin and token.text in self.initials:
                rivals = (
                    self.scale.read(other.text)
                    for other in tokens
                    if other.pin in ("", "condition")
                )
                if any(rival and rival[1] and rival[0] != read[0] for rival in rivals):
                    left.append(token)
                    continue
            word = token.text in self.subject_words or token.text in self.parallel_words
            begins = any(known.startswith(token.text) for known in self.subject_words)
            if read and not said.name and (token.pin or not (word or begins)):
                said = SpelledCondition(read[0], token.raw)
            else:
                left.append(token)
        return tuple(left), said


def _serial_last(tokens: list[Token], context: Context) -> tuple[Token, ...]:
    digits = [
        at
        for at, token in enumerate(tokens)
        if re.fullmatch("[0-9]{1,6}", token.text) and not token.pin
    ]
    others = [
        at
        for at, token in enumerate(tokens)
        if token.pin in ("", "number") and re.search(r"\d", token.text)
    ]
    serial = any("/" in token.text or token.pin == "serial" for token in tokens)
    if serial or not digits or others[0] >= digits[-1] or not context.carried.get("parallel"):
        return tuple(tokens)
    told = tokens[digits[-1]].text
    return tuple(
        Token(told, told, "serial") if at == digits[-1] else token
        for at, token in enumerate(tokens)
    )

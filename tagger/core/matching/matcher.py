"""Which card a hint means: rows of the checklist, weighed by what the lot makes likely.

The score of a row, in one of its variants (parallel), is a natural logarithm::

    score = log prior(row | lot)
            + sum over the words of log weight(best reading of the word in this row)
            + RESPELLED for each way of joining or parting words that was tried before, and of
              reading a second number as the serial number of the parallel that is carried
            + log share of the hints that leave their set out, where a number was typed and the row
              is of another set than the carried one, which no word says (`left_out`)
            + what speaks for the row and was not typed (`evidence`)

    prior = stays * share of the step       in the set of the card before; the step is counted in
                                            rows from that card, and its share is learned from this
                                            lot (`steps`); all steps that are none of the usual
                                            ones share what is left, more of it ahead than behind
          = changes to it * share of step   in a set met in this lot, the step counted from its own
                                            last card, or from the number of the card before: both
                                            are counted, each as it foretold this lot
          = changes to none of them / rows  anywhere else, half of it at first from the number of
                                            the card before

How the lot goes from set to set is learned from it (`set_changes`); where the set was carried in
another way, CARRIED, SEEN and ANY say what belongs to it, to the sets met, and to all others.

A word is read as number (its start counts little), as a word, the beginning of a word or the
initials of the subject, as team, set, parallel, serial number or condition, as a slip of the finger
(`reading`, `variant`), or not at all.

Where each row could be meant:

- In the carried set, in sets met in this lot (and in all, where the lists are short and nothing is
  carried) every reading counts. A row there is a candidate where a word names it by number, subject
  or team, where every word fits it, or where it is one of the usual steps: that its set was named
  and some word is left over is not enough. A slip counts beside other readings from four letters
  on, before that where nothing else is found.
- A set that the hint names (at most NAMED_SETS of them) is searched as well; names count there as
  they do anywhere.
- Anywhere else a row counts only where every word fits it, half numbers left out; one letter fits a
  name there, but names nobody, and a slip needs four letters, a name that begins with the first or
  second one, and that nothing else has that word. A word that could be a parallel, serial number or
  condition of some card fits anywhere, as a slip in a parallel's word only where no number and no
  subject can be read as it.

What a list notes of a card (`Noted`) is read only beside a word that names it; digits beside the
number of the card are the year of its set (`years`), and beside a word of its name a word of that
(`name_words`). Rows that are only nearly what was typed are lowered behind those that are it, and
never raised: see `typed_exactly`, `whole_names` and `set_first`.

Rows whose scores are the same but for rounding stand in the order of their steps. Where a number
and a name disagree, so that the best row does not read well, the likeliest card of each is shown as
well.

Confidence is the score's share among all candidates and one more: "this card is not in the
checklists". What is only guessed against others, that no other set is meant and that no name is by
chance the one typed, makes no candidate sure."""

from __future__ import annotations

import math
import sys
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.evidence import left_for_others, rows_spoken_for, with_evidence
from tagger.core.matching.hint import Hint, parse_hint, said_or
from tagger.core.matching.prefixed import BEHIND, LEFT_OUT, MOST, Prefixed
from tagger.core.matching.priors.context import Context
from tagger.core.matching.priors.left_out import LeftOut
from tagger.core.matching.priors.prior import Prior
from tagger.core.matching.ranking.confidence import (
    certainty,
    leaning,
    left_out,
    unlisted,
)
from tagger.core.matching.ranking.ranked import Ranked, card_of, first_of, order, unread
from tagger.core.matching.ranking.set_first import set_first
from tagger.core.matching.ranking.typed_exactly import ExactFirst
from tagger.core.matching.ranking.whole_names import WholeNames
from tagger.core.matching.read import NAMING, NUMBER_BEGUN
from tagger.core.matching.search import Search
from tagger.core.matching.spellings import Words, spellings
from tagger.core.matching.variants.variant import Variants
from tagger.core.matching.variants.variant_words import OF_A_COPY
from tagger.core.model.condition import Scale
from tagger.core.model.tags import Tags

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.variants.option import Option

AT_LEAST = 10  # candidates that are looked for, however few are shown
RESPELLED = -0.3  # for each way of joining or parting words that was tried before

# confidence of `17` behind RW7, where the set has RW17 and 17 (our own estimate, no source)
EITHER = 0.6

# a set is carried that no checklist can have: none is likelier
NOWHERE = Context(Carried((("set", "\0"),)))

Cards = dict[tuple[object, ...], Ranked]


class Matcher:
    """Ranks the rows of an index against hints."""

    def __init__(self, index: Index, scale: Scale | None = None) -> None:
        self.index = index
        self.scale = scale or Scale()
        self.variants = Variants(self.scale)
        self._prior: tuple[object, Prior] | None = None

    def rank(self, hint: str, context: Context | None = None, limit: int = 9) -> list[Candidate]:
        """Candidates for a hint, best first, at most `limit`. The same hint in the same lot gives
        the same order."""
        context = context or Context()
        parsed, prior = parse_hint(hint), self._prior_of(context)
        prefixed = Prefixed(self.index, prior, context)
        searches = self._searches(parsed, prefixed, prior, context, limit)
        best, most_others = self._by_words(searches, prior, context)
        whole, apart = self._parted(best, prefixed, searches[0], context)
        total = min(_others(searches, best, context), most_others)
        words = len(parsed.tokens) if searches[0].readings else 0
        in_none, at_most = unlisted(words, first_of(whole, 1), best.values())
        if context.spoken_for:
            best = _with_evidence(best, whole, context)
            whole, apart = _read_whole(best.values()), [best[card_of(item)] for item in apart]
        # Over all candidates and not the shown ones: else a longer list would make each one less
        # sure.
        total += _probability(best.values()) + in_none
        shown = _first(whole or best.values(), apart, limit)
        said = _said_of_copy(parsed, context.carried)
        candidates = [self._candidate(item, total, parsed, said) for item in shown]
        either = prefixed.may_be_plain(searches[0].tokens) if searches else frozenset[int]()
        candidates = _with_doubt(candidates, shown, either)
        unsaid = searches[0].unsaid
        doubted = total + at_most - in_none + left_out(best.values(), self.index, unsaid)
        if doubted == total:
            return candidates
        return [
            leaning(one, item, doubted, self.index, unsaid)
            for one, item in zip(candidates, shown, strict=True)
        ]

    def _by_words(
        self, searches: Sequence[Search], prior: Prior, context: Context
    ) -> tuple[Cards, float]:
        """The cards that the words name, what is meant most likely first; and the most that all
        others may come to."""
        # Before anything is added that was not typed: what is exact is told by words alone.
        best = self._exactly_first(_best_of(searches), searches)
        names = WholeNames(self.index, apart=prior.carried is not None)
        best = dict(zip(best, names.ordered([*best.values()]), strict=True))
        _add_spoken_for(best, searches, context)
        return dict(zip(best, set_first([*best.values()]), strict=True)), names.most_others

    def _searches(
        self, parsed: Hint, prefixed: Prefixed, prior: Prior, context: Context, limit: int
    ) -> list[Search]:
        """A search for each way to spell the words of a hint, as it is typed first."""
        as_typed = spellings(parsed.tokens, context.carried, self.index, self.scale)
        # A few more than are shown: the same row stands there in several variants.
        looked_for = max(limit, AT_LEAST)
        searches = [
            Search(self.index, self.variants, words, prior, context, looked_for, weight=weight)
            for words, weight in prefixed.spelled(as_typed, RESPELLED)
        ]
        _leave_out(searches, prior, context)
        return searches

    def _parted(
        self, best: Cards, prefixed: Prefixed, search: Search, context: Context
    ) -> tuple[list[Ranked], list[Ranked]]:
        """Of the cards those that read all words, and those that are shown whatever stands before
        them, which are added. A row that leaves a word over is shown only where no row reads them
        all."""
        whole = _read_whole(best.values())
        # whatever else a number without its prefix may be, that it may be this one is shown
        unprefixed = self._left_out(prefixed, search, whole)
        apart = [_keep(best, card_of(item), item) for item in unprefixed]
        # `3 night`: the insert whose NS-3 reads both words, before a 3 that leaves one over
        whole = whole or [*apart]
        if not _reads_well(whole):
            disagreeing = self._apart(search, context)
            apart += [best.setdefault(card_of(item), item) for item in disagreeing]
        return whole, apart

    def _prior_of(self, context: Context) -> Prior:
        """What the lot makes likely, put together once for all keys of a card."""
        # the context is another object with each key, and what it has learned changes in place
        state = context, context.steps.learned, context.changes.learned
        if self._prior is None or self._prior[0] != state:
            self._prior = state, Prior(self.index, context)
        return self._prior[1]

    def _exactly_first(self, best: Cards, searches: Sequence[Search]) -> Cards:
        """The cards with what was typed exactly first; see `typed_exactly`."""
        exact = ExactFirst(self.index)
        if not exact.may_differ(best.values()):
            return best
        [first] = first_of(best.values(), 1)
        if exact.may_be_elsewhere(first):
            # beside so likely a card others are not looked for, unless only those are asked for
            for card, item in _best_of([search.exactly() for search in searches]).items():
                _keep(best, card, item)
        return dict(zip(best, exact.ordered(best.values()), strict=True))

    def _left_out(
        self, prefixed: Prefixed, search: Search, as_typed: Sequence[Ranked]
    ) -> list[Ranked]:
        """The rows that a number may mean which was typed without its prefix; `as_typed` are those
        that read all words as they are typed."""
        peak = max((score for score, _, _ in as_typed), default=0.0)
        named = () if as_typed else search.named_sets()
        found: list[Ranked] = []
        for words, steps in prefixed.left_out(search.tokens, named, anywhere=not as_typed):
            whole = search.with_words(words)
            for step in steps:
                score, _, option = min(whole.weigh_row(step), key=order)
                if option.whole:
                    # Never ahead of what the digits mean by themselves, however likely the lot
                    # makes the prefixed row.
                    found.append((min(score + LEFT_OUT, peak - BEHIND), step, option))
        return sorted(found, key=order)[:MOST]

    def listed(
        self, tags: Tags, context: Context, hint: str = "", whole: bool = True
    ) -> Candidate | None:
        """A card by its set, number and subject, with the parallel, serial number and condition
        that a hint gives it which says nothing else; None where it does, or where no checklist has
        the card. Without `whole` words that it cannot have are its problem."""
        step = self.index.find(tags)
        if step is None:
            return None
        parsed, prior = parse_hint(hint), self._prior_of(context)
        search = Search(self.index, self.variants, parsed.tokens, prior, context, 1)
        found = sorted(search.weigh_row(step), key=order)
        meant = OF_A_COPY if whole else OF_A_COPY | {""}
        if not found or any(meaning not in meant for _, meaning in found[0][2].reasons):
            return None
        said = _said_of_copy(parsed, context.carried)
        return self._candidate(found[0], math.exp(found[0][0]), parsed, said)

    def fitting(self, hint: str, limit: int) -> list[Ranked]:
        """(log weight, step, variant) of rows that every word of a hint fits, the likeliest `limit`
        of them at least.

        No row is likelier than another beforehand, and a row is found wherever it is, as in a set
        that nothing points to: whether it is does not hang on how many rows there are. Those that
        need no guess go before all others. A number without its letters counts where no row has it
        as it is typed."""
        prior, tokens = Prior(self.index, NOWHERE), parse_hint(hint).tokens
        as_typed = spellings(tokens, NOWHERE.carried, self.index, self.scale)
        best = self._fitting(as_typed, prior, limit)
        if not best:
            written = Prefixed(self.index, prior, NOWHERE).written(tokens)
            best = self._fitting(list(written), prior, limit)
        found, exact = list(best.values()), ExactFirst(self.index)
        if exact.may_differ(found):
            found = exact.ordered(found)
        return sorted(found, key=lambda item: (not item[2].clean, *order(item)))

    def _fitting(self, spelled: Sequence[Words], prior: Prior, limit: int) -> Cards:
        """The rows that all words fit in some spelling, the earlier ones weighing more."""
        best: Cards = {}
        for earlier, words in enumerate(spelled):
            search = Search(
                self.index,
                self.variants,
                words,
                prior,
                NOWHERE,
                max(limit, AT_LEAST),
                everywhere=True,
            )
            for step, option in _fitting(search):
                item = option.weight + earlier * RESPELLED, step, option
                _keep(best, (step, option.parallel, option.serial, option.condition), item)
        return best

    def _apart(self, search: Search, context: Context) -> list[Ranked]:
        """A number and a name that disagree: the likeliest card of each, whatever the other
        says."""
        numbers, subjects = search.naming()
        if not numbers or not subjects:
            return []
        found: dict[int, Ranked] = {}
        for token in (*numbers, *subjects):
            alone = Search(self.index, self.variants, (token,), search.prior, context, 1)
            alone.unsaid = search.unsaid
            named = [item for item in alone.weigh() if _is_named(item[2])]
            if named:
                step = min(named, key=order)[1]
                found[step] = min(search.weigh_row(step), key=order)
        return list(found.values())

    def _candidate(
        self, ranked: Ranked, total: float, parsed: Hint, said: _SaidOfCopy
    ) -> Candidate:
        score, step, option = ranked
        row = self.index.row(step)
        tags = Tags(
            row.set,
            row.number,
            row.subject,
            row.team,
            option.parallel,
            option.serial,
            option.condition or said.condition,
            said.place,
            said.note,
            True,
            row.extra,
            said.price,
        )
        # of a hundred words none of which fits, no probability is left that a float can hold
        share = min(1.0, math.exp(score) / max(total, sys.float_info.min))
        share *= option.doubt * certainty(option, self.index)
        problem = parsed.unclear or option.problem or _not_read(option) or _begun(option)
        return Candidate(tags, share, option.run, problem, option.reasons)


class _SaidOfCopy(NamedTuple):
    """What a hint says of a copy, whichever card it is, or else is carried."""

    condition: str
    place: str
    note: str
    price: str


def _said_of_copy(parsed: Hint, carried: Carried) -> _SaidOfCopy:
    return _SaidOfCopy(
        carried.get("condition"),
        said_or(parsed.place, carried.get("place")),
        said_or(parsed.note, carried.get("note")),
        said_or(parsed.price, carried.get("price")),
    )


def _leave_out(searches: Sequence[Search], prior: Prior, context: Context) -> None:
    """Let all spellings of a hint know how likely a set is left out of it."""
    carried = prior.carried
    if carried is None or context.tagged or not any(search.numbered for search in searches):
        return
    changes = context.changes
    # a number that one set alone has, as A-01, says which it is
    said = frozenset([carried]).union(*(search.sets_said for search in searches))
    for search in searches:
        search.unsaid = LeftOut(math.log(changes.bare), said, math.log(changes.bare_at_most))


def _best_of(searches: Sequence[Search]) -> Cards:
    """The best of what all spellings come to, by card; a card of which nothing was read is none."""
    best: Cards = {}
    for search in searches:
        every, weight = not search.readings, search.weight
        for score, step, option in search.weigh():
            if every or option.says_anything:
                card = step, option.parallel, option.condition
                known = best.get(card)
                if known is None or known[0] < score + weight:
                    best[card] = score + weight, step, option
    return best


def _add_spoken_for(best: Cards, searches: Sequence[Search], context: Context) -> None:
    """Add the rows that something else than a word speaks for, wherever they are."""
    for item in rows_spoken_for(searches, context.spoken_for):
        if _says_anything(searches[0], item):
            _keep(best, card_of(item), item)


def _with_evidence(best: Cards, whole: Sequence[Ranked], context: Context) -> Cards:
    """The cards with what speaks for each and was not typed."""
    by_words = next(iter(first_of(whole or best.values(), 1)), None)
    weighed = with_evidence(best.values(), by_words, context.spoken_for)
    return dict(zip(best, weighed, strict=True))


def _says_anything(search: Search, item: Ranked) -> bool:
    """Whether anything typed was read of the card, where anything was typed."""
    return not search.readings or item[2].says_anything


def _fitting(search: Search) -> Iterator[tuple[int, Option]]:
    """(step, variant) of rows that can be taken and leave no word over."""
    for _, step, option in search.weigh():
        if search.readings and not option.problem and option.whole:
            yield step, option


def _read_whole(items: Iterable[Ranked]) -> list[Ranked]:
    return [item for item in items if item[2].whole]


def _probability(items: Iterable[Ranked]) -> float:
    """What all of them come to together."""
    return sum(map(math.exp, map(itemgetter(0), items)))


def _keep(best: Cards, key: tuple[object, ...], item: Ranked) -> Ranked:
    """The better one of an item and what is there."""
    if key not in best or best[key][0] < item[0]:
        best[key] = item
    return best[key]


def _others(searches: Sequence[Search], known: Cards, context: Context) -> float:
    """The probability of all rows that are no candidate."""
    if not searches[0].readings:
        return left_for_others(known.values(), context.spoken_for)
    # in this order, which the sum of floats depends on
    others = 0.0
    for search in searches:
        others += search.passed_over
    return others


def _first(ranked: Collection[Ranked], apart: Sequence[Ranked], limit: int) -> list[Ranked]:
    """The first candidates, those in `apart` among them whatever stands before them."""
    shown = first_of(ranked, limit)
    apart = [item for item in apart if item not in shown]
    # the best one is never pushed out by those that only show where words disagree
    shown = shown[: max(1, limit - len(apart))]
    return sorted([*shown, *apart], key=order)[:limit]


def _reads_well(whole: Sequence[Ranked]) -> bool:
    """Whether the best row needs no guess: then number and name agree on it."""
    return bool(whole) and first_of(whole, 1)[0][2].clean


def _is_named(option: Option) -> bool:
    """Whether the first word names the card."""
    return bool(option.reasons) and option.reasons[0][1] in NAMING


def _with_doubt(
    candidates: Sequence[Candidate], shown: Sequence[Ranked], steps: Collection[int]
) -> list[Candidate]:
    """The candidates, no row at these steps surer than a number that two cards of its set have."""
    return [
        replace(one, confidence=min(one.confidence, EITHER)) if step in steps else one
        for one, (_, step, _) in zip(candidates, shown, strict=True)
    ]


def _not_read(option: Option) -> str:
    if option.whole:
        return ""
    words = ", ".join(f"'{word}'" for word in unread(option))
    return f"this card does not match {words}"


def _begun(option: Option) -> str:
    """That a number which other words follow is whole, and not the beginning of this card's."""
    if NUMBER_BEGUN not in option.meanings:
        return ""
    begun = (word for word, meaning in option.reasons[:-1] if meaning == NUMBER_BEGUN)
    return next((f"'{word}' is only the beginning of its number" for word in begun), "")

"""What a hint could mean at the card in front, and what is likely there with nothing typed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain, islice
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.matching.ranking.stable_ranking import steady
from tagger.core.model.tags import Mark, Parallel, State, Tags, series_of
from tagger.errors import Refused

# what reads hints is loaded when the first hint is read: the first card is on the screen before
if TYPE_CHECKING:
    from tagger.core.index.list_prices import PricesNow
    from tagger.core.lot.carried import Carried
    from tagger.core.lot.view import LotView
    from tagger.core.matching.candidate import Candidate
    from tagger.core.matching.matcher import Matcher
    from tagger.core.matching.priors.context import Context
    from tagger.core.matching.priors.set_changes import SetChanges
    from tagger.core.matching.priors.steps import StepModel
    from tagger.core.matching.typed_before import At, TypedBefore
    from tagger.core.matching.variants.typed_parallel import TypedParallel
    from tagger.core.model.condition import Scale
    from tagger.core.session.correction import Corrections
    from tagger.core.session.seen import Seen

LATEST = 60  # cards before that are asked for the runs of their series
NUMBERS = 300  # of a set that are asked for the case of their letters
MOST = 9  # candidates that are listed: one digit names each
AGAIN = 0.5  # confidence from which on a card that was just tagged is shown as the next one
SOME = 0.1  # and another one beside it, where the set goes on


class _Shown(NamedTuple):
    """Candidates that were asked for last: where, for which hint, after which others."""

    position: int = 0
    hint: str = ""
    before: Sequence[Candidate] = ()
    found: Sequence[Candidate] = ()

    def behind(self, position: int, hint: str) -> Sequence[Candidate]:
        """The candidates whose places those for this hint are to keep: none where it is another
        card, or another hint and not this one typed on or taken back."""
        if position != self.position:
            return ()
        if hint == self.hint:
            # asked once more, the same is answered: what is drawn is what Enter accepts
            return self.before
        typed_on = hint.startswith(self.hint) or self.hint.startswith(hint)
        # From an empty hint nothing is kept in place: the first letter asks something else than
        # what comes next.
        return self.found if self.hint and typed_on else ()


class Candidates:
    """The candidates of a lot at work."""

    def __init__(self, view: LotView, scale: Scale) -> None:
        self._view = view
        self.scale = scale
        self._learned: tuple[StepModel, SetChanges] | None = None
        self._matcher: Matcher | None = None
        self._shown = _Shown()
        self._typed_before: TypedBefore | None = None
        self._parallels: TypedParallel | None = None
        self._back: tuple[tuple[int, int], bool] | None = None
        self._unlisted: dict[int, Tags] | None = None  # by card
        self.other_lots: Callable[[], Iterable[Tags]] = tuple
        """Gives the unlisted cards of other lots, when they are asked for first."""
        self.revision = 0
        """How often what reads hints became another: answers of an earlier one count no more."""

    @property
    def matcher(self) -> Matcher:
        """What reads hints; with no checklist there is nothing that it finds."""
        if self._matcher is None:
            from tagger.core.checklist.checklist import Checklist
            from tagger.core.index.index import Index
            from tagger.core.matching.matcher import Matcher

            self._matcher = Matcher(Index(Checklist()), self.scale)
        return self._matcher

    @matcher.setter
    def matcher(self, matcher: Matcher) -> None:
        """Read hints with another one from now on; the steps of this lot are learned afresh from
        its tags."""
        self._matcher, self._shown = matcher, _Shown()
        self._learned = self._parallels = None
        self.revision += 1
        before, passed = None, 0
        for pair in self._view.arrangement.pairs:
            mark = self._view.mark(pair.id)
            if mark.state is State.TAGGED:
                self.learn(before, mark.tags, passed=passed)
                before, passed = mark.tags, 0
            else:
                passed += 1

    def may_be(self, set_name: str, number: int) -> bool:
        """Whether a set may have a number: one that no checklist has may have any."""
        set_id = self.matcher.index.set_id(set_name)
        return set_id is None or self.matcher.index.numbered(set_id, str(number)) is not None

    @property
    def parallels(self) -> TypedParallel:
        """What reads the words of a parallel, by its name in the checklists."""
        if self._parallels is None:
            from tagger.core.matching.variants.typed_parallel import TypedParallel

            self._parallels = TypedParallel(self.matcher.index)
        return self._parallels

    @property
    def _steps_and_changes(self) -> tuple[StepModel, SetChanges]:
        """How this lot goes on within a set, and from one to another, as far as it was seen."""
        if self._learned is None:
            from tagger.core.matching.priors.set_changes import SetChanges
            from tagger.core.matching.priors.steps import StepModel

            self._learned = StepModel(), SetChanges()
        return self._learned

    def learn(
        self, before: Tags | None, after: Tags, named: bool | None = None, passed: int = 0
    ) -> None:
        """One card was tagged behind another: by how many rows of the checklist the lot goes on, or
        to which other set. `named`: whether that was typed, None where it is not known; `passed`:
        cards without a tag between both."""
        from tagger.core.matching.priors.set_changes import place_of

        index, (steps, changes) = self.matcher.index, self._steps_and_changes
        row = index.find(after)
        if before is None:
            changes.stand(after.set, row)
            return
        # Before the rows are looked at: also a change to a set without a list says how often this
        # lot changes.
        if named is not None and before.set != after.set:
            changes.learn_typed(named=named)
        changes.learn(before.set, after.set, place_of(index, row, before.number))
        # from one set to another the lot does not go on by rows
        if before.set != after.set or row is None:
            return
        one = index.find(before)
        if one is not None:
            steps.learn(row - one - passed)

    def of(self, hint: str, seen: Seen | None = None) -> list[Candidate]:
        """What the hint could mean here, best first, at most nine. With an empty hint: what is
        likely next; the card before once more stands last unless it is the likeliest, since `again`
        takes it with one key. `seen` is what was seen of the card in front: what that is sure of
        stands first, what it makes likely stands behind what the lot has next.

        While one hint is typed on, those that match before and after keep their places; see
        `steady`."""
        here = self._view.cursor.position
        before = self._shown.behind(here, hint)
        ranked = self._typed(hint, seen) if hint else self._likely_next(seen)
        found = self._with_unlisted(hint, ranked)
        if hint:
            # Only what is typed: with nothing typed the panel answers to the card and not to a hint
            # that grew.
            found = steady(before, found)
        # Behind `steady`: a correction stands first whatever stood there before, since Enter does
        # that and no other deed.
        if hint:
            found = self._with_corrections(hint, found)[:MOST]
        self._shown = _Shown(here, hint, before, found)
        return found

    def _typed(self, hint: str, seen: Seen | None) -> list[Candidate]:
        ranked, own = self.ranked(hint, MOST, seen), self._own_tags()
        if own is None or not own.number:
            return ranked
        from tagger.core.session.correction import names_set_alone, with_number

        if not names_set_alone(ranked):
            return ranked
        # Who went back and typed the right set means the card of the same number there.
        there = with_number(own, lambda number: self.ranked(f"{number} {hint}", MOST))
        return [*there, *(one for one in ranked if one not in there)][:MOST]

    @property
    def typed_before(self) -> TypedBefore:
        """The unlisted cards of this lot and of others as they are now."""
        if self._typed_before is None:
            from tagger.core.matching.typed_before import TypedBefore

            # Asked late by the lambdas: who opens the lot sets `other_lots` and the checklists
            # after the session is made.
            self._typed_before = TypedBefore(
                self.scale, lambda: self.other_lots(), lambda: self.parallels
            )
        if self._unlisted is None:
            self._unlisted = self._own()
            self._typed_before.learn(self._unlisted.values())
        return self._typed_before

    def _own(self) -> dict[int, Tags]:
        ids = (pair.id for pair in self._view.arrangement.pairs)
        return {id: tags for id in ids if (tags := _if_unlisted(self._view.mark(id))) is not None}

    def changed(self, ids: Sequence[int], rearranged: bool = False) -> None:
        """Some cards have other marks now, or stand otherwise."""
        if self._unlisted is None or self._typed_before is None:
            return
        # Taking a card out of what was learned would need all of its words counted; to learn afresh
        # costs a pass over one lot's unlisted cards.
        if rearranged or any(id in self._unlisted for id in ids):
            self._unlisted = None  # that one is gone or becomes another is seldom
            return
        for id in ids:
            if (tags := _if_unlisted(self._view.mark(id))) is not None:
                self._unlisted[id] = tags
                self._typed_before.add(tags)

    def unlisted(self) -> Sequence[Tags]:
        """The unlisted cards of this lot, copies included."""
        found = self._own() if self._unlisted is None else self._unlisted
        return tuple(found.values())

    def _with_unlisted(self, hint: str, listed: list[Candidate]) -> list[Candidate]:
        """With the cards that no checklist has, but were typed before; where there is no checklist,
        with the card as it is typed as well."""
        from tagger.core.matching.ranking.beside_lists import (
            by_confidence,
            with_known,
            with_numbered,
        )

        known, at = self.typed_before, self._at()
        if not len(self.matcher.index):
            return known.all(hint, at)[:MOST]
        if self._is_of_no_list(listed):
            every = [*known.all(hint, at), *listed]
            # nothing typed: the number that follows stands first, though it needs a name
            if not hint:
                return every[:MOST]
            own = known.numbers_of(at.carried.get("set"))
            return with_numbered(by_confidence(every), own)[:MOST]
        if not len(known):
            return listed
        found = known.cards(hint, at)
        # nothing typed: what is in a checklist goes on as that does
        if not hint and self.matcher.index.set_id(at.carried.get("set")) is not None:
            return listed
        return with_known(listed, found, at.carried.get("set"))[:MOST]

    def _is_of_no_list(self, listed: Sequence[Candidate]) -> bool:
        """Whether the carried set is in no checklist, and no word names one that is: then the lot
        goes on as one without a checklist does."""
        name = self.carried().get("set")
        if not name or self.matcher.index.set_id(name) is not None:
            return False
        return not any("set" in one.meanings for one in listed)

    def _at(self) -> At:
        from tagger.core.matching.typed_before import At

        own = self._own_tags()
        latest = tuple(islice(self._view.all_before(), LATEST))
        return At(self.carried(), latest, "" if own is None else own.number)

    def numbers_of(self, set_name: str) -> Iterator[str]:
        """The numbers of a set's cards as they are printed, those of its list first."""
        index = self.matcher.index
        set_id = index.set_id(set_name)
        steps = range(0) if set_id is None else index.steps(set_id)
        listed = (index.row(step).number for step in steps[:NUMBERS])
        return chain(listed, self.typed_before.numbers_of(set_name))

    def _likely_next(self, seen: Seen | None) -> list[Candidate]:
        by_lot = self._next_of_lot()
        if seen is None:
            return by_lot
        by_sight = self.ranked("", MOST, seen)
        first = next(iter(by_sight), None)
        if first is None or first.problem:
            return by_lot
        others = [one for one in by_lot if _card_of(one) != _card_of(first)]
        if first.sure and seen.names(first.tags):
            return [seen.said_of(first), *others][:MOST]
        # What is only likely is never under Enter by itself: one key goes on to it.
        if not by_lot or _card_of(first) == _card_of(by_lot[0]):
            return by_lot
        return [others[0], seen.said_of(first), *others[1:]][:MOST]

    def _next_of_lot(self) -> list[Candidate]:
        # a card that is in no checklist says nothing of what the checklists have next
        before, found = self._view.tags_before(listed=True), self.ranked("", MOST)
        if before is None:
            return found
        last = before.set, before.number, before.subject, series_of(before.extra)
        # Behind the last of its set: that it comes again is only the likeliest of what is left.
        if found and _card_of(found[0]) == last and not _is_any_likely(found):
            return []
        same = [candidate for candidate in found[1:] if _card_of(candidate) == last]
        return [*(candidate for candidate in found if candidate not in same), *same]

    def ranked(self, hint: str, limit: int, seen: Seen | None = None) -> list[Candidate]:
        """The candidates as they are ranked, at most so many."""
        found, own = self.matcher.rank(hint, self.context(seen), limit), self._own_tags()
        if own is None or not own.serial:
            return found
        from tagger.core.session.correction import with_own_serial

        return [with_own_serial(one, own) for one in found]

    def context(self, seen: Seen | None = None) -> Context:
        """What the lot makes likely here, with what was seen of the card in front."""
        from tagger.core.matching.priors.context import Context

        view, (steps, changes) = self._view, self._steps_and_changes
        before = view.tags_before(listed=True)
        latest: tuple[Tags, ...] = ()
        if self.matcher.index.has_series:
            latest = tuple(islice(view.listed_before(), LATEST))
        spoken_for = () if seen is None else seen.weights(self.matcher.index)
        return Context(
            self.carried(),
            before,
            view.sets(),
            steps,
            changes,
            latest,
            spoken_for,
            tagged=self._own_tags() is not None,
            passed=view.passed(),
        )

    def _own_tags(self) -> Tags | None:
        """The tags of the card in front, None where it has none; one that was set aside with tags
        has them still."""
        card = self._view.card
        if card is None or not card.mark.named:
            return None
        return card.mark.tags

    def carried(self) -> Carried:
        """What a hint is read beside: what is carried; on a card that is tagged, its own tags. A
        card that was set aside lies where it lay then, in the condition of then."""
        card, carried, own = self._view.card, self._view.carried, self._own_tags()
        if own is not None:
            from tagger.core.session.correction import own_tags

            return own_tags(own)
        if card is not None and card.mark.state is State.SET_ASIDE:
            carried = _of_then(carried, card.mark.tags)
        before = self._view.before() if self._went_back() else None
        # what is carried today is for the end of the lot: here the cards around tell the set
        return carried if before is None else carried.put("set", before.tags.set)

    def _went_back(self) -> bool:
        """Whether the dealer stands before cards that are tagged."""
        here = self._view.revision, self._view.cursor.position
        if self._back is None or self._back[0] != here:
            self._back = here, self._view.is_tagged_on()
        return self._back[1]

    def _with_corrections(self, hint: str, found: list[Candidate]) -> list[Candidate]:
        """With the card in front and what the hint changes of it, where that has tags and the hint
        may say so; the cards that it names are behind or before."""
        corrections = self._corrections() if hint.strip() else None
        return found if corrections is None else corrections.among(found, hint)

    def unlisted_copy(self, hint: str) -> Tags | None:
        """The card in front with what its list does not have of it; see `Corrections`."""
        corrections = self._corrections()
        return None if corrections is None else corrections.unlisted_copy(hint)

    def _corrections(self) -> Corrections | None:
        own = self._own_tags()
        if own is None:
            return None
        from tagger.core.session.correction import Corrections

        return Corrections(own, self.matcher, self.scale, self.parallels, self.numbers_of)

    def listed(self, tags: Tags, hint: str = "") -> Candidate | None:
        """A card by its set, number and subject as it would be taken here with a hint that says
        nothing of those; None where it does, or where no checklist has the card."""
        return self.matcher.listed(tags, self.context(), hint)

    def copy(self, hint: str) -> tuple[Tags, bool]:
        """Tags of a copy of the tagged card before the one in front, and whether that was taken
        while unsure; the hint says its condition and serial number. Raises Refused."""
        from tagger.core.matching.repeat_card import CopyChange, again, read_change

        before = self._view.before()
        if before is None:
            raise Refused("There is no tagged card before this one.")
        carried, parallels = self.carried(), self.parallels_of(before.tags)
        said = read_change(hint, self.scale, before.tags, parallels) or CopyChange()
        tags = again(before.tags, said, parallels)
        # a note and a price are of one copy, and the place goes on with the box
        note, place, price = (carried.get(name) for name in ("note", "place", "price"))
        return replace(tags, note=note, place=place, price=price), before.unsure

    def is_copy(self, hint: str) -> bool:
        """Whether `copy` takes the hint: all of it reads as condition or serial number of the card
        before."""
        before = self._view.tags_before()
        if before is None or not hint.strip() or self._matcher is None:
            # what reads hints may just be loaded by another thread, which must not be met there
            return False
        from tagger.core.matching.repeat_card import read_change

        return read_change(hint, self.scale, before, self.parallels_of(before)) is not None

    def parallels_of(self, tags: Tags) -> Sequence[Parallel]:
        """The parallels that the checklists list for a card, none where they do not have it."""
        index = self.matcher.index
        step = index.find(tags)
        return () if step is None else index.parallels_at(step)


def _if_unlisted(mark: Mark) -> Tags | None:
    return mark.tags if mark.state is State.TAGGED and not mark.tags.listed else None


def _is_any_likely(found: Sequence[Candidate]) -> bool:
    """Whether the first is likely, or another beside it."""
    first, *others = (candidate.confidence for candidate in found)
    return first >= AGAIN or max(others, default=0.0) >= SOME


def _card_of(candidate: Candidate) -> tuple[str, str, str, str]:
    tags = candidate.tags
    return tags.set, tags.number, tags.subject, series_of(tags.extra)


def _of_then(carried: Carried, aside: Tags) -> Carried:
    """What is carried, with what a card without a name kept when it was set aside."""
    from tagger.core.lot.carried import KEPT_ASIDE

    # of many that were set aside at once nothing was kept: then only that their place is not known
    kept = KEPT_ASIDE if any(getattr(aside, field) for field in KEPT_ASIDE) else ("place",)
    for field in kept:
        carried = carried.put(field, getattr(aside, field))
    return carried


class LatestPrices:
    """The cards' prices in their lists of today, by the lists that the candidates are from."""

    def __init__(self, candidates: Candidates) -> None:
        self._candidates = candidates
        self._now: PricesNow | None = None

    def tags(self, tags: Tags) -> Tags:
        """A card's tags as `PricesNow` gives them."""
        # lists may still be on their way, and looking at a card does not load what reads hints
        if not self._candidates.revision:
            return tags
        index = self._candidates.matcher.index
        if self._now is None or self._now.index is not index:
            from tagger.core.index.list_prices import PricesNow

            self._now = PricesNow(index)
        return self._now.tags(tags)

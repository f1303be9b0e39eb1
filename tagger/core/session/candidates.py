"""What a hint could mean at the card in front, and what is likely there with nothing typed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.matching.candidate import Candidate, Context
from tagger.core.matching.stable_ranking import steady
from tagger.core.matching.steps import StepModel
from tagger.core.model.tags import State, Tags

# what reads hints is loaded when the first hint is read: the first card is on the screen before
if TYPE_CHECKING:
    from tagger.core.matching.matcher import Matcher
    from tagger.core.session.session import Session


class _Shown(NamedTuple):
    """Candidates that were asked for last: where, for which hint, after which others."""

    position: int = 0
    hint: str = ""
    before: Sequence[Candidate] = ()
    found: Sequence[Candidate] = ()


class Candidates:
    """The candidates of a lot at work."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._steps = StepModel()
        self._matcher: Matcher | None = None
        self._shown = _Shown()

    @property
    def ready(self) -> bool:
        """Whether there is something that reads hints; see `matcher`."""
        return self._matcher is not None

    @property
    def matcher(self) -> Matcher:
        """What reads hints; with no checklist there is nothing that it finds."""
        if self._matcher is None:
            from tagger.core.checklist.checklist import Checklist
            from tagger.core.index.index import Index
            from tagger.core.matching.matcher import Matcher

            self._matcher = Matcher(Index(Checklist()), self._session.scale)
        return self._matcher

    @matcher.setter
    def matcher(self, matcher: Matcher) -> None:
        """Read hints with another one from now on; the steps of this lot are learned afresh from
        its tags."""
        self._matcher, self._steps, self._shown = matcher, StepModel(), _Shown()
        before: Tags | None = None
        for pair in self._session.arrangement.pairs:
            mark = self._session.mark(pair.id)
            if mark.state is State.TAGGED:
                self.learn(before, mark.tags)
                before = mark.tags

    def learn(self, before: Tags | None, after: Tags) -> None:
        """One card was tagged behind another: by how many rows of the checklist the lot goes on."""
        if before is None or before.set != after.set:
            return
        index = self.matcher.index
        one, other = (index.find(tags.set, tags.number, tags.subject) for tags in (before, after))
        if one is not None and other is not None:
            self._steps.learn(other - one)

    def candidates(self, hint: str) -> list[Candidate]:
        """What the hint could mean here, best first, at most nine. With an empty hint: what is
        likely next; the card before once more stands last unless it is the likeliest, since `again`
        takes it with one key.

        While one hint is typed on, those that match before and after keep their places; see
        `steady`."""
        here, last = self._session.desk.position, self._shown
        before: Sequence[Candidate] = ()
        if (here, hint) == (last.position, last.hint):
            before = last.before
        elif (
            here == last.position
            and last.hint
            and (hint.startswith(last.hint) or last.hint.startswith(hint))
        ):
            before = last.found
        found = steady(before, self.ranked(hint, 9)) if hint else self._likely_next()
        found = self._as_it_looks(hint, found)
        self._shown = _Shown(here, hint, before, found)
        return found

    def _likely_next(self) -> list[Candidate]:
        before, found = self._session.before(listed=True), self.ranked("", 9)
        if before is not None:
            same = [
                c for c in found[1:] if _card_of(c) == (before.set, before.number, before.subject)
            ]
            found = [*(candidate for candidate in found if candidate not in same), *same]
        return found

    def _as_it_looks(self, hint: str, found: list[Candidate]) -> list[Candidate]:
        """With what the card in front looks like before all others, as long as the hint names no
        card itself; else only before cards that the hint names in the same way, as a number that is
        in two sets."""
        alike = self._session.resembles(self._session.card)
        if alike is None:
            return found
        first: Candidate | None = None
        if found and _naming(found[0]):
            read = [meaning for _, meaning in found[0].reasons]
            same = (c for c in found if [meaning for _, meaning in c.reasons] == read)
            first = next((c for c in same if alike.names(c.tags) and not c.problem), None)
        else:
            first = self.listed(alike.tags, hint)
        if first is None:
            return found
        if hint.strip():
            first = replace(
                first, confidence=max(first.confidence, 0.0 if first.problem else alike.confidence)
            )
        else:
            first = alike.said_of(first)
        others = [c for c in found if _card_of(c) != _card_of(first)]
        return [first, *others][: max(1, len(found))]

    def ranked(self, hint: str, limit: int) -> list[Candidate]:
        """The candidates as they are ranked, at most so many."""
        return self.matcher.rank(hint, self._context(), limit)

    def _context(self) -> Context:
        return Context(
            self._session.desk.carried,
            self._session.before(listed=True),
            self._session.sets(),
            self._steps,
        )

    def listed(self, tags: Tags, hint: str = "") -> Candidate | None:
        """A card by its set, number and subject as it would be taken here with a hint that says
        nothing of those; None where it does, or where no checklist has the card."""
        return self.matcher.listed(tags, self._context(), hint)


def _naming(candidate: Candidate) -> bool:
    """Whether a typed word names the card."""
    if not candidate.reasons:
        return False
    from tagger.core.matching.token_match import NAMING

    return bool(meanings(candidate) & NAMING)


def _card_of(candidate: Candidate) -> tuple[str, str, str]:
    return candidate.tags.set, candidate.tags.number, candidate.tags.subject


def meanings(candidate: Candidate) -> set[str]:
    """What the typed words were read as."""
    return {meaning for _, meaning in candidate.reasons}

"""What Enter would do, known before it is pressed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from tagger.core.lot.carried_run import without_next
from tagger.core.matching.read import LETTERED
from tagger.core.model.tags import SPOKEN_OF_COPY, State, mark_changes
from tagger.core.model.text import printable
from tagger.core.session.seen import Seen, is_seen
from tagger.errors import Refused

if TYPE_CHECKING:  # what reads hints is loaded with the checklists
    from tagger.core.lot.view import LotView
    from tagger.core.matching.candidate import Candidate
    from tagger.core.model.arrangement import Card
    from tagger.core.session.candidates import Candidates
    from tagger.core.session.review import Review
    from tagger.core.session.unlisted_card import UnlistedCard


# what a word is read as that names a card beyond doubt
_NAMED = frozenset({"number", LETTERED, "subject", "start of the subject", "initials"})


# A mistyped condition on a tagged card must not turn it into another card.
HARDLY = "this card is tagged; to make it another one, type a number or more of the name"
HARDLY_NUMBER = "this card is tagged; to make it the card of that number, type #{}"
HARDLY_READ = "what is typed is hardly this card; type more of its number or name"
LEAST = 0.005  # confidence that is shown as 0%: such a card is not accepted
UNLIKELY = 0.5  # confidence below which a card that no word names is hardly meant


def _hardly_named(meant: Candidate) -> bool:
    """Whether a card is hardly meant by what was typed. The beginning of a name is one from three
    letters on: `m` and `nm+` are meant for a condition."""
    named = [word for word, meaning in meant.reasons if meaning in _NAMED]
    if any(map(_is_clear, named)):
        return False
    return bool(meant.reasons) and (bool(named) or meant.confidence < UNLIKELY)


def _is_clear(word: str) -> bool:
    """Whether a word that names a card is hardly a slip."""
    # `#g`, `number=g`: the sign says that it is a number
    if word.startswith("#") or "=" in word:
        return True
    return sum(map(str.isalpha, word)) > 2 or any(map(str.isdigit, word))


def _hardly(meant: Candidate, card: Card) -> str:
    """Why what stands first is hardly the card that is meant; empty where it may be."""
    if card.mark.named and _hardly_named(meant):
        letters = (word for word, meaning in meant.reasons if meaning == "number")
        letter = next(letters, "")
        return HARDLY_NUMBER.format(printable(letter, 20)) if letter else HARDLY
    return HARDLY_READ if meant.reasons and meant.confidence < LEAST else ""


class Deed(StrEnum):
    """What Enter does."""

    TAKE = "accepts"
    CHANGE = "changes"
    KEEP = "keeps"
    REFUSE = "does not accept"
    NOTHING = "does nothing"
    WAIT = "waits"


@dataclass(frozen=True, slots=True)
class Proposal:
    """The deed, the candidates it is chosen from, why it is no other deed, what to look at twice
    before it (`doubts`, and a `question` that only the dealer can answer), and what else there is
    to say of it."""

    deed: Deed
    candidates: tuple[Candidate, ...] = ()
    choice: int = 0
    why: str = ""
    doubts: tuple[str, ...] = ()
    question: str = ""
    note: str = ""
    changes: Sequence[tuple[str, str, str]] = ()
    """(field, what it is, what it would be), where the card has tags."""
    unlisted: UnlistedCard | None = None
    """What the hint makes of a card that no checklist has, where that may be meant."""

    @property
    def candidate(self) -> Candidate | None:
        """The candidate that is meant."""
        return next(iter(self.candidates[self.choice :]), None)

    @property
    def copy_changes(self) -> Sequence[tuple[str, str, str]]:
        """Of the changes those of this copy: what another card may cost it."""
        return [change for change in self.changes if change[0] in SPOKEN_OF_COPY]

    @property
    def unlisted_first(self) -> bool:
        """Whether what is typed is most likely a card that no checklist has."""
        meant = self.candidate
        if self.unlisted is None or self.choice:
            return False
        if meant is None:
            return True
        # of the tagged card itself it is said first why it cannot be so
        if meant.corrects:
            return False
        read = [meaning for _, meaning in meant.reasons]
        # A slip of the finger is as good as a name that no checklist has.
        return read.count("") > sum(meaning in _NAMED for meaning in read)

    @property
    def warnings(self) -> tuple[str, ...]:
        """All that is to be looked at twice before it."""
        return tuple(filter(None, (*self.doubts, self.question)))


class Proposals:
    """What Enter would do at a lot at work. What was shown is what Enter then does: one proposal is
    worked out once, as long as nothing that it is made of changed."""

    def __init__(
        self,
        view: LotView,
        candidates: Candidates,
        review: Review,
        unlisted: Callable[[str], UnlistedCard],
    ) -> None:
        """`unlisted` reads a hint as a card that no checklist has; raises Refused."""
        self._view, self._candidates, self._review = view, candidates, review
        self._unlisted = unlisted
        self._made_of: tuple[object, ...] = ()
        self._last = Proposal(Deed.NOTHING)

    def of(self, hint: str, choice: int = 0, seen: Seen | None = None) -> Proposal:
        """What Enter would do with this hint and the candidate chosen (counted from 0; held to what
        there is). `seen` is what was seen of the card in front and shown."""
        review, candidates = self._review, self._candidates
        # Cheap to compare: each stands for much that would have to be held against what it was.
        states = self._view.revision, candidates.revision, review.going, review.closer_look
        made_of = (hint, choice, seen, *states, review.readings)
        if made_of != self._made_of:
            self._last, self._made_of = self._worked_out(hint, choice, seen), made_of
            if hint.strip() and self._maybe_unlisted(self._last):
                self._last = self._with_unlisted(self._last, hint)
        return self._last

    def _with_unlisted(self, proposal: Proposal, hint: str) -> Proposal:
        """With the card that no checklist has; where it is refused for that, the list's own words
        say why."""
        made, meant = self._as_unlisted(hint), proposal.candidate
        proposal = replace(proposal, unlisted=made)
        if not made or not made.listed_as or not meant or proposal.deed is not Deed.REFUSE:
            return proposal
        if meant.tags.names_same(made.tags):
            candidates = list(proposal.candidates)
            candidates[proposal.choice] = replace(meant, problem=made.listed_as)
            return replace(proposal, candidates=tuple(candidates), why=made.listed_as)
        if proposal.unlisted_first:
            return replace(proposal, why=made.listed_as)
        return proposal

    def _worked_out(self, hint: str, choice: int, seen: Seen | None) -> Proposal:
        card = self._view.card
        if card is None:
            return Proposal(Deed.NOTHING, why=f"End of the lot: {self._left()}.")
        # an empty hint on a marked card changes nothing: only what was typed changes
        if not hint.strip() and card.mark.state is not State.UNTAGGED:
            return Proposal(Deed.KEEP, why=card.mark.brief(), doubts=self._asked(card))
        return self._typed(hint, choice, seen, card)

    def _typed(self, hint: str, choice: int, seen: Seen | None, card: Card) -> Proposal:
        """What the hint would make of the card in front."""
        found = self._found(hint, seen)
        if not found:
            return Proposal(Deed.NOTHING, why=self._nothing(hint))
        # the list may be shorter than when the arrow went down
        choice = min(choice, len(found) - 1)
        meant = found[choice]
        if meant.problem:
            return Proposal(Deed.REFUSE, found, choice, meant.problem)
        if meant.corrects:
            return replace(self._corrected(meant, card), candidates=found, choice=choice)
        # what was gone down to is meant, however unlikely
        if choice == 0 and (why := _hardly(meant, card)):
            found = (replace(meant, problem=why), *found[1:])
            return Proposal(Deed.REFUSE, found, choice, why)
        doubts = self._review.warnings(self._view.cursor.position, meant.tags, seen)
        taken = Proposal(Deed.TAKE, found, choice, doubts=doubts)
        if card.mark.named:
            tagged = replace(card.mark, state=State.TAGGED, reason="", tags=meant.tags)
            taken = replace(taken, changes=mark_changes(card.mark, tagged))
        return self._with_sight(taken, meant, seen)

    def _with_sight(self, taken: Proposal, meant: Candidate, seen: Seen | None) -> Proposal:
        """What there is to say of what was seen; where words were typed, the dealer has looked at
        the card."""
        if is_seen(meant):
            return self._by_sight(taken, meant, seen)
        other = next(iter(taken.candidates[1:]), None)
        if meant.reasons or other is None or not is_seen(other):
            return taken
        return replace(taken, note=f"what is printed may be {printable(other.tags.title)}")

    def _by_sight(self, taken: Proposal, meant: Candidate, seen: Seen | None) -> Proposal:
        alike = None if seen is None else seen.alike
        if alike is None or not alike.names(meant.tags):
            return taken
        if question := alike.question(meant.tags):
            return replace(taken, question=question)
        return replace(taken, note="check its parallel and condition")

    def _maybe_unlisted(self, proposal: Proposal) -> bool:
        """Whether the card in front may be one that no checklist has."""
        if self._view.card is None or proposal.deed not in (Deed.TAKE, Deed.REFUSE, Deed.NOTHING):
            return False
        meant = proposal.candidate
        # Of such a card only the number goes on by itself, and F4 would leave that out.
        if meant is not None and meant.guessed:
            return False
        # A card that is sure is never asked about so: reading each hint twice would double what a
        # key costs.
        return meant is None or bool(meant.problem) or not meant.sure

    def _or_unlisted(self, hint: str) -> str:
        """That the hint makes a card that no checklist has, or why it makes none."""
        try:
            self._unlisted(hint)
        except Refused as why:
            return str(why)
        return "F4 tags it as typed."

    def _as_unlisted(self, hint: str) -> UnlistedCard | None:
        try:
            return self._unlisted(hint)
        except Refused:
            return None

    def _corrected(self, one: Candidate, card: Card) -> Proposal:
        """What is changed of a tagged card, where the hint does no more than that."""
        tagged = replace(card.mark, state=State.TAGGED, reason="", tags=one.tags)
        changed = mark_changes(card.mark, tagged)
        if not changed:
            return Proposal(Deed.KEEP, why=card.mark.brief())
        doubts = self._review.warnings(self._view.cursor.position, one.tags)
        return Proposal(Deed.CHANGE, doubts=doubts, changes=changed)

    def _left(self) -> str:
        counts = self._view.counts()
        if counts.untagged:
            return f"{counts.untagged} still untagged; Tab goes to the first"
        if counts.set_aside:
            return f"{counts.set_aside} still set aside; Ctrl+V goes to the first card to review"
        return "every card is done"

    def _found(self, hint: str, seen: Seen | None) -> tuple[Candidate, ...]:
        rest, cards = without_next(hint)
        if cards is None:
            return tuple(self._candidates.of(hint, seen))
        # `next=` says what is carried, and no card: it is never taken with Enter
        why = "next= needs a number of cards"
        if cards.isdecimal():
            why = f"F5 carries it for the next {cards} cards"
        return tuple(replace(one, problem=why) for one in self._candidates.of(rest, seen))

    def _asked(self, card: Card) -> tuple[str, ...]:
        """Why a marked card is in question, and in the review how many are."""
        review = self._review
        why = review.why(self._view.cursor.position)
        if review.going:
            left = len(review.left())
            # of a card that is set aside, the reason stands in the panel already
            if card.mark.state is State.SET_ASIDE:
                return (f"in review, {left} left",)
            return (f"in review, {left} left: {why or 'nothing more to review'}",)
        if not why or card.mark.state is not State.TAGGED:
            return ()
        return (why,)

    def _nothing(self, hint: str) -> str:
        from tagger.core.matching.hint import parse_hint  # late, as all that reads hints

        if unclear := parse_hint(hint).unclear:
            return f"{unclear}."
        if hint.strip() == "?":
            return "F9 shows all keys and what can be typed."
        without = not len(self._candidates.matcher.index)
        if hint.strip():
            none = "This lot has no checklist." if without else "No checklist card matches."
            return f"{none} {self._or_unlisted(hint)}"
        if without:
            return "This lot has no checklist. Type number and name; Enter accepts them as typed."
        return "Type a number or a name."

"""What Enter would do, known before it is pressed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from tagger.core.lot.carried_run import without_next
from tagger.core.matching.candidate import Candidate
from tagger.core.model.arrangement import Card
from tagger.core.model.tags import State
from tagger.core.session.recognition import THE_SCAN
from tagger.core.session.session import Session


class Deed(StrEnum):
    """What Enter does."""

    TAKE = "takes"
    KEEP = "keeps"
    REFUSE = "does not take"
    NOTHING = "does nothing"
    WAIT = "waits"


@dataclass(frozen=True, slots=True)
class Proposal:
    """The deed, the candidates it is chosen from, why it is no other deed, what to look at twice
    before it, and what else there is to say of it."""

    deed: Deed
    candidates: tuple[Candidate, ...] = ()
    choice: int = 0
    why: str = ""
    warnings: tuple[str, ...] = ()
    note: str = ""

    @property
    def candidate(self) -> Candidate | None:
        """The candidate that is meant."""
        return self.candidates[self.choice] if self.choice < len(self.candidates) else None


def propose(session: Session, hint: str, choice: int = 0) -> Proposal:
    """What Enter would do with this hint and the candidate chosen (counted from 0; held to what
    there is)."""
    card = session.card
    if card is None:
        left = session.counts().untagged
        more = f"{left} still untagged; Tab goes to the first" if left else "every card is done"
        return Proposal(Deed.NOTHING, why=f"End of the lot: {more}.")
    if not hint.strip() and card.mark.state is not State.UNTAGGED:
        return Proposal(Deed.KEEP, why=card.mark.brief(), warnings=_asked(session, card))
    rest, cards = without_next(hint)
    found = tuple(session.candidates(rest if cards is not None else hint))
    if cards is not None:
        why = (
            f"F5 carries it for the next {cards} cards"
            if cards.isdecimal()
            else "next= takes a number of cards"
        )
        found = tuple(replace(candidate, problem=why) for candidate in found)
    if not found:
        return Proposal(Deed.NOTHING, why=_nothing(session, hint))
    choice = min(choice, len(found) - 1)
    meant = found[choice]
    if meant.problem:
        return Proposal(Deed.REFUSE, found, choice, meant.problem)
    warnings = session.review.warnings(session.desk.position, meant.tags)
    alike = session.resembles(card)
    if alike is None or not meant.reasons or meant.reasons[0][0] != THE_SCAN:
        return Proposal(Deed.TAKE, found, choice, warnings=warnings)
    if question := alike.question(meant.tags):
        return Proposal(Deed.TAKE, found, choice, warnings=(*warnings, question))
    return Proposal(
        Deed.TAKE, found, choice, warnings=warnings, note="check its parallel and condition"
    )


def _asked(session: Session, card: Card) -> tuple[str, ...]:
    """Why a marked card is in question, and in the review how many are."""
    review = session.review
    why = review.why(session.desk.position)
    if review.going:
        return (f"in review, {len(review.left())} left: {why or 'nothing more is in question'}",)
    return (why,) if why and card.mark.state is State.TAGGED else ()


def _nothing(session: Session, hint: str) -> str:
    if hint.strip() == "?":
        return "F9 shows all keys and what can be typed."
    if hint.strip():
        return "Nothing in the checklists fits this hint. F4 takes it as a card of its own."
    if not len(session.matcher.index):
        return "This lot has no checklist. Type number and name, then F4."
    return "Type a number or a name."


def enter(session: Session, hint: str, choice: int) -> str:
    """Do what `propose` says, and say what was done. Raises Refused."""
    from tagger.errors import Refused

    proposal, review = propose(session, hint, choice), session.review
    if proposal.deed is Deed.KEEP:
        return review.after(review.keep) if review.going else session.keep()
    candidate = proposal.candidate
    if candidate is None:
        raise Refused(proposal.why)
    return review.after(lambda: session.take(candidate))

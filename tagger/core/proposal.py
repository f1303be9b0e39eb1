"""What Enter would do, known before it is pressed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from tagger.core.candidate import Candidate
from tagger.core.model import State
from tagger.core.session import Session
from tagger.core.stretch import without_next


class Deed(StrEnum):
    """What Enter does."""

    TAKE = "takes"
    KEEP = "keeps"
    REFUSE = "does not take"
    NOTHING = "does nothing"
    WAIT = "waits"


@dataclass(frozen=True, slots=True)
class Proposal:
    """The deed, the candidates it is chosen from, and why it is no other deed."""

    deed: Deed
    candidates: tuple[Candidate, ...] = ()
    choice: int = 0
    why: str = ""

    @property
    def candidate(self) -> Candidate | None:
        """The candidate that is meant."""
        return self.candidates[self.choice] if self.choice < len(self.candidates) else None


def propose(session: Session, hint: str, choice: int = 0) -> Proposal:
    """What Enter would do with this hint and the candidate chosen (counted from 0; held to what there is)."""
    card = session.card
    if card is None:
        left = session.counts().untagged
        more = f"{left} still untagged; Tab goes to the first" if left else "every card is done"
        return Proposal(Deed.NOTHING, why=f"End of the lot: {more}.")
    if not hint.strip() and card.mark.state is not State.UNTAGGED:
        return Proposal(Deed.KEEP, why=card.mark.brief())
    rest, cards = without_next(hint)
    found = tuple(session.candidates(rest if cards is not None else hint))
    if cards is not None:
        why = f"F5 carries it for the next {cards} cards" if cards.isdecimal() else "next= takes a number of cards"
        found = tuple(replace(candidate, problem=why) for candidate in found)
    if not found:
        return Proposal(Deed.NOTHING, why=_nothing(session, hint))
    choice = min(choice, len(found) - 1)
    return Proposal(Deed.REFUSE if found[choice].problem else Deed.TAKE, found, choice, found[choice].problem)


def _nothing(session: Session, hint: str) -> str:
    if hint.strip():
        return "Nothing in the checklists fits this hint. F4 takes it as a card of its own."
    if not len(session.matcher.index):
        return "This lot has no checklist. Type number and name, then F4."
    return "Type a number or a name."


def enter(session: Session, hint: str, choice: int) -> str:
    """Do what `propose` says, and say what was done. Raises Refused."""
    from tagger.errors import Refused

    proposal = propose(session, hint, choice)
    if proposal.deed is Deed.KEEP:
        return session.keep()
    if proposal.candidate is None:
        raise Refused(proposal.why)
    return session.take(proposal.candidate)

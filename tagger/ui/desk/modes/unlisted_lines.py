"""What the key for a card in no checklist would make, shown before it is pressed. No rule lives
here."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from rich.text import Text

from tagger.core.model.text import printable
from tagger.core.session.proposal import Deed, Proposal
from tagger.core.session.recognition import THE_SCAN
from tagger.ui import theme
from tagger.ui.desk.panel import panel
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import joined, wrapped

if TYPE_CHECKING:
    from tagger.core.session.session import Session
    from tagger.core.session.unlisted_card import UnlistedCard

NOT_ALL = "No checklist card matches it all."
ROWS = 3  # that the panel gives up for it where Enter accepts nothing


def panel_with_unlisted(
    session: Session, proposal: Proposal, keys: Keymap, width: int, height: int
) -> list[Text]:
    """The panel. Where hardly a checklist card is meant, it shows the card that would be made;
    else, where that may be meant, a few lines at its foot say it."""
    if proposal.unlisted is None:
        return panel(session, proposal, keys, width, height)
    if proposal.unlisted_first:
        return panel(session, _as_a_card(proposal, keys), keys, width, height)
    told = told_of(proposal.unlisted, keys, width)
    # What Enter accepts with a word left over is most likely another card.
    kept = len(told) if proposal.deed is Deed.REFUSE else 0
    lines = panel(session, proposal, keys, width, height - min(kept, ROWS))
    if len(lines) + len(told) <= height:
        return [*lines, *told]
    # one line at least: the key is never pressed blindly
    lines = panel(session, proposal, keys, width, height - 1)
    return [*lines, first_of(told, width)] if len(lines) < height else lines


def first_of(told: list[Text], width: int) -> Text:
    """The first line of what is told; where more follows, it says so."""
    _, first, *more = told
    if more:
        first = first.copy()
        first.truncate(width - 2)
        first.append("…", theme.DIM)
    return first


def _as_a_card(proposal: Proposal, keys: Keymap) -> Proposal:
    """What is shown in place of a proposal without candidates: the card that would be made."""
    # loaded with what reads hints: the first card is on the screen before
    from tagger.core.matching.candidate import Candidate

    made = proposal.unlisted
    assert made is not None
    doubts = (f"{made.doubt} Another set: type set=… first.",) if made.doubt else ()
    if not made.tags.set:
        doubts = ("No set: type set=… first.",)
    # behind `set=` all words are the set's, the name that was meant as one too
    if not made.tags.subject:
        doubts = (*doubts, "No name: type name=… as well.")
    card = Candidate(
        made.tags,
        1.0,
        problem=_why(proposal, made).removesuffix("."),
        reasons=((THE_SCAN, f"{keys.shown(Action.UNLISTED)} tags this"),),
    )
    return replace(proposal, candidates=(card,), doubts=doubts)


def _why(proposal: Proposal, made: UnlistedCard) -> str:
    """Why no checklist card is meant."""
    if made.listed_as:
        return made.listed_as[0].upper() + made.listed_as[1:]
    return proposal.why if proposal.candidate is None else NOT_ALL


def told_of(made: UnlistedCard, keys: Keymap, width: int) -> list[Text]:
    """The card that would be made, with the question behind its set where that is doubted, in lines
    of at most so many cells."""
    tags = made.tags
    said = joined(tags.title, tags.variant, tags.condition, tags.set, between=", ")
    key = f"{keys.shown(Action.UNLISTED)} not listed:"
    asked = " set?" if made.doubt else ""
    first, *more = wrapped(f"{key} {printable(said)}{asked}", width, theme.DIM)
    first = Text(first.plain.strip(), theme.DIM)
    first.stylize(theme.BRASS, 0, len(key))
    lines = [Text(), first, *more]
    if asked:
        lines[-1].stylize(theme.RUST, len(lines[-1]) - len(asked.strip()))
    return lines

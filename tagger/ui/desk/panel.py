"""The panel beside the cards: what Enter would do, the other readings, what is carried. It is laid
out by blocks: each has its forms, from the full one to the least, and what costs least gives way
first. No rule lives here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from rich.style import Style
from rich.text import Text

from tagger.core.lot.running import stock_number
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.model.text import printable
from tagger.core.session.proposal import Deed, Proposal
from tagger.core.session.seen import is_seen
from tagger.ui import theme
from tagger.ui.desk.blocks import card
from tagger.ui.desk.blocks.candidates import Others
from tagger.ui.desk.blocks.carried import carried
from tagger.ui.desk.blocks.worth import Block, Cost, always
from tagger.ui.fit import Part, fit
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import joined, spread, wrapped

if TYPE_CHECKING:
    from tagger.core.matching.candidate import Candidate
    from tagger.core.session.session import Session

HINT = " number, name, parallel, 12/99, condition – in any order"


def panel(
    session: Session, proposal: Proposal, keys: Keymap, width: int, height: int
) -> list[Text]:
    """What Enter would do, the other readings, and what is carried."""
    # Before the first layout the box has no size: what is drawn then is not seen.
    if width <= 0:
        return []
    front = session.view.card
    tagged = None
    if front is not None and front.mark.named:
        tagged = front.mark
    carries = session.view.carried
    own = _own(session, tagged) if tagged else None
    deed = _deed(proposal, own, carries.get("place"), keys, width)
    others = Others(proposal, keys, width)
    blocks = [*deed, others.block, carried(carries, width)]
    *above, list_, below = fit(blocks, height, len)
    # Other readings take what is left: they are asked for by a key, and come by one.
    left = height - sum(map(len, (*above, list_, below)))
    list_ = others.more(list_, left)
    return [line for lines in (*above, list_, below) for line in lines][:height]


class Own(NamedTuple):
    """The card in front that has tags: its mark, its tags with the price of today, and its stock
    number, empty where it has none."""

    mark: Mark
    tags: Tags
    number: str


def _own(session: Session, mark: Mark) -> Own:
    priced = session.prices.tags(mark.tags)
    return Own(mark, priced, stock_number(session.view.part, mark))


def _deed(
    proposal: Proposal, tagged: Own | None, place: str, keys: Keymap, width: int
) -> list[Block]:
    """What Enter does, and to what. `tagged`: what the card in front is tagged as; `place`: where
    the next cards go."""
    candidate = proposal.candidate
    style = theme.RUST if proposal.deed is Deed.REFUSE else theme.BRASS
    # what has tags is changed, whether it stays the same card or not
    deed = Deed.CHANGE if proposal.changes and proposal.deed is Deed.TAKE else proposal.deed
    head = f"{keys.shown(Action.TAKE)} {deed}"
    if deed is Deed.CHANGE:
        head += " this card"
    if tagged is not None and proposal.deed in (Deed.KEEP, Deed.CHANGE):
        return _own_card(proposal, tagged, head, width)
    if candidate is not None:
        why = proposal.why if proposal.deed is Deed.WAIT else ""
        tags = candidate.tags
        return [
            _title(head, style, _sureness(proposal, candidate), width),
            card.figures(tags.number, why, width),
            card.name(tags, width),
            card.variant(candidate, width),
            _changes(proposal, width),
            _warnings(proposal, width),
            # the carried place stands below; one that was typed for this card is shown with it
            *card.where(tags, width, place=tags.place != place),
            _said(proposal, width),
            _problem(candidate, width),
        ]
    if proposal.deed is Deed.KEEP:
        title = _title(f"{head} the card as it is", style, [], width)
        mark = wrapped(proposal.why, width, theme.BRIGHT)
        return [title, card.gap(), always(mark), _warnings(proposal, width)]
    title = _title(head, style, [], width)
    return [title, card.gap(), always(wrapped(proposal.why, width, theme.PLAIN))]


def _own_card(proposal: Proposal, own: Own, head: str, width: int) -> list[Block]:
    """The card as it is tagged, and what would change of it."""
    # loaded with what reads hints: the first card is on the screen before
    from tagger.core.matching.candidate import Candidate

    tags = own.tags
    head += "" if proposal.deed is Deed.CHANGE else " it as it is"
    # why it is set aside stands there until it is tagged again, which is a change
    aside = own.mark.state is State.SET_ASIDE and proposal.deed is Deed.KEEP
    told = [field for field, _, _ in proposal.changes]
    return [
        _title(head, theme.BRASS, [], width),
        card.figures(tags.number, "", width),
        card.name(tags, width),
        card.variant(Candidate(tags, 1.0), width),
        _changes(proposal, width),
        always(wrapped(own.mark.brief(), width, theme.RUST) if aside else []),
        _warnings(proposal, width),
        *card.where(tags, width, place=True, told=told),
        card.stock(own.number, own.mark, width),
        _said(proposal, width),
    ]


def _title(head: str, style: Style, right: list[Text], width: int) -> Block:
    """What Enter does, and at the other edge how sure it is, as far as there is room for that."""
    line = Text(head, style)
    if line.cell_len > width:
        first, *rest = wrapped(head, width, style)
        return always([first[1:], *rest])
    fitting = (one for one in right if line.cell_len + one.cell_len < width)
    return always([spread(line, next(fitting, Text()), width)])


def _sureness(proposal: Proposal, candidate: Candidate) -> list[Text]:
    """How sure the reading is, the fullest form first; by what it was found, where nothing was
    typed."""
    if proposal.deed is Deed.WAIT:
        return []
    # Nothing was typed of which card it is: it is what comes next, or what the scan looks like, and
    # so it is called.
    if not candidate.reasons or (_is_next(proposal, candidate) and not proposal.doubts):
        return [Text("likely next ", theme.SEA)]
    if is_seen(candidate):
        seen = ", ".join(printable(meaning) for _, meaning in candidate.reasons)
        return [Text(f"{seen} ", theme.SEA), Text(f"{candidate.reasons[0][1]} ", theme.SEA)]
    if candidate.sure and not proposal.doubts:
        return [Text("sure ", theme.SEA)]
    said, which = _how_unsure(proposal, candidate), _which(proposal)
    # where there is room for one of them, how likely it is: the others stand below it
    told = (joined(said, which, between=" · "), said or which)
    return [Text(f"{one} ", theme.RUST) for one in told if one]


def _is_next(proposal: Proposal, candidate: Candidate) -> bool:
    """Whether what Enter takes is the card that comes next, with words of its copy alone."""
    front = proposal.deed is Deed.TAKE and proposal.choice == 0 and not proposal.changes
    return front and candidate.says_only_copy and not candidate.sure


def _which(proposal: Proposal) -> str:
    """`2 of 5`; empty where there is one alone."""
    many = len(proposal.candidates)
    return f"{proposal.choice + 1} of {many}" if many > 1 else ""


def _how_unsure(proposal: Proposal, candidate: Candidate) -> str:
    """Why a second look is needed; nothing where Enter does not accept the card, however well the
    rest of the hint fits it."""
    if proposal.deed is Deed.REFUSE:
        return ""
    if candidate.sure:
        return "check again"
    if candidate.guessed:
        return "number not typed"
    # Rounded down: 99.6% is not yet what is called sure, and "unsure 100%" says nothing.
    return f"unsure {int(candidate.confidence * 100)}%"


def _warnings(proposal: Proposal, width: int) -> Block:
    return always([line for one in proposal.warnings for line in wrapped(one, width, theme.RUST)])


def _changes(proposal: Proposal, width: int) -> Block:
    """What would change of a card that has tags, a line each."""

    def told(changes: Sequence[tuple[str, str, str]]) -> list[Text]:
        changed = [f"{field}: {was} → {new}" for field, was, new in changes]
        return [line for one in changed for line in wrapped(one, width, theme.BRASS)]

    if proposal.deed is Deed.CHANGE:
        return always(told(proposal.changes))
    # Of another card all that stands above is new, and where there is no room says it by itself;
    # what it costs this copy does not.
    return Part((told(proposal.changes), told(proposal.copy_changes)), Cost.PLACE)


def _said(proposal: Proposal, width: int) -> Block:
    return always(wrapped(proposal.note, width, theme.PLAIN) if proposal.note else [])


def _problem(candidate: Candidate, width: int) -> Block:
    # What keeps Enter from taking it is all that counts; only then what is still missing.
    if candidate.problem:
        return always(wrapped(f"{candidate.problem}.", width, theme.RUST))
    if candidate.run is not None and not candidate.tags.serial:
        said = f"serial number not typed (12/{candidate.run})"
        return always(wrapped(said, width, theme.RUST))
    return always([])

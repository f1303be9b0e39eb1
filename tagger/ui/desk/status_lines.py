"""The lines around the cards: how far the lot is, what the card was, which keys are of use now. No
rule lives here."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.text import Text

from tagger.core.model.tags import State
from tagger.core.model.text import printable
from tagger.core.session.proposal import Deed, Proposal
from tagger.core.session.seen import is_read
from tagger.ui import theme
from tagger.ui.bottom_lines import keys_shown
from tagger.ui.fit import Forms, Part, fit, middle
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import spread

if TYPE_CHECKING:
    from tagger.core.session.session import Session

BARS = (24, 16, 10, 6, 0)  # cells of the bar
NAMES = (48, 32, 24, 16, 12, 8)  # of the lot's name
BETWEEN = 7  # of spaces in the top line
# What each step costs by which the top line is made shorter.
BAR, NAME, KEYS, PACE = 2, 3, 1, 4
LOOKING = " READ-ONLY "
CHANGES = (200, 80, 60, 48, 36, 28, 20, 12, 0)  # cells of what was changed last


def status(session: Session, lot: str, width: int, findings: str = "") -> Text:
    """The top line: lot, position, progress, what the feeder got wrong, pace."""
    counts = session.view.counts()
    place = f"card {session.view.cursor.position} of {counts.cards}"
    if session.view.at_end:
        place = "end of the lot"
    done = f"{counts.tagged} tagged"
    if counts.set_aside:
        done += f" · {counts.set_aside} set aside"
    found = f" · {findings} " if findings else ""
    looking = LOOKING if session.looking else ""
    marked = counts.tagged + counts.set_aside
    bars: Forms[str] = Forms(*(partial(_bar, marked, counts.cards, cells) for cells in BARS))
    # The bar goes first where there is little room, then the name is cut; facts stay.
    parts = [
        Part((looking,)), Part(_names(lot), NAME), Part((place,)), Part(bars, BAR),
        Part((done,)), Part((found,)), Part(_pace(session, counts.untagged), (KEYS, PACE, PACE)),
    ]  # fmt: skip
    looking, name, place, bar, done, found, pace = fit(parts, width - BETWEEN, cell_len)
    line = Text().append(looking, theme.WARN).append(f" {name}  ", theme.BAR_DIM)
    line.append(place, theme.BAR_BRIGHT)
    line.append(f" {bar} ", theme.BAR_DIM)
    line.append(done, theme.BAR).append(found, theme.BAR_BRIGHT)
    return spread(line, Text(f"{pace} ", theme.BAR_DIM), width)


def _names(lot: str) -> Forms[str]:
    """The lot's name, and how it is shortened: both its ends tell it from others."""
    return Forms(*(partial(middle, printable(lot), cells) for cells in NAMES))


def _pace(session: Session, untagged: int) -> tuple[str, ...]:
    """How fast it goes and how long it takes; keys a card as well, where there is room for all."""
    per_minute = session.pace.per_minute()
    if per_minute is None:
        return ("",) * 4
    pace, left, keys = f"{per_minute:.1f} a minute", "", ""
    if untagged:
        left = f" · {max(1, round(session.pace.minutes_left(untagged) or 0))} min left"
    a_card = session.sitting().keys_a_card()
    if a_card is not None:
        keys = f" · {a_card:.1f} keys a card"
    # How long it still takes is worth more than what it costs.
    return (f"{pace}{keys}{left}", f"{pace}{left}", pace, "")


def _bar(done: int, total: int, width: int) -> str:
    if width < 4:
        return ""
    full = round(done / max(1, total) * width)
    return "━" * full + "┄" * (width - full)


def was_and_last(session: Session, keys: Keymap, width: int) -> Text:
    """What the card is tagged with now, and the last change with its way back."""
    change = printable(session.last_change())
    undo = f" · {keys.shown(Action.UNDO)} undoes "
    last: Forms[Text] = Forms(*(partial(_last, change, undo, cells) for cells in CHANGES))
    forms = last if change else (Text(),)
    left, right = fit([Part(_was(session), 2), Part(forms, 1)], width - 2, _cells)
    return spread(left, right, width)


def _cells(text: Text) -> int:
    return text.cell_len


def _last(change: str, undo: str, cells: int) -> Text:
    if not cells:
        return Text(undo.lstrip(" ·"), theme.DIM)
    short = change if cell_len(change) <= cells else f"{change[: cells - 1].rstrip()}…"
    return Text("last: ", theme.DIM).append(short, theme.PLAIN).append(undo, theme.DIM)


def _was(session: Session) -> tuple[Text, ...]:
    """What the card is marked as, in full and in fewer words."""
    card = session.view.card
    # Of an untagged card there is nothing to say that the panel does not.
    if card is None or card.mark.state is State.UNTAGGED:
        return (Text(),)
    mark, tags = card.mark, card.mark.tags
    before = "" if mark.state is State.SET_ASIDE else "tagged: "
    brief = printable(mark.brief(), 160)
    forms = [brief, middle(brief, 60), middle(brief, 36)]
    if mark.state is State.TAGGED:
        title = printable(tags.title)
        forms = [brief, f"{title}, {printable(tags.variant)}", title, middle(title, 24)]
    return tuple(Text(f" {before}", theme.DIM).append(one, theme.PLAIN) for one in forms)


def key_line(session: Session, proposal: Proposal, typed: str, keys: Keymap, width: int) -> Text:
    """The keys that are useful now; `typed` is the hint."""
    labels = {action: action.label for action in Action}
    if proposal.deed is Deed.KEEP:
        labels[Action.TAKE] = "keep"
        labels[Action.SET_ASIDE] = "tag again"
    if proposal.deed is Deed.CHANGE or (proposal.changes and proposal.deed is Deed.TAKE):
        labels[Action.TAKE] = "change"
    wanted = useful(session, proposal, typed)
    shown = [(keys.shown(action), labels[action]) for action in wanted if keys.of(action)]
    return keys_shown(shown, width)


_AT_END = (
    Action.PREVIOUS_CARD, Action.NEXT_UNTAGGED, Action.REVIEW, Action.UNDO, Action.HELP,
    Action.LEAVE,
)  # fmt: skip
_ON_A_MARKED_CARD = (
    Action.TAKE, Action.SET_ASIDE, Action.PREVIOUS_CARD, Action.NEXT_UNTAGGED, Action.REVIEW,
    Action.CLEAR, Action.UNDO, Action.HELP, Action.LEAVE,
)  # fmt: skip
_WITH_A_HINT = (
    Action.TAKE, Action.AGAIN, Action.READING_DOWN, Action.UNLISTED, Action.CARRY,
    Action.SET_ASIDE, Action.DROP, Action.HELP,
)  # fmt: skip
_WITH_NOTHING_TYPED = (
    Action.TAKE, Action.PROOFS, Action.AGAIN, Action.SET_ASIDE, Action.FLIP, Action.UNDO,
    Action.OVERVIEW,
    Action.NEXT_UNTAGGED, Action.LOUPE_SIDE, Action.HELP, Action.LEAVE,
)  # fmt: skip


def useful(session: Session, proposal: Proposal, typed: str) -> Sequence[Action]:
    """The actions that are useful now, the most useful first; `typed` is the hint."""
    counts, card = session.view.counts(), session.view.card
    aside = card is not None and card.mark.state is State.SET_ASIDE and card.mark.named
    copied = not typed or session.candidates.is_copy(typed)
    of_use = {
        Action.READING_DOWN: len(proposal.candidates) > 1,
        Action.TAKE: proposal.deed not in (Deed.NOTHING, Deed.REFUSE, Deed.WAIT),
        Action.PROOFS: _is_read(proposal),
        Action.AGAIN: counts.tagged and copied and not (card is not None and card.mark.named),
        Action.UNDO: session.last_change(),
        Action.NEXT_UNTAGGED: counts.untagged,
        # on a card that has tags it is shown where it tags the card with them again
        Action.SET_ASIDE: proposal.deed is not Deed.KEEP or aside,
    }
    at_hand = _at_hand(session, proposal, typed)
    return [action for action in at_hand if of_use.get(action, True)]


def _is_read(proposal: Proposal) -> bool:
    meant = proposal.candidate
    return meant is not None and is_read(meant)


def _at_hand(session: Session, proposal: Proposal, typed: str) -> Sequence[Action]:
    if session.view.at_end:
        return _AT_END
    if proposal.deed is Deed.KEEP:
        return _ON_A_MARKED_CARD
    return _WITH_A_HINT if typed else _WITH_NOTHING_TYPED

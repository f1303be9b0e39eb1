"""The lines around the cards: how far the lot is, what the card was, which keys are of use now. No
rule lives here."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from tagger.core.model.tags import State
from tagger.core.model.text import printable
from tagger.core.session.proposal import Deed, Proposal
from tagger.core.session.session import Session
from tagger.ui import theme
from tagger.ui.bottom_lines import keys_shown
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import spread

LONGEST_BAR = 24  # cells of the bar, and of the lot's name before it is cut short
LOOKING = " READ-ONLY "
UNDO_ROOM = 12  # cells that the last change has at least, however much stands left of it


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
    name_room = min(len(lot), LONGEST_BAR)
    told = len(place) + len(done) + len(found)
    pace = _pace(session, counts.untagged, width - told - name_room - 18)
    looking = LOOKING if session.looking else ""
    fixed = told + len(pace) + len(looking) + 12
    # The bar goes first where there is little room, then the name is cut; facts stay.
    bar = max(0, min(LONGEST_BAR, width - fixed - name_room))
    name = printable(lot, max(8, width - fixed - bar))
    line = Text().append(looking, theme.WARN).append(f" {name}  ", theme.BAR_DIM)
    line.append(place, theme.BAR_BRIGHT)
    drawn = _bar(counts.tagged + counts.set_aside, counts.cards, bar)
    line.append(f" {drawn} ", theme.BAR_DIM)
    line.append(done, theme.BAR).append(found, theme.BAR_BRIGHT)
    return spread(line, Text(f"{pace} ", theme.BAR_DIM), width)


def _pace(session: Session, untagged: int, room: int) -> str:
    """How fast it goes and how long it takes; keys a card as well, where there is room for all."""
    per_minute = session.pace.per_minute()
    if per_minute is None:
        return ""
    pace, left, keys = f"{per_minute:.1f} a minute", "", ""
    if untagged:
        left = f" · {max(1, round(session.pace.minutes_left(untagged) or 0))} min left"
    a_card = session.sitting().keys_a_card()
    if a_card is not None:
        keys = f" · {a_card:.1f} keys a card"
    # How long it still takes is worth more than what it costs.
    if len(pace + keys + left) > room:
        keys = ""
    return f"{pace}{keys}{left}"


def _bar(done: int, total: int, width: int) -> str:
    if width < 4:
        return ""
    full = round(done / max(1, total) * width)
    return "━" * full + "┄" * (width - full)


def was_and_last(session: Session, keys: Keymap, width: int) -> Text:
    """What the card is tagged with now, and the last change with its way back."""
    left = _was(session)
    change = session.last_change()
    if not change:
        return spread(left, Text(), width)
    undo = f" · {keys.shown(Action.UNDO)} undoes "
    room = max(UNDO_ROOM, width - left.cell_len - len(undo) - 10)
    right = Text("last: ", theme.DIM).append(printable(change, room), theme.PLAIN)
    return spread(left, right.append(undo, theme.DIM), width)


def _was(session: Session) -> Text:
    card = session.view.card
    # Of an untagged card there is nothing to say that the panel does not.
    if card is None or card.mark.state is State.UNTAGGED:
        return Text()
    if card.mark.state is State.SET_ASIDE:
        return Text(f" {printable(card.mark.brief(), 60)}", theme.PLAIN)
    return Text(" tagged: ", theme.DIM).append(printable(card.mark.brief(), 60), theme.PLAIN)


def key_line(session: Session, proposal: Proposal, typed: str, keys: Keymap, width: int) -> Text:
    """The keys that are useful now; `typed` is the hint."""
    labels = {action: action.label for action in Action}
    if proposal.deed is Deed.KEEP:
        labels[Action.TAKE] = "keep"
    if proposal.deed is Deed.CHANGE:
        labels[Action.TAKE] = "change"
    wanted = useful(session, proposal, typed)
    shown = [(keys.shown(action), labels[action]) for action in wanted if keys.of(action)]
    return keys_shown(shown, width)


_AT_END = (
    Action.PREVIOUS_CARD, Action.NEXT_UNTAGGED, Action.REVIEW, Action.UNDO, Action.HELP,
    Action.LEAVE,
)  # fmt: skip
_ON_A_MARKED_CARD = (
    Action.TAKE, Action.PREVIOUS_CARD, Action.NEXT_UNTAGGED, Action.REVIEW, Action.CLEAR,
    Action.UNDO, Action.HELP, Action.LEAVE,
)  # fmt: skip
_WITH_A_HINT = (
    Action.TAKE, Action.AGAIN, Action.READING_DOWN, Action.UNLISTED, Action.CARRY,
    Action.SET_ASIDE, Action.DROP, Action.HELP,
)  # fmt: skip
_WITH_NOTHING_TYPED = (
    Action.TAKE, Action.AGAIN, Action.SET_ASIDE, Action.FLIP, Action.UNDO, Action.OVERVIEW,
    Action.NEXT_UNTAGGED, Action.LOUPE_SIDE, Action.HELP, Action.LEAVE,
)  # fmt: skip


def useful(session: Session, proposal: Proposal, typed: str) -> Sequence[Action]:
    """The actions that are useful now, the most useful first; `typed` is the hint."""
    idle: set[Action] = set()
    if proposal.deed in (Deed.NOTHING, Deed.REFUSE, Deed.WAIT):
        idle.add(Action.TAKE)
    if typed and not session.candidates.is_copy(typed):
        idle.add(Action.AGAIN)
    return [action for action in _at_hand(session, proposal, typed) if action not in idle]


def _at_hand(session: Session, proposal: Proposal, typed: str) -> Sequence[Action]:
    if session.view.at_end:
        return _AT_END
    if proposal.deed is Deed.KEEP:
        return _ON_A_MARKED_CARD
    return _WITH_A_HINT if typed else _WITH_NOTHING_TYPED

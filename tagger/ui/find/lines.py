"""What is said around the list of the find screen, and in its place while nothing is found."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from tagger.core.model.counted import counted
from tagger.core.reports.card_search import lies, none_fits
from tagger.ui import theme
from tagger.ui.bottom_lines import keys_shown
from tagger.ui.find.hit_list import HitList, choices, next_choice
from tagger.ui.find.keys import FindAction, has_key, keys_of
from tagger.ui.find.list_lines import list_lines
from tagger.ui.help import page_line, section_lines
from tagger.ui.hint_line import EDITING
from tagger.ui.keys import Action, Keymap, key_name
from tagger.ui.wording import spread, wrapped

if TYPE_CHECKING:
    from tagger.ui.find.ports import Copy, Finds

EMPTY = " number, name, parallel, 12/99, condition, at=box 3 – in all lots"
AGAIN = "returned"
Wanted = list[tuple[FindAction, str]]
"""Actions and the words for what they do now, for the key line."""
# Two keys with one name, and one that the desk has for something else, are shown by themselves.
_OWN_NAMES = {FindAction.MARK: key_name("f4"), FindAction.UP: "↑ ↓"}

HINTS = (
    ("23 marsh", "number 23, and part of the name; typos are tolerated"),
    ("marsh gold 12/99", "only this parallel, only this serial number"),
    ("85 gold", "a set by its year or a word, and a name"),
    ("23 at=box 3, row 2", "only cards in this place; everything after it is part of it"),
    ("marsh note=…", "only cards with this note; everything after it is part of it"),
)


def body(found: HitList, width: int, rows: int) -> list[Text]:
    """What stands between the top line and the card at the cursor: the list, or why there is
    none."""
    if found.finds.copies:
        return list_lines(found, width, rows)
    return nothing(found.finds, width) if found.finds.words else beginning(width)


def top(found: HitList, typed: str, lots: str, width: int) -> Text:
    """The top line: what was found, and in how many lots it was looked for."""
    there, gone, among = found.count()
    line = Text(" find  ", theme.BAR_DIM)
    if there or gone:
        line.append(f"{counted(there, 'card')} in {counted(among, 'lot')}", theme.BAR_BRIGHT)
        line.append(f" · {gone:,} sold or pulled" * (gone > 0), theme.BAR)
        line.append(" · and more" * found.finds.more, theme.BAR)
    elif typed.strip():
        line.append("no cards", theme.BAR_BRIGHT)
    else:
        line.append("a card in any lot", theme.BAR_BRIGHT)
    return spread(line, Text(f"{lots} ", theme.BAR_DIM), width)


def about(copy: Copy | None, width: int) -> list[Text]:
    """Where the copy at the cursor lies, over as many lines as it needs."""
    if copy is None:
        return [Text()]
    lines = wrapped(f"{copy.lot}: {lies(copy.card)}", width, theme.PLAIN)
    # The lot's name with its colon: which box to go to.
    lines[0].stylize(theme.BRASS, 1, 2 + len(copy.lot))
    return lines


def asked(copy: Copy, gone: str, keys: Keymap) -> str:
    """What Enter would do to a copy."""
    # Behind the last choice comes none: F4 then leaves the card as it is.
    other = next_choice(copy, gone)
    turn = " cancels" if other is None else f": {other or AGAIN}"
    return (
        f"{keys.shown(Action.TAKE)} marks card {copy.card.position} of {copy.lot} as "
        f"{gone or AGAIN} · {key_name('f4')}{turn}."
    )


def beginning(width: int) -> list[Text]:
    """What stands in the list's place while nothing is typed."""
    lines = [Text(" Type what is on the card, in any order. For example:", theme.PLAIN), Text()]
    for shown, what in HINTS:
        first, *rest = wrapped(what, max(20, width - 24), theme.DIM)
        lines.append(Text(f"  {shown:<20}", theme.BRASS).append_text(first))
        lines += [Text(" " * 22).append(line) for line in rest]
    return lines


def nothing(finds: Finds, width: int) -> list[Text]:
    """What stands there where nothing was found."""
    # The same sentence as the command's: who knows one knows the other.
    return wrapped(finds.problem or none_fits(finds.words), width, theme.RUST)


def useful(found: HitList, pictured: bool, undo: bool) -> Wanted:
    """The actions that are useful now, the most useful first. `pictured`: pictures stand in the
    list's place; `undo`: something can be taken back."""
    wanted: Wanted = []
    # Without a card at the cursor these keys would only answer that there is none.
    if (here := found.here) is not None:
        wanted.append((FindAction.TAKE, FindAction.TAKE.label))
        if len(found.finds.copies) > 1:
            wanted.append((FindAction.UP, FindAction.UP.label))
        wanted.append((FindAction.MARK, choices(here)[0] or AGAIN))
        wanted.append((FindAction.FLIP, "list" if pictured else FindAction.FLIP.label))
    return [*wanted, *_always(undo)]


def useful_asked(undo: bool) -> Wanted:
    """Those while it is asked what a card is marked as."""
    return [(FindAction.TAKE, "do it"), (FindAction.MARK, "other mark"), *_always(undo)]


def _always(undo: bool) -> Wanted:
    # The help and the way out last, where `keys_shown` always has room for them.
    shown = (FindAction.UNDO, FindAction.HELP, FindAction.LEAVE)
    return [(action, action.label) for action in shown if undo or action is not FindAction.UNDO]


def key_line(wanted: Wanted, keys: Keymap, width: int) -> Text:
    """The keys of actions that have one."""
    shown = [(_name(action, keys), said) for action, said in wanted if has_key(keys, action)]
    return keys_shown(shown, width)


def _name(action: FindAction, keys: Keymap) -> str:
    if action.shared is not None:
        return keys.shown(action.shared)
    return _OWN_NAMES[action]


def help_keys(keys: Keymap, width: int) -> Text:
    """The keys while the help is open."""
    close, leave = keys.shown(Action.HELP), keys.shown(Action.LEAVE)
    return keys_shown([("↓", "more"), (close, "close"), (leave, "leave")], width)


def help_of(keys: Keymap, width: int) -> list[Text]:
    """The keys of this screen and what can be typed."""
    words: Sequence[tuple[str, str]] = HINTS
    found = section_lines(
        (
            ("Keys here", [(keys_of(keys, action), action.help, "") for action in FindAction]),
            ("Editing the hint", [(key, what, "") for key, what in EDITING]),
            ("Words in any order, each may be cut short", [(one, what, "") for one, what in words]),
        ),
        width,
    )
    return [*found, *page_line("find", width)]

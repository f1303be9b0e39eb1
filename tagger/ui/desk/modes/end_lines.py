"""The panel at the end of the lot: what is left, by which key it is reached, and what comes next.
No rule lives here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from tagger.core.model.counted import counted
from tagger.core.session.left_over import left_over
from tagger.ui import theme
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import cut, wrapped

if TYPE_CHECKING:
    from tagger.core.session.session import Session

KEY_WIDTH = 8  # cells of the key in front of what it goes to


def end_lines(
    session: Session, why: str, problems: int, command: str, keys: Keymap, width: int, height: int
) -> list[Text]:
    """So many lines at most. `why`: the sentence that says where one stands; `problems`: how many
    are left with the scans; `command`: what writes the lot's table."""
    first, *more = wrapped(why, width, theme.BRIGHT)
    head = [Text(first.plain.strip(), theme.BRIGHT), *more]
    left = _left(session, problems, keys, width)
    leave = keys.shown(Action.LEAVE)
    after = [
        Text("next", theme.BRASS),
        *wrapped(f"{leave} leaves; then type:", width, theme.PLAIN),
        *wrapped(command, width, theme.SEA),
    ]
    gaps = len(head) + len(left) + len(after) + 2 <= height
    gap = [Text()] if gaps else []
    return [*head, *(gap if left else []), *left, *gap, *after][:height]


def _left(session: Session, problems: int, keys: Keymap, width: int) -> list[Text]:
    """A line for each thing that is left, with the key that goes to it."""
    left, warned = left_over(session.view), session.review.warned()
    review = keys.shown(Action.REVIEW)
    found = (
        (left.untagged, f"{left.untagged} untagged", keys.shown(Action.NEXT_UNTAGGED)),
        (left.set_aside, f"{left.set_aside} set aside", review),
        (left.unlisted, f"{left.unlisted} in no checklist", review),
        (left.unsure, f"{left.unsure} accepted while unsure", review),
        (warned, f"{warned} with a warning", review),
        (problems, counted(problems, "scan problem"), keys.shown(Action.FINDINGS)),
    )
    lines = [_line(key, said, width) for count, said, key in found if count]
    return [Text("left", theme.BRASS), *lines] if lines else []


def _line(key: str, said: str, width: int) -> Text:
    line = Text(f" {key or 'no key':<{KEY_WIDTH}} ", theme.BRIGHT)
    return cut(line.append(said, theme.PLAIN), width)

"""The two lowest lines of a screen: the line that is typed into, and the keys of use now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.text import Text

from tagger.ui import theme
from tagger.ui.fit import ALWAYS, Part, fit
from tagger.ui.keys import Action, KeyHint, Keymap, key_name

if TYPE_CHECKING:
    from tagger.ui.hint_line import HintLine

PROMPT = " ▸ "


def hint(line: HintLine, width: int, empty: str, prompt: str = PROMPT, ending: str = "") -> Text:
    """The typed line with its cursor; `empty` stands there as long as nothing is typed, `ending`
    behind it is what the key → would add, as far as there is room."""
    room = max(8, width - 2 - cell_len(prompt))
    # The cursor is always seen: what is typed before it moves out to the left.
    start = max(0, line.cursor - room + 1)
    shown = line.text[start : start + room]
    at = line.cursor - start
    text = Text(prompt, theme.BAR_BRIGHT)
    text.append(shown[:at], theme.BAR)
    # Behind the last character the cursor stands on a space.
    text.append(shown[at : at + 1] or " ", theme.CURSOR)
    text.append(shown[at + 1 :], theme.BAR)
    if not line.text:
        text.append(empty, theme.BAR_DIM)
    if ending:
        # with the key before it: in a terminal without colours it would look like typed
        text.append(f" {key_name('right')} {ending}", theme.BAR_DIM)
        text.truncate(width, overflow="ellipsis")
    return text


def keys_among(among: Sequence[KeyHint], keys: Keymap, width: int) -> Text:
    """The keys of a mode, with the words for what they do there."""
    return keys_shown([(_shown(key, keys), words) for key, words in among], width)


def _shown(key: Action | str, keys: Keymap) -> str:
    return keys.shown(key) if isinstance(key, Action) else key_name(key)


def keys_shown(wanted: Sequence[tuple[str, str]], width: int) -> Text:
    """Keys and their words: the first and the last two always, those between as far as there is
    room, the most useful first."""
    # The first is what Enter does; the last two are the help and the way out.
    always = {0, len(wanted) - 2, len(wanted) - 1}
    parts: list[Part[tuple[str, ...]]] = [
        Part((pair,)) if at in always else Part((pair, ()), ALWAYS - 1 - at)
        for at, pair in enumerate(wanted)
    ]
    line = Text(" ", theme.DIM)
    # Between two of them stand three cells; before the first and behind the last one is enough.
    for pair in fit(parts, width + 1, _cells):
        if not pair:
            continue
        if line.cell_len > 1:
            line.append(" · ", theme.DIM)
        line.append(pair[0], theme.BRASS).append(f" {pair[1]}", theme.DIM)
    return line


def _cells(pair: tuple[str, ...]) -> int:
    return cell_len(" ".join(pair)) + 3 if pair else 0

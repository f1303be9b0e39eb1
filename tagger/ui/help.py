"""The help in words: all keys, those of use here first, how hints are read, the cautions; or what a
search leaves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rich.text import Text

from tagger.core.model.tags import BASE
from tagger.core.model.text import fold, printable
from tagger.ui import theme
from tagger.ui.hint_line import EDITING
from tagger.ui.keys import COMMANDS, Group, Keymap, key_name
from tagger.ui.wording import wrapped

KEYS = (("take", "close"), ("down", "scroll"), ("pagedown", "further"), ("help", "close"))
SEARCH = " type to find a key or a word of what it does"

HINTS = (
    ("23", "number 23, in the carried set first"),
    ("marsh", "part of a name or team; slips of the finger are forgiven"),
    ("23 g 12/99 nm", "number, parallel, serial number, condition"),
    ("23 12", "where a numbered parallel is carried: number 23, serial number 12"),
    ("ex 12/99 =", "the card before once more, in this condition, with this serial number"),
    ("85 gold", "a set by its year or a word, and a name"),
    (
        "n=gold",
        "the name Gold, not the colour; p= parallel, t= team, s= set, c= condition, r= serial",
    ),
    ("#23", "a number and nothing else"),
    (BASE, "the plain card, where a parallel is carried"),
    ("at=box 3, row 2", "the place; takes all that follows"),
    ("note=…", "a note; takes all that follows"),
    ("next=60 …", "with F5: carried for the next 60 untagged cards only; F6 with next ends it"),
)

CAUTIONS = (
    "A condition seen on a scan is an estimate and no professional grade.",
    "Thick, sleeved or valuable cards do not belong in a sheet feeder.",
    "Check the card itself before you describe it.",
)

# what is pressed or typed, what it does, and further words that a search finds it by
Entry = tuple[str, str, str]


def help_lines(
    keys: Keymap,
    width: int,
    useful: Sequence[str] = (),
    search: str = "",
    reasons: Mapping[str, str] | None = None,
) -> list[Text]:
    """The whole list, or what has all words of the search; `useful` are the commands of use now,
    which stand first. `reasons` are the user's short words for setting a card aside."""
    found = section_lines(_sections(keys, useful, reasons or {}), width, search)
    return found or [
        Text(f" Nothing here has '{printable(search.strip(), 40)}'; Backspace widens.", theme.RUST)
    ]


def section_lines(
    sections: Sequence[tuple[str, Sequence[Entry]]], width: int, search: str = ""
) -> list[Text]:
    """Sections with their titles, of their entries those that have all words of the search."""
    lines: list[Text] = []
    wanted = [fold(word) for word in search.split()]
    for title, entries in sections:
        left = [entry for entry in entries if all(word in fold(" ".join(entry)) for word in wanted)]
        if not left:
            continue
        if lines:
            lines.append(Text())
        lines.append(Text(f" {title}", theme.BRASS))
        for shown, what, _ in left:
            lines += (
                _entry(shown, what, width) if shown else wrapped(f" {what}", width, theme.PLAIN)
            )
    return lines


def _sections(
    keys: Keymap, useful: Sequence[str], reasons: Mapping[str, str]
) -> list[tuple[str, list[Entry]]]:
    entries = {
        command.id: (
            ", ".join(key_name(key) for key in keys.keys[command.id]) or "no key",
            command.help,
            command.label,
        )
        for command in COMMANDS
    }
    sections = [("Useful here now", [entries[id] for id in useful])]
    for group in Group:
        of_group = [entries[c.id] for c in COMMANDS if c.group is group and c.id not in useful]
        sections.append((str(group), of_group))
    return [
        *sections,
        ("In the hint", [(shown, what, "") for shown, what in EDITING]),
        (
            "Hints: words in any order, each may be cut short",
            [(shown, what, "hint") for shown, what in HINTS],
        ),
        (
            f"Reasons: the short word, then {keys.shown('set_aside')}",
            [(printable(shown, 16), what, "reason") for shown, what in reasons.items()],
        ),
        ("Cautions", [("", caution, "caution") for caution in CAUTIONS]),
    ]


def _entry(shown: str, what: str, width: int) -> list[Text]:
    """One key or hint and what it does, over as many lines as it needs."""
    first, *rest = wrapped(what, max(20, width - 20), theme.PLAIN)
    head = Text(f"  {shown:<16}", theme.BRIGHT)
    if len(shown) > 16:
        return [head, *(Text(" " * 18).append_text(line) for line in (first, *rest))]
    return [head.append_text(first), *(Text(" " * 18).append_text(line) for line in rest)]

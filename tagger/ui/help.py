"""The help in words: all keys, those of use here first, how hints are read, the cautions; or what a
search leaves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rich.text import Text

from tagger.core.model.tags import BASE
from tagger.core.model.text import fold, printable
from tagger.ui import theme
from tagger.ui.hint_line import EDITING
from tagger.ui.keys import Action, Group, KeyHint, Keymap, key_name
from tagger.ui.wording import wrapped

KEYS: Sequence[KeyHint] = (
    (Action.TAKE, "close"), ("down", "scroll"), ("pagedown", "more"), (Action.HELP, "close"),
)  # fmt: skip
SEARCH = " type a key, or a word of what it does"

HINTS = (
    ("23", "number 23, in the carried set first"),
    ("marsh", "part of a name or team; typos are tolerated"),
    ("23 g 12/99 nm", "number, parallel, serial number, condition"),
    ("23 12", "number 23 and serial number 12, while you carry a numbered parallel"),
    ("ex 12/99 =", "the card before once more, in this condition, with this serial number"),
    ("85 gold", "a set by its year or a word, and a name"),
    (
        "name=gold",
        "the name Gold, not the colour; also number= team= set= parallel= serial= condition=, "
        "each of them cut short as long as it is clear",
    ),
    (
        "set=summit ridge 7 ada",
        "with F4: card 7 of a set that no checklist has; set= takes all its words",
    ),
    ("#23", "a number and nothing else"),
    (BASE, "the plain card, while you carry a parallel"),
    ("at=box 3, row 2", "the place; what follows is part of it, up to note= or price="),
    ("price=3.50", "your own price; it goes before the checklist's"),
    ("note=…", "a note; what follows is part of it, up to at= or price="),
    ("at=b →", "at the end of a place or note: the one from this lot that begins so, as shown"),
    ("next=60 …", "with F5: carry for the next 60 untagged cards only; F6 with next ends it"),
)

CAUTIONS = (
    "A condition seen on a scan is an estimate, not a professional grade.",
    "Thick, sleeved or valuable cards do not belong in a sheet feeder.",
    "Check the card itself before you describe it.",
)

HERE = "Useful here now"
KEYS_WIDTH = 16  # cells for what is pressed or typed; a longer one has a line of its own
LEAST_WORDS = 20  # cells for what it does, also on a screen too narrow for both
# what is pressed or typed, what it does, and further words that a search finds it by
Entry = tuple[str, str, str]
Section = tuple[str, Sequence[Entry]]


def page_line(topic: str, width: int) -> list[Text]:
    """Where more is said of the place one is at, after an empty line."""
    return [Text(), *wrapped(f"More about this: tagger help {topic}", width, theme.DIM)]


def help_lines(
    keys: Keymap,
    width: int,
    useful: Sequence[Action] = (),
    search: str = "",
    reasons: Mapping[str, str] | None = None,
    topic: str = "",
    here: Sequence[KeyHint] = (),
) -> list[Text]:
    """The whole list, or what has all words of the search; `useful` are the actions of use now,
    which stand first, or `here` the keys of a list with what they do there. `reasons` are the
    user's short words for setting a card aside, `topic` the help page to name at the end of the
    whole list."""
    sections = _sections(keys, useful, reasons or {})
    if here:
        sections.insert(0, (HERE, [_of_place(one, keys) for one in here]))
    found = section_lines(sections, width, search)
    if topic and not search.strip():
        found += page_line(topic, width)
    return found or [
        Text(
            f" Nothing here has '{printable(search.strip(), 40)}'; Backspace shows more.",
            theme.RUST,
        )
    ]


def section_lines(sections: Sequence[Section], width: int, search: str = "") -> list[Text]:
    """Sections with their titles, of their entries those that have all words of the search."""
    lines: list[Text] = []
    wanted = [fold(word) for word in search.split()]
    for title, entries in sections:
        left = [entry for entry in entries if _has(entry, wanted)]
        if not left:
            continue
        if lines:
            lines.append(Text())
        lines += _section(title, left, width)
    return lines


def _section(title: str, entries: Sequence[Entry], width: int) -> Iterator[Text]:
    yield Text(f" {title}", theme.BRASS)
    for shown, what, _ in entries:
        yield from _entry(shown, what, width)


def _has(entry: Entry, wanted: Sequence[str]) -> bool:
    told = fold(" ".join(entry))
    return all(word in told for word in wanted)


def _sections(keys: Keymap, useful: Sequence[Action], reasons: Mapping[str, str]) -> list[Section]:
    return [
        *_of_actions(keys, useful),
        ("Editing the hint", [(shown, what, "") for shown, what in EDITING]),
        (
            "Hints: words in any order, each may be cut short",
            [(shown, what, "hint") for shown, what in HINTS],
        ),
        (
            f"Reasons: the short word, then {keys.shown(Action.SET_ASIDE)}",
            [(printable(shown, 16), what, "reason") for shown, what in reasons.items()],
        ),
        ("Cautions", [("", caution, "caution") for caution in CAUTIONS]),
    ]


def _of_actions(keys: Keymap, useful: Sequence[Action]) -> list[Section]:
    # What is useful stands once: a reader who has found a key need not find it again.
    rest = [action for action in Action if action not in useful]
    shown = {HERE: useful, **_by_group(rest)}
    return [(title, [_of(one, keys) for one in actions]) for title, actions in shown.items()]


def _by_group(actions: Sequence[Action]) -> dict[str, Sequence[Action]]:
    """The actions below their headings, each heading once."""
    return {str(group): [one for one in actions if one.group is group] for group in Group}


def _of(action: Action, keys: Keymap) -> Entry:
    return all_keys(keys.of(action)), action.help, action.label


def _of_place(hint: KeyHint, keys: Keymap) -> Entry:
    """A key of a list and what it does there."""
    key, words = hint
    return all_keys(keys.of(key) if isinstance(key, Action) else (key,)), words, words


def all_keys(keys: Sequence[str]) -> str:
    """Keys as the dealer reads them: `Enter, Ctrl+J`."""
    return ", ".join(map(key_name, keys)) or "no key"


def _entry(shown: str, what: str, width: int) -> list[Text]:
    """One key or hint and what it does, over as many lines as it needs."""
    if not shown:
        return wrapped(f" {what}", width, theme.PLAIN)
    indent = KEYS_WIDTH + 2
    words = wrapped(what, max(LEAST_WORDS, width - indent - 2), theme.PLAIN)
    head = Text(f"  {shown:<{KEYS_WIDTH}}", theme.BRIGHT)
    below = [Text(" " * indent).append_text(line) for line in words]
    if len(shown) > KEYS_WIDTH:
        return [head, *below]
    return [head.append_text(words[0]), *below[1:]]

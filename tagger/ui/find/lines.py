"""The find screen in words: a line a copy below the name of its card, and what is said around the
list. That a card is gone is told by a word, and only then by a colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from rich.cells import cell_len
from rich.style import Style
from rich.text import Text

from tagger.core.model.tags import State
from tagger.core.model.text import printable
from tagger.core.reports.card_search import NONE_FITS, lies
from tagger.ui import theme
from tagger.ui.desk.overview_lines import fitted
from tagger.ui.desk.panel import keys_shown, spread
from tagger.ui.find.hit_list import HitList, choices
from tagger.ui.find.keys import FIND, keys_of
from tagger.ui.find.ports import Copy
from tagger.ui.help import section_lines
from tagger.ui.hint_line import EDITING
from tagger.ui.keys import Keymap, key_name
from tagger.ui.wording import wrapped

EMPTY = " number, name, parallel, 12/99, condition, at=box 3 – over all lots"
HEADS = ("lot", "which", "place", "card", "from front", "between")
_LEAST = (7, 10, 7, 8, 10, 11)  # cells of each column, to which it is cut short
_MOST = (24, 34, 30, 16, 10, 60)
_LEDGE = Style(bgcolor=theme.LEDGE)

HINTS = (
    ("23 marsh", "number 23, and a part of the name; slips of the finger are forgiven"),
    ("marsh gold 12/99", "only this parallel, only this serial number"),
    ("85 gold", "a set by its year or a word, and a name"),
    ("23 at=box 3, row 2", "only what lies there; takes all that follows"),
    ("marsh note=…", "only what has this note; takes all that follows"),
)


class FindColumns(NamedTuple):
    """A copy in columns: its lot, which one it is, its place, its card of how many, which one from
    the front there, and between which."""

    lot: str
    which: str
    place: str
    card: str
    front: str
    between: str


def cells(copy: Copy) -> FindColumns:
    """A copy in columns, all printable; what left says so in place of its count from the front."""
    card, tags = copy.card, copy.card.mark.tags
    kind = tags.variant
    aside = "set aside" if card.mark.state is State.SET_ASIDE else ""
    between = " and ".join(part for part in (card.before, card.after) if part)
    if not card.before or not card.after:
        between = (
            f"after {between}" if card.before else f"before {between}" if card.after else "alone"
        )
    found = (
        copy.lot,
        ", ".join(part for part in (aside, kind, tags.condition) if part),
        tags.place or "–",
        f"{card.position} of {card.cards}",
        card.mark.gone or str(card.from_front),
        "" if card.mark.gone else between,
    )
    return FindColumns(*map(printable, found))


def widths(shown: Sequence[FindColumns], width: int) -> list[int]:
    """Cells for each column: what these lines need; on a narrow screen the widest are cut first,
    the last has the rest."""
    needs = [
        min(most, max(least, *map(cell_len, column)))
        for column, least, most in zip(zip(HEADS, *shown, strict=True), _LEAST, _MOST, strict=True)
    ]
    room = width - 3 - (len(needs) - 1)  # cursor and end, a space between columns
    while (over := sum(needs) - room) > 0:
        spare = [need - least for need, least in zip(needs, _LEAST, strict=True)]
        if not any(spare):
            break
        at = spare.index(max(spare))
        needs[at] -= min(over, max(1, spare[at] // 2))
    needs[-1] = max(4, needs[-1] + room - sum(needs))
    return needs


def body(found: HitList, width: int, rows: int) -> list[Text]:
    """What stands between the top line and the card at the cursor: the list, or why there is
    none."""
    if found.finds.copies:
        return list_lines(found, width, rows)
    return nothing(found.finds.problem, width) if found.finds.words else beginning(width)


def list_lines(found: HitList, width: int, rows: int) -> list[Text]:
    """So many rows: what the columns are, and the part of the list that is seen."""
    page = found.page(rows - 1)
    copies = found.finds.copies
    shown = [copies[at] for at in (found.entries[line] for line in page) if at is not None]
    share = widths([cells(copy) for copy in shown], width)
    lines = [Text("  " + " ".join(map(fitted, HEADS, share)), theme.DIM)]
    for line in page:
        at = found.entries[line]
        if at is None:
            following = found.entries[line + 1]
            lines.append(_name(copies[following or 0], width))
        else:
            lines.append(
                _copy(
                    cells(copies[at]), bool(copies[at].card.mark.gone), at == found.at, share, width
                )
            )
    if found.finds.more and page.stop == len(found.entries) and len(lines) < rows:
        lines.append(Text("  There are more cards that fit; add a word.", theme.DIM))
    return lines


def _name(copy: Copy, width: int) -> Text:
    tags = copy.card.mark.tags
    name = " ".join(
        part for part in (f"#{tags.number}" if tags.number else "", tags.subject) if part
    )
    line = Text(f" {printable(name)}", theme.BRASS)
    line.append(
        "".join(f" · {printable(part)}" for part in (tags.team, tags.set) if part), theme.DIM
    )
    line.truncate(width - 1, overflow="ellipsis")
    return line


def _copy(shown: FindColumns, gone: bool, here: bool, share: Sequence[int], width: int) -> Text:
    strong = theme.DIM if gone else theme.BRIGHT if here else theme.PLAIN
    weak = theme.PLAIN if here and not gone else theme.DIM
    line = Text("▸ " if here else "  ", theme.BRASS)
    for name, text, room in zip(FindColumns._fields, shown, share, strict=True):
        style = (
            theme.RUST
            if gone and name == "front"
            else strong
            if name in ("lot", "place", "front")
            else weak
        )
        line.append(f"{fitted(text, room)} ", style)
    if here:
        line.pad_right(max(0, width - line.cell_len))
        line.stylize(_LEDGE)
    return line


def top(found: HitList, typed: str, lots: str, width: int) -> Text:
    """The top line: what was found, and in how many lots it was looked for."""
    there, gone, among = found.count()
    line = Text(" find  ", theme.BAR_DIM)
    if there or gone:
        cards = f"{there:,} card{'' if there == 1 else 's'}"
        line.append(f"{cards} in {among:,} lot{'' if among == 1 else 's'}", theme.BAR_BRIGHT)
        line.append(f" · {gone:,} sold or pulled" if gone else "", theme.BAR)
        line.append(" · and more" if found.finds.more else "", theme.BAR)
    elif typed.strip():
        line.append("no card", theme.BAR_BRIGHT)
    else:
        line.append("a card, over all lots", theme.BAR_BRIGHT)
    return spread(line, Text(f"{lots} ", theme.BAR_DIM), width)


def about(copy: Copy | None, width: int) -> list[Text]:
    """Where the copy at the cursor lies, over as many lines as it needs."""
    if copy is None:
        return [Text()]
    lines = wrapped(f"{copy.lot}: {lies(copy.card)}", width, theme.PLAIN)
    lines[0].stylize(theme.BRASS, 1, 2 + len(copy.lot))
    return lines


def asked(copy: Copy, gone: str, keys: Keymap) -> str:
    """What Enter would do to a copy."""
    left = [choice for choice in choices(copy) if choice != gone]
    other = left[0] if left and choices(copy)[-1] != gone else None
    turn = f"as {other or 'there again'}" if other is not None else "leaves it as it is"
    return (
        f"{keys.shown('take')} marks card {copy.card.position} of {copy.lot} as "
        f"{gone or 'there again'} · "
        f"{key_name('f4')} {turn}."
    )


def beginning(width: int) -> list[Text]:
    """What stands in the list's place while nothing is typed."""
    lines = [Text(" Type what is on the card, in any order. For example:", theme.PLAIN), Text()]
    for shown, what in HINTS:
        first, *rest = wrapped(what, max(20, width - 24), theme.DIM)
        lines += [
            Text(f"  {shown:<20}", theme.BRASS).append_text(first),
            *(Text(" " * 22).append(line) for line in rest),
        ]
    return lines


def nothing(finds_problem: str, width: int) -> list[Text]:
    """What stands there where nothing was found."""
    said = finds_problem or NONE_FITS
    return wrapped(said, width, theme.RUST)


def key_line(
    found: HitList,
    asking: bool,
    pictured: bool,
    undo: bool,
    helping: bool,
    keys: Keymap,
    width: int,
) -> Text:
    """The keys that are useful now."""
    words = {command.id: command.label for command in FIND}
    if helping:
        return keys_shown(
            [("↓", "further"), (keys.shown("help"), "close"), (keys.shown("leave"), "leave")], width
        )
    wanted: list[tuple[str, str]] = []
    if (here := found.here) is not None:
        words["mark"] = choices(here)[0] or "there again"
        wanted = [("mark", words["mark"]), ("flip", "list" if pictured else words["flip"])]
        wanted = [
            ("take", words["take"]),
            *([("up", "card")] if len(found.finds.copies) > 1 else []),
            *wanted,
        ]
    if asking:
        wanted = [("take", "do it"), ("mark", "another word")]
    wanted += [
        *([("undo", words["undo"])] if undo else []),
        ("help", words["help"]),
        ("leave", words["leave"]),
    ]
    own = {"mark": key_name("f4"), "up": "↑ ↓"}
    return keys_shown(
        [
            (own.get(id) or keys.shown(id), said)
            for id, said in wanted
            if id in own or keys.keys[id]
        ],
        width,
    )


def help_of(keys: Keymap, width: int) -> list[Text]:
    """The keys of this screen and what can be typed."""
    shown = [(keys_of(keys, command) or "no key", command.help, "") for command in FIND]
    return section_lines(
        (
            ("Keys here", shown),
            ("In the hint", [(key, what, "") for key, what in EDITING]),
            (
                "Words in any order, each may be cut short",
                [(typed, what, "") for typed, what in HINTS],
            ),
        ),
        width,
    )

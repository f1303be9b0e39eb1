"""A finding in words: what was seen, what Enter does about it, and the others."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.style import Style
from rich.text import Text

from tagger.core.audit.findings import Finding, position_of
from tagger.core.fixes.display import Turn
from tagger.core.fixes.feeding import InsertGap, SkipScan, SwapSides
from tagger.core.model.text import named, printable
from tagger.ui import theme
from tagger.ui.desk.blocks.card import gap
from tagger.ui.desk.blocks.worth import Block, Cost, always
from tagger.ui.fit import Part, fit
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import cut, wrapped

if TYPE_CHECKING:
    from tagger.core.fixes.fix import Fix
    from tagger.core.model.arrangement import Arrangement
    from tagger.ui.desk.findings import Findings

NO_FIX = "No automatic fix"
OTHER = "2"  # the key for what a question may be instead
LEAST_ROWS = 1  # of the list of all, where there is one


def deed(finding: Finding) -> str:
    """What Enter does about a finding that has an automatic fix."""
    if finding.replaced:
        return "removes the tags: it is another card"
    if finding.split:
        return "splits the sheet into its cards"
    if finding.aside:
        return "sets the card aside for a rescan"
    return deeds(finding.fixes)


def deeds(fixes: Sequence[Fix]) -> str:
    """What several fixes do, one after the other."""
    swaps = [fix for fix in fixes if isinstance(fix, SwapSides)]
    if len(swaps) < 2:
        return " and ".join(map(_deed_of, fixes))
    rest = [fix for fix in fixes if fix not in swaps]
    return " and ".join([f"swaps front and back of {len(swaps)} cards", *map(_deed_of, rest)])


def _deed_of(fix: Fix) -> str:
    match fix:
        case SkipScan():
            return f"skips {named(fix.scan)}; later scans move up"
        case InsertGap():
            return f"inserts an empty {fix.side} beside {named(fix.scan)}"
        case SwapSides():
            return "swaps front and back"
        case Turn() if len(fix.scans) == 1:
            return f"rotates this side {fix.degrees}°"
        case Turn():
            return f"rotates these {len(fix.scans)} sides {fix.degrees}°"
    return "fixes it"


def findings_panel(
    found: Findings, arrangement: Arrangement, keys: Keymap, width: int, height: int
) -> list[Text]:
    """The finding that is looked at, what Enter does, and the others."""
    finding = found.here
    if finding is None:
        return _nothing_left(found, len(arrangement.pairs), keys, width)
    does, told = _does(finding, keys, width), _told(found, finding, arrangement, keys, width)
    # What was seen and what is advised is never cut: all else gives way.
    parts = [always(does), gap(), always(told), _list(found, arrangement, width, LEAST_ROWS)]
    *above, list_ = fit(parts, height, len)
    if list_:
        room = height - sum(map(len, above)) - 2
        list_ = _list(found, arrangement, width, room).forms[0]
    return [line for lines in (*above, list_) for line in lines][:height]


def _nothing_left(found: Findings, cards: int, keys: Keymap, width: int) -> list[Text]:
    said = "No problems left."
    # Nothing found so far is no promise before the last scan was looked at.
    if not found.whole:
        said = f"Checking scans: {found.looked} of {found.of}."
    where = f"card {found.back}" if (found.back or 0) <= cards else "the end of the lot"
    back = f"{keys.shown(Action.FINDINGS)} returns to {where}"
    return [
        Text("problems", theme.BRASS),
        Text(),
        *wrapped(said, width, theme.PLAIN),
        *wrapped(back, width, theme.DIM),
    ]


def _does(finding: Finding, keys: Keymap, width: int) -> list[Text]:
    """What Enter does about it."""
    # What no key mends stands in the colour of what Enter refuses.
    style = theme.BRASS if finding.by_key else theme.RUST
    does = f"{keys.shown(Action.TAKE)} {deed(finding)}" if finding.by_key else NO_FIX
    lines = _at_the_edge(does, width, style)
    if finding.other is not None:
        lines += _at_the_edge(f"{OTHER} {deeds(finding.other.fixes)}", width, theme.BRIGHT)
    return lines


def _at_the_edge(does: str, width: int, style: Style) -> list[Text]:
    # What Enter does stands at the edge, as for a card.
    first, *rest = wrapped(does, width, style)
    return [Text(first.plain.strip(), style), *rest]


def _told(
    found: Findings, finding: Finding, arrangement: Arrangement, keys: Keymap, width: int
) -> list[Text]:
    """What was seen, and what to do."""
    head = (
        f"problem {found.at + 1} of {len(found.left)} · card {position_of(finding, arrangement)} · "
        f"{finding.title}"
    )
    lines = [
        *wrapped(head, width, theme.BRIGHT),
        *wrapped(f"{finding.sentence}.", width, theme.PLAIN),
    ]
    if finding.ask and finding.by_key:
        # It may be the other way round: no command mends it unasked either.
        pressed = keys.shown(Action.TAKE) + f" or {OTHER}" * (finding.other is not None)
        lines += wrapped(
            f"Not certain: check the card before you press {pressed}.", width, theme.RUST
        )
    remedy = finding.remedy
    if finding.replaced:
        remedy = "Delete keeps the tags: it is the same card, scanned again."
    return [*lines, *wrapped(remedy, width, theme.DIM)]


def _list(found: Findings, arrangement: Arrangement, width: int, room: int) -> Block:
    """As many of them as there are rows, the one that is looked at in their middle."""
    if len(found.left) < 2 or room < 1:
        return Part(([],))
    top = max(0, min(found.at - room // 2, len(found.left) - room))
    shown = enumerate(found.left[top : top + room], start=top)
    rows = [_line(one, arrangement, at == found.at, width) for at, one in shown]
    return Part(([Text(), Text("all", theme.BRASS), *rows], []), Cost.OTHERS)


def _line(finding: Finding, arrangement: Arrangement, here: bool, width: int) -> Text:
    mark, style = ("▸ ", theme.BRIGHT) if here else ("  ", theme.PLAIN)
    line = Text(mark, theme.BRASS)
    line.append(f"card {position_of(finding, arrangement)} ", style)
    line.append(printable(finding.title), theme.DIM)
    return cut(line, width - 1)

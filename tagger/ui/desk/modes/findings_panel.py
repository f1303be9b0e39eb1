"""A finding in words: what was seen, what Enter does about it, and the others."""

from __future__ import annotations

from rich.text import Text

from tagger.core.audit.findings import Finding, position_of
from tagger.core.fixes.display import Turn
from tagger.core.fixes.feeding import InsertGap, SkipScan, SwapSides
from tagger.core.fixes.fix import Fix
from tagger.core.model.arrangement import Arrangement
from tagger.core.model.text import named, printable
from tagger.ui import theme
from tagger.ui.desk.findings import Findings
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import cut, wrapped

NO_FIX = "No automatic fix"


def deed(finding: Finding) -> str:
    """What Enter does about a finding that has an automatic fix."""
    if finding.split:
        return "splits the sheet into its cards"
    if finding.aside:
        return "sets the card aside for a rescan"
    return _deed_of(finding.fixes[0])


def _deed_of(fix: Fix) -> str:
    match fix:
        case SkipScan():
            return f"skips {named(fix.scan)}; later scans move up"
        case InsertGap():
            return f"inserts an empty {fix.side}; later scans shift by one"
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
        return _nothing_left(found, keys, width)
    lines = _told(found, finding, arrangement, keys, width)
    room = height - len(lines) - 2
    if len(found.left) > 1 and room > 1:
        lines += [Text(), Text("all", theme.BRASS), *_all(found, arrangement, width, room)]
    return lines[:height]


def _nothing_left(found: Findings, keys: Keymap, width: int) -> list[Text]:
    said = "No problems left."
    # Nothing found so far is no promise before the last scan was looked at.
    if not found.whole:
        said = f"Checking scans: {found.looked} of {found.of}."
    back = f"{keys.shown(Action.FINDINGS)} returns to card {found.back}"
    return [
        Text("problems", theme.BRASS),
        Text(),
        *wrapped(said, width, theme.PLAIN),
        *wrapped(back, width, theme.DIM),
    ]


def _told(
    found: Findings, finding: Finding, arrangement: Arrangement, keys: Keymap, width: int
) -> list[Text]:
    # What no key mends stands in the colour of what Enter refuses.
    style = theme.BRASS if finding.by_key else theme.RUST
    enter = keys.shown(Action.TAKE)
    does = f"{enter} {deed(finding)}" if finding.by_key else NO_FIX
    first, *rest = wrapped(does, width, style)
    head = (
        f"problem {found.at + 1} of {len(found.left)} · card {position_of(finding, arrangement)} · "
        f"{finding.title}"
    )
    lines = [
        Text(first.plain.strip(), style),  # what Enter does stands at the edge, as for a card
        *rest,
        Text(),
        *wrapped(head, width, theme.BRIGHT),
        *wrapped(f"{finding.sentence}.", width, theme.PLAIN),
    ]
    if finding.ask:
        # It may be the other way round: no command mends it unasked either.
        lines += wrapped(
            f"Not certain: check the card before you press {enter}.", width, theme.RUST
        )
    return [*lines, *wrapped(finding.remedy, width, theme.DIM)]


def _all(found: Findings, arrangement: Arrangement, width: int, room: int) -> list[Text]:
    """As many of them as there are rows, the one that is looked at in their middle."""
    top = max(0, min(found.at - room // 2, len(found.left) - room))
    shown = enumerate(found.left[top : top + room], start=top)
    return [_line(one, arrangement, at == found.at, width) for at, one in shown]


def _line(finding: Finding, arrangement: Arrangement, here: bool, width: int) -> Text:
    mark, style = ("▸ ", theme.BRIGHT) if here else ("  ", theme.PLAIN)
    line = Text(mark, theme.BRASS)
    line.append(f"card {position_of(finding, arrangement)} ", style)
    line.append(printable(finding.title), theme.DIM)
    return cut(line, width - 1)

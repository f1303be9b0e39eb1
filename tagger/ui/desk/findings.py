"""What the audit found, as it is gone through on the desk: one finding at a time, its card beside
it."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass, field

from rich.text import Text

from tagger.core.audit.findings import Finding, position_of
from tagger.core.fixes.display import Turn
from tagger.core.fixes.feeding import InsertGap, SkipScan, SwapSides
from tagger.core.model.arrangement import Arrangement
from tagger.core.model.text import named, printable
from tagger.ui import theme
from tagger.ui.keys import Keymap
from tagger.ui.wording import wrapped

# What the key line shows: a command, or a key that means this only here, and its words.
KEYS = (
    ("take", "mend"), ("reading_down", "next"), ("delete", "nothing wrong"), ("undo", "undo"),
    ("flip", "flip"),
    ("look", "look closely"), ("findings", "back"),
)  # fmt: skip


@dataclass
class Findings:
    """The findings that are left, the one looked at, and whether they are on the screen. `back` is
    the card (from 1) that the dealer came from; `looked` and `of` say how far the audit is, in
    scans."""

    left: list[Finding] = field(default_factory=list)
    at: int = 0
    shown: bool = False
    back: int = 1
    looked: int = 0
    of: int = 0
    whole: bool = False

    @property
    def here(self) -> Finding | None:
        """The finding that is looked at."""
        return self.left[self.at] if self.at < len(self.left) else None

    @property
    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that do something here."""
        if self.here is None:
            return KEYS[-1:]
        return KEYS if self.here.by_key else KEYS[1:]

    def came(self, found: Sequence[Finding], waiting: Container[str] = ()) -> None:
        """A new audit: the finding that is looked at stays so if it is still there. Scans that are
        `waiting` to be made again are not told anew."""
        here = self.here
        self.left = [
            one for one in found if not one.aside or not all(scan in waiting for scan in one.scans)
        ]
        self.whole = True
        keys = [finding.key for finding in self.left]
        if here is not None and here.key in keys:
            self.at = keys.index(here.key)
        self.at = min(self.at, max(0, len(self.left) - 1))

    def done(self) -> None:
        """The finding that was looked at is dealt with; the next one is looked at."""
        if self.at < len(self.left):
            del self.left[self.at]
        self.at = min(self.at, max(0, len(self.left) - 1))

    def step(self, by: int) -> None:
        """Look at another one."""
        self.at = min(max(0, self.at + by), max(0, len(self.left) - 1))

    def tell(self, keys: Keymap) -> str:
        """Their number, for the top line; empty where there is none."""
        many = f"{len(self.left)} finding{'s' * (len(self.left) != 1)}"
        return f"{many} {keys.shown('findings')}".rstrip() if self.left else ""


def deed(finding: Finding) -> str:
    """What Enter does about a finding."""
    if finding.split:
        return "splits the sheet into its cards"
    if finding.aside:
        return "sets the card aside, to be scanned again"
    mend = finding.fixes[0] if finding.fixes else None
    if isinstance(mend, SkipScan):
        return f"leaves {named(mend.scan)} out; the rest moves up"
    if isinstance(mend, InsertGap):
        return f"leaves a place for the {mend.side}; the rest moves on"
    if isinstance(mend, SwapSides):
        return "lets front and back change places"
    if isinstance(mend, Turn):
        what = "this side" if len(mend.scans) == 1 else f"these {len(mend.scans)} sides"
        return f"turns {what} by {mend.degrees} degrees"
    return "does nothing here"


def panel(found: Findings, lot: Arrangement, keys: Keymap, width: int, height: int) -> list[Text]:
    """The finding that is looked at, what Enter does, and the others."""
    finding = found.here
    back = f"{keys.shown('findings')} goes back to card {found.back}"
    if finding is None:
        said = "Nothing is left to look at."
        if not found.whole:
            said = f"The scans are being looked at: {found.looked} of {found.of}."
        return [
            Text("findings", theme.BRASS),
            Text(),
            *wrapped(said, width, theme.PLAIN),
            *wrapped(back, width, theme.DIM),
        ]
    style = theme.BRASS if finding.by_key else theme.RUST
    first, *rest = wrapped(f"{keys.shown('take')} {deed(finding)}", width, style)
    lines = [Text(first.plain.strip(), style), *rest, Text()]
    head = (
        f"finding {found.at + 1} of {len(found.left)} · card {position_of(finding, lot)} · "
        f"{finding.kind}"
    )
    lines += wrapped(head, width, theme.BRIGHT)
    lines += wrapped(f"{_sentence(finding)}.", width, theme.PLAIN)
    if finding.ask:
        lines += wrapped("A question: look before you press it.", width, theme.RUST)
    lines += wrapped(finding.remedy, width, theme.DIM)
    room = height - len(lines) - 2
    if len(found.left) > 1 and room > 1:
        lines += [Text(), Text("all", theme.BRASS)]
        top = max(0, min(found.at - room // 2, len(found.left) - room))
        for at, other in enumerate(found.left[top : top + room], start=top):
            line = Text("▸ " if at == found.at else "  ", theme.BRASS)
            line.append(
                f"card {position_of(other, lot)} ", theme.BRIGHT if at == found.at else theme.PLAIN
            )
            line.append(printable(str(other.kind)) + (" ?" if other.ask else ""), theme.DIM)
            line.truncate(width - 1, overflow="ellipsis")
            lines.append(line)
    return lines[:height]


def _sentence(finding: Finding) -> str:
    """What was seen, beginning with a capital letter unless it begins with the name of a scan."""
    if any(finding.detail.startswith(named(scan)) for scan in finding.scans):
        return finding.detail
    return f"{finding.detail[0].upper()}{finding.detail[1:]}"

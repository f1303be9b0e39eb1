"""What the audit found, as far as it was not dealt with: known from the first audit on, whether or
not the dealer goes through it."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tagger.core.model.counted import counted
from tagger.ui.keys import Action, KeyHint, Keymap

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding

KEYS: Sequence[KeyHint] = (
    (Action.TAKE, "fix"), (Action.READING_DOWN, "next"), ("delete", "nothing wrong"),
    (Action.UNDO, "undo"), (Action.FLIP, "flip"), (Action.LOOK, "zoom"),
    (Action.FINDINGS, "return"),
)  # fmt: skip

# It is asked whether it is another card, and Enter says so.
ASKED: Sequence[KeyHint] = (
    (Action.TAKE, "another card"), ("delete", "same card"), *KEYS[1:2], *KEYS[3:],
)  # fmt: skip


@dataclass
class Findings:
    """The findings that are left, and the one looked at. `answered` are those that tagging has
    answered, which undo asks again. `back` is the card (from 1) that the
    dealer came from, None while nobody goes through them; `looked` and `of` say how far the audit
    is, in scans; `whole`: one has come to its end; `asked` are the positions of the cards whose
    scans were replaced."""

    left: list[Finding] = field(default_factory=list)
    answered: list[Finding] = field(default_factory=list)
    asked: Sequence[int] = ()
    at: int = 0
    back: int | None = None
    looked: int = 0
    of: int = 0
    whole: bool = False

    @property
    def here(self) -> Finding | None:
        """The finding that is looked at."""
        return self.left[self.at] if self.at < len(self.left) else None

    @property
    def keys(self) -> Sequence[KeyHint]:
        """The keys that do something here."""
        # With nothing left there is only the way back; what no key mends is not offered to Enter.
        if self.here is None:
            return KEYS[-1:]
        if self.here.replaced:
            return ASKED
        return KEYS if self.here.by_key else KEYS[1:]

    def came(self, found: Sequence[Finding], waiting: Container[str] = ()) -> None:
        """A new audit: the finding that is looked at stays so if it is still there. Scans that are
        `waiting` to be made again are not told anew."""
        questions = [one for one in self.left if one.replaced]
        self.whole, self.answered = True, []
        self._now([*questions, *(one for one in found if not _is_dealt_with(one, waiting))])

    def weigh(self, is_answered: Callable[[Finding], bool]) -> None:
        """What tagging answers is no problem left, and is one again where it is undone."""
        every = [*self.left, *self.answered]
        answered = [one for one in every if is_answered(one)]
        if answered == self.answered:
            return
        again = [one for one in self.answered if one not in answered]
        left = [one for one in self.left if one not in answered]
        self.answered = answered
        # where it stood, by its card; what is asked stands before all else
        self._now(sorted([*left, *again], key=lambda one: (not one.replaced, one.position)))

    def ask(self, positions: Sequence[int], questions: Iterable[Finding]) -> None:
        """These cards are asked about now, before all else."""
        self.asked = positions
        self._now([*questions, *(one for one in self.left if not one.replaced)])

    def _now(self, left: list[Finding]) -> None:
        here, self.left = self.here, left
        keys = [finding.key for finding in left]
        if here is not None and here.key in keys:
            self.at = keys.index(here.key)
        self._hold()

    def look_at(self, position: int) -> None:
        """Look at what is asked of the card at a position, if anything is."""
        for at, one in enumerate(self.left):
            if one.replaced and one.position == position:
                self.at = at
                return

    def done(self) -> None:
        """The finding that was looked at is dealt with; the next one is looked at."""
        if self.at < len(self.left):
            del self.left[self.at]
        self._hold()

    def step(self, by: int) -> None:
        """Look at another one."""
        self.at = max(0, self.at + by)
        self._hold()

    def _hold(self) -> None:
        self.at = min(self.at, max(0, len(self.left) - 1))

    def tell(self, keys: Keymap) -> str:
        """Their number, for the top line; empty where there is none."""
        if not self.left:
            return ""
        many = counted(len(self.left), "problem")
        return f"{many} {keys.shown(Action.FINDINGS)}".rstrip()


def _is_dealt_with(finding: Finding, waiting: Container[str]) -> bool:
    # What is set aside for another scan is dealt with, though the scan is as bad as it was.
    return bool(finding.aside) and all(scan in waiting for scan in finding.scans)

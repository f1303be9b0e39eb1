"""A hint that was typed when the line dropped: it belongs to the card that lay in front then, known
by its scans, until that card is tagged or the hint is taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, Protocol

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView


class Unfinished(NamedTuple):
    """A hint, the scans of its card (empty where a side is missing), and what the card was then, in
    words."""

    text: str
    front: str
    back: str
    was: str


class HintMemory(Protocol):
    """Keeps one unfinished hint of a lot. Never fails: a hint can be typed again."""

    def read(self) -> Unfinished | None:
        """The hint that is kept, None where none is."""

    def keep(self, hint: Unfinished | None) -> None:
        """Keep this hint and no other, or none."""


class UnfinishedHint:
    """The hint in the line, kept while it is unfinished."""

    def __init__(self, view: LotView, memory: HintMemory | None) -> None:
        """`memory` is None where nothing is to be written."""
        self._view, self._memory = view, memory
        self._kept = memory.read() if memory is not None else None
        self._typed: Unfinished | None = None
        # A hint of a card that is not in front here waits for the next opening.
        self._waits = self._kept is not None

    def begun(self) -> str:
        """What was typed for the card in front when the lot was left; empty where nothing was."""
        kept, here = self._kept, self._of_card("")
        # By scans and what the card was, not by its position: scans may have come in before it
        # while nobody was there.
        if kept is None or here is None or here._replace(text=kept.text) != kept:
            return ""
        self._waits = False
        return kept.text

    def note(self, text: str) -> None:
        """This is what is typed for the card in front now."""
        self._typed = self._of_card(text) if text.strip() else None

    def keep(self) -> None:
        """Keep what was noted last."""
        if self._memory is None or self._typed == self._kept:
            return
        # Nothing was typed in this sitting: what waits for its card is not thrown away by a look at
        # others.
        if self._typed is None and self._waits and self._is_open():
            return
        self._memory.keep(self._typed)
        self._kept, self._waits = self._typed, False

    def _is_open(self) -> bool:
        """Whether the card of the kept hint is in the lot, and as it was."""
        kept = self._kept
        assert kept is not None
        at = self._view.arrangement.position_with(kept.front or kept.back)
        return at is not None and self._view.card_at(at).mark.brief() == kept.was

    def _of_card(self, text: str) -> Unfinished | None:
        card = self._view.card
        if card is None:
            return None
        return Unfinished(text, card.front or "", card.back or "", card.mark.brief())

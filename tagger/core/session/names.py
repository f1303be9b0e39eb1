"""Names by which the desk still asks the session for what `Session.view` has."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger.core.lot.carried import Cursor
from tagger.core.lot.view import Counts, LotView
from tagger.core.model.arrangement import Arrangement, Card, SideOrder
from tagger.core.model.tags import Mark
from tagger.core.session.candidates import Candidates
from tagger.core.session.intake import FolderScans

if TYPE_CHECKING:
    from tagger.core.matching.matcher import Matcher


class FormerNames:
    """Each is one line; see LotView, Candidates and FolderScans."""

    view: LotView
    candidates: Candidates
    folder: FolderScans

    @property
    def desk(self) -> Cursor:
        """`view.cursor`."""
        return self.view.cursor

    @property
    def sides(self) -> SideOrder:
        """`view.sides`."""
        return self.view.sides

    @property
    def arrangement(self) -> Arrangement:
        """`view.arrangement`."""
        return self.view.arrangement

    @property
    def checklists(self) -> tuple[str, ...]:
        """`view.checklists`."""
        return self.view.checklists

    @property
    def cards(self) -> int:
        """`view.cards`."""
        return self.view.cards

    @property
    def at_end(self) -> bool:
        """`view.at_end`."""
        return self.view.at_end

    @property
    def card(self) -> Card | None:
        """`view.card`."""
        return self.view.card

    def card_at(self, position: int) -> Card:
        """`view.card_at`."""
        return self.view.card_at(position)

    def mark(self, id: int) -> Mark:
        """`view.mark`."""
        return self.view.mark(id)

    def counts(self) -> Counts:
        """`view.counts`."""
        return self.view.counts()

    @property
    def scans(self) -> Sequence[str]:
        """`folder.names`."""
        return self.folder.names

    @property
    def matcher(self) -> Matcher:
        """`candidates.matcher`."""
        return self.candidates.matcher

    @matcher.setter
    def matcher(self, matcher: Matcher) -> None:
        self.candidates.matcher = matcher

    def repeats(self, hint: str) -> bool:
        """`candidates.is_copy`."""
        return self.candidates.is_copy(hint)

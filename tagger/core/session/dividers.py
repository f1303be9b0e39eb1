"""Dividers that are found while a lot is open: left out at once where nothing speaks against it, as
one change that can be undone; else they stay a question among the findings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.audit.dividers.findings import asked_where_tagged, divider_findings
from tagger.core.audit.findings import FindingKind
from tagger.core.dividers.divider import divider_on
from tagger.core.fixes.dividers import LeaveOutDividers
from tagger.core.model.counted import counted
from tagger.core.session.fixer import Fixer
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding
    from tagger.core.dividers.seen import CodeSeen
    from tagger.core.model.arrangement import PlacedDivider
    from tagger.core.session.session import Session


class DividersOfLot:
    """The dividers of a lot at work."""

    def __init__(self, session: Session) -> None:
        self._session = session
        # What was undone is not done again by itself.
        self._done = set[str]()

    def seen(self, codes: Mapping[str, CodeSeen]) -> str:
        """These codes were seen on scans: leave out what is surely a divider. What was done, as a
        sentence; empty where nothing was. Raises NotSaved."""
        return self.found(divider_findings(self._session.view.arrangement, codes, {}))

    def found(self, findings: Sequence[Finding]) -> str:
        """The same of findings."""
        view = self._session.view
        theirs = [one for one in findings if one.kind is FindingKind.DIVIDER]
        # A scan with a tag on it is never left out by itself, however sure its code is: the dealer
        # said that it is a card.
        sure = [one for one in asked_where_tagged(view, theirs) if self._is_sure(one)]
        # Before it is done: if the change cannot be saved, the next look must not try again with
        # every scan.
        self._done.update(one.key for one in sure)
        placed = tuple(divider for one in sure for divider in _placed(one))
        if not placed:
            return ""
        before = view.carried
        try:
            Fixer(self._session).mend([LeaveOutDividers(placed)])
        except Refused:  # the lot is another one by now: the next audit tells
            return ""
        return f"{self._told(placed)} {view.told_divider(before)}".rstrip()

    def _is_sure(self, finding: Finding) -> bool:
        accepted = self._session.view.arrangement.mending.accepted
        return finding.certain and finding.key not in self._done and finding.key not in accepted

    def _told(self, placed: Sequence[PlacedDivider]) -> str:
        if len(placed) > 1:
            return f"{counted(len(placed), 'divider')} found."
        groups = self._session.view.groups
        group = groups.group_of(groups.before[groups.index_of(placed[0].key)])
        behind = counted(group.cards, "card")
        return f"Divider {divider_on(placed[0]).title} found: {behind} behind it."


def _placed(finding: Finding) -> Sequence[PlacedDivider]:
    return [
        one for fix in finding.fixes if isinstance(fix, LeaveOutDividers) for one in fix.dividers
    ]

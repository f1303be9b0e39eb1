"""What the desk does with what comes from behind: findings, scans, sheets that were split, cards
that look like known ones. It never changes what Enter does under the dealer's eyes."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from tagger.core.audit.poses import MARGIN
from tagger.core.lot.scan_stamps import replaced_words
from tagger.core.model.counted import counted
from tagger.core.model.pose import Pose
from tagger.core.model.scan_ref import LotRef, ScanRef
from tagger.errors import NotSaved, TaggerError
from tagger.ui.desk.pictures.seen import Known
from tagger.ui.keys import Action, Keymap

if TYPE_CHECKING:
    from textual.timer import Timer

    from tagger.core.audit.findings import Finding
    from tagger.core.dividers.seen import CodeSeen
    from tagger.core.session.dividers import DividersOfLot
    from tagger.core.session.fixer import Fixer
    from tagger.core.session.recognition import KnownMatch, Recognition
    from tagger.services.background.ports import ScansArrived
    from tagger.ui.desk.background.background_monitor import (
        AuditReported,
        ScansCame,
        ScansRead,
        SheetSplit,
    )
    from tagger.ui.desk.background.hub_monitor import HubTold
    from tagger.ui.desk.background.reading_client import CardsRead
    from tagger.ui.desk.background.recognition_client import Recognized
    from tagger.ui.desk.parts import DeskParts

UNDISTURBED = 0.7  # seconds without a key after which what was found may change the card in front


class BackgroundNews:
    """Takes each message and has the desk drawn again where it shows."""

    def __init__(self, parts: DeskParts) -> None:
        self._parts = parts
        self._codes: dict[str, CodeSeen] = {}
        self._dividers: DividersOfLot | None = None
        self._wait: Timer | None = None

    def _fixer(self) -> Fixer:
        # loaded when something is found: the first card is on the screen before
        from tagger.core.session.fixer import Fixer

        return Fixer(self._parts.session)

    def _silent(self) -> bool:
        """Whether there is room for news: nothing is typed, and nothing said that is still to be
        read."""
        return not self._parts.message.text and not self._parts.hint.text

    def audit_reported(self, message: AuditReported) -> None:
        """Cards are shown straight from now on where their edges are known; what was found is
        told."""
        told, found, parts = message.told, self._parts.findings, self._parts
        self._codes.update(told.codes)
        if told.codes:
            self._dividers_seen()
        # Poses hold what is on the screen: a picture never turns while it is looked at.
        parts.previews.poses.learn(told.measured)
        if parts.previews.learn_places(told.places, parts.session):
            parts.painting.later()
        parts.recognition.begin()
        parts.reading.read_on()
        parts.recognition.learn(told.measured, whole=told.findings is not None)
        found.looked, found.of = told.looked, told.of
        going_through = found.back is not None
        if told.findings is not None:
            self._say_found(told.findings)
            found.came(self._by_tags(told.findings), self._fixer().set_aside())
            self._weigh_frames()
            if found.left and not going_through and self._silent():
                parts.message.say(self._wrong(len(found.left)), alarm=True)
        elif not going_through:
            return
        parts.painting.later()

    def _of_lot(self) -> DividersOfLot:
        from tagger.core.session.dividers import DividersOfLot

        self._dividers = self._dividers or DividersOfLot(self._parts.session)
        return self._dividers

    def _dividers_seen(self) -> None:
        """Leave out the dividers that were found, when no key was pressed for a moment: nothing
        changes under a finger that is about to press Enter."""
        parts = self._parts
        if parts.session.looking:
            return
        quiet = parts.session.now() - parts.session.work.last >= UNDISTURBED
        if parts.hint.text or not quiet or not parts.modes.only_first:
            self._wait = self._wait or parts.screen.set_timer(UNDISTURBED, self._waited)
            return
        self._say_dividers(self._of_lot().seen(self._codes))

    def _waited(self) -> None:
        self._wait = None
        self._dividers_seen()

    def _say_found(self, findings: Sequence[Finding]) -> None:
        """Leave out what only the whole look at the lot has told to be a divider."""
        from tagger.core.audit.findings import FindingKind

        kinds = {one.kind for one in findings if one.certain}
        if FindingKind.DIVIDER in kinds and not self._parts.session.looking:
            self._say_dividers(self._of_lot().found(findings))

    def _say_dividers(self, said: str) -> None:
        if said:
            self._parts.message.say(said)
            self._parts.background.changed()
            self._parts.painting.later()

    def _by_tags(self, findings: Sequence[Finding]) -> Sequence[Finding]:
        """The findings, those of dividers by what is tagged and listed now."""
        parts, view = self._parts, self._parts.session.view
        if not (self._codes or view.arrangement.mending.dividers):
            return findings
        from tagger.core.audit.dividers.findings import asked_where_tagged
        from tagger.core.audit.dividers.placed_findings import unlisted_findings
        from tagger.core.index.divider_names import listed_by

        found = asked_where_tagged(view, findings)
        if not parts.lists.ready:
            return found
        listed = listed_by(parts.session.candidates.matcher.index)
        accepted = view.arrangement.mending.accepted
        unlisted = unlisted_findings(view.arrangement, listed.sets, listed.parallels)
        return [*found, *(one for one in unlisted if one.key not in accepted)]

    def tagged(self) -> None:
        """Tags may have answered what was asked about frames, or no longer do."""
        found = self._parts.findings
        if found.left or found.answered:
            self._weigh_frames()

    def _weigh_frames(self) -> None:
        from tagger.core.audit.frames.frame_findings import fronts_asked, is_answered

        found, session = self._parts.findings, self._parts.session
        before = found.tell(self._parts.keys)
        found.weigh(partial(is_answered, session.view))
        session.review.ask_frames(fronts_asked(found.left))
        if found.tell(self._parts.keys) != before:
            self._parts.painting.later()

    def _wrong(self, count: int) -> str:
        shows = "shows it" if count == 1 else "shows them"
        found = f"{counted(count, 'scan problem')} found"
        return f"{found}: {self._parts.keys.shown(Action.FINDINGS)} {shows}."

    def scans_came(self, message: ScansCame) -> None:
        """They join the lot; a scan that was made again is drawn anew."""
        parts, session, came = self._parts, self._parts.session, message.came
        before, cards = set(session.folder.names), session.view.cards
        at_end = session.view.at_end and bool(cards)
        # A scan of the same name that was made again shows another picture from now on.
        parts.previews.forget(came.fresh)
        parts.recognition.forget(came.fresh)
        session.take_in(came.scans)
        if at_end and parts.findings.back is None:
            # Who has done all waits for the next card: it is shown when it comes.
            session.go(min(cards + 1, session.view.cards))
        if self._silent():
            parts.message.say(f"{_fresh(came, before)}: the lot has {session.view.cards} cards.")
        parts.background.changed()
        parts.background.read(scan for scan in came.fresh if scan in session.view.stamps)
        parts.painting.later()

    def scans_read(self, message: ScansRead) -> None:
        """Which files the scans of tagged cards are is kept, or asked where they are other ones."""
        parts, replaced = self._parts, self._parts.session.scans.replaced
        asked = set(replaced.positions())
        # what cannot be kept now is read again in the next sitting
        with contextlib.suppress(NotSaved):
            parts.session.scans.read(message.found, message.scans)
        if set(replaced.positions()) - asked:
            parts.message.say(replaced_told(replaced.positions(), parts.keys), alarm=True)
            parts.painting.later()

    def sheet_split(self, message: SheetSplit) -> None:
        """The sheet becomes its cards, if it is still there."""
        parts = self._parts
        # By the scan and not by the position: cards may have moved while it was measured.
        position = parts.session.view.arrangement.position_with(message.scan)
        if position is None:
            return
        from tagger.core.fixes.scans import Split

        try:
            said = self._fixer().mend([Split(position, message.parts)])
        except TaggerError as error:
            parts.message.say(error.message, alarm=True)
        else:
            if message.ask:
                said = f"{said} Check that each back belongs to its front."
            parts.message.say(said)
            parts.findings.done()
            parts.background.changed()
        parts.painting.later()

    def recognized(self, answer: Recognized, undisturbed: bool) -> None:
        """The card in front looks like one that is known; `undisturbed`: no key came since it was
        shown."""
        parts, found = self._parts, answer.found
        if not parts.recognition.came(answer, undisturbed) or found is None:
            return
        alike, previews = parts.recognition.alike, parts.previews
        assert alike is not None
        previews.known = _known(alike, found, parts.recognition.own(found))
        # Where one side is seen, the known card comes by a key: it would hide the card in front.
        previews.comparing = previews.known is not None and previews.both
        parts.painting.later()

    def hub_told(self, message: HubTold) -> None:
        """The lot was sent to the hub, or could not be; sales of others are entered."""
        parts, before = self._parts, self._parts.hub.sign
        try:
            said = parts.hub.came(message.news)
        except NotSaved as error:
            parts.message.say(error.message, alarm=True)
            said = ""
        if said:
            parts.message.say(said)
        if said or parts.hub.sign != before:
            parts.painting.later()

    def cards_read(self, message: CardsRead) -> None:
        """More was read: it counts from when it is drawn."""
        if message.told:
            self._parts.message.say(message.told, alarm=True)
        self._parts.session.review.read_on()
        self._parts.painting.later()

    def looked(self, told: str) -> None:
        """The card in front is drawn with what was read of it; `told` where that changes what was
        proposed. A set that was read wrongly too often is told as well."""
        if news := self._parts.reading.trust.news():
            self._parts.session.review.read_on()
            self._parts.message.say(news, alarm=True)
        elif told and not self._parts.message.alarm:
            self._parts.message.say(told)


def replaced_told(positions: Sequence[int], keys: Keymap) -> str:
    """Which cards are asked about, as a sentence; empty where none is."""
    words = replaced_words(positions)
    if not words:
        return ""
    return f"{words[0].upper()}{words[1:]}: {keys.shown(Action.FINDINGS)} asks about each."


def _fresh(came: ScansArrived, before: set[str]) -> str:
    """`2 new scans and 1 rescanned`."""
    new, again = len(came.fresh - before), len(came.fresh & before)
    said = []
    if new:
        said.append(counted(new, "new scan"))
    if again:
        said.append(f"{again} rescanned")
    return " and ".join(said)


def _known(alike: Recognition, found: KnownMatch, own: bool) -> Known | None:
    front = found.card.scans.front
    if front is None:
        return None
    if own:
        return Known(alike.known, ScanRef(None, front), None)
    pose = Pose()
    if found.corners is not None:
        pose = Pose(0, found.corners, found.dpi, MARGIN)
    return Known(alike.known, ScanRef(LotRef(found.card.scans.folder), front), pose)

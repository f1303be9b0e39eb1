"""The desk's keys for what the feeder got wrong: going through the findings, and mending a card by
a few words."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.screen import Screen

from tagger.core.audit.findings import position_of
from tagger.core.session.session import Session
from tagger.errors import Refused, TaggerError
from tagger.ui.desk.background_monitor import (
    AuditReported,
    BackgroundMonitor,
    ScansCame,
    SheetSplit,
    StatusText,
)
from tagger.ui.desk.findings import Findings
from tagger.ui.desk.previews import Previews
from tagger.ui.desk.recognition_client import RecognitionClient
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Keymap

if TYPE_CHECKING:
    from tagger.core.session.fixer import Fixer

_STAYS = (
    "flip", "look", "loupe_left", "loupe_right", "loupe_up", "loupe_down", "loupe_in",
    "loupe_out", "loupe_side",
    "loupe_name", "redraw", "centering",
)  # fmt: skip

Done = tuple[str | None, bool]


class MendKeys(Screen[None]):
    """The part of the desk that has these keys."""

    _session: Session
    _line: HintLine
    _keymap: Keymap
    _watch: BackgroundMonitor
    _say: Callable[..., None]
    _do: Callable[[str], None]

    _findings: Findings
    _previews: Previews
    _resembling: RecognitionClient
    _later: Callable[[], None]
    _message: str

    @property
    def _mender(self) -> Fixer:
        from tagger.core.session.fixer import Fixer

        return Fixer(self._session)

    def _do_findings(self) -> Done:
        words = self._line.text.strip()
        if words:
            return self._mend(words), True
        self._findings.back = self._session.desk.position
        self._findings.shown = True
        self._go_to_finding()
        return "", True

    def _mend(self, words: str) -> str | None:
        from tagger.core.fixes.parser import read_mend

        session = self._session
        here = min(session.desk.position, session.cards)
        wanted = read_mend(words, here, session.arrangement, self._mender.set_of)
        if wanted.join:
            raise Refused(
                "Leave the lot first: tagger mend FOLDER join OTHER joins another folder to it."
            )
        if wanted.split is not None:
            self._watch.split(wanted.split)
            return "The sheet is being looked at; its cards come by themselves."
        said = self._mender.mend(wanted.mends)
        self._watch.changed()
        return said

    def _turn_findings(self, key: str, id: str) -> bool:
        """Do what a key does among the findings. Any other key leaves them and does its own work at
        this card."""
        found = self._findings
        if id in _STAYS:
            return False
        if id == "findings" and not self._line.text:
            self._leave_findings()
            return True
        if id == "take":
            self._among(self._remedy)
        elif key == "delete":
            self._among(self._accept)
        elif id in ("undo", "redo"):
            self._do(id)
            self._watch.changed()
        elif id in ("reading_down", "reading_up"):
            found.step(1 if id == "reading_down" else -1)
            self._go_to_finding()
        else:
            found.shown = False
            return False
        return True

    def _leave_findings(self) -> None:
        self._findings.shown = False
        self._session.go(min(self._findings.back, self._session.cards + 1))
        self._say("")

    def _among(self, deed: Callable[[], str]) -> None:
        try:
            said = deed()
        except TaggerError as error:
            self._say(error.message, alarm=True)
        else:
            self._say(said)
            self._findings.done()
            self._watch.changed()
            self._go_to_finding()

    def _remedy(self) -> str:
        finding = self._findings.here
        if finding is None:
            raise Refused(f"Nothing is left here; {self._keymap.shown('findings')} goes back.")
        if finding.split:
            self._watch.split(position_of(finding, self._session.arrangement))
            return "The sheet is being looked at; its cards come by themselves."
        before = (
            self._session.card_at(self._findings.back)
            if self._findings.back <= self._session.cards
            else None
        )
        said = self._mender.remedy(finding)
        if before is not None:  # the card that the dealer came from may lie elsewhere now
            scans = {before.front, before.back} - {None}
            pairs = enumerate(self._session.arrangement.pairs, start=1)
            self._findings.back = next(
                (at for at, pair in pairs if scans & set(pair[1:])), self._findings.back
            )
        return said

    def _accept(self) -> str:
        from tagger.core.fixes.display import Dismiss

        finding = self._findings.here
        if finding is None:
            raise Refused(f"Nothing is left here; {self._keymap.shown('findings')} goes back.")
        return self._mender.mend([Dismiss(finding.key, f"card {finding.position}, {finding.kind}")])

    def _do_centering(self) -> Done:
        scan = self._previews.side_in_loupe(self._session)
        if scan is None:
            raise Refused("There is no scan to measure here.")
        self._watch.centering(scan)
        return "The side in the loupe is being measured.", False

    def _go_to_finding(self) -> None:
        finding = self._findings.here
        if finding is not None and self._session.cards:
            self._session.go(position_of(finding, self._session.arrangement))

    # What comes from behind

    def on_audit_reported(self, message: AuditReported) -> None:
        """Cards are shown straight from now on where their edges are known; what was found is
        told."""
        told, found = message.told, self._findings
        self._previews.stands.learn(told.measured)
        self._resembling.begin()
        self._resembling.learn(told.measured, whole=told.findings is not None)
        found.looked, found.of = told.looked, told.of
        if told.findings is not None:
            found.came(told.findings, self._mender.set_aside())
            if found.left and not found.shown and not self._message and not self._line.text:
                one = "one thing" if len(found.left) == 1 else f"{len(found.left)} things"
                self._say(
                    f"The feeder got {one} wrong: {self._keymap.shown('findings')} shows what.",
                    alarm=True,
                )
            self._later()
        elif found.shown:
            self._later()

    def on_scans_came(self, message: ScansCame) -> None:
        """They join the lot; a scan that was made again is drawn anew."""
        session, came = self._session, message.came
        before, cards = set(session.scans), session.cards
        at_end = session.at_end and bool(cards)
        self._previews.forget(came.fresh)
        self._resembling.forget(came.fresh)
        session.take_in(came.scans)
        new, again = len(came.fresh - before), len(came.fresh & before)
        if at_end and not self._findings.shown:
            session.go(cards + 1 if session.cards > cards else session.cards)
        if not self._line.text and not self._message:
            parts = [
                f"{new} scan{'s' * (new > 1)} more" if new else "",
                f"{again} made again" if again else "",
            ]
            self._say(
                f"{' and '.join(part for part in parts if part)}: the lot has {session.cards} "
                "cards."
            )
        self._watch.changed()
        self._later()

    def on_sheet_split(self, message: SheetSplit) -> None:
        """The sheet becomes its cards, if it is still there."""
        pairs = enumerate(self._session.arrangement.pairs, start=1)
        position = next((at for at, pair in pairs if message.scan in pair[1:]), None)
        if position is None:
            return
        from tagger.core.fixes.scans import Split

        try:
            said = self._mender.mend([Split(position, message.parts)])
        except TaggerError as error:
            self._say(error.message, alarm=True)
        else:
            self._say(
                f"{said} Look whether each back belongs to its front." if message.ask else said
            )
            self._findings.done()
            self._watch.changed()
        self._later()

    def on_status_text(self, message: StatusText) -> None:
        """Something that took a while is done."""
        self._say(message.sentence, alarm=message.alarm)
        self._later()

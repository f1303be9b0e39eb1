"""One lot looked through behind its desk, again and again as it changes: dividers first, then what
is measured, what that finds, and where the numbers may stand.

Loaded by the thread that works here; see background_jobs."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, wait
from time import monotonic
from typing import TYPE_CHECKING, TypeVar

from tagger.core.audit.audited_lot import AuditedLot
from tagger.services.background.ports import AuditJob, AuditProgress
from tagger.services.reading.printed_audit import print_findings_of
from tagger.services.scans.divider_codes import DividerCodes, can_look
from tagger.services.scans.measurements import Measurements, findings_of
from tagger.services.scans.number_places import DesignsOfCards
from tagger.store.machine.paths import measured_folder, readings_folder

if TYPE_CHECKING:
    from pathlib import Path

    from tagger.core.audit.findings import Finding
    from tagger.core.audit.measured import Measured
    from tagger.core.audit.number_place import NumberPlace
    from tagger.core.dividers.seen import CodeSeen
    from tagger.imaging.survey.workers import Workers

OFTEN = 0.5  # seconds between two reports of how far the audit is
FIRST_LOOK = 96  # scans looked at after which the dividers among them are told already
PATIENCE = 0.5  # seconds after which another audit that was asked for is looked for

Answer = TypeVar("Answer")


class LotAudit:
    """Looks one folder's lot through. `waiting` gives the audit that was asked for since, which
    this one makes room for; `is_open` whether anybody is still at the desk."""

    def __init__(
        self,
        folder: Path,
        workers: Workers,
        waiting: Callable[[], AuditJob | None],
        is_open: Callable[[], bool],
    ) -> None:
        self._folder, self._workers = folder, workers
        self._waiting, self._is_open = waiting, is_open
        self._measurements: Measurements | None = None
        self._codes = DividerCodes(folder, measured_folder())
        self._designs = DesignsOfCards(folder, workers)

    def run(self, job: AuditJob) -> None:
        """Look the lot through, and report. Raises BrokenExecutor, CancelledError, RuntimeError,
        TaggerError; the next audit goes on from what was measured."""
        if self._measurements is None:
            self._measurements = Measurements(self._folder, measured_folder())
        known, scans = self._measurements, job.in_order()
        if not self._look_for_dividers(job, scans):
            return
        designs = self._designs
        designs.begin(job.arrangement)
        news = _News(known, scans, designs)
        if not self._measure(job, scans, news):
            return
        job.report(AuditProgress(len(scans), len(scans), news.take(), places=designs.news()))
        if self._waiting() is not None:
            return
        lot = AuditedLot(job.arrangement, job.scans, known.times(scans))
        codes = self._codes.of(job.with_dividers()) if can_look() else None
        findings = self._found(lot, known.of(scans), codes)
        # What was found in a lot that is another by now would be wrong.
        if not self._left():
            job.report(AuditProgress(len(scans), len(scans), {}, findings))
        self._find_numbers(job, scans, designs)

    def _look_for_dividers(self, job: AuditJob, scans: Sequence[str]) -> bool:
        """Look for dividers, before all else; False where nobody wants that any more."""
        asked, reported = job.with_dividers(), -OFTEN
        for done in self._codes.look(asked, self._workers):
            if self._is_unwanted(scans):
                return False
            if done >= FIRST_LOOK and reported < 0:
                reported = monotonic()
                job.report(AuditProgress(0, len(scans), codes=self._told_codes(asked)))
        if codes := self._told_codes(asked):
            job.report(AuditProgress(0, len(scans), codes=codes))
        return self._waiting() is None

    def _told_codes(self, scans: Sequence[str]) -> dict[str, CodeSeen]:
        """The codes that were seen by now; nothing where there is none."""
        seen = {scan: one for scan, one in self._codes.of(scans).items() if one.text or one.blank}
        return seen if any(one.text for one in seen.values()) else {}

    def _found(
        self,
        lot: AuditedLot,
        measured: Mapping[str, Measured],
        codes: Mapping[str, CodeSeen] | None,
    ) -> Sequence[Finding]:
        """What the audit finds, by measures, by dividers and by what was read."""
        found = self._twice(findings_of, lot, measured, None, codes)
        if not os.path.isdir(readings_folder()):
            return found
        return [*found, *self._twice(print_findings_of, self._folder, lot.arrangement, found)]

    def _twice(self, work: Callable[..., Answer], *given: object) -> Answer:
        try:
            return self._workers.submit(work, *given).result()
        except BrokenExecutor:  # a process may have died of other work: once more in a fresh one
            return self._workers.submit(work, *given).result()

    def _find_numbers(self, job: AuditJob, scans: Sequence[str], designs: DesignsOfCards) -> None:
        """Wait for the places of the numbers that are still looked for."""
        designs.ask(to_the_end=True)
        while waiting := designs.waiting():
            wait(waiting, PATIENCE, FIRST_COMPLETED)
            if self._left():
                return
            places = designs.news()
            designs.ask(to_the_end=True)
            if places or not designs.waiting():
                places = {**places, **designs.news()}
                job.report(AuditProgress(len(scans), len(scans), places=places))

    def _measure(self, job: AuditJob, scans: Sequence[str], news: _News) -> bool:
        """Measure what is not known; False where that was left, because nobody wants it any
        more."""
        reported = monotonic()
        for looked, of in news.known.measure(scans, self._workers):
            if monotonic() - reported >= OFTEN:
                reported = monotonic()
                job.report(AuditProgress(looked, of, news.take(), places=news.places()))
            if self._is_unwanted(scans):
                return False
        return True

    def _is_unwanted(self, scans: Sequence[str]) -> bool:
        if not self._is_open():
            return True
        # The next audit goes on with what this one measures, unless scans were taken away: those
        # must not keep it waiting.
        asked = self._waiting()
        return asked is not None and not set(scans) <= set(asked.arrangement.scans)

    def _left(self) -> bool:
        return self._waiting() is not None or not self._is_open()


class _News:
    """What was measured since it was taken last."""

    def __init__(self, known: Measurements, scans: Sequence[str], designs: DesignsOfCards) -> None:
        self.known, self._scans, self._designs = known, scans, designs
        self._taken: set[str] = set()

    def take(self) -> dict[str, Measured]:
        """The new measurements, by scan."""
        new = [scan for scan in self._scans if scan not in self._taken and self.known.has(scan)]
        self._taken.update(new)
        measured = self.known.of(new)
        for scan, found in measured.items():
            self._designs.learn(scan, found)
        self._designs.ask()
        return measured

    def places(self) -> dict[str, NumberPlace]:
        """Where cards have their numbers, as far as that is new."""
        return self._designs.news()

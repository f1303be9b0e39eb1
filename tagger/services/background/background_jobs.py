"""The jobs behind the open lot: scans that arrive are looked for, and the lot is looked through, in
processes that give way.

Nothing that compares pictures is loaded in the desk's own process, and its interpreter is never
busy with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, CancelledError, wait
from threading import Condition, Thread
from time import monotonic
from typing import TYPE_CHECKING, TypeVar

from tagger.core.audit.audited_lot import AuditedLot
from tagger.errors import LotError, TaggerError
from tagger.imaging.scan.folder_watch import Arrivals
from tagger.imaging.survey.workers import Workers
from tagger.services.background.ports import AuditJob, AuditProgress, ScansArrived
from tagger.services.reading.printed_audit import print_findings_of
from tagger.services.scans.centering import centering_sentence
from tagger.services.scans.divider_codes import DividerCodes, can_look
from tagger.services.scans.measurements import Measurements, findings_of
from tagger.services.scans.number_places import DesignsOfBacks
from tagger.services.scans.scan_check import digested
from tagger.services.scans.sheets import sheet_parts
from tagger.store.machine.paths import LotPlace, measured_folder, readings_folder

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding
    from tagger.core.audit.measured import Measured
    from tagger.core.audit.number_place import NumberPlace
    from tagger.core.dividers.seen import CodeSeen
    from tagger.core.feeding.order import Sides
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.model.scan_ref import ScanStamp

OFTEN = 0.5  # seconds between two reports of how far the audit is
FIRST_LOOK = 96  # scans looked at after which the dividers among them are told already
PATIENCE = 0.5  # seconds after which another audit that was asked for is looked for
REST = 20.0  # seconds without work after which its processes end

Answer = TypeVar("Answer")


class BackgroundJobs:
    """The work behind the desk of one lot; see `ports.BackgroundWork`."""

    def __init__(self, place: LotPlace) -> None:
        self._folder = place.folder
        self._measurements: Measurements | None = None
        self._arrivals: Arrivals | None = None
        self._joined: tuple[str, ...] = ()
        self._workers = Workers()
        self._codes = DividerCodes(place.folder, measured_folder())
        self._designs = DesignsOfBacks(place.folder, self._workers)
        self._change = Condition()
        self._job: AuditJob | None = None
        self._open = True
        self._thread: Thread | None = None

    def audit(self, job: AuditJob) -> None:
        """Look the lot through; see BackgroundWork."""
        with self._change:
            self._job = job
            if self._thread is None and self._open:
                # A daemon, so that leaving never waits for it.
                self._thread = Thread(target=self._audits, name="audit", daemon=True)
                self._thread.start()
            self._change.notify_all()

    def arrived(
        self, arrangement: Arrangement, scans: Sequence[str]
    ) -> tuple[ScansArrived | None, float]:
        """What came into the folder; see BackgroundWork."""
        joined = arrangement.mending.joined
        # What came in is told from what was there, and a joined folder is there all at once.
        if self._arrivals is None or joined != self._joined:
            self._arrivals, self._joined = Arrivals(self._folder, joined, scans), joined
        found = self._arrivals.look()
        arrived = None if found is None else ScansArrived(found.scans, found.fresh)
        return arrived, self._arrivals.pause

    def read(self, scans: Sequence[str]) -> Mapping[str, ScanStamp]:
        """Which files these scans are; see BackgroundWork."""
        return self._ask(digested, self._folder, scans)

    def split(self, front: str, back: str | None) -> tuple[tuple[Sides, ...], bool]:
        """The cards of a sheet; see BackgroundWork."""
        return self._ask(sheet_parts, self._folder, front, back)

    def centering(self, scan: str, turn: int) -> str:
        """How a side is centred; see BackgroundWork."""
        return self._ask(centering_sentence, self._folder, scan, turn)

    def close(self) -> None:
        """End all of it."""
        with self._change:
            self._open = False
            self._change.notify_all()
        self._workers.close()

    def _ask(self, work: Callable[..., Answer], *given: object) -> Answer:
        """Have it done in another process. Raises TaggerError, and LotError where the process
        ended."""
        try:
            return self._workers.submit(work, *given).result()
        except (BrokenExecutor, CancelledError, RuntimeError) as error:
            raise LotError("The scan could not be measured (out of memory?).") from error

    def _audits(self) -> None:
        while True:
            with self._change:
                self._change.wait_for(lambda: self._job is not None or not self._open, REST)
                if not self._open:
                    return
                job, self._job = self._job, None
            if job is None:
                self._workers.rest()
                continue
            try:
                self._audit(job)
            except (BrokenExecutor, CancelledError, RuntimeError, TaggerError):
                if not self._open:
                    return  # else the next audit goes on from what was measured

    def _audit(self, job: AuditJob) -> None:
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
        if self._job is not None:
            return
        lot = AuditedLot(job.arrangement, job.scans, known.times(scans))
        codes = self._codes.of(job.with_dividers()) if can_look() else None
        findings = self._found(lot, known.of(scans), codes)
        # What was found in a lot that is another by now would be wrong.
        if self._job is None and self._open:
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
        return self._job is None

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
        if not readings_folder().is_dir():
            return found
        return [*found, *self._twice(print_findings_of, self._folder, lot.arrangement, found)]

    def _twice(self, work: Callable[..., Answer], *given: object) -> Answer:
        try:
            return self._workers.submit(work, *given).result()
        except BrokenExecutor:  # a process may have died of other work: once more in a fresh one
            return self._workers.submit(work, *given).result()

    def _find_numbers(self, job: AuditJob, scans: Sequence[str], designs: DesignsOfBacks) -> None:
        """Wait for the places of the numbers that are still looked for."""
        designs.ask(to_the_end=True)
        while waiting := designs.waiting():
            wait(waiting, PATIENCE, FIRST_COMPLETED)
            if self._job is not None or not self._open:
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
        if not self._open:
            return True
        # The next audit goes on with what this one measures, unless scans were taken away: those
        # must not keep it waiting.
        return self._job is not None and not set(scans) <= set(self._job.arrangement.scans)


class _News:
    """What was measured since it was taken last."""

    def __init__(self, known: Measurements, scans: Sequence[str], designs: DesignsOfBacks) -> None:
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
        """Where backs have their numbers, as far as that is new."""
        return self._designs.news()

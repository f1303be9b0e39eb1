"""Behind the open lot: scans that arrive are looked for, and the lot is looked through, in
processes that give way.

Nothing that compares pictures is loaded in the desk's own process, and its interpreter is never
busy with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import BrokenExecutor, CancelledError
from dataclasses import dataclass
from threading import Condition, Thread
from time import monotonic
from typing import TypeVar

from tagger.core.audit.audited_lot import AuditedLot
from tagger.core.audit.measured import Measured
from tagger.core.feeding.order import Sides
from tagger.core.model.arrangement import Arrangement
from tagger.errors import LotError, TaggerError
from tagger.imaging.scan.folder_watch import Arrivals
from tagger.imaging.survey.workers import Workers
from tagger.services.centering import centering_sentence
from tagger.services.measurements import Measurements, audited
from tagger.services.ports import AuditProgress, ScansArrived
from tagger.services.sheets import sheet_parts
from tagger.store.machine.paths import LotPlace, measured_folder

OFTEN = 0.5  # seconds between two words about how far the audit is
REST = 20.0  # seconds without work after which its processes end

Answer = TypeVar("Answer")


@dataclass(frozen=True)
class _Job:
    lot: Arrangement
    scans: Sequence[str]
    here: int
    tell: Callable[[AuditProgress], None]


class BackgroundJobs:
    """The work behind the desk of one lot; see `ui.watch.Work`."""

    def __init__(self, place: LotPlace) -> None:
        self._folder = place.folder
        self._measurements: Measurements | None = None
        self._arrivals: Arrivals | None = None
        self._joined: tuple[str, ...] = ()
        self._workers = Workers()
        self._change = Condition()
        self._job: _Job | None = None
        self._open = True
        self._thread: Thread | None = None

    def audit(
        self,
        lot: Arrangement,
        scans: Sequence[str],
        here: int,
        tell: Callable[[AuditProgress], None],
    ) -> None:
        """Look the lot through; see Work."""
        with self._change:
            self._job = _Job(lot, scans, here, tell)
            if self._thread is None and self._open:
                self._thread = Thread(target=self._audits, name="audit", daemon=True)
                self._thread.start()
            self._change.notify_all()

    def arrived(self, lot: Arrangement, scans: Sequence[str]) -> tuple[ScansArrived | None, float]:
        """What came into the folder; see Work."""
        if self._arrivals is None or lot.mending.joined != self._joined:
            self._joined = lot.mending.joined
            self._arrivals = Arrivals(self._folder, self._joined, scans)
        found = self._arrivals.look()
        return (
            ScansArrived(found.scans, found.fresh) if found is not None else None
        ), self._arrivals.pause

    def split(self, front: str, back: str | None) -> tuple[tuple[Sides, ...], bool]:
        """The cards of a sheet; see Work."""
        return self._ask(sheet_parts, self._folder, front, back)

    def centering(self, scan: str, turn: int) -> str:
        """How a side is centred; see Work."""
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
            raise LotError("It could not be measured; is there memory enough?") from error

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

    def _audit(self, job: _Job) -> None:
        if self._measurements is None:
            self._measurements = Measurements(self._folder, measured_folder())
        lot = AuditedLot(job.lot, job.scans)
        pairs = (*lot.pairs[job.here - 1 :], *lot.pairs[: job.here - 1])
        scans = [scan for pair in pairs for scan in pair[1:] if scan is not None]
        known = self._measurements
        said, looked, told = monotonic(), 0, set[str]()
        for looked, of in known.measure(scans, self._workers):
            if monotonic() - said >= OFTEN:
                said = monotonic()
                job.tell(AuditProgress(looked, of, self._news(known, scans, told)))
            if not self._open or (self._job is not None and set(scans) - _scans(self._job.lot)):
                return
        job.tell(AuditProgress(len(scans), len(scans), self._news(known, scans, told)))
        if self._job is not None:
            return
        measured = known.of(scans)
        findings = self._workers.submit(audited, lot, measured).result()
        if self._job is None and self._open:
            job.tell(AuditProgress(len(scans), len(scans), {}, findings))

    @staticmethod
    def _news(known: Measurements, scans: Sequence[str], told: set[str]) -> dict[str, Measured]:
        new = [scan for scan in scans if scan not in told and known.has(scan)]
        told.update(new)
        return known.of(new)


def _scans(lot: Arrangement) -> set[str]:
    return {scan for pair in lot.pairs for scan in pair[1:] if scan is not None}

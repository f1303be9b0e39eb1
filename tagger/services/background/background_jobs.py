"""The jobs behind the open lot: scans that arrive are looked for, and the lot is looked through, in
processes that give way.

Nothing that compares pictures is loaded in the desk's own process, and its interpreter is never
busy with it. What looks a lot through is loaded by the thread that begins with it: the first card
is on the screen before."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import BrokenExecutor, CancelledError
from threading import Condition, Thread
from typing import TYPE_CHECKING, TypeVar

from tagger.errors import LotError, TaggerError
from tagger.imaging.survey.free_core import FREE_CORE
from tagger.imaging.survey.workers import Workers

if TYPE_CHECKING:
    from tagger.core.feeding.order import Sides
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.model.scan_ref import ScanStamp
    from tagger.imaging.scan.folder_watch import Arrivals
    from tagger.services.background.ports import AuditJob, ScansArrived
    from tagger.store.machine.paths import LotPlace

REST = 20.0  # seconds without work after which its processes end

Answer = TypeVar("Answer")


class BackgroundJobs:
    """The work behind the desk of one lot; see `ports.BackgroundWork`."""

    def __init__(self, place: LotPlace) -> None:
        self._folder = place.folder
        self._arrivals: Arrivals | None = None
        self._joined: tuple[str, ...] = ()
        self._workers = Workers(free=FREE_CORE)
        self._change = Condition()
        self._job: AuditJob | None = None
        self._open = True
        self._thread: Thread | None = None

    def key_came(self) -> None:
        """Leave the desk a processor; see BackgroundWork."""
        FREE_CORE.key_came()

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
        from tagger.services.background.ports import ScansArrived

        joined = arrangement.mending.joined
        # What came in is told from what was there, and a joined folder is there all at once.
        if self._arrivals is None or joined != self._joined:
            from tagger.imaging.scan.folder_watch import Arrivals

            self._arrivals, self._joined = Arrivals(self._folder, joined, scans), joined
        found = self._arrivals.look()
        arrived = None if found is None else ScansArrived(found.scans, found.fresh)
        return arrived, self._arrivals.pause

    def read(self, scans: Sequence[str]) -> Mapping[str, ScanStamp]:
        """Which files these scans are; see BackgroundWork."""
        from tagger.services.scans.scan_check import digested

        return self._ask(digested, self._folder, scans)

    def split(self, front: str, back: str | None) -> tuple[tuple[Sides, ...], bool]:
        """The cards of a sheet; see BackgroundWork."""
        from tagger.services.scans.sheets import sheet_parts

        return self._ask(sheet_parts, self._folder, front, back)

    def centering(self, scan: str, turn: int) -> str:
        """How a side is centred; see BackgroundWork."""
        from tagger.services.scans.centering import centering_sentence

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
        from tagger.services.background.lot_audit import LotAudit

        audit = LotAudit(self._folder, self._workers, lambda: self._job, lambda: self._open)
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
                audit.run(job)
            except (BrokenExecutor, CancelledError, RuntimeError, TaggerError):
                if not self._open:
                    return  # else the next audit goes on from what was measured

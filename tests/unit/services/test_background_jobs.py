"""The audit behind the open lot finds what `tagger audit` finds, whatever happens to the lot or to
its processes."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from multiprocessing import active_children
from pathlib import Path
from queue import Empty, Queue

import pytest
from PIL import Image
from support.card_sets import card_set
from support.drawn_once import drawn_once
from support.scanned import Scanner, fed, jpeg

from tagger.cli import main
from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.model.arrangement import Arrangement
from tagger.errors import LotError
from tagger.imaging.scan.folder import list_scans
from tagger.imaging.survey.measure_lot import DIED, survey
from tagger.imaging.survey.workers import Workers
from tagger.services.background import background_jobs as behind_module
from tagger.services.background import lot_audit
from tagger.services.background.background_jobs import BackgroundJobs
from tagger.services.background.ports import AuditJob, AuditProgress
from tagger.services.lot_audit import audit_lot
from tagger.services.opening import look
from tagger.services.scans.measurements import Measurements
from tagger.store.machine.paths import LotPlace, lot_place

# cards: all, the one with a truncated front, the one whose back went through twice, the one that
# lies upside down
CARDS, CUT, TWICE, TURNED = 14, 5, 9, 12
SCANNER = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)
LONG = 240.0  # seconds for what comes to an end by itself


@pytest.fixture(scope="module")
def tray(tmp_path_factory) -> Path:
    """Cards of one set, 200 dpi: one front ends too early, one back went through twice, one
    lies upside down."""

    def draw(folder: Path) -> None:
        rng = random.Random("behind")
        files = []
        for number, card in enumerate(card_set("behind", CARDS, "held"), start=1):
            for side in (card.front, card.back):
                page = fed(side.resize((500, 700)), rng, dpi=200, scanner=SCANNER, skew=1.0).picture
                if number == TURNED:
                    page = page.transpose(Image.Transpose.ROTATE_180)
                files.append(jpeg(page, 200, 82))
            if number == TWICE:
                files.append(files[-1])
        files[2 * CUT - 2] = files[2 * CUT - 2][: len(files[2 * CUT - 2]) // 2]
        for number, data in enumerate(files, start=1):
            (folder / f"scan_{number:04d}.jpg").write_bytes(data)

    return drawn_once(tmp_path_factory, "tray audited behind", draw)


@pytest.fixture
def lot(tray, tmp_path) -> Path:
    shutil.copytree(tray, tmp_path / "lot")
    return tmp_path / "lot"


@pytest.fixture(scope="module")
def found_in_all(tray, tmp_path_factory) -> list[Finding]:
    """What `tagger audit` finds in the whole tray."""
    folder = tmp_path_factory.mktemp("all") / "lot"
    shutil.copytree(tray, folder)
    with pytest.MonkeyPatch.context() as patch:
        return plain(folder, patch)


class Asked:
    """An audit behind a lot, what it told, and how it is asked."""

    def __init__(self, folder: Path) -> None:
        self.place = lot_place(folder, None)
        self.behind = BackgroundJobs(self.place)
        self.told: Queue[AuditProgress] = Queue()

    def ask(self, here: int = 1, tell: Callable[[AuditProgress], None] | None = None) -> None:
        """Audit the lot as it is on disk now."""
        arrangement, scans = as_it_is(self.place)
        self.behind.audit(AuditJob(arrangement, scans, here, tell or self.told.put))

    def findings(self) -> list[Finding]:
        """What was found, once that is told."""
        while (told := self.told.get(timeout=LONG)).findings is None:
            pass
        return list(told.findings)


def as_it_is(place: LotPlace) -> tuple[Arrangement, tuple[str, ...]]:
    arrangement = look(place).lot.arrangement
    return arrangement, list_scans(place.folder, arrangement.mending.joined).scans


@pytest.fixture
def asked(lot) -> Iterator[Asked]:
    one = Asked(lot)
    yield one
    one.behind.close()
    gone()


def gone() -> None:
    """Wait until no process of this one is left."""
    end = time.monotonic() + LONG
    while active_children():
        assert time.monotonic() < end
        time.sleep(0.01)


def plain(lot: Path, monkeypatch: pytest.MonkeyPatch) -> list[Finding]:
    """What `tagger audit` finds, with nothing measured before."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(lot.parent / "another cache"))
    shutil.rmtree(lot.parent / "another cache", ignore_errors=True)
    return audit_lot(lot_place(lot, None), None)[1]


def test_the_findings_are_those_of_the_audit_from_any_card_on(asked, lot, found_in_all, capsys):
    asked.ask(here=11)
    found = asked.findings()
    assert found == found_in_all
    assert {finding.kind for finding in found} >= {FindingKind.TRUNCATED, FindingKind.DOUBLED}
    main(["audit", str(lot), "--json"])
    told = json.loads(capsys.readouterr().out)["findings"]
    assert [(f["problem"], f["position"], f["detail"]) for f in told] == [
        (f.kind, f.position, f.detail) for f in found
    ]
    asked.ask()  # again: nothing is left to measure, and the same is found
    assert asked.findings() == found


def test_while_keys_come_the_same_is_found(asked, found_in_all, monkeypatch):
    monkeypatch.setattr(lot_audit, "OFTEN", 0.0)

    def tell(told: AuditProgress) -> None:
        asked.behind.key_came()
        asked.told.put(told)

    asked.behind.key_came()
    asked.ask(tell=tell)
    assert asked.findings() == found_in_all


def test_all_that_was_measured_is_told_once(asked, monkeypatch):
    monkeypatch.setattr(lot_audit, "OFTEN", 0.0)
    asked.ask()
    scans: list[str] = []
    while (told := asked.told.get(timeout=LONG)).findings is None:
        scans += told.measured
    assert len(scans) == len(set(scans))
    assert set(scans) == set(as_it_is(asked.place)[1])


def at_first(
    then: Callable[[], object], queue: Queue[AuditProgress]
) -> Callable[[AuditProgress], None]:
    """A listener that does something when it is told something for the first time."""
    done: list[bool] = []

    def tell(told: AuditProgress) -> None:
        queue.put(told)
        if not done:
            done.append(True)
            then()

    return tell


def test_scans_that_come_during_an_audit_are_in_the_next_one(
    asked, lot, tray, found_in_all, monkeypatch
):
    monkeypatch.setattr(lot_audit, "OFTEN", 0.0)
    for number in range(2 * CARDS - 3, 2 * CARDS + 2):
        (lot / f"scan_{number:04d}.jpg").unlink()
    first: Queue[AuditProgress] = Queue()

    def come() -> None:
        for path in tray.iterdir():
            shutil.copy(path, lot)
        asked.ask()

    asked.ask(tell=at_first(come, first))
    assert asked.findings() == found_in_all
    assert all(told.findings is None for told in emptied(first))


def test_an_audit_begins_anew_with_what_it_knows_when_scans_are_taken_away(asked, lot, monkeypatch):
    """A lot that lacks scans of the audit at work: it is left at once."""
    monkeypatch.setattr(lot_audit, "OFTEN", 0.0)
    first: Queue[AuditProgress] = Queue()

    def less() -> None:
        for number in range(4, 2 * CARDS + 2):
            (lot / f"scan_{number:04d}.jpg").unlink()
        asked.ask()

    asked.ask(tell=at_first(less, first))
    assert asked.findings() == plain(lot, monkeypatch)
    told = emptied(first)
    assert len(told) < CARDS  # of more than twice as many scans
    assert all(one.findings is None for one in told)


def test_a_mend_during_an_audit_counts(asked, lot, monkeypatch, capsys):
    monkeypatch.setattr(lot_audit, "OFTEN", 0.0)
    first: Queue[AuditProgress] = Queue()

    def mend() -> None:
        assert main(["fix", str(lot), str(TWICE + 1), "drop", "front"]) == 0
        asked.ask()

    asked.ask(tell=at_first(mend, first))
    found = asked.findings()
    assert found == audit_lot(asked.place, None)[1]
    assert FindingKind.DOUBLED not in {finding.kind for finding in found}
    assert all(told.findings is None for told in emptied(first))


def emptied(queue: Queue[AuditProgress]) -> list[AuditProgress]:
    out = []
    while True:
        try:
            out.append(queue.get_nowait())
        except Empty:
            return out


def test_closing_ends_an_audit_at_work_and_its_processes(asked, monkeypatch):
    monkeypatch.setattr(lot_audit, "OFTEN", 0.0)
    asked.ask()
    asked.told.get(timeout=LONG)
    workers = active_children()
    assert workers
    asked.behind.close()
    gone()
    assert any(worker.exitcode == -signal.SIGKILL for worker in workers)
    assert all(told.findings is None for told in emptied(asked.told))
    with pytest.raises(LotError, match="could not be measured"):
        asked.behind.centering("scan_0001.jpg", 0)
    assert not active_children()


def test_what_was_measured_before_it_was_closed_is_not_measured_again(asked, lot, monkeypatch):
    monkeypatch.setattr(lot_audit, "OFTEN", 0.0)
    asked.ask()
    while asked.told.get(timeout=LONG).looked < CARDS:
        pass
    asked.behind.close()
    gone()
    end = time.monotonic() + LONG
    while not (kept := list(Path(os.environ["XDG_CACHE_HOME"]).rglob("*.measured"))):
        assert time.monotonic() < end
        time.sleep(0.01)
    scans = list(as_it_is(asked.place)[1])
    known = Measurements(lot, kept[0].parent)
    _, of = next(known.measure(scans))
    assert of <= len(scans) - CARDS


@pytest.mark.nightly
def test_rested_processes_begin_again_with_the_next_audit(asked, monkeypatch):
    monkeypatch.setattr(behind_module, "REST", 0.05)
    asked.ask()
    found = asked.findings()
    gone()  # without work they end
    asked.ask()
    assert asked.findings() == found


class Deadly(Workers):
    """Workers that one scan is the death of, whoever measures it."""

    scan = "scan_0009.jpg"

    def submit(self, work, *given):
        return super().submit(os._exit, 9) if self.scan in given else super().submit(work, *given)


def test_a_scan_that_a_process_dies_of_is_told_and_all_others_are_measured(
    lot, found_in_all, monkeypatch
):
    monkeypatch.setattr(behind_module, "Workers", Deadly)
    one = Asked(lot)
    try:
        one.ask()
        found = one.findings()
    finally:
        one.behind.close()
        gone()
    (dead,) = [
        finding
        for finding in found
        if Deadly.scan in finding.scans and finding.kind is FindingKind.UNREADABLE
    ]
    assert DIED.seen in dead.detail
    others = [finding for finding in found_in_all if Deadly.scan not in finding.scans]
    assert [finding for finding in found if Deadly.scan not in finding.scans] == others
    assert [finding.kind for finding in found].count(FindingKind.UNREADABLE) == 1


@pytest.mark.nightly
def test_two_scans_that_processes_die_of_are_both_told_and_no_other(lot):
    class Twice(Workers):
        def submit(self, work, *given):
            dies = {"scan_0003.jpg", "scan_0004.jpg", "scan_0029.jpg"} & {*map(str, given)}
            return super().submit(os._exit, 9) if dies else super().submit(work, *given)

    names, workers = list(list_scans(lot).scans), Twice()
    try:
        told = dict(survey(lot, names, workers))
    finally:
        workers.close()
    assert list(told) == names
    assert [name for name, measured in told.items() if measured == DIED] == [
        "scan_0003.jpg",
        "scan_0004.jpg",
        "scan_0029.jpg",
    ]


def test_a_process_that_is_killed_from_outside_costs_no_scan(asked, found_in_all, monkeypatch):
    monkeypatch.setattr(lot_audit, "OFTEN", 0.0)
    asked.ask(tell=at_first(lambda: os.kill(active_children()[0].pid, signal.SIGKILL), asked.told))
    assert asked.findings() == found_in_all


@pytest.mark.parametrize(
    "error", [MemoryError(), ValueError("odd"), RecursionError(), OverflowError("large")]
)
def test_whatever_is_raised_about_one_scan_is_told_of_it(lot, monkeypatch, error):
    from tagger.imaging.survey import measure_lot as module

    whole = module.read_whole

    def odd(folder, name):
        if name == "scan_0002.jpg":
            raise error
        return whole(folder, name)

    monkeypatch.setattr(module, "read_whole", odd)
    told = dict(survey(lot, ["scan_0001.jpg", "scan_0002.jpg", "scan_0003.jpg"]))
    assert [measured.state for measured in told.values()] == ["whole", "unreadable", "whole"]
    assert type(error).__name__ in told["scan_0002.jpg"].seen


def test_a_scan_that_is_gone_is_told_and_the_audit_goes_on(asked, lot, monkeypatch):
    arrangement, scans = as_it_is(asked.place)
    (lot / "scan_0005.jpg").unlink()
    asked.behind.audit(AuditJob(arrangement, scans, 1, asked.told.put))
    found = asked.findings()
    assert [f.scans for f in found if "missing from the folder" in f.detail] == [("scan_0005.jpg",)]
    assert FindingKind.TRUNCATED in {finding.kind for finding in found}


OPEN = """
import sys, time
from multiprocessing import active_children
from pathlib import Path
from tagger.services.background.ports import AuditJob
from tagger.services.background.background_jobs import BackgroundJobs
from tagger.core.feeding.pairing import first_intake
from tagger.imaging.scan.folder import list_scans
from tagger.store.machine.paths import lot_place
from tagger.services.background import lot_audit

def tell(told):
    print(*[child.pid for child in active_children()], flush=True)

if __name__ == "__main__":
    lot_audit.OFTEN = 0.0
    folder = Path(sys.argv[1])
    scans = list_scans(folder).scans
    BackgroundJobs(lot_place(folder, None)).audit(AuditJob(first_intake(scans)[0], scans, 1, tell))
    time.sleep(600)
"""


@pytest.mark.parametrize("busy", [True, False])
def test_when_the_program_is_killed_its_processes_end(lot, tmp_path, busy):
    """At work, and waiting for work. What cannot be caught, by signal(7), is SIGKILL."""
    (tmp_path / "opened.py").write_text(OPEN, encoding="utf-8")
    program = subprocess.Popen(
        [sys.executable, str(tmp_path / "opened.py"), str(lot)], stdout=subprocess.PIPE
    )
    assert program.stdout is not None
    workers = [int(pid) for pid in program.stdout.readline().split()]
    assert len(workers) == 2
    # told once a scan, and when all is measured; then of the findings
    for _ in range(0 if busy else 2 * CARDS + 2):
        program.stdout.readline()
    assert all(alive(pid) for pid in workers)
    program.kill()
    program.wait()
    program.stdout.close()
    end = time.monotonic() + 10
    while any(alive(pid) for pid in workers):
        assert time.monotonic() < end, "a process outlives the program"
        time.sleep(0.02)


def alive(pid: int) -> bool:
    """Whether a process runs: proc(5), the letter behind the name in brackets; Z is one that has
    ended."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] not in "ZX"
    except OSError:
        return False

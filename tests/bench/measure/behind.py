"""Beside the desk: how long a folder takes to list, how long its audit takes behind the open lot,
and what a key pays.

The scans are of 300 dpi and some four dozen sides; the rest are the same pictures in files of their
own, with a comment (ITU-T T.81, B.2.4.5) that makes their bytes other ones, so that each is read,
decoded and measured."""

from __future__ import annotations

import os
import random
import shutil
import statistics
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import active_children, get_context
from pathlib import Path
from queue import Queue

from PIL import Image
from support.card_sets import card_set
from support.folders import own_folders
from support.scanned import Scanner, fed, jpeg

from bench.common import lots
from bench.common.aims import Measure, below
from bench.common.place import Place, Spent
from bench.common.sitting import Sitting
from bench.common.table import share
from bench.common.timed_terminal import NotMeasured, cpu_seconds
from tagger.core.feeding.pairing import first_intake
from tagger.imaging.scan.folder import list_scans
from tagger.imaging.survey.workers import WORKERS
from tagger.services.background.background_jobs import BackgroundJobs
from tagger.services.background.ports import AuditJob, AuditProgress
from tagger.store.machine.paths import LotPlace, measured_folder

DRAWN, LISTINGS = 48, 9
SETS, ROWS = 20, 500  # of the checklist beside which keys are pressed
PATIENCE = 300.0  # seconds for an audit that comes to no end


def draw(folder: Path, kept: str, scans: int) -> Path:
    """So many files of fed cards, front and back in turn."""
    rng = random.Random(f"{kept} behind")
    scanner = Scanner.any(rng, "black")
    cards = [card for number in range(2) for card in card_set(f"behind {number}", DRAWN // 4, kept)]
    sides = [side.resize((750, 1050)) for card in cards for side in (card.front, card.back)]
    files = [jpeg(fed(side, rng, scanner=scanner, skew=1.5).picture) for side in sides]
    folder.mkdir()
    for at in range(scans):
        data, note = files[at % len(files)], f"scan {at}".encode()
        comment = b"\xff\xfe" + (len(note) + 2).to_bytes(2, "big") + note
        (folder / f"scan_{at + 1:04d}.jpg").write_bytes(data[:2] + comment + data[2:])
    return folder


def behind_lines(kept: str, scans: int, rounds: int, keys: int) -> list[Measure]:
    """The table's lines: an audit of `scans` scans (the aims are for 1,000, and for as many fewer
    as there are), and `keys` keys in each of `rounds` rounds with and without one."""
    with _own_folders() as top:
        lot = draw(top / "lot", kept, scans)
        return [*_audit_lines(lot, scans), *_key_lines(top, lot, rounds, keys)]


@contextmanager
def _own_folders() -> Iterator[Path]:
    """A folder to work in, where the program's own folders are as well."""
    top = Path(tempfile.mkdtemp(prefix="bench-"))
    folders = own_folders(top)
    before = {name: os.environ.get(name) for name in folders}
    os.environ.update(folders)
    try:
        yield top
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value
        shutil.rmtree(top, ignore_errors=True)


# The clock and the CPU


def _audit_lines(lot: Path, scans: int) -> list[Measure]:
    listed = []
    for _ in range(LISTINGS):
        start = time.perf_counter()
        names = list_scans(lot).scans
        listed.append(time.perf_counter() - start)
    taken, spent, own = audited(lot)
    again, _, _ = audited(lot)
    peer, peer_spent = decoded([lot / name for name in names])
    part = scans / 1000
    return [
        below(
            f"{scans:,} scans listed, median of {LISTINGS}",
            statistics.median(listed),
            0.1 * part,
            "s",
        ),
        below(f"{scans:,} scans audited behind the desk", taken, 20.0 * part, "s"),
        below(
            f"  its CPU time over {WORKERS} processes: on cores that nobody else uses",
            spent / WORKERS,
            None,
            "s",
        ),
        Measure(
            "  what it got of them",
            f"{100 * spent / WORKERS / taken:.0f}% · load {os.getloadavg()[0]:.1f}",
        ),
        below("  CPU time a scan, beside the desk", 1000 * spent / scans, None, "ms"),
        below("  CPU time of the desk's own process, in all", 1000 * own, None, "ms"),
        below("  again, nothing new", again, None, "s"),
        below("  Pillow decodes the same files", peer, None, "s"),
        below("  Pillow's CPU time a scan", 1000 * peer_spent / scans, None, "ms"),
        Measure(
            "  times Pillow's time, its CPU time", f"{taken / peer:.2f}, {spent / peer_spent:.2f}"
        ),
    ]


def audited(lot: Path) -> tuple[float, float, float]:
    """Seconds by the clock until the findings are there, as the open lot gets them; of CPU beside
    the desk; and of CPU in the desk's process. Raises NotMeasured."""
    told: Queue[AuditProgress] = Queue()
    arrangement, _ = first_intake(names := list_scans(lot).scans)
    behind, own, start = (
        BackgroundJobs(LotPlace(lot, lot)),
        time.process_time(),
        time.perf_counter(),
    )
    behind.audit(AuditJob(arrangement, names, 1, told.put))
    while told.get(timeout=PATIENCE).findings is None:
        pass
    taken, spent = time.perf_counter() - start, time.process_time() - own
    beside = sum(cpu_seconds(child.pid) for child in active_children() if child.pid)
    behind.close()
    while active_children():
        time.sleep(0.02)
    return taken, beside, spent


def decoded(files: list[Path]) -> tuple[float, float]:
    """Seconds by the clock and of CPU in which as many processes only decode the same files."""
    start = time.perf_counter()
    with ProcessPoolExecutor(WORKERS, get_context("spawn")) as pool:
        list(pool.map(_decode, files, chunksize=8))
        taken = time.perf_counter() - start
        spent = sum(cpu_seconds(child.pid) for child in active_children() if child.pid)
    return taken, spent


def _decode(path: Path) -> None:
    with Image.open(path) as picture:
        picture.load()


# A key


def _key_lines(top: Path, lot: Path, rounds: int, keys: int) -> list[Measure]:
    """Key to changed candidates in the real program, by turns with the audit at work and with none
    to do. A round with it takes away what was measured before; that it was at work is read off the
    CPU time of the program's processes."""
    rows = lots.checklist(SETS, ROWS)
    checklist = top / "checklist.csv"
    checklist.write_text(lots.checklist_text(rows), encoding="utf-8")
    cards = len(list_scans(lot).scans) // 2
    place = Place(lot, cards, lot, cards, checklist, rows, {})
    (kept,) = measured_folder().iterdir()
    saved = kept.read_bytes()
    quiet, busy, shares = Spent(), Spent(), []
    for number in range(rounds):
        for at_work in (number % 2 == 0, number % 2 == 1):
            if at_work:
                kept.unlink(missing_ok=True)
            else:
                kept.write_bytes(saved)
            part = _keys(place, keys, busy if at_work else quiet)
            if at_work:
                shares.append(part)
    if min(shares) < 0.02:
        raise NotMeasured(f"the audit was not at work while keys came: {min(shares):.2f} of a core")
    load = " ".join(f"{value:.1f}" for value in os.getloadavg())
    with_it, without = statistics.median(busy.wall), statistics.median(quiet.wall)
    return [
        below(
            "key to changed candidates while the audit runs",
            with_it / without,
            1.2,
            "times without",
        ),
        *(_told(name, spent) for name, spent in (("with the audit", busy), ("without", quiet))),
        below("  the audit's share of a core while keys came, least", min(shares), None, "cores"),
        Measure("  load", load),
    ]


def _told(name: str, spent: Spent) -> Measure:
    wall = [1000 * value for value in spent.wall]
    told = f"{statistics.median(wall):.1f} / {share(wall, 0.95):.1f} ms of {len(wall)}"
    return Measure(
        f"  {name}, median / p95", f"{told}; CPU {1000 * statistics.median(spent.cpu):.1f} ms"
    )


def _keys(place: Place, keys: int, spent: Spent) -> float:
    """Press keys in a sitting of its own; the CPU time a second of the processes beside the desk
    meanwhile."""
    for path in place.lot.glob("lot.*"):
        path.unlink()
    sitting = Sitting(place)
    try:
        list(sitting.begin())
        before, start = _beside(sitting.pid), time.perf_counter()
        found, _ = sitting.key_times(keys)
        part = (_beside(sitting.pid) - before) / (time.perf_counter() - start)
    finally:
        sitting.close()
    spent.wall += found.wall
    spent.cpu += found.cpu
    return part


def _beside(pid: int) -> float:
    """Seconds of CPU of the processes that a program has started and that are there now:
    proc(5)."""
    children = " ".join(
        path.read_text() for path in Path(f"/proc/{pid}/task").glob("*/children")
    ).split()
    return sum(cpu_seconds(int(child)) for child in children)

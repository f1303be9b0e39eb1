"""Every call to the disk fails in turn: what was refused is not there, what was acknowledged is."""

from __future__ import annotations

import errno
import os
import random
import resource
import signal
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from faults.child import child, ended
from faults.disk import Disk
from faults.edits import Model, Tally, do, format_1, judge, lot_facts, old_lot, steps_from
from faults.power import often

from tagger.errors import LotError, NotSaved
from tagger.store.files import SYSTEM
from tagger.store.lot.lot_file import LotFile

# 0: a write that writes only a part
ERRORS = (
    errno.EIO,
    errno.ENOSPC,
    errno.EDQUOT,
    errno.EROFS,
    0,
)
STEPS = 10


def failing(
    at: int, error: int, for_good: bool
) -> tuple[Callable[[str, int], int], Callable[[], bool]]:
    """What a disk does before each call: from call `at` on it fails, once or for good. And whether
    it did."""
    calls = 0
    failed = False

    def before(name: str, size: int) -> int:
        nonlocal calls, failed
        calls += 1
        if calls < at or (failed and not for_good):
            return size
        if error:
            failed = True
            raise OSError(error, os.strerror(error))
        if name == "write_at" and not failed:
            failed = True
            return size // 2
        if failed and name == "write_at":  # a disk that fills up writes a part first, then nothing
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return size

    return before, lambda: failed


def starts() -> list[tuple[str, dict[str, bytes], Model, int]]:
    """Lots to begin with: none yet, one of format 1, one that was killed, one with an unfinished
    change."""
    home = Path("lot")
    work = steps_from(Model(), 5)
    disk, model = Disk(), Model()
    store = _opened(home, disk)
    for _ in range(6):
        step, model = next(work)
        do(store, step)
    files = disk.contents()
    torn = {
        **files,
        "lot.journal": files["lot.journal"] + b'["00000000",{"n":99,"k":"do","label":"card',
    }
    old = old_lot(4, steps=8)
    return [
        ("a new lot", {}, Model(), 1),
        ("a lot of format 1", {"lot.json": format_1(old)}, old, 2),
        ("a lot that was killed", files, model, 3),
        ("a lot with an unfinished change", torn, model, 4),
    ]


def _opened(home: Path, disk: Disk) -> LotFile:
    """A store whose lock is let go of at once: the lot is in memory."""
    folder = Path(os.environ.get("TMPDIR", "/tmp")) / f"lock-{os.getpid()}"
    folder.mkdir(exist_ok=True)
    store = LotFile(folder, "lot", disk)
    if store._lock is not None:
        store._lock.release()
    (folder / ".lot.lock").unlink(missing_ok=True)
    folder.rmdir()
    return store


def case(
    tally: Tally,
    home: Path,
    contents: dict[str, bytes],
    start: Model,
    seed: int,
    at: int,
    error: int,
    for_good: bool,
) -> bool:
    """One sitting on a disk that fails at a call; false where it came to its end before that
    call."""
    disk = Disk(contents, seed=at)
    before, failed = failing(at, error, for_good)
    told = (
        f"call {at}, {errno.errorcode.get(error, 'short write')}, "
        f"{'for good' if for_good else 'once'}, seed {seed}"
    )
    disk.before_call = before
    model, doubtful = start, []
    store = None
    try:
        store = LotFile(home, "lot", disk)
    except LotError:
        pass
    except Exception as other:
        tally.wrong.append(f"{told}: opening raised {other!r}")
    work = steps_from(start, seed)
    for _ in range(STEPS if store is not None else 0):
        assert store is not None
        step, after = next(work)
        facts, label = lot_facts(store.lot), store.last()
        try:
            do(store, step)
        except NotSaved:
            doubtful.append(after)
            if step[0] == "move_to" or (lot_facts(store.lot), store.last()) != (facts, label):
                tally.wrong.append(f"{told}: {step[0]} was refused, but is in memory")
            work = steps_from(model, seed + len(doubtful) * 1000)
            continue
        except Exception as other:
            tally.wrong.append(f"{told}: {step[0]} raised {other!r}")
            break
        model = after
        if lot_facts(store.lot) != model.facts()[:-2]:
            tally.wrong.append(f"{told}: {step[0]} was done, but memory is otherwise")
    if store is not None:
        position = model.lot.cursor.position
        try:
            store.close()
        except NotSaved:
            pass
        except Exception as other:
            tally.wrong.append(f"{told}: closing raised {other!r}")
        model = model.clone()
        model.places.add(position)
    if not failed():
        return False
    disk.before_call = lambda name, size: size
    # A change that was refused may be there only where the disk did not even let it be taken back.
    allowed = [model, *doubtful] if for_good else [model]
    left = [disk.contents()]
    left += [cut for cut in [disk.cut(random.Random(at))] if cut != left[0]]
    for files in left:  # as the next program finds it, and as it may be if the power goes then
        judge(tally, Disk(files), home, allowed, told)
    tally.tried -= len(left) - 1
    return True


def faults(
    home: Path, seeds: int = 1, only: int | None = None, errors: Sequence[int] = ERRORS
) -> Tally:
    """Each error at each call, once and for good, from each start or only one of the four."""
    tally = Tally("faults")
    for number, (what, contents, start, seed) in enumerate(starts()):
        if only not in (None, number):
            continue
        for more in range(seeds):
            for error in errors:
                for for_good in (False, True):
                    one = Tally(what)
                    at = 1
                    with often(3):
                        while case(
                            one, home, contents, start, seed + more * 100, at, error, for_good
                        ):
                            at += 1
                    tally.add(one)
    return tally


def full_disk(folder: Path, limits: int, first: int = 3000, step: int = 331) -> Tally:
    """A real disk that takes no more: a child may write files up to a limit only. It works until it
    is refused, makes room, and goes on. What it reported as done is there."""
    tally = Tally("full disk")
    for turn in range(limits):
        home = folder / str(turn)
        home.mkdir()
        limit = first + step * turn
        status, reported = ended(*child(partial(_fill, home, turn, limit)))
        if status or b"x" not in reported:
            tally.wrong.append(f"limit {turn}: the child ended with {status}, said {reported!r}")
        model = Model()
        work = steps_from(model, turn)
        for byte in reported:
            step_after = next(work)[1]
            if byte == ord("."):
                model = step_after
            else:
                work = steps_from(model, turn + 1000)
        model.places.add(model.lot.cursor.position)
        files = {path.name: path.read_bytes() for path in home.glob("lot.*")}
        judge(tally, Disk(files), home, [model], f"limit {limit}")
    return tally


def _fill(home: Path, seed: int, limit: int, told: int) -> int:
    """Work under a limit; `.` for what was done, `x` for what was refused, after which there is
    room."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
    store = LotFile(home, "lot", SYSTEM)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, hard))
    model, refused = Model(), False
    work = steps_from(model, seed)
    done = 0
    while done < 20 or not refused:
        step, after = next(work)
        before = lot_facts(store.lot)
        try:
            do(store, step)
        except NotSaved:
            if refused or lot_facts(store.lot) != before:
                return 2
            refused = True
            os.write(told, b"x")
            resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
            work = steps_from(model, seed + 1000)
            continue
        model = after
        done += 1
        os.write(told, b".")
    store.close()
    return 0

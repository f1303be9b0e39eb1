"""All scans of a lot measured, one by one, in two processes that give way to all others.

Nothing is written. A process holds one decoded scan at a time, and no more than `AHEAD` scans are asked for at once.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import signal
import sys
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from multiprocessing import get_context, parent_process, resource_tracker
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, ParamSpec, TypeVar

from tagger.core.measured import Measured
from tagger.core.order import scan_box, split_scan
from tagger.core.scan_files import scan_file
from tagger.errors import PictureError
from tagger.imaging.pictures import read_whole

if TYPE_CHECKING:
    from PIL import Image

    from tagger.core.stand import Corners4
    from tagger.imaging.card_edges import Edges, NoEdges

P = ParamSpec("P")
T = TypeVar("T")
WORKERS, AHEAD, FEW = 2, 16, 6
LOOK_DPI = 100  # of the straight crop that sides are compared by: 250 x 350 pixels


def survey(folder: Path, names: Sequence[str], pool: Executor | None = None) -> Iterator[tuple[str, Measured]]:
    """Each scan's name with what was measured on it, in the order given; in the processes of `pool`, else in its own.
    Without a pool a handful is measured in this process."""
    if pool is not None:
        yield from _spread(folder, names, pool)
    elif len(names) <= FEW:
        for name in names:
            yield name, measure_scan(folder, name)
    else:
        with quiet_processes() as own:
            try:
                yield from _spread(folder, names, own)
            finally:
                own.shutdown(cancel_futures=True)


def quiet_processes(workers: int = WORKERS) -> ProcessPoolExecutor:
    """Processes that give way to all others, and end when this one does, however that is."""
    return _processes(workers, _give_way)


def busy_processes(workers: int = WORKERS) -> ProcessPoolExecutor:
    """Processes for work that the user waits for. They leave Ctrl+C to this one, and end when it does. To be given work
    in the main thread."""
    return _processes(workers, _leave_keys, _Unmoved)


class _Unmoved(ProcessPoolExecutor):
    """Its processes do not end on Ctrl+C, not even while they start."""

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        # Held back here until they are started; and they have this from the one that starts them.
        heed = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        try:
            return super().submit(fn, *args, **kwargs)
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, heed)


def _processes(
    workers: int, begin: Callable[[], None], kind: type[ProcessPoolExecutor] = ProcessPoolExecutor
) -> ProcessPoolExecutor:
    # Fresh processes, not forks: the screen may be at work in this one, with threads. Their tracker is handed the file
    # behind sys.stderr, and on the desk that is an object without one.
    with contextlib.redirect_stderr(sys.__stderr__):
        resource_tracker.ensure_running()
    return kind(workers, get_context("spawn"), begin)


def _spread(folder: Path, names: Sequence[str], pool: Executor) -> Iterator[tuple[str, Measured]]:
    asked: deque[tuple[str, Future[Measured]]] = deque()
    try:
        for name in names:
            asked.append((name, _asked(pool, folder, name)))
            if len(asked) >= AHEAD:
                first, future = asked.popleft()
                yield first, _result(future)
        while asked:
            first, future = asked.popleft()
            yield first, _result(future)
    finally:
        for _, future in asked:
            future.cancel()


def _asked(pool: Executor, folder: Path, name: str) -> Future[Measured]:
    try:
        return pool.submit(measure_scan, folder, name)
    except BrokenExecutor as error:
        broken: Future[Measured] = Future()
        broken.set_exception(error)
        return broken


def _result(future: Future[Measured]) -> Measured:
    try:
        return future.result()
    except BrokenExecutor:  # the system ended the process, for want of memory say
        return Measured("unreadable", "it could not be measured; is there memory enough?")


def _give_way() -> None:
    with contextlib.suppress(OSError):
        os.nice(19)
    _follow_parent()


def _leave_keys() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _follow_parent()


def _follow_parent() -> None:
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """A process that waits for work does not notice that the one that gives it was killed."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(0)


def measure_scan(folder: Path, name: str) -> Measured:
    """What is measured on one scan. Nothing is raised: what cannot be read is said to be so."""
    from tagger.imaging.files import Wholeness, check_file

    page = split_scan(name)[1]
    try:
        data = scan_file(folder, name).read_bytes()
    except FileNotFoundError:
        return Measured("gone")
    except PictureError as error:
        return Measured("unreadable", error.message)
    except OSError as error:
        return Measured("unreadable", error.strerror or "")
    part = scan_box(name)
    digest = hashlib.sha256(data).hexdigest() + (f"#{page}" if page else "") + (f"#{part}" if part else "")
    report = check_file(data)
    del data
    if report.state is not Wholeness.WHOLE:
        return Measured(report.state.value, report.seen, digest)
    try:
        return _measured(folder, name, digest)
    except PictureError as error:
        return Measured("unreadable", error.message, digest)


def _measured(folder: Path, name: str, digest: str) -> Measured:
    from tagger.imaging.card_edges import Edges
    from tagger.imaging.damage import broken_at
    from tagger.imaging.faults import Kind, look_at, several_cards
    from tagger.imaging.orientation import fields_of
    from tagger.imaging.sameness import print_of

    whole = read_whole(folder, name)
    faults: list[tuple[str, str]] = []
    row = broken_at(whole.stored) if whole.coded else None
    if row is not None:
        faults.append((Kind.CORRUPT.value, f"from row {row} on"))
    several = several_cards(whole.upright, whole.dpi)
    if several is not None:
        faults.append((several.kind.value, several.seen))
        return Measured("whole", "", digest, tuple(faults), dpi=(whole.dpi or 0.0) * whole.factor)
    look = look_at(whole.upright, whole.dpi, jpeg=False)
    faults += [(fault.kind.value, fault.seen) for fault in look.faults]
    crop, sideways = _standing(whole.upright, look.edges)
    corners = _full_size(look.edges.corners, whole.factor) if isinstance(look.edges, Edges) else None
    dpi = (look.dpi or 0.0) * whole.factor
    return Measured("whole", "", digest, tuple(faults), print_of(crop), fields_of(crop), sideways, corners, dpi)


def _full_size(corners: Corners4, factor: int) -> Corners4:
    """Corners in pixels of the full size, rounded to a hundredth of one."""
    a, b, c, d = ((round(x * factor, 2), round(y * factor, 2)) for x, y in corners)
    return a, b, c, d


def _standing(picture: Image.Image, edges: Edges | NoEdges) -> tuple[Image.Image, bool]:
    """The card straight and standing, 100 dpi; without edges the whole scan in a card's shape. And whether it lay."""
    from PIL import Image

    from tagger.imaging.card_edges import Edges
    from tagger.imaging.straight import straight, upright_turn

    if isinstance(edges, Edges):
        return straight(picture, edges, turn=upright_turn(edges), dpi=LOOK_DPI), edges.sideways
    lies = picture.width > picture.height
    stood = picture.transpose(Image.Transpose.ROTATE_270) if lies else picture
    return stood.resize((250, 350), Image.Resampling.BOX, reducing_gap=2.0), lies

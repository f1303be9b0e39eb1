"""All scans of a lot measured, one by one, in processes that give way to all others.

Nothing is written. A process holds one decoded scan at a time, and no more than `AHEAD` scans are
asked for at once."""

from __future__ import annotations

import errno
import hashlib
import stat
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Future
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.audit.card_size import USUAL
from tagger.core.audit.measured import Measured
from tagger.core.feeding.scan_files import scan_digest, scan_file
from tagger.errors import PictureError
from tagger.imaging.scan.decoder_words import decoders_kept_quiet
from tagger.imaging.scan.pictures import WholeScan, read_whole
from tagger.imaging.survey.workers import Workers

if TYPE_CHECKING:
    from PIL import Image

    from tagger.core.model.pose import Corners4
    from tagger.imaging.card.card_edges import Edges, NoEdges
    from tagger.imaging.scan.file_integrity import Report

AHEAD, FEW = 16, 6
LARGE_FILE = 64 << 20  # bytes, beyond which a file is not in memory as a whole
LOOK_DPI = 100  # of the straight crop that sides are compared by: 250 x 350 pixels
LYING = 1.25  # by which a page around a card that lies on its long side is wider than high
# Pillow keeps so many pieces of memory from one picture to the next: asked for anew from the
# system, each page of it is cleared first, which takes a fifth of the time. Not beyond that many
# pixels.
KEPT, KEPT_PIXELS = 4, 4_000_000
KEPT_ARRAYS = 8 << 20  # bytes: the same of numpy's, and twice as many at the most between two scans
DIED = Measured("unreadable", "it could not be measured; the machine may be short of memory")

Asked = tuple[str, Future[Measured]]
Measure = Callable[[Path, str], Measured]


def survey(
    folder: Path,
    names: Sequence[str],
    workers: Workers | None = None,
    size: tuple[float, float] = USUAL,
) -> Iterator[tuple[str, Measured]]:
    """Each scan's name with what was measured on it, in the order given; by these workers, else by
    its own. Without any a handful is measured in this process. `size`: of the cards, in mm."""
    measure = partial(measure_scan, size=size)
    if workers is not None:
        yield from _spread(folder, names, workers, measure)
    elif len(names) <= FEW:
        for name in names:
            yield name, measure(folder, name)
    else:
        own = Workers()
        try:
            yield from _spread(folder, names, own, measure)
        finally:
            own.close()


def _spread(
    folder: Path, names: Sequence[str], workers: Workers, measure: Measure
) -> Iterator[tuple[str, Measured]]:
    asked: deque[Asked] = deque()
    for name in names:
        asked.append((name, workers.submit(measure, folder, name)))
        if len(asked) >= AHEAD:
            yield from _next(folder, asked, workers, measure)
    while asked:
        yield from _next(folder, asked, workers, measure)


def _next(
    folder: Path, asked: deque[Asked], workers: Workers, measure: Measure
) -> Iterator[tuple[str, Measured]]:
    """What was asked for first; all of it where a process died."""
    name, future = asked.popleft()
    try:
        measured = future.result()
    except BrokenExecutor:
        lost = [(name, future), *asked]
        asked.clear()
        for each, before in lost:
            yield each, _alone(folder, each, before, workers, measure)
    else:
        yield name, measured


def _alone(
    folder: Path, name: str, before: Future[Measured], workers: Workers, measure: Measure
) -> Measured:
    """A scan that may be the one that a process died of, measured while no other is."""
    try:
        return before.result()
    except BrokenExecutor:
        pass
    try:
        return workers.submit(measure, folder, name).result()
    except BrokenExecutor:  # the system ended the process, for want of memory say
        return DIED


def measure_scan(folder: Path, name: str, size: tuple[float, float] = USUAL) -> Measured:
    """What is measured on one scan of a card of that size in mm. Nothing is raised: what cannot be
    read is said to be so."""
    from tagger.imaging.scan.file_integrity import Wholeness

    try:
        digest, report = _file(scan_file(folder, name), name)
    except FileNotFoundError:
        return Measured("gone")
    except PictureError as error:
        return Measured("unreadable", error.message)
    except OSError as error:
        return Measured("unreadable", error.strerror or "")
    if report.state is not Wholeness.WHOLE:
        return Measured(report.state.value, report.seen, digest)
    try:
        # numpy warns there too, of pictures with nothing on them
        with decoders_kept_quiet():
            return _measured(folder, name, digest, size)
    except PictureError as error:
        return Measured("unreadable", error.message, digest)
    except Exception as error:  # whatever one odd scan brings about, the others are to be measured
        return Measured("unreadable", f"it could not be measured ({type(error).__name__})", digest)


def _file(path: Path, name: str) -> tuple[str, Report]:
    """The digest of a scan, and whether its file is whole. Raises OSError."""
    from tagger.imaging.scan.file_integrity import WHOLE, check_file

    found = path.stat()
    if not stat.S_ISREG(found.st_mode):  # a pipe would be waited for
        raise OSError(errno.EINVAL, "it is not a file")
    if found.st_size > LARGE_FILE:
        # what is missing of it is told by its decoder
        with path.open("rb") as file:
            return scan_digest(hashlib.file_digest(file, "sha256").hexdigest(), name), WHOLE
    data = path.read_bytes()
    return scan_digest(hashlib.sha256(data).hexdigest(), name), check_file(data)


def _measured(folder: Path, name: str, digest: str, size: tuple[float, float]) -> Measured:
    from tagger.imaging.card.card_edges import Edges
    from tagger.imaging.survey.faults import scan_faults, several_cards
    from tagger.imaging.survey.fields import fields_of
    from tagger.imaging.survey.perceptual_hash import print_of

    _keep_memory()
    whole = read_whole(folder, name)
    if whole.stored.width * whole.stored.height > KEPT_PIXELS:
        _give_memory()
    faults = _damage(whole)
    several = several_cards(whole.upright, whole.dpi)
    if several is not None:
        faults.append((several.kind.value, several.seen))
        return Measured("whole", "", digest, tuple(faults), dpi=(whole.dpi or 0.0) * whole.factor)
    # Damage was looked for in the blocks as they are stored: turned upright they lie elsewhere.
    look = scan_faults(whole.upright, whole.dpi, jpeg=False, size=size)
    faults += [(fault.kind.value, fault.seen) for fault in look.faults]
    crop, sideways = _standing(whole.upright, look.edges)
    corners: Corners4 | None = None
    card = lines = around = (0.0, 0.0)
    if isinstance(look.edges, Edges):
        corners = _full_size(look.edges.corners, whole.factor)
        around = (round(look.edges.around[0], 1), round(look.edges.around[1], 1))
        if look.edges.contrast:
            wide, high = _measured_size(look.edges)
            card = (round(wide, 2), round(high, 2))
    else:
        lines = (round(look.edges.size[0], 2), round(look.edges.size[1], 2))
    dpi = (look.dpi or 0.0) * whole.factor
    return Measured(
        "whole", "", digest, tuple(faults), print_of(crop), fields_of(crop), sideways, corners, dpi,
        whole.size, card, size, look.extent.reached, look.extent.size, lines,
        around,
    )  # fmt: skip


@cache
def _keep_arrays() -> None:
    """Have the C library keep what arrays of a scan took for the next one. glibc's gives back what
    is larger than any piece that it was ever given back: so one is, which is never touched."""
    import numpy as np

    np.empty(KEPT_ARRAYS, np.uint8)


def _keep_memory() -> None:
    from PIL import Image

    _keep_arrays()
    Image.core.set_blocks_max(KEPT)  # type: ignore[attr-defined]


def _give_memory() -> None:
    """Give what was kept to the system, and keep nothing of this picture."""
    from PIL import Image

    Image.core.set_blocks_max(0)  # type: ignore[attr-defined]
    Image.core.clear_cache()  # type: ignore[attr-defined]


def _damage(whole: WholeScan) -> list[tuple[str, str]]:
    from tagger.imaging.scan.jpeg_corruption import broken_at
    from tagger.imaging.scan.level_shift import shifted_at
    from tagger.imaging.survey.faults import FaultKind

    if whole.warning:
        return [(FaultKind.CORRUPT.value, whole.warning)]
    # only what is coded in blocks shows by them where it breaks
    row = broken_at(whole.stored) if whole.coded else None
    if row is None and whole.coded:
        row = shifted_at(whole.stored)
    if row is None:
        return []
    return [(FaultKind.CORRUPT.value, f"from row {row} on")]


def _measured_size(edges: Edges) -> tuple[float, float]:
    """A card's width and height in mm as they were seen, whatever size was looked for."""
    return edges.seen if all(edges.seen) else (edges.width, edges.height)


def _full_size(corners: Corners4, factor: int) -> Corners4:
    """Corners in pixels of the full size, rounded to a hundredth of one."""
    a, b, c, d = ((round(x * factor, 2), round(y * factor, 2)) for x, y in corners)
    return a, b, c, d


def _box_around(lines: Corners4, size: tuple[int, int]) -> tuple[int, int, int, int]:
    """The part of a picture of this size that has all that is within some lines."""
    xs, ys = zip(*lines, strict=True)
    left, upper = (max(0, round(min(at))) for at in (xs, ys))
    right, lower = (min(most, round(max(at))) for at, most in zip((xs, ys), size, strict=True))
    return left, upper, max(right, left + 1), max(lower, upper + 1)


def _standing(picture: Image.Image, edges: Edges | NoEdges) -> tuple[Image.Image, bool]:
    """The card straight and standing, 100 dpi; without edges the whole scan, or what lines show to
    stand on it, in a card's shape. And whether it lay."""
    from PIL import Image

    from tagger.imaging.card.card_edges import Edges
    from tagger.imaging.card.deskew import straight, upright_turn

    if isinstance(edges, Edges):
        # Its fields are compared, and nobody looks at it.
        turn, quick = upright_turn(edges), Image.Resampling.NEAREST
        crop = straight(picture, edges, turn=turn, dpi=LOOK_DPI, resampling=quick)
        return crop, edges.sideways
    # A page that is hardly wider than high says nothing of the card on it, which may be square.
    lies = picture.width > LYING * picture.height
    if lies and edges.lines is not None:
        # A page may be wider than high around a card that stands.
        seen = picture.crop(_box_around(edges.lines, picture.size))
        if seen.width < seen.height:
            picture, lies = seen, False
    stood = picture.transpose(Image.Transpose.ROTATE_270) if lies else picture
    return stood.resize((250, 350), Image.Resampling.BOX, reducing_gap=2.0), lies

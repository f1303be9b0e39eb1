"""Drawn pictures at hand: drawn in the background, the newest wish first, the least used
forgotten."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Collection, Hashable, Sequence
from threading import Condition, Thread
from typing import TYPE_CHECKING, NamedTuple, Protocol

from PIL import Image

from tagger.core.model.pose import PLAIN, Pose
from tagger.core.model.scan_ref import ScanRef
from tagger.errors import PictureError

if TYPE_CHECKING:
    from tagger.preview.cells import CellRow
    from tagger.preview.drawings import Drawing
    from tagger.preview.terminal_capabilities import Depth

Box = tuple[int, int]  # width and height in square pixels: one a cell across, two down
# pictures; at 200 x 60 cells one is about 120 kB with its cells and their text, in all 4 MB
LIMIT = 32


class WholePicture(NamedTuple):
    """All that a pose shows of a scan, to fit into a box."""

    box: Box
    pose: Pose = PLAIN


class Crop(NamedTuple):
    """A part of a scan, to fill a box: its middle and its width (x, y, width) as fractions of what
    a pose shows of it; as it is, or in `grey` with all the contrast there is. `room`: it is the
    place of a line of print, of which the letters alone are shown, as large as this box has room;
    the other one then says its shape, and how fine it is looked at."""

    region: tuple[float, float, float]
    box: Box
    grey: bool = True
    pose: Pose = PLAIN
    room: Box | None = None


View = WholePicture | Crop
Key = tuple[ScanRef, View]


class Source(Protocol):
    """Where scans come from."""

    def load(self, ref: ScanRef, seen: View, grid: tuple[int, int]) -> Image.Image:
        """A scan as it is seen, with so many pixels a cell across and down; RGB. Raises
        PictureError."""

    def stamp(self, ref: ScanRef) -> Hashable:
        """What changes when the scan's file does; None where there is no file."""


class Drawn(NamedTuple):
    """A picture, its cells in the colours that are sent first, and their text."""

    picture: Image.Image
    rows: Sequence[CellRow]
    text: Sequence[str]


def drawn(picture: Image.Image, drawing: Drawing, depth: Depth) -> Drawn:
    """A picture in cells, ready to be sent."""
    rows = drawing.draw(picture, depth)
    return Drawn(picture, rows, [row.ansi() for row in rows])


class _Failure(NamedTuple):
    error: PictureError
    stamp: Hashable


class Pictures:
    """Drawn pictures by scan and what is seen of the scan, the whole or a part.

    `draw` makes one and may raise PictureError; `ready` is called from a background thread when a
    wanted picture has come or failed. At most `limit` pictures are held. `stamp` tells whether a
    scan that failed has changed since."""

    def __init__(
        self,
        draw: Callable[[ScanRef, View], Drawn],
        ready: Callable[[ScanRef], None],
        stamp: Callable[[ScanRef], Hashable] = lambda _: None,
        limit: int = LIMIT,
        threads: int = 2,
    ) -> None:
        self._draw = draw
        self._ready = ready
        self._stamp = stamp
        self._limit = limit
        self._threads = threads
        self._have: OrderedDict[Key, Drawn | _Failure] = OrderedDict()
        self._wanted: list[Key] = []
        self._busy: set[Key] = set()
        self._stale: set[Key] = set()
        self._change = Condition()
        self._open = True
        self._started = False

    def get(self, ref: ScanRef, view: View) -> Drawn | PictureError | None:
        """A picture, or why there is none, or None where it is not drawn yet."""
        with self._change:
            found = self._have.get((ref, view))
            if found is not None:
                self._have.move_to_end((ref, view))
            return found.error if isinstance(found, _Failure) else found

    def want(self, wishes: Sequence[Key]) -> None:
        """Draw these, the first first. Earlier wishes that did not start are dropped."""
        with self._change:
            self._wanted = [
                key
                for key in dict.fromkeys(wishes)
                if key not in self._have and key not in self._busy
            ]
            if not self._wanted:
                return
            if not self._started:
                self._started = True
                # Daemons: a picture that is being drawn must not hold up who leaves.
                for _ in range(self._threads):
                    Thread(target=self._work, daemon=True, name="pictures").start()
            self._change.notify_all()

    def retry(self, refs: Sequence[ScanRef]) -> bool:
        """Let go of the failures of scans whose files have changed, so that they are drawn when
        they are wanted next. Returns whether there was one."""
        with self._change:
            failed = [
                (key, found.stamp)
                for key, found in self._have.items()
                if isinstance(found, _Failure)
            ]
        # Files are looked at without the lock: on a network folder that may take long.
        old = [key for key, stamp in failed if key[0] in refs and self._stamp(key[0]) != stamp]
        with self._change:
            for key in old:
                self._have.pop(key, None)
        return bool(old)

    def forget(self, refs: Collection[ScanRef]) -> None:
        """Let go of all pictures of these scans; one that is being drawn now is let go of when it
        has come."""
        with self._change:
            for key in [key for key in self._have if key[0] in refs]:
                del self._have[key]
            self._stale.update(key for key in self._busy if key[0] in refs)

    def close(self) -> None:
        """Stop drawing."""
        with self._change:
            self._open = False
            self._wanted = []
            self._change.notify_all()

    def _work(self) -> None:
        while (key := self._next()) is not None:
            self._keep(key, self._drawn_or_failed(key))

    def _next(self) -> Key | None:
        """Wait for a wish; None when all is over."""
        with self._change:
            self._change.wait_for(lambda: self._wanted or not self._open)
            if not self._open:
                return None
            key = self._wanted.pop(0)
            self._busy.add(key)
            return key

    def _drawn_or_failed(self, key: Key) -> Drawn | _Failure:
        # Asked for before the file is read: one that changes meanwhile must count as changed.
        stamp = self._stamp(key[0])
        try:
            return self._draw(*key)
        except PictureError as error:
            return _Failure(error, stamp)

    def _keep(self, key: Key, result: Drawn | _Failure) -> None:
        with self._change:
            self._busy.discard(key)
            # What was let go of while it was drawn shows a file that is another one now.
            if key in self._stale:
                self._stale.discard(key)
            else:
                self._have[key] = result
            while len(self._have) > self._limit:
                self._have.popitem(last=False)
            open_still = self._open
        # Called without the lock: whoever hears of it asks for the picture at once.
        if open_still:
            self._ready(key[0])

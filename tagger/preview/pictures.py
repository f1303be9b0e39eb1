"""Decoded pictures at hand: decoded in the background, the newest wish first, the least used forgotten."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from threading import Condition, Thread

from PIL import Image

from tagger.errors import PictureError

Box = tuple[int, int]  # width and height in pixels


@dataclass(frozen=True, slots=True)
class Crop:
    """A part of a scan, to fill a box: its middle and its width (x, y, width) as fractions of the upright scan."""

    region: tuple[float, float, float]
    box: Box


View = Box | Crop  # a box stands for the whole scan in it
Key = tuple[str, View]
Loader = Callable[[str, View], Image.Image]


class Pictures:
    """Small pictures by scan name and what is seen of the scan, the whole or a part.

    `load` decodes one and may raise PictureError; `ready` is called from a background thread when a wanted picture has
    come or failed. At most `limit` pictures are held: at 200 x 60 cells one is about 30 kB, in all 2 MB.
    """

    def __init__(self, load: Loader, ready: Callable[[str], None], limit: int = 64, threads: int = 2) -> None:
        self._load = load
        self._ready = ready
        self._limit = limit
        self._threads = threads
        self._have: OrderedDict[Key, Image.Image | PictureError] = OrderedDict()
        self._wanted: list[Key] = []
        self._busy: set[Key] = set()
        self._change = Condition()
        self._open = True
        self._started = False

    def get(self, name: str, view: View) -> Image.Image | PictureError | None:
        """A picture, or why there is none, or None where it is not decoded yet."""
        with self._change:
            found = self._have.get((name, view))
            if found is not None:
                self._have.move_to_end((name, view))
            return found

    def want(self, wishes: Sequence[Key]) -> None:
        """Decode these, the first first. Earlier wishes that did not start are dropped."""
        with self._change:
            self._wanted = [key for key in wishes if key not in self._have and key not in self._busy]
            if not self._wanted:
                return
            if not self._started:
                self._started = True
                for _ in range(self._threads):
                    Thread(target=self._work, daemon=True, name="pictures").start()
            self._change.notify_all()

    def forget(self, name: str) -> None:
        """Decode a scan again when it is wanted next."""
        with self._change:
            for key in [key for key in self._have if key[0] == name]:
                del self._have[key]

    def close(self) -> None:
        """Stop decoding."""
        with self._change:
            self._open = False
            self._wanted = []
            self._change.notify_all()

    def _work(self) -> None:
        while True:
            with self._change:
                self._change.wait_for(lambda: self._wanted or not self._open)
                if not self._open:
                    return
                key = self._wanted.pop(0)
                self._busy.add(key)
            result: Image.Image | PictureError
            try:
                result = self._load(*key)
            except PictureError as error:
                result = error
            with self._change:
                self._busy.discard(key)
                self._have[key] = result
                while len(self._have) > self._limit:
                    self._have.popitem(last=False)
                open_still = self._open
            if open_still:
                self._ready(key[0])

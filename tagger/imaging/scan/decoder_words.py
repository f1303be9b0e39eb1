"""What the decoders themselves print: libtiff and libjpeg write to standard error, which is the
screen. It is kept from there, and gives a reason where the decoder's error has none."""

from __future__ import annotations

import contextlib
import os
import re
import tempfile
import threading
from collections.abc import Iterator

from tagger.core.model.text import printable

_LONGEST = 120  # characters of a decoder's line
_MOST = 1 << 20  # bytes of the lines that are kept; a damaged picture may bring thousands


class _Aside:
    """Standard error, turned into a file as long as anything is decoded."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._within = 0
        self._screen = -1
        self._file = -1

    def enter(self) -> None:
        with self._lock:
            self._within += 1
            if self._within > 1:
                return
            try:
                if self._file < 0:
                    self._file = _nameless()
                if os.fstat(self._file).st_size > _MOST:
                    os.ftruncate(self._file, 0)
                self._screen = os.dup(2)
                os.dup2(self._file, 2, inheritable=True)
            except OSError:  # no standard error, or no room: decoding goes on
                pass

    def leave(self) -> None:
        with self._lock:
            self._within -= 1
            if self._within == 0 and self._screen >= 0:
                os.dup2(self._screen, 2, inheritable=True)
                os.close(self._screen)
                self._screen = -1

    def give_back(self) -> None:
        # without the lock: what was interrupted may hold it
        if self._screen >= 0:
            with contextlib.suppress(OSError):  # it may just have been given back and closed
                os.dup2(self._screen, 2, inheritable=True)

    def size(self) -> int:
        return 0 if self._file < 0 else os.fstat(self._file).st_size

    def words(self, start: int) -> bytes:
        return b"" if self._file < 0 else os.pread(self._file, 4096, start)


_aside = _Aside()


def _nameless() -> int:
    """A file without a name, which is written at its end."""
    with tempfile.TemporaryFile(buffering=0) as file:
        held = os.dup(file.fileno())
    import fcntl

    fcntl.fcntl(held, fcntl.F_SETFL, os.O_APPEND)
    return held


class DecoderWords:
    """What decoders have printed since it was made."""

    def __init__(self) -> None:
        self._start = _aside.size()

    def first(self) -> str:
        """Their first line without a function's name; empty where they printed nothing."""
        told = _aside.words(self._start).decode("utf-8", "replace")
        # a file that is handed over open has this name, and lines of it may end nowhere
        for line in told.replace("tempfile.tif: ", "\n").splitlines():
            # libtiff begins with the function, which says nothing to a dealer
            said = re.sub(r"^\w+: ", "", line.strip())
            if said:
                return printable(said, _LONGEST).rstrip(".")
        return ""


def give_screen_back() -> None:
    """For the last words of a program that is stopped: a stop amid turning standard error aside
    may have left it there."""
    _aside.give_back()


@contextlib.contextmanager
def decoders_kept_quiet() -> Iterator[DecoderWords]:
    """Nothing that a decoder, or numpy, prints meanwhile comes to the screen. From any thread; the
    screen's own output must not go to descriptor 2."""
    _aside.enter()
    try:
        yield DecoderWords()
    finally:
        _aside.leave()

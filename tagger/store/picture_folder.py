"""A folder that pictures are written into, with a list of what was written, so that only what
changed is written again.

The list is the file LIST in the folder, a write-ahead log in the journal's checksummed lines: one
line, `{"file","digest","size","mtime"}`, for each picture, after a first one that says whose
pictures they are. A line is there before its picture is, so each file that was written stands in
it. A damaged line is as one that never was."""

from __future__ import annotations

import contextlib
import fcntl
import os
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import NamedTuple

from tagger.core.model.text import printable
from tagger.errors import MALFORMED, LotError, UsageError
from tagger.file_stamp import FileStamp, file_stamp
from tagger.store.files import SYSTEM, leftovers, read_bounded, replace_durably, write_new
from tagger.store.lot.journal import Record, decode, encode

LIST = ".tagger-pictures"
_NEW = ".tagger-pictures.picture"
_FORM = 1
_LONGEST = 1 << 28  # bytes of the list
_LOT = ("lot.json", "lot.journal")  # with one of these a folder is a lot's


class _Written(NamedTuple):
    """A picture as it was written: what it was made of, and the stamp of its file."""

    digest: str
    stamp: tuple[int, int]  # `FileStamp.lasting`


_Known = dict[str, _Written]  # by file name


class PictureFolder:
    """Writes pictures into a folder that is new, empty, or was written by an earlier export of the
    same lot.

    `lot` tells the lot from others. Raises UsageError where the folder holds anything else or its
    list cannot be read, LotError where it cannot be made or written, or another export is at work
    in it."""

    def __init__(self, folder: Path, lot: str) -> None:
        self.shown = printable(str(folder))
        self._lot, self._folder = lot, folder
        self._lock = self._out = -1
        try:
            folder.mkdir(exist_ok=True)
            self._folder = folder.resolve()
            self._lock = os.open(self._folder, os.O_RDONLY | os.O_CLOEXEC)
            self._hold()
            self._known, self._damaged = self._read()
            self._begin()
        except OSError as error:
            self.close()
            raise self._failed(error) from None
        except BaseException:
            self.close()
            raise

    def has(self, file: str, digest: str) -> bool:
        """Whether a picture is there as it was written, and made of the same."""
        known = self._known.get(file)
        return known is not None and known == (digest, self._stamp(file))

    def put(self, file: str, digest: str, data: bytes) -> None:
        """Write a picture. A reader sees the old one or the new, never half. Raises LotError,
        UsageError."""
        if file not in self._known and not self._damaged and self._stamp(file) is not None:
            raise UsageError(
                f"{self.shown} has a file {printable(file)} that no export wrote; move it "
                "elsewhere."
            )
        new = self._folder / _NEW
        try:
            known = _Written(digest, FileStamp.of(write_new(new, data)).lasting)
            # the line first: a picture that no line tells of would be somebody else's next time
            os.write(self._out, encode(_entry(file, known)))
            os.replace(new, self._folder / file)
        except BaseException as error:
            with contextlib.suppress(OSError):
                new.unlink(missing_ok=True)
            if isinstance(error, OSError):
                raise self._failed(error) from None
            raise
        self._known[file] = known

    def keep_only(self, files: Collection[str]) -> int:
        """Remove pictures of earlier exports that are none of these, as far as nobody changed them;
        how many."""
        gone = 0
        for file in [file for file in self._known if file not in files]:
            known = self._known.pop(file)
            if known.stamp == self._stamp(file):
                with contextlib.suppress(OSError):
                    (self._folder / file).unlink()
                    gone += 1
        self._damaged = False
        try:
            self._write_list()
        except OSError as error:
            raise self._failed(error) from None
        return gone

    def close(self) -> None:
        """Let go of the folder; may be called again."""
        for fd in (self._out, self._lock):
            if fd >= 0:
                os.close(fd)
        self._out = self._lock = -1

    def _hold(self) -> None:
        try:
            fcntl.flock(self._lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise LotError(
                f"Another export is writing into {self.shown}; wait until it is done."
            ) from None
        except OSError:  # some file systems have no locks
            pass

    def _read(self) -> tuple[_Known, bool]:
        """What was written, and whether some of the list is damaged."""
        if any(os.path.lexists(self._folder / name) for name in _LOT):
            raise UsageError(
                f"{self.shown} is a lot; name a folder for the pictures that is new or empty."
            )
        try:
            lines = read_bounded(self._folder / LIST, _LONGEST).splitlines(keepends=True)
        except FileNotFoundError:
            self._check_new()
            return {}, False
        entries = [decode(line) for line in lines]
        self._check_head(entries[0] if entries else None)
        return _listed(entries[1:]), None in entries

    def _check_new(self) -> None:
        left = {_NEW, *(path.name for path in leftovers(self._folder / LIST))}
        if any(entry.name not in left for entry in self._folder.iterdir()):
            raise UsageError(
                f"{self.shown} holds other files; name a folder for the pictures that is new "
                "or empty."
            )

    def _check_head(self, head: Record | None) -> None:
        if head is None or head.get("form") != _FORM:
            raise UsageError(
                f"{self.shown} has a list of pictures, {LIST}, that cannot be read; name another "
                "folder."
            )
        if head.get("lot") != self._lot:
            raise UsageError(
                f"{self.shown} holds the pictures of another lot; name another folder."
            )

    def _begin(self) -> None:
        # by a kill; or links, which must not be followed
        for left in (self._folder / _NEW, *leftovers(self._folder / LIST)):
            left.unlink(missing_ok=True)
        self._write_list()

    def _write_list(self) -> None:
        """The list without what is out of date, and the way to its end."""
        lines = [encode({"form": _FORM, "lot": self._lot})]
        lines += (encode(_entry(file, known)) for file, known in self._known.items())
        if self._damaged:
            lines.append(b"\n")  # files may be there that no line tells of
        replace_durably(SYSTEM, self._folder / LIST, b"".join(lines))
        if self._out >= 0:
            os.close(self._out)
        # a link that was laid there meanwhile must not lead what follows into another file
        self._out = os.open(
            self._folder / LIST, os.O_WRONLY | os.O_APPEND | os.O_CLOEXEC | os.O_NOFOLLOW
        )

    def _stamp(self, file: str) -> tuple[int, int] | None:
        """What tells a picture that somebody changed; a link is not followed, for a picture of ours
        is none."""
        found = file_stamp(self._folder / file, follow=False)
        return None if found is None else found.lasting

    def _failed(self, error: OSError) -> LotError:
        return LotError(f"{self.shown} cannot be written: {error.strerror}.")


def _entry(file: str, known: _Written) -> Record:
    size, mtime = known.stamp
    return {"file": file, "digest": known.digest, "size": size, "mtime": mtime}


def _listed(entries: Sequence[Record | None]) -> _Known:
    """What the lines of a list tell of; damaged ones, and names that lead elsewhere, of nothing."""
    known: _Known = {}
    for entry in entries:
        if entry is None:
            continue
        with contextlib.suppress(*MALFORMED):
            file, stamp = str(entry["file"]), (int(entry["size"]), int(entry["mtime"]))
            if file == os.path.basename(file) and file[:1] != ".":
                known[file] = _Written(str(entry["digest"]), stamp)
    return known

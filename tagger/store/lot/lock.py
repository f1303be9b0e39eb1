"""One writer a lot: an advisory lock that the system drops by itself when its holder dies."""

from __future__ import annotations

import contextlib
import errno
import fcntl
import getpass
import json
import os
import time
from pathlib import Path

from tagger.core.model.text import printable
from tagger.errors import MALFORMED, LockedError

_NO_LOCKS = frozenset({errno.ENOLCK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS})


class Lock:
    """Holds `path` locked from construction to `release()`. The file says who holds it, and since
    when.

    `works` is false where the file system has no locks. Raises LockedError where another program
    holds the lock, OSError where the file cannot be made."""

    def __init__(self, path: Path, what: str) -> None:
        self._file = os.open(path, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC, 0o644)
        self.works = True
        try:
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            if error.errno in _NO_LOCKS:
                # network file systems: the journal then notices a write from elsewhere
                self.works = False
                return
            held = os.read(self._file, 4096)
            os.close(self._file)
            # Over NFS the lock is made of another kind, which may say EACCES: flock(2), fcntl(2).
            if error.errno not in (errno.EWOULDBLOCK, errno.EACCES):
                raise
            raise LockedError(
                f"{what} is already open: {_holder(held)}. Close it there first, or open it "
                "read-only with --read-only."
            ) from None
        who = {
            "pid": os.getpid(),
            "user": _user(),
            "host": os.uname().nodename,
            "since": int(time.time()),
        }
        # on a full disk the lock holds all the same, but does not say whose it is
        with contextlib.suppress(OSError):
            os.ftruncate(self._file, 0)
            os.pwrite(self._file, json.dumps(who).encode(), 0)

    def release(self) -> None:
        """Let go; may be called again."""
        if self._file >= 0:
            # the file stays: to remove it would let a third program lock one that is gone
            with contextlib.suppress(OSError):
                os.ftruncate(self._file, 0)
            os.close(self._file)
            self._file = -1


def _user() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "an unknown user"


def _holder(text: bytes) -> str:
    try:
        who = json.loads(text)
        since = time.strftime("%H:%M on %d %B", time.localtime(float(who["since"])))
        return printable(
            f"by {who['user']} on {who['host']}, process {int(who['pid'])}, since {since}"
        )
    except (OSError, *MALFORMED):
        return "by another program"

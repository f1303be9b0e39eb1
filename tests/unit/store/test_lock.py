"""One writer a lot: who holds it is said, and one that died holds nothing."""

from __future__ import annotations

import errno
import fcntl
import os
import signal
import subprocess
import sys

import pytest
from support.at_work import facts, opened, take

from tagger.core.session.session import Session
from tagger.errors import LockedError, NotSaved
from tagger.store.lot.lot_file import LotFile


def test_a_second_opening_is_refused_with_who_and_since(tmp_path):
    session = opened(tmp_path)
    with pytest.raises(LockedError) as refusal:
        LotFile(tmp_path, "box 12")
    assert f"process {os.getpid()}" in str(refusal.value)
    assert "since " in str(refusal.value)
    take(session, "set=87 1")
    looking = Session(LotFile(tmp_path, "box 12", only_looking=True))
    assert facts(looking) == facts(session)
    with pytest.raises(NotSaved, match="opened read-only"):
        looking.take_unlisted("8 lund")
    looking.close()
    session.close()
    opened(tmp_path).close()


HOLD = """
import sys, time
from pathlib import Path
from tagger.store.lot.lot_file import LotFile
lot = LotFile(Path(sys.argv[1]), "box 12")
print("held", flush=True)
time.sleep(600)
"""


def test_a_killed_holder_is_no_obstacle(tmp_path):
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, tmp_path], stdout=subprocess.PIPE, text=True
    ) as holder:
        assert holder.stdout.readline() == "held\n"
        with pytest.raises(LockedError, match=f"process {holder.pid},"):
            LotFile(tmp_path, "box 12")
        holder.send_signal(signal.SIGKILL)
    session = opened(tmp_path)
    take(session, "set=87 1")
    session.close()


def test_where_there_are_no_locks_the_lot_opens_and_says_so(tmp_path, monkeypatch):
    """flock(2): ENOLCK, and from some network file systems EOPNOTSUPP."""

    def none(*_: object) -> None:
        raise OSError(errno.EOPNOTSUPP, os.strerror(errno.EOPNOTSUPP))

    monkeypatch.setattr(fcntl, "flock", none)
    store = LotFile(tmp_path, "box 12")
    assert any("no locks" in note for note in store.notes)
    session = Session(store)
    session.take_in(["1.jpg", "2.jpg"])
    session.take_unlisted("7 marsh")
    other = Session(LotFile(tmp_path, "box 12"))
    other.go(1)
    other.take_unlisted("8 lund")
    with pytest.raises(NotSaved, match="another program has written to this lot"):
        session.undo()
    other.close()
    with pytest.raises(NotSaved, match="What was accepted here is saved"):
        session.close()

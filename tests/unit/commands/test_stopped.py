"""A command that is stopped says so, wherever the stop meets it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from support import drawn

# The stop comes from within, at the call of which it is: a signal would have to meet it by chance.
STOPPED_AT = """
import os, sys
from tagger.cli import program
from tagger.imaging.scan import decoder_words

calls, whole = [], os.dup2

def dup2(fd, to, inheritable=True):
    calls.append(to)
    if len(calls) == {stop} and {before}:
        raise KeyboardInterrupt
    done = whole(fd, to, inheritable=inheritable)
    if len(calls) == {stop}:
        raise KeyboardInterrupt
    return done

os.dup2 = dup2
sys.argv = ["tagger", "measure", {scan!r}]
program()
"""


@pytest.mark.parametrize(
    ("stop", "before"),
    [(1, False), (2, True), (2, False)],
    ids=["aside", "before it is given back", "given back"],
)
def test_a_stop_while_decoders_are_kept_quiet_is_said(
    tmp_path: Path, stop: int, before: bool
) -> None:
    drawn.draw_scans(tmp_path / "box 12", 1, size=(60, 84))
    scan = next((tmp_path / "box 12").iterdir())
    script = STOPPED_AT.format(stop=stop, before=before, scan=str(scan))
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, timeout=120)
    assert (run.returncode, run.stdout) == (3, b"")
    assert run.stderr == b"tagger: stopped.\n"

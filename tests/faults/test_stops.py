"""Long commands stopped, and with outputs that cannot be written; the long form is
`tests/nightly`."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from faults.stop_place import Place
from faults.stops import lost_outputs, stops, table

# by processes, by a table, by rules alone
FEW = ("page", "export", "audit")


def test_a_stop_leaves_nothing_behind_and_a_lost_output_is_no_traceback(tmp_path: Path) -> None:
    place = Place(tmp_path, cards=8, rows=200)
    for seed, what in enumerate(FEW):
        tally = stops(place, what, 1, seed=seed)
        assert not tally.wrong, tally.wrong
    tally = lost_outputs(place, ["status"])
    assert not tally.wrong, tally.wrong


@pytest.mark.nightly
def test_two_hundred_stops_of_each_long_command_beside_busy_processes() -> None:
    _, wrong = table(200, load=2)
    assert not wrong, wrong[:10]


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGHUP])
def test_a_stop_is_one_where_the_shell_ignores_it(tmp_path: Path, number: signal.Signals) -> None:
    """As nohup and a shell without job control start what goes on in the background."""
    before, drawn = signal.signal(number, signal.SIG_IGN), tmp_path / "drawn"
    try:
        with Place(tmp_path / "place", cards=2, rows=20).start(["demo", str(drawn)]) as run:
            while run.poll() is None and not drawn.exists():
                time.sleep(0.02)
            os.killpg(run.pid, number)
            _, said = run.communicate(timeout=120)
    finally:
        signal.signal(number, before)
    assert (run.returncode, said.strip()) == (3, b"tagger: stopped.")


def test_a_lost_line_leaves_what_the_working_processes_share() -> None:
    asked = (
        "import os, signal, time\n"
        "from multiprocessing import resource_tracker\n"
        "from tagger.imaging.survey import workers\n"
        "signal.signal(signal.SIGHUP, lambda *_: None)\n"
        "workers._start_tracker()\n"
        "tracker = resource_tracker._resource_tracker\n"
        "os.kill(tracker._pid, signal.SIGHUP)\n"
        "held = f'/proc/{tracker._pid}/status'\n"
        "blocked = next(x for x in open(held) if x.startswith('SigBlk'))\n"
        "print(int(blocked.split()[1], 16) >> (signal.SIGHUP - 1) & 1, tracker._check_alive())\n"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["1", "True"], done.stderr

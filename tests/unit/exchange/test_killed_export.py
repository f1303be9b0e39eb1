"""kill -9 of an export of pictures at random moments: no half file, and the same command goes on
from there."""

from __future__ import annotations

import errno
import os
import random
import re
import signal
import subprocess
import time
from pathlib import Path

import pytest
from PIL import Image
from support.processes import alive, children, tells_children
from support.terminal import Terminal

from tagger.cli import main
from tagger.errors import LotError
from tagger.store.files import leftovers
from tagger.store.picture_folder import LIST, PictureFolder

SCANS = 40


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    folder = tmp_path / "box 12"
    folder.mkdir()
    for number in range(1, SCANS + 1):
        page = Image.effect_noise((300, 420), 60).convert("RGB")
        page.paste((number * 6, 90, 200), (40, 40, 200, 300))
        page.save(folder / f"scan_{number:03}.jpg", dpi=(100, 100))
    return folder


def pictures(folder: Path) -> dict[str, bytes]:
    """The pictures in a folder, each decoded to its end."""
    found = {}
    for path in folder.glob("[!.]*"):
        with Image.open(path) as picture:
            picture.load()
        found[path.name] = path.read_bytes()
    return found


def lines(folder: Path) -> int:
    try:
        return (folder / LIST).read_bytes().count(b"\n")
    except OSError:
        return 0


def killed(command: list[str], out: Path, writes: int, wait: float) -> bool:
    """Kill an export `wait` seconds after it has written so many pictures; whether it was still at
    work."""
    child = subprocess.Popen(command, stderr=subprocess.DEVNULL)
    start = lines(out)
    inode = (out / LIST).stat().st_ino if start else 0
    while child.poll() is None:
        if lines(out) > writes + max(1, start) - 1 and (out / LIST).stat().st_ino != inode:
            time.sleep(wait)
            break
        time.sleep(0.001)
    child.kill()
    return child.wait() == -signal.SIGKILL


@pytest.mark.parametrize("lives", [6, pytest.param(60, marks=pytest.mark.nightly)])
def test_a_killed_export_goes_on_and_comes_to_the_same(lot, tmp_path, tagger, lives):
    clean, out = tmp_path / "clean", tmp_path / "out"
    assert main(["export", str(lot), "--images", str(clean), "--name", "{position} b"]) == 0
    source, kills, most = random.Random(12), 0, 0
    for life in range(lives):
        # Two names and two qualities: files are made, replaced and removed.
        name, quality = ("{position} a", "{position} b")[life % 3 == 0], ("90", "40")[life % 2]
        command = [
            *tagger,
            "export",
            str(lot),
            "--images",
            str(out),
            "--name",
            name,
            "--quality",
            quality,
        ]
        kills += killed(command, out, source.randrange(0, SCANS), source.random() * 0.01)
        most = max(most, len(pictures(out)))
        assert {path.name for path in out.glob(".*")} <= {
            LIST,
            f"{LIST}.picture",
            *(path.name for path in leftovers(out / LIST)),
        }
    assert kills >= lives // 2
    assert most > 0
    assert main(["export", str(lot), "--images", str(out), "--name", "{position} b"]) == 0
    assert pictures(out) == pictures(clean)
    assert os.listdir(out)
    assert set(os.listdir(out)) == {*pictures(clean), LIST}
    before = (out / LIST).read_bytes()
    assert main(["export", str(lot), "--images", str(out), "--name", "{position} b"]) == 0
    assert (out / LIST).read_bytes() == before


def dies(folder: Path, data: bytes, call: str, half: bool) -> None:
    """A child that replaces a picture, and is killed when it calls `call` of os: before, or with
    half of the bytes written."""
    child = os.fork()
    if child == 0:
        real = getattr(os, call)

        def killing(*words: object) -> object:
            if half:
                real(words[0], words[1][: len(words[1]) // 2])
            os.kill(os.getpid(), signal.SIGKILL)
            return real(*words)

        place = PictureFolder(folder, "lot")
        setattr(os, call, killing)
        place.put("a.jpg", "new", data)
        os._exit(0)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL


@pytest.mark.parametrize(
    ("call", "half"), [("write", False), ("write", True), ("fstat", False), ("replace", False)]
)
def test_killed_at_a_moment_the_old_picture_is_whole(tmp_path, call, half):
    old, new = b"old" * 999, b"new!" * 999
    first = PictureFolder(tmp_path / "out", "lot")
    first.put("a.jpg", "old", old)
    first.close()
    dies(tmp_path / "out", new, call, half)
    assert (tmp_path / "out" / "a.jpg").read_bytes() == old
    again = PictureFolder(tmp_path / "out", "lot")
    assert not again.has("a.jpg", "new")
    again.put("a.jpg", "new", new)
    assert again.has("a.jpg", "new")
    assert again.keep_only({"a.jpg"}) == 0
    again.close()
    assert set(os.listdir(tmp_path / "out")) == {"a.jpg", LIST}


@pytest.mark.parametrize("call", ["write", "replace"])
def test_a_full_disk_leaves_the_old_picture_and_is_told(tmp_path, monkeypatch, call):
    folder = PictureFolder(tmp_path / "out", "lot")
    folder.put("a.jpg", "old", b"old")

    def full(*words: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(os, call, full)
        with pytest.raises(LotError, match=r"out cannot be written: No space left on device\.$"):
            folder.put("a.jpg", "new", b"new")
    assert (tmp_path / "out" / "a.jpg").read_bytes() == b"old"
    assert set(os.listdir(tmp_path / "out")) == {"a.jpg", LIST}
    folder.close()


def test_ctrl_c_stops_and_says_how_to_go_on(lot, tmp_path, tagger):
    out = tmp_path / "out"
    command = [*tagger, "export", str(lot), "--images", str(out)]
    with Terminal(command, columns=200, rows=12) as screen:
        screen.wait_for(
            r"\d+ of 40 (scans measured|pictures written), \d+ a second, \d+ (s|min) left", 30
        )
        screen.send("\x03")
        assert screen.wait_exit(30) == 3
        said = [line.strip() for line in screen.text().splitlines() if line.strip()]
    assert said[-2] == f"The pictures in {out} stay. Run the same command again to continue."
    assert said[-1] == "tagger: stopped."
    assert re.match(r"\d+ of 40 ", said[-3])
    stopped = pictures(out)
    assert len(stopped) < SCANS
    assert set(os.listdir(out)) == {*stopped, LIST}
    assert main(["export", str(lot), "--images", str(out)]) == 0
    assert len(pictures(out)) == SCANS


def test_ctrl_c_while_the_processes_start_shows_no_trace_of_them(lot, tmp_path, tagger):
    for wait in (0.0, 0.03, 0.1, 0.2):
        command = [*tagger, "export", str(lot), "--images", str(tmp_path / f"out {wait}")]
        with Terminal(command, columns=200) as screen:
            of = screen.pid
            if not tells_children(of):
                pytest.skip("this system does not tell a process's children")
            assert screen.pump(30, lambda of=of: len(children(of)) >= 2)
            screen.pump(wait, lambda: False)
            screen.send("\x03")
            status = screen.wait_exit(30)
            assert status == 3, screen.text()
            assert "Traceback" not in screen.text(), screen.text()


def test_no_process_is_left_by_a_kill(lot, tmp_path, tagger):
    """Those that an export started end when it does: Linux, proc(5), `children`."""
    command = [*tagger, "export", str(lot), "--images", str(tmp_path / "out")]
    child = subprocess.Popen(command, stderr=subprocess.DEVNULL)
    if not tells_children(child.pid):
        child.kill()
        child.wait()
        pytest.skip("this system does not tell a process's children")
    began: set[str] = set()
    while child.poll() is None and lines(tmp_path / "out") < 5:
        began |= children(child.pid)
        time.sleep(0.005)
    child.kill()
    assert child.wait() == -signal.SIGKILL
    assert len(began) >= 2
    end = time.monotonic() + 20
    while time.monotonic() < end and any(alive(pid) for pid in began):
        time.sleep(0.02)
    assert not [pid for pid in began if alive(pid)]

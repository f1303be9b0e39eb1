"""A home with a lot in it, and commands run in this very process."""

from __future__ import annotations

import contextlib
import io
import shutil
import signal
import time
from collections.abc import Sequence
from pathlib import Path

HANGS = 20  # seconds by the clock; then it is ended
STATUSES = (0, 1, 2, 3)


class World:
    """A home of its own with a lot of three cards, a checklist, an export of it and its caches."""

    def __init__(self, home: Path) -> None:
        from support import drawn

        from tagger.core.session.session import Session
        from tagger.store.lot.lot_file import LotFile
        from tagger.store.machine.lots import LotList
        from tagger.store.machine.paths import LotPlace, config_file, data_folder

        self.home, self.lot = home, home / "box 12"
        self.listed, self.odd = home / "list.csv", home / "odd"
        self.odd.mkdir()
        drawn.draw_scans(self.lot, 3, size=(60, 84))
        rows = drawn.set_rows("1987 Harbor Light", 20, seed=5)
        self.listed.write_text(drawn.checklist_csv(rows, "Gold /99; Silver"), encoding="utf-8")
        session = Session(LotFile(self.lot, "box 12"), clock=lambda: 1000.0)
        scans = sorted(path.name for path in self.lot.glob("*.jpg"))
        session.take_in(scans, [str(self.listed)])
        for hint in ("7 marsh set=1987 12/99 nm", "8 lund price=2.50", "9 gold at=box 3"):
            session.take_unlisted(hint)
        session.undo()
        session.close()
        LotList(data_folder()).opened(LotPlace(self.lot, self.lot))
        self.settings = config_file()
        self.settings.parent.mkdir(parents=True, exist_ok=True)
        self.machine: dict[Path, dict[Path, bytes]] = {}
        self.kept = {name: (self.lot / name).read_bytes() for name in ("lot.json", "lot.journal")}

    def restore(self) -> None:
        """The lot and the settings as they were."""
        for name, data in self.kept.items():
            (self.lot / name).write_bytes(data)
        self.settings.unlink(missing_ok=True)
        for folder, data in self.machine.items():
            shutil.rmtree(folder, ignore_errors=True)
            for path, content in data.items():
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
        shutil.rmtree(self.odd)
        self.odd.mkdir()

    def remember(self) -> None:
        """What the machine keeps now is what it keeps for each case."""
        from tagger.store.machine.paths import cache_folder, data_folder

        self.machine = {
            folder: {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
            for folder in (cache_folder(), data_folder())
        }


class Hangs(BaseException):
    """A command did not end."""


def command(words: Sequence[str]) -> tuple[int, str, float]:
    """Run one; its status, what it said and the seconds of CPU. Raises what ended it."""
    from tagger.cli import main

    def ended(*_: object) -> None:
        raise Hangs(" ".join(words))

    said = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    out = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    kept = signal.signal(signal.SIGALRM, ended)
    signal.alarm(HANGS)
    start = time.process_time()
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(said):
            try:
                status = main(list(words))
            except SystemExit as left:
                status = int(left.code or 0)
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, kept)
    took = time.process_time() - start
    assert status in STATUSES, status
    return status, _text(said) + _text(out), took


def _text(stream: io.TextIOWrapper) -> str:
    stream.flush()
    raw = stream.buffer
    assert isinstance(raw, io.BytesIO)
    return raw.getvalue().decode()

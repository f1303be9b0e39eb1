"""A home with a lot in it, and commands run in this very process."""

from __future__ import annotations

import contextlib
import io
import shutil
import signal
import time
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fuzz.at_once import work_at_once

if TYPE_CHECKING:
    from tagger.core.session.session import Session

HANGS = 20  # seconds by the clock; then it is ended
STATUSES = (0, 1, 2, 3)
SITTING = "a sitting"  # in place of a command: a lot is opened for work, and each card stood at
CARDS = 4


class World:
    """A home of its own with a lot of four cards behind a divider, one of them sold and one not
    tagged, a checklist, and what this machine knows of them."""

    def __init__(self, home: Path) -> None:
        from support import drawn

        from tagger.store.machine.paths import config_file

        work_at_once()
        self.home, self.lot = home, home / "box 12"
        self.listed, self.odd = home / "list.csv", home / "odd"
        self.odd.mkdir()
        drawn.draw_scans(self.lot, CARDS + 1, size=(60, 84))
        rows = drawn.set_rows("1987 Harbor Light", 20, seed=5)
        self.listed.write_text(drawn.checklist_csv(rows, "Gold /99; Silver"), encoding="utf-8")
        self._tag()
        self.settings = config_file()
        self.settings.parent.mkdir(parents=True, exist_ok=True)
        self.always = ""  # what the settings say, unless a case says otherwise
        self.machine: dict[Path, dict[Path, bytes]] = {}
        self.keep()
        self.scans = {path.name for path in self.lot.iterdir()}

    def _tag(self) -> None:
        from tagger.config import Settings
        from tagger.services.opening import change
        from tagger.store.machine.paths import lot_place

        with change(lot_place(self.lot, None), Settings(), [self.listed]) as session:
            _divide(session)
            for hint in ("7 marsh set=1987 12/99 nm", "8 lund price=2.50", "9 gold at=box 3"):
                session.take_unlisted(hint)
            session.take_unlisted("10 reed")
            session.undo()
        sale = ("--price", "3", "--order", "A-17", "--buyer", "a neighbour")
        assert command(["sold", str(self.lot), "2", *sale])[0] == 0

    def keep(self) -> None:
        """The lot as it is now is how each case begins."""
        self.kept = {name: (self.lot / name).read_bytes() for name in ("lot.json", "lot.journal")}

    def restore(self) -> None:
        """The lot and the settings as they were."""
        for name, data in self.kept.items():
            _put(self.lot / name, data)
        self.settings.write_text(self.always, encoding="utf-8")
        for path in self.lot.iterdir():
            if path.name not in self.scans:
                path.unlink()
        for folder, data in self.machine.items():
            for path in [one for one in folder.rglob("*") if one.is_file()]:
                if path not in data:
                    path.unlink()
            for path, content in data.items():
                path.parent.mkdir(parents=True, exist_ok=True)
                _put(path, content)
        shutil.rmtree(self.odd)
        self.odd.mkdir()

    def remember(self) -> None:
        """What the machine keeps now is what it keeps for each case."""
        from tagger.store.machine.paths import cache_folder, data_folder

        self.machine = {
            folder: {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
            for folder in (cache_folder(), data_folder())
        }


def _put(path: Path, content: bytes) -> None:
    if not path.exists() or path.read_bytes() != content:
        path.write_bytes(content)


def _divide(session: Session) -> None:
    """The first two scans are a divider."""
    from tagger.core.dividers.divider import FRONT, Divider, payload_text
    from tagger.core.fixes.dividers import LeaveOutDividers
    from tagger.core.model.arrangement import PlacedDivider
    from tagger.core.session.fixer import Fixer

    first = session.view.card_at(1)
    text = payload_text(Divider("1987 Harbor Light", "Gold", "Near Mint", "box 3"), FRONT)
    placed = PlacedDivider(str(first.front), str(first.back), text)
    Fixer(session).mend([LeaveOutDividers((placed,))])


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
                status = _sit(Path(words[1])) if words[0] == SITTING else main(list(words))
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


def _sit(folder: Path) -> int:
    """What a desk does, without its screen."""
    from tagger.config import load_settings
    from tagger.errors import Refused, TaggerError
    from tagger.services.opening import change
    from tagger.store.lot.troubles import told_troubles
    from tagger.store.machine.paths import config_file, lot_place

    try:
        with change(lot_place(folder, None), load_settings(config_file())) as session:
            if session.looking:
                print(session.looking)
            for position in range(1, min(session.view.cards, 20) + 1):
                session.go(position)
                session.candidates.of("7 gold")
            with contextlib.suppress(Refused):
                session.next_untagged()
                session.take_unlisted("10 reed")
            for step in (session.undo, session.undo, session.redo):
                with contextlib.suppress(Refused):
                    step()
        told = told_troubles()
    except TaggerError as error:
        print(error.message)
        return 3
    print(*told)
    return int(bool(told))

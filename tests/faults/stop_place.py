"""Where commands are stopped: a lot with a checklist, and what is around it."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from support import drawn, folders
from support.processes import heed_stops

from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile

HALF = re.compile(r"\.new$|\.part$|\.picture$|\.tmp$")


class Place:
    """A lot of some cards, half of them tagged, with a checklist, and what is around it."""

    def __init__(self, folder: Path, cards: int = 24, rows: int = 2000) -> None:
        heed_stops()
        self.folder, self.lot, self.list = folder, folder / "box 12", folder / "list.csv"
        self.out = folder / "out"
        self.out.mkdir(parents=True)
        truth = drawn.set_rows("1987 Harbor Light", rows, seed=5)
        drawn.draw_scans(self.lot, cards, size=(410, 560))
        self.list.write_text(drawn.checklist_csv(truth), encoding="utf-8")
        self.environment = {
            **os.environ,
            **folders.own_folders(folder / "xdg"),
            "PYTHONPATH": os.pathsep.join(sys.path),
            "LC_ALL": "C.UTF-8",
        }
        self._tag(cards, truth)

    def _tag(self, cards: int, truth: list[drawn.Truth]) -> None:
        session = Session(LotFile(self.lot, "box 12"), clock=lambda: 0.0)
        data = self.list.read_bytes()
        session.candidates.matcher = Matcher(Index(parse_checklist(data, "list.csv", "list")))
        session.take_in(sorted(path.name for path in self.lot.glob("*.jpg")), [str(self.list)])
        for card in truth[: cards // 2]:
            session.take(session.candidates.of(card.number)[0])
        session.close()

    def join_hub(self) -> None:
        """The lot is on this machine's list, and the settings name a hub that is set up."""
        from support.postgres import PASSWORD, server
        from support.stations import Shop

        shop = Shop(server(), self.folder, "stops", ["south"])
        self.environment["PGPASSWORD"] = PASSWORD
        said = f'[hub]\nurl = "{shop.server.url("stops", "south")}"\nstation = "south"\n'
        config = Path(self.environment["XDG_CONFIG_HOME"]) / "tagger" / "config.toml"
        config.parent.mkdir(parents=True, exist_ok=True)
        config.write_text(said, encoding="utf-8")
        with self.start(["cost", str(self.lot), "5"]) as run:
            _, said_of_it = run.communicate(timeout=60)
            assert run.returncode == 0, said_of_it

    def commands(self) -> dict[str, list[str]]:
        """The commands that take a while, by the names of the table."""
        lot, out = str(self.lot), self.out
        return {
            "export --images": ["export", lot, "--images", str(out / "pictures")],
            "export": ["export", lot, "--to", str(out / "cards.csv"), "--force"],
            "export .xlsx": ["export", lot, "--to", str(out / "cards.xlsx"), "--force"],
            "page": ["page", lot, "--to", str(out / "page.html"), "--force"],
            "sheet": ["sheet", lot, "--to", str(out / "sheet.pdf"), "--force"],
            "audit": ["audit", lot],
            "demo": ["demo", str(out / "demo")],
            "checklist": ["checklist", str(self.list)],
            "match": ["match", "23 g", "--checklist", str(self.list)],
            "sets": ["sets", lot],
            "value": ["value", lot],
            "status": ["status", lot],
            "read": ["read", lot],
            "measure": ["measure", *sorted(map(str, self.lot.glob("*.jpg")))],
            "labels": ["labels", "--to", str(out / "labels.pdf"), "--force"],
            "dividers": ["dividers", "new box", "--to", str(out / "dividers.pdf"), "--force"],
            "pick": ["pick", "--to", str(out / "pick.pdf"), "--force"],
            "stock": ["stock"],
            "sales": ["sales"],
            "find": ["find", "ada"],
            "hub publish": ["hub", "publish"],
        }

    def start(self, words: Sequence[str], **more: object) -> subprocess.Popen[bytes]:
        """The program, in a session of its own, with nothing remembered of what it measured."""
        cache = tempfile.mkdtemp(dir=self.folder)
        given = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
        environment = {**self.environment, "XDG_CACHE_HOME": cache}
        command = [sys.executable, "-m", "tagger", *words]
        return subprocess.Popen(
            command,
            env=environment,
            start_new_session=True,
            **{**given, **more},  # type: ignore[call-overload]
        )

    def half_files(self) -> list[str]:
        """What was not finished, among what is written."""
        found = [*self.out.rglob("*"), *self.out.rglob(".*"), *self.lot.iterdir()]
        return [str(path) for path in found if HALF.search(path.name)]

"""What the screen says and does while checklists are still being read."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from pathlib import Path

from PIL import Image
from support.at_work import LIGHT, MATCHER, SCANS
from support.memory import MemoryStore

from tagger.core.audit.poses import Poses
from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index, Indexed
from tagger.core.model.tags import Row, State
from tagger.core.session.loupe import Loupe
from tagger.core.session.session import Session
from tagger.errors import PictureError
from tagger.ui.desk.screen import DeskScreen
from tagger.ui.keys import Keymap
from tagger.ui.terminal.app import TaggerApp

PART = Indexed(Index(Checklist((Row(LIGHT, "1", "Ada Marsh"),))), files=1, of=3)


class NoWork:
    """Nothing goes on behind the desk."""

    def audit(self, lot: object, scans: object, here: int, tell: object) -> None:
        pass

    def arrived(self, lot: object, scans: object) -> tuple[None, float]:
        return None, 60.0

    def split(self, front: str, back: str | None) -> tuple[tuple[()], bool]:
        return (), False

    def centering(self, scan: str, turn: int) -> str:
        return ""

    def close(self) -> None:
        pass


class NoLoupes:
    """No loupe is remembered."""

    def get(self, set_name: str) -> Loupe | None:
        return None

    def put(self, set_name: str, loupe: Loupe) -> None:
        pass


class NoPictures:
    """No scan is in the folder any more."""

    def load(self, name: str, seen: object, grid: tuple[int, int]) -> Image.Image:
        raise PictureError(f"{name} is gone from the folder.")

    def stamp(self, name: str) -> None:
        return None


def test_hints_show_what_is_read_so_far_and_enter_waits_for_the_rest():
    go_on = threading.Event()
    session = Session(MemoryStore())
    session.take_in(SCANS)

    def read(partly: Callable[[Indexed], None]) -> Indexed:
        partly(PART)
        assert go_on.wait(20)
        return Indexed(MATCHER.index, files=3, of=3)

    app = _desk(session, read)

    async def sit() -> None:
        async with app.run_test(size=(120, 40)) as pilot:
            shown = _panel(app)
            for key in "1":
                await pilot.press(key)
            await _until(
                shown, lambda: "still being read: 1 of 3" in shown() and "ADA MARSH" in shown()
            )
            assert "waits" in shown()
            await pilot.press("enter", "2")
            assert session.card_at(1).mark.state is State.UNTAGGED
            go_on.set()
            await _until(shown, lambda: session.card_at(1).mark.state is State.TAGGED)
            assert session.card_at(1).mark.tags.number == "1"
            await _until(shown, lambda: "BO LUND" in shown())  # the 2 was typed at the second card
            assert "still being read" not in shown()

    asyncio.run(sit())


def _desk(session: Session, read: Callable[[Callable[[Indexed], None]], Indexed]) -> TaggerApp:
    """The desk over a lot without pictures, with checklists that are read so."""
    desk = (
        session,
        "box 12",
        NoPictures(),
        read,
        Keymap({}),
        (NoLoupes(), NoLoupes()),
        NoWork(),
        Poses(),
    )
    return TaggerApp(lambda manner: DeskScreen(*desk, manner, ""), "half blocks")


def _panel(app: TaggerApp) -> Callable[[], str]:
    def text() -> str:
        panel = app.screen.query_one("#panel")
        lines = panel.render_lines(panel.size.region)
        return "\n".join("".join(segment.text for segment in strip) for strip in lines)

    return text


async def _until(shown: Callable[[], str], so: Callable[[], bool]) -> None:
    for _ in range(400):
        if so():
            return
        await asyncio.sleep(0.02)
    raise AssertionError(f"not in time: {shown()}")


def test_nothing_read_yet_is_said(tmp_path: Path):
    session = Session(MemoryStore())
    session.take_in(SCANS)
    go_on = threading.Event()

    def read(partly: Callable[[Indexed], None]) -> Indexed:
        assert go_on.wait(20)
        return Indexed(MATCHER.index, files=1, of=1)

    app = _desk(session, read)

    async def sit() -> None:
        async with app.run_test(size=(120, 40)):
            shown = _panel(app)
            await _until(
                shown, lambda: "The checklists are still being read." in " ".join(shown().split())
            )
            go_on.set()
            await _until(shown, lambda: "Type a number" in shown())

    asyncio.run(sit())

"""The desk in a terminal that is not there, over a lot that is kept nowhere: nothing goes on behind
it, no scan is in its folder."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

from PIL import Image

from support.at_work import MATCHER, SCANS
from support.memory import MemoryStore
from tagger.core.audit.poses import Poses
from tagger.core.index.index import Indexed
from tagger.core.model.scan_ref import ScanRef
from tagger.core.session.loupes.loupe import Loupe
from tagger.core.session.session import Session
from tagger.errors import PictureError
from tagger.services.background.ports import BackgroundWork, HubWork
from tagger.ui.desk.app import DeskApp
from tagger.ui.desk.parts import DeskSetup
from tagger.ui.desk.screen import DeskScreen
from tagger.ui.keys import Keymap

ReadLists = Callable[[Callable[[Indexed], None]], Indexed]


class NoWork:
    """Nothing goes on behind the desk."""

    def key_came(self) -> None:
        """Nothing is at work that would have to give way."""

    def audit(self, job: object) -> None:
        pass

    def arrived(self, lot: object, scans: object) -> tuple[None, float]:
        return None, 60.0

    def split(self, front: str, back: str | None) -> tuple[tuple[()], bool]:
        return (), False

    def read(self, scans: object) -> dict[str, object]:
        return {}

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

    def load(self, ref: ScanRef, seen: object, grid: tuple[int, int]) -> Image.Image:
        raise PictureError(f"{ref.scan} is missing from the folder.")

    def stamp(self, ref: ScanRef) -> None:
        return None


def new_session() -> Session:
    """A lot of untagged cards."""
    session = Session(MemoryStore())
    session.take_in(SCANS)
    return session


def all_lists(partly: Callable[[Indexed], None]) -> Indexed:
    """The checklists are read at once."""
    return Indexed(MATCHER.index, files=1, of=1)


def quiet_desk(
    session: Session,
    read: ReadLists = all_lists,
    hub: HubWork | None = None,
    work: BackgroundWork | None = None,
) -> DeskApp:
    """The desk of this lot, to be run by `run_test`."""
    return DeskApp(
        lambda manner: DeskScreen(
            DeskSetup(
                session=session,
                lot="box 12",
                source=NoPictures(),
                read_lists=read,
                keys=Keymap({}),
                loupes=(NoLoupes(), NoLoupes()),
                work=work or NoWork(),
                poses=Poses(),
                manner=manner,
                hub=hub,
            )
        ),
        "half blocks",
    )


def box_text(app: DeskApp, id: str) -> str:
    """What a box of the screen shows, its lines one below the other."""
    box = app.screen.query_one(f"#{id}")
    lines = box.render_lines(box.size.region)
    return "\n".join("".join(segment.text for segment in strip) for strip in lines)


async def until(shown: Callable[[], str], so: Callable[[], bool]) -> None:
    """Wait until it is so. Raises AssertionError, with what is shown, where that takes too long."""
    for _ in range(400):
        if so():
            return
        await asyncio.sleep(0.02)
    raise AssertionError(f"not in time: {shown()}")

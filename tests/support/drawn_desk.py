"""The desk in each state that a dealer meets, drawn in a terminal that is not there: the whole
screen as text, at any size."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable, Iterator
from contextlib import asynccontextmanager

from PIL import Image
from rich.segment import Segment
from textual.app import App
from textual.pilot import Pilot
from textual.widget import Widget

from support.memory import MemoryStore
from support.quiet_desk import NoLoupes, NoWork
from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.poses import Poses
from tagger.core.checklist.checklist import Checklist
from tagger.core.fixes.display import Turn
from tagger.core.index.index import Index, Indexed
from tagger.core.matching.matcher import Matcher
from tagger.core.model.scan_ref import ScanRef
from tagger.core.model.tags import Parallel, Row
from tagger.core.session.recognition import Recognition
from tagger.core.session.session import Session
from tagger.preview.pictures import View, WholePicture
from tagger.ui.desk.app import DeskApp
from tagger.ui.desk.layout import ASPECT
from tagger.ui.desk.parts import DeskParts, DeskSetup
from tagger.ui.desk.pictures.previews import Known
from tagger.ui.desk.screen import DeskScreen
from tagger.ui.keys import Keymap

SIZES = ((80, 24), (100, 30), (120, 39), (120, 40), (160, 50), (200, 60))
LIGHT = "1987 Harbor Light"
SISTER = "1991 Lantern Row Commemorative Anniversary Edition Series {} Retail Issue"
SISTERS = tuple(SISTER.format(number) for number in range(1, 21))
FOUR = tuple(f"{year} Mill Pond" for year in (1983, 1984, 1985, 1986))
PLACE = "warehouse B, shelf 14, box 3, row 2, behind the second divider"
NOTE = "light corner wear at the lower left, small print dot beside the name"
GIVEN = ("Ada", "Bo", "Cyr", "Dela", "Edo", "Fenn", "Gil", "Hana", "Ivo", "Jo")
FAMILY = ("Marsh", "Lund", "Torwick", "Kasley", "Ferstad", "Holby", "Norett", "Wimuna")
BOTH = (Parallel("Gold", 99), Parallel("Silver"))


def _name(at: int) -> str:
    return f"{GIVEN[at % len(GIVEN)]} {FAMILY[at * 3 % len(FAMILY)]}"


def _rows() -> Iterator[Row]:
    for at in range(1, 61):
        yield Row(LIGHT, str(at), _name(at), "Gulls", BOTH)
    for name in SISTERS:
        yield from (Row(name, str(at), _name(at + 5), "Foxes", BOTH) for at in range(101, 161))
    for name in FOUR:
        yield from (Row(name, str(at), _name(at + 7), "Otters") for at in range(201, 241))


MATCHER = Matcher(Index(Checklist(tuple(_rows()))))
SCANS = [f"scan_{number:04}.jpg" for number in range(1, 41)]


class PlainPictures:
    """Each scan is a card with a border, as wide as a scan with its margin."""

    def load(self, ref: ScanRef, seen: View, grid: tuple[int, int]) -> Image.Image:
        width, height = seen.box
        if isinstance(seen, WholePicture):
            height = min(height, int(width / ASPECT))
            width = max(1, int(height * ASPECT))
        picture = Image.new("RGB", (width * grid[0], height * grid[1] // 2), "#506070")
        picture.paste("#d8c8a0", (2, 2, picture.width - 2, picture.height - 2))
        return picture

    def stamp(self, ref: ScanRef) -> None:
        return None


def session_at_work() -> Session:
    """Six cards are tagged, the seventh set aside, the eighth unlisted, the rest untagged."""
    session = Session(MemoryStore(), clock=lambda: 1_000.0)
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    session.carry(f"set=87 harbor nm at={PLACE}")
    for hint in ("1", "2 gold 12/99", "3", "4 ex", f"5 note={NOTE}", "6"):
        session.accept(hint, 0, None)
    session.set_aside("crease over the whole card, ask about it")
    session.take_unlisted("77 name=Somebody Unheard-Of")
    return session


def drawn_desk(
    session: Session, lot: str = "box 12", first_time: Callable[[], None] | None = None
) -> DeskApp:
    """The desk of this lot, its lists read, with pictures."""
    return DeskApp(
        lambda manner: DeskScreen(
            DeskSetup(
                session=session,
                lot=lot,
                source=PlainPictures(),
                read_lists=lambda partly: Indexed(MATCHER.index, files=1, of=1),
                keys=Keymap({}),
                loupes=(NoLoupes(), NoLoupes()),
                work=NoWork(),
                poses=Poses(),
                manner=manner,
                first_time=first_time,
            )
        ),
        "half blocks",
    )


def rows_of(app: App[None]) -> list[list[Segment]]:
    """The whole screen, cell by cell."""
    width, height = app.size
    grid = [[Segment(" ")] * width for _ in range(height)]
    for view in app.screen.query("LineBox, SideView"):
        region = view.region
        if not region.area or not _seen(view):
            continue
        for y, strip in enumerate(view.render_lines(view.size.region), start=region.y):
            cells = [Segment(char, style) for text, style, _ in strip for char in text]
            if y < height:
                grid[y][region.x : region.x + len(cells)] = cells[: width - region.x]
    return grid


def _seen(view: Widget) -> bool:
    return all(one.display for one in view.ancestors_with_self if isinstance(one, Widget))


def text_of(app: App[None]) -> list[str]:
    """The whole screen in lines."""
    return ["".join(one.text for one in row) for row in rows_of(app)]


async def settled(pilot: Pilot[None]) -> None:
    """Wait until the screen stands still."""
    before: list[str] = []
    for _ in range(100):
        await pilot.pause()
        await asyncio.sleep(0.01)
        if (now := text_of(pilot.app)) == before:
            return
        before = now


def parts_of(pilot: Pilot[None]) -> DeskParts:
    """What the desk is made of."""
    screen = pilot.app.screen
    assert isinstance(screen, DeskScreen)
    return screen._parts


async def go_to(pilot: Pilot[None], position: int, hint: str = "") -> None:
    """Stand at a card, with a hint typed."""
    parts = parts_of(pilot)
    parts.session.go(position)
    parts.hint.clear()
    parts.hint.type(hint)
    parts.painting.later()


async def look_alike(pilot: Pilot[None]) -> None:
    """Card 9 looks like card 2."""
    await go_to(pilot, 9)
    await settled(pilot)
    parts = parts_of(pilot)
    card, tags = parts.session.view.card, parts.session.view.card_at(2).mark.tags
    assert card is not None
    parts.recognition._alike = Recognition(card.id, tags, "card 2", True, "Gold")
    parts.previews.known = Known("card 2", ScanRef(None, SCANS[2]), None)
    parts.previews.comparing = parts.previews.both
    parts.painting.later()


FINDINGS = (
    Finding(
        FindingKind.UPSIDE_DOWN, (SCANS[3],), 2,
        "scan_0004.jpg seems to stand on its head, by its print and by its lot-mates of the set",
        "Turn it by 180 degrees.", (Turn((SCANS[3],), 180),), ask=True,
    ),
    Finding(
        FindingKind.TRUNCATED, (SCANS[5],), 3,
        "scan_0006.jpg ends before its end marker: the last rows of the picture are missing",
        "Scan the card again under the same name; tagger reads it by itself.", aside="rescan",
    ),
    Finding(FindingKind.FEW_DOTS, (SCANS[7],), 4, "scan_0008.jpg has 100 dpi", "Scan at 300 dpi."),
)  # fmt: skip


async def findings(pilot: Pilot[None]) -> None:
    """Three findings, the first of them looked at."""
    parts_of(pilot).findings.came(FINDINGS)
    await pilot.press("f12")


def at(position: int, hint: str = "", *keys: str) -> Callable[[Pilot[None]], Awaitable[None]]:
    """At a card, with a hint typed and keys pressed."""

    async def there(pilot: Pilot[None]) -> None:
        await go_to(pilot, position, hint)
        if keys:
            await pilot.press(*keys)

    return there


Coming = Callable[[Pilot[None]], Awaitable[None]]
STATES: dict[str, Coming] = {
    "tagged": at(5),
    "correction": at(2, "ex at=box 4, row 1"),
    "set aside": at(7),
    "review": at(1, "", "ctrl+v"),
    "unlisted": at(8),
    "no match": at(9, "zzyzx 999"),
    "refused": at(9, "3 gold 120/99"),
    "waits": at(9, "next=60 3"),
    "alike": look_alike,
    "big view": at(3, "", "ctrl+d"),
    "overview": at(5, "", "f3"),
    "findings": findings,
    "history": at(5, "", "shift+left"),
    "end": at(21),
    "next": at(9),
    "candidates": at(9, "torwick"),
    "four equal": at(9, "#210"),
    "sisters": at(9, "#123"),
    "sisters seventh": at(9, "#123", *["down"] * 6),
    "why": at(9, "3 gold", "ctrl+o"),
    "help": at(9, "", "f9"),
}


@asynccontextmanager
async def sitting(state: str, size: tuple[int, int]) -> AsyncIterator[Pilot[None]]:
    """The desk in this state, on a screen of this size."""
    app = drawn_desk(session_at_work())
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await STATES[state](pilot)
        await settled(pilot)
        yield pilot

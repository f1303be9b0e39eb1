"""The find screen's keys, over lots that are nowhere."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Awaitable, Callable

from support.quiet_desk import NoPictures, box_text, new_session, quiet_desk, until
from textual.pilot import Pilot

from tagger.core.model.scan_ref import LotRef, ScanRef
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.reports.card_search import SearchHit
from tagger.errors import LotError, Refused
from tagger.ui.find.app import FindApp
from tagger.ui.find.ports import Copy, Finds
from tagger.ui.keys import Keymap


def copy(at: int, gone: str = "") -> Copy:
    tags = Tags("1987 Harbor Light", str(at), "Ada Marsh", condition="Near Mint")
    mark = Mark(State.TAGGED, tags, gone=gone)
    hit = SearchHit("", at, 9, at, "", "", f"{at}.jpg", f"{at}b.jpg", mark)
    return Copy("box 12", LotRef("/scans", "/lots"), hit)


class StubFinder:
    """Finds three cards for any word; marks are kept. `go_on` holds a search back."""

    def __init__(self) -> None:
        self.gone: dict[int, str] = {}
        self.done: list[int] = []
        self.go_on = threading.Event()
        self.go_on.set()
        self.opened: list[int] = []

    def search(self, words: str, tell: Callable[[int, int], None]) -> Finds:
        tell(1, 3)
        assert self.go_on.wait(20)
        if words == "bad":
            raise LotError("The list of lots cannot be read.")
        found = tuple(copy(at, self.gone.get(at, "")) for at in (1, 2, 3)) if words else ()
        return Finds(words, found, lots=3)

    def again(self) -> None:
        pass

    def mark(self, copy: Copy, gone: str) -> str:
        self.gone[copy.card.position] = gone
        self.done.append(copy.card.position)
        return f"Card {copy.card.position}: {gone or 'returned'}."

    def undo(self) -> str:
        if not self.done:
            raise Refused("Nothing was marked here that could be taken back.")
        del self.gone[self.done.pop()]
        return "Taken back."

    def open(self, copy: Copy, manner: object, left: Callable[[], None]):
        self.opened.append(copy.card.position)
        desk = quiet_desk(new_session()).get_default_screen()
        desk._left = left
        return desk

    def close(self) -> str:
        return "box 12: 1 of 4 cards tagged."


def sit(
    finder: StubFinder, keys: Callable[[Pilot[None], FindApp], Awaitable[None]], words: str = ""
) -> None:
    app = FindApp(finder, NoPictures(), Keymap(), words, "half blocks")

    async def run() -> None:
        async with app.run_test(size=(140, 40)) as pilot:
            await keys(pilot, app)

    asyncio.run(run())


def test_how_far_the_lots_are_read_stands_in_the_top_line():
    finder = StubFinder()
    finder.go_on.clear()

    async def keys(pilot: Pilot[None], app: FindApp) -> None:
        await until(
            lambda: box_text(app, "status"),
            lambda: "reading lots: 1 of 3" in box_text(app, "status"),
        )
        finder.go_on.set()
        await until(lambda: box_text(app, "status"), lambda: "3 lots" in box_text(app, "status"))

    sit(finder, keys)


def test_a_card_is_marked_by_two_keys_and_any_other_key_ends_the_question():
    finder = StubFinder()

    async def keys(pilot: Pilot[None], app: FindApp) -> None:
        def said() -> str:
            return box_text(app, "message")

        await until(lambda: box_text(app, "list"), lambda: "Ada Marsh" in box_text(app, "list"))
        await pilot.press("f4")
        await until(said, lambda: "marks card 1 of box 12 as sold · F4: pulled" in said())
        await pilot.press("f4")
        await until(said, lambda: "as pulled · F4 cancels" in said())
        await pilot.press("f4", "f4", "down")
        await until(said, lambda: "marks" not in said())
        assert finder.gone == {}
        await pilot.press("f4", "enter")
        await until(said, lambda: "Card 2: sold. Ctrl+Z undoes it." in said())
        assert finder.gone == {2: "sold"}
        await pilot.press("ctrl+z")
        await until(said, lambda: "Taken back." in said())
        await pilot.press("ctrl+z")
        await until(said, lambda: "Nothing was marked here" in said())

    sit(finder, keys, "marsh")


def test_the_question_is_over_when_other_words_are_typed():
    finder = StubFinder()

    async def keys(pilot: Pilot[None], app: FindApp) -> None:
        def said() -> str:
            return box_text(app, "message")

        await until(lambda: box_text(app, "list"), lambda: "Ada Marsh" in box_text(app, "list"))
        await pilot.press("f4", "a", "enter")
        await until(lambda: str(finder.opened), lambda: finder.opened == [1])
        assert finder.gone == {}

    sit(finder, keys, "marsh")


def test_the_help_is_closed_by_a_key_that_does_its_own_work():
    async def keys(pilot: Pilot[None], app: FindApp) -> None:
        await until(lambda: box_text(app, "list"), lambda: "Ada Marsh" in box_text(app, "list"))
        await pilot.press("f9")
        await until(lambda: box_text(app, "manual"), lambda: "Keys here" in box_text(app, "manual"))
        await pilot.press("enter", "f9", "f4")
        await until(lambda: box_text(app, "message"), lambda: "marks" in box_text(app, "message"))
        assert not app.screen.has_class("-manual")

    sit(StubFinder(), keys, "marsh")


def test_what_a_search_cannot_say_stands_in_place_of_the_list():
    async def keys(pilot: Pilot[None], app: FindApp) -> None:
        await until(
            lambda: box_text(app, "list"),
            lambda: "The list of lots cannot be read." in box_text(app, "list"),
        )

    sit(StubFinder(), keys, "bad")


def test_the_list_is_there_again_when_the_desk_of_a_lot_is_left():
    async def keys(pilot: Pilot[None], app: FindApp) -> None:
        find = app.screen
        await until(lambda: box_text(app, "list"), lambda: "Ada Marsh" in box_text(app, "list"))
        await pilot.press("down", "enter")
        await until(lambda: str(app.screen), lambda: app.screen is not find)
        await pilot.press("ctrl+x")
        await until(lambda: str(app.screen), lambda: app.screen is find)
        await until(
            lambda: box_text(app, "message"),
            lambda: "1 of 4 cards tagged" in box_text(app, "message"),
        )

    sit(StubFinder(), keys, "marsh")


def test_the_scans_of_a_copy_are_those_of_its_lot():
    assert copy(2).scans == (
        ScanRef(LotRef("/scans", "/lots"), "2.jpg"),
        ScanRef(LotRef("/scans", "/lots"), "2b.jpg"),
    )

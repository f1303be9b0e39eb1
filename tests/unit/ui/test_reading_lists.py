"""What the screen says and does while checklists are still being read."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable

from support.at_work import LIGHT, MATCHER
from support.quiet_desk import box_text, new_session, quiet_desk, until
from textual import events

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index, Indexed
from tagger.core.model.tags import Row, State
from tagger.services.lists.list_reading import ReadingSummary
from tagger.ui.desk.modes.list_reading import ListReadingMode
from tagger.ui.keys import Action

PART = Indexed(Index(Checklist((Row(LIGHT, "1", "Ada Marsh"),))), files=1, of=3)


def test_hints_show_what_is_read_so_far_and_enter_waits_for_the_rest():
    go_on = threading.Event()
    session = new_session()

    def read(partly: Callable[[Indexed], None]) -> Indexed:
        partly(PART)
        assert go_on.wait(20)
        return Indexed(MATCHER.index, files=3, of=3)

    app = quiet_desk(session, read)

    async def sit() -> None:
        async with app.run_test(size=(120, 40)) as pilot:

            def shown() -> str:
                return box_text(app, "panel")

            for key in "1":
                await pilot.press(key)
            await until(
                shown, lambda: "still being read: 1 of 3" in shown() and "ADA MARSH" in shown()
            )
            assert "waits" in shown()
            await pilot.press("enter", "2")
            assert session.view.card_at(1).mark.state is State.UNTAGGED
            go_on.set()
            await until(shown, lambda: session.view.card_at(1).mark.state is State.TAGGED)
            assert session.view.card_at(1).mark.tags.number == "1"
            await until(shown, lambda: "BO LUND" in shown())  # the 2 was typed at the second card
            assert "still being read" not in shown()

    asyncio.run(sit())


def test_nothing_read_yet_is_said():
    session = new_session()
    go_on = threading.Event()

    def read(partly: Callable[[Indexed], None]) -> Indexed:
        assert go_on.wait(20)
        return Indexed(MATCHER.index, files=1, of=1)

    app = quiet_desk(session, read)

    async def sit() -> None:
        async with app.run_test(size=(120, 40)):

            def shown() -> str:
                return box_text(app, "panel")

            await until(
                shown, lambda: "The checklists are still being read." in " ".join(shown().split())
            )
            go_on.set()
            await until(shown, lambda: "Type a number" in shown())

    asyncio.run(sit())


def test_a_key_that_was_sent_before_a_list_was_asked_about_is_no_answer():
    """It was meant for the card that was on the screen."""
    summary = ReadingSummary(("harbor.csv: 1 card in 1 set: Harbor",), "one", "two", False)
    seen: list[object] = []
    app = quiet_desk(new_session(), lambda partly: PART)

    async def sit() -> None:
        async with app.run_test(size=(120, 40)):
            parts = app.screen._parts
            enter = events.Key("enter", "\r")

            def asked() -> ListReadingMode:
                parts.modes.push(mode := ListReadingMode(parts, [summary], seen.append))
                return mode

            early = asked()
            assert not early.on_key(enter, Action.TAKE)
            assert parts.modes.front is not early
            assert not seen
            late = asked()
            late.draw()
            assert late.on_key(enter, Action.TAKE)
            assert seen == [summary]

    asyncio.run(sit())

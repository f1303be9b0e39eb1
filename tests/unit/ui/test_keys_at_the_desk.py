"""What each key at the desk is told to besides the mode in front."""

from __future__ import annotations

import asyncio

from support.quiet_desk import NoWork, box_text, new_session, quiet_desk


class CountedWork(NoWork):
    """Nothing goes on behind the desk, but it is counted how often that was to give way."""

    keys = 0

    def key_came(self) -> None:
        self.keys += 1


def test_what_goes_on_behind_hears_of_each_key() -> None:
    work = CountedWork()
    app = quiet_desk(new_session(), work=work)

    async def sit() -> None:
        async with app.run_test(size=(80, 24)) as pilot:
            assert work.keys == 0
            await pilot.press("2", "3", "f9", "escape")
            assert work.keys == 4

    asyncio.run(sit())


def test_what_was_said_of_a_hint_goes_when_the_hint_is_edited() -> None:
    app = quiet_desk(new_session())

    async def sit() -> None:
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.press(*"4000", "enter")
            assert "No checklist card matches" in box_text(app, "message")
            await pilot.press("home")
            assert "No checklist card matches" in box_text(app, "message")
            await pilot.press("ctrl+k")
            assert box_text(app, "message").strip() == ""

    asyncio.run(sit())

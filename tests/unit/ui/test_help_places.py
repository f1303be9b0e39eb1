"""The help names the page about the place one is at, and its end leads back to that place."""

from __future__ import annotations

import asyncio

import pytest
from support.quiet_desk import box_text, new_session, quiet_desk, until
from textual.app import App
from textual.pilot import Pilot

TALL = (80, 24)
# what the first lines of the help say at each place
FIRST = {
    "hints": "repeat the card before",
    "overview": "go to card",
    "review": "go to card",
    "scans": "return",
}


@pytest.mark.parametrize(
    ("key", "topic", "box", "here"),
    [
        (None, "hints", "panel", "Type a number"),
        ("f3", "overview", "list", "all 6 cards"),
        ("shift+left", "review", "past", "No changes yet."),
        ("f12", "scans", "panel", "problems"),
    ],
)
def test_the_help_is_about_the_place_where_it_is_opened(key, topic, box, here):
    app = quiet_desk(new_session())

    async def sit() -> None:
        async with app.run_test(size=TALL) as pilot:
            await until(
                lambda: box_text(app, "panel"), lambda: "Type a number" in box_text(app, "panel")
            )
            if key is not None:
                await pilot.press(key)
            await until(lambda: box_text(app, box), lambda: here in box_text(app, box))
            await help_names(pilot, app, topic)
            await until(lambda: box_text(app, box), lambda: here in box_text(app, box))
            assert app.screen.query_one(f"#{box}").region.height > 0

    asyncio.run(sit())


async def help_names(pilot: Pilot[None], app: App[None], topic: str) -> None:
    """Open the help, see the keys of the place, go to its end, see the page named there, and close
    it."""
    await pilot.press("f9")
    await until(lambda: box_text(app, "manual"), lambda: FIRST[topic] in box_text(app, "manual"))
    await pilot.press(*["pagedown"] * 12)
    await until(
        lambda: box_text(app, "manual"),
        lambda: f"More about this: tagger help {topic}" in box_text(app, "manual"),
    )
    assert app.screen.query_one("#past").region.height == 0
    await pilot.press("f9")

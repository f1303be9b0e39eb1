"""When a step to the next card is drawn: at once, and not where another one is on its way."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from itertools import count
from types import SimpleNamespace
from typing import Any

import pytest
from textual import timer
from textual.app import App, ComposeResult
from textual.widgets import Static

from tagger.ui.terminal import frame_scheduler
from tagger.ui.terminal.driver import TerminalDriver
from tagger.ui.terminal.frame_scheduler import FrameScheduler
from tagger.ui.widgets.line_screen import LineScreen


class Line(TerminalDriver):
    """A terminal that takes all, and whose keys are those that `press` is called with."""

    def __init__(self, app: App[None]) -> None:
        self._to = app
        self._passing = False

    def press(self, key: Callable[[], None]) -> None:
        self.passed += 1
        self._to.call_later(key)

    def after_keys(self, call: Callable[[], None]) -> None:
        self._to.call_later(call)

    behind = property(lambda self: False)  # type: ignore[assignment]
    keys_wait = property(lambda self: False)  # type: ignore[assignment]


class Desk(App[None]):
    """Cards that are nothing but their position. `meanwhile` is done while one is drawn."""

    def __init__(self) -> None:
        super().__init__()
        self.position = 1
        self.shown: list[int] = []  # positions of the pictures that were shown
        self.meanwhile: list[Callable[[], None]] = []
        self.timers: list[float] = []
        self.whole = True  # all pictures are there
        self.seen = 0  # how often the screen was told to be seen

    def compose(self) -> ComposeResult:
        yield Static("1")

    def draw(self) -> None:
        self.query_one(Static).update(str(self.position))
        while self.meanwhile:
            self.meanwhile.pop()()

    def pictures(self) -> bool:
        self.shown.append(self.position)
        return self.whole

    def appear(self) -> None:
        self.seen += 1

    def step(self) -> None:
        self.position += 1
        self.painting.keys += 1
        self.painting.later()

    def begin(self, monkeypatch: pytest.MonkeyPatch) -> None:
        """The first card is shown."""
        self.line = Line(self)
        monkeypatch.setattr(frame_scheduler, "driver_of", lambda app: self.line)
        monkeypatch.setattr(frame_scheduler, "unpainted", lambda screen: self.appear)
        self.painting = FrameScheduler(
            self.screen,  # type: ignore[arg-type]
            lambda: self.position,
            self.draw,
            self.pictures,
            lambda rows: False,
        )
        self.painting.now()
        real = self.screen.set_timer

        def timer(delay: float, call: Any) -> Any:
            self.timers.append(delay)
            return real(delay, call)

        monkeypatch.setattr(self.screen, "set_timer", timer)


async def _ends(done: Callable[[], bool]) -> None:
    for _ in range(400):
        if done():
            return
        await asyncio.sleep(0.005)
    raise AssertionError("it did not come to that")


def test_a_step_waits_for_no_timer_and_two_at_once_are_one_frame(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asyncio.run(_stepped(Desk(), monkeypatch))


async def _stepped(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    async with desk.run_test():
        desk.begin(monkeypatch)
        await asyncio.sleep(2 * frame_scheduler.RUSH)
        desk.line.press(desk.step)
        await _ends(lambda: desk.shown == [1, 2])
        # the one timer that is set is for finer colours, when the card is shown already
        assert desk.timers == [frame_scheduler.QUIET]
        await asyncio.sleep(2 * frame_scheduler.RUSH)
        painted: list[str] = []
        real = desk._display

        def display(screen: Any, renderable: Any) -> None:
            painted.append(str(desk.query_one(Static).content))
            real(screen, renderable)

        monkeypatch.setattr(desk, "_display", display)
        # the second of two steps comes while the first one's card is drawn
        desk.meanwhile.append(lambda: desk.line.press(desk.step))
        desk.line.press(desk.step)
        await _ends(lambda: desk.shown == [1, 2, 4])
        assert set(painted) == {"4"}
        # a screen that is left between two steps does not keep the one below it from being painted
        monkeypatch.setattr(desk.line, "after_keys", lambda call: None)
        desk.meanwhile.append(lambda: desk.line.press(lambda: None))
        desk.position += 1
        desk.painting._due()
        desk.painting.close()
        painted.clear()
        desk.query_one(Static).update("below")
        await _ends(lambda: "below" in painted)


def test_a_short_wait_ends_on_a_machine_that_is_busy_as_it_begins(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asyncio.run(_waited(App(), monkeypatch))


async def _waited(app: App[None], monkeypatch: pytest.MonkeyPatch) -> None:
    fired: list[bool] = []
    async with app.run_test():
        await app.push_screen(LineScreen())
        # each look at the clock is longer after the one before than the whole wait
        clock = SimpleNamespace(get_time=count(0, 10 * frame_scheduler.SOON).__next__)
        with monkeypatch.context() as busy:
            busy.setattr(timer, "_time", clock)
            app.screen.set_timer(frame_scheduler.SOON, lambda: fired.append(True))
            await _ends(lambda: bool(fired))


@pytest.mark.parametrize("late", [0.001, 3600.0])
def test_a_new_screen_is_seen_with_its_pictures_or_a_while_after_it_was_drawn(monkeypatch, late):
    monkeypatch.setattr(frame_scheduler, "LATE", late)
    app = Desk()
    app.whole = False

    async def sit() -> None:
        async with app.run_test():
            app.begin(monkeypatch)
            if late > 1:
                assert not app.seen
                app.whole = True
                app.painting.now()
                assert app.seen == 1
            else:
                await _ends(lambda: app.seen == 1)

    asyncio.run(sit())

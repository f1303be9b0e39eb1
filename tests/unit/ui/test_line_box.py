"""Lines are drawn one by one: one that changed goes to the terminal, no other one."""

from __future__ import annotations

import asyncio

from rich.text import Text
from textual.app import App, ComposeResult
from textual.geometry import Region

from tagger.ui import theme
from tagger.ui.widgets.line_box import LineBox


class Noting(LineBox):
    """Notes which lines are drawn anew."""

    drawn: list[int]

    def refresh(self, *regions: Region, **given: object) -> LineBox:
        self.drawn = [*getattr(self, "drawn", []), *(region.y for region in regions)]
        return self


def drawn_anew(before: list[Text], after: list[Text]) -> list[int]:
    box = Noting(theme.PLAIN, "box")

    class Alone(App[None]):
        def compose(self) -> ComposeResult:
            yield box

    async def run() -> None:
        async with Alone().run_test(size=(20, 5)):
            box.show(before)
            box.drawn = []
            box.show(after)

    asyncio.run(run())
    return box.drawn


def test_a_line_that_says_the_same_is_left():
    assert drawn_anew([Text("one"), Text("two")], [Text("one"), Text("three")]) == [1]


def test_a_line_that_goes_and_one_that_comes_are_drawn():
    assert drawn_anew([Text("one"), Text("two")], [Text("one")]) == [1]
    assert drawn_anew([Text("one")], [Text("one"), Text("two")]) == [1]


def test_the_same_words_in_another_colour_are_drawn():
    assert drawn_anew([Text("one", theme.SEA)], [Text("one", theme.RUST)]) == [0]
    coloured = Text("one").append(" two", theme.RUST)
    assert drawn_anew([Text("one").append(" two", theme.SEA)], [coloured]) == [0]

"""What each key at the desk is told to besides the mode in front."""

from __future__ import annotations

import asyncio

import pytest
from support.quiet_desk import NoWork, box_text, new_session, quiet_desk

from tagger.ui.find.keys import FindAction, find_action
from tagger.ui.keys import Keymap, edits_typed


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


def test_ctrl_u_empties_a_typed_hint_before_it_undoes() -> None:
    session = new_session()
    app = quiet_desk(session)

    async def sit() -> None:
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.press("f2", *"marsh 7", "left", "ctrl+u")
            assert (app.screen._parts.hint.text, session.view.counts().set_aside) == ("7", 1)
            await pilot.press("delete", "ctrl+u")
            assert session.view.counts().set_aside == 0

    asyncio.run(sit())


@pytest.mark.parametrize(("typed", "action"), [("marsh", None), ("", FindAction.UNDO)])
def test_ctrl_u_does_so_while_finding(typed, action) -> None:
    assert find_action(Keymap(), "ctrl+u", typed) is action


def test_ctrl_u_stays_with_a_command_that_the_user_gave_it() -> None:
    keys = Keymap({"undo": ["ctrl+z"], "carry": ["ctrl+u"]})
    assert not edits_typed("ctrl+u", keys.action("ctrl+u"))


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

"""The loupe at the desk goes to the front by itself where the number is found there, and stays
where the dealer put it."""

from __future__ import annotations

import asyncio

import pytest
from support.at_work import LIGHT, POND, opened
from support.drawn_desk import drawn_desk, session_at_work, text_of
from support.quiet_desk import until

from tagger.core.audit.number_place import NumberPlace, NumberSpot
from tagger.core.session.session import Session
from tagger.services.background.ports import AuditProgress
from tagger.ui.desk.background.background_monitor import AuditReported
from tagger.ui.desk.pictures.previews import loupe_set

ON_BACK = NumberSpot(0.8, 0.1, 0.06, 0.02)
ON_FRONT = NumberSpot(0.2, 0.95, 0.1, 0.015)


def news(session: Session, back: tuple[NumberSpot, ...], front: tuple[NumberSpot, ...]):
    """What is told of the card in front."""
    card = session.view.card
    assert card is not None
    places = {card.back: NumberPlace(3, back), card.front: NumberPlace(3, front)}
    return AuditReported(AuditProgress(1, 2, {}, places=places))


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
@pytest.mark.parametrize("by_hand", [False, True])
def test_the_loupe_goes_to_the_front_unless_it_was_put_elsewhere(size, by_hand):
    session = session_at_work()

    async def sit() -> None:
        app = drawn_desk(session)
        async with app.run_test(size=size) as pilot:

            def shown() -> str:
                return next((line for line in text_of(app) if " loupe " in line), "")

            await until(shown, lambda: "back, " in shown())
            app.screen.post_message(news(session, (ON_BACK,), ()))
            await pilot.pause()
            if by_hand:
                await pilot.press("ctrl+left")
            app.screen.post_message(news(session, (), (ON_FRONT,)))
            if by_hand:
                await pilot.pause()
                assert "back, " in shown()
                # Home asks for the place of the number, and gets that on the front
                await pilot.press("home")
            await until(shown, lambda: "front, " in shown())

    asyncio.run(sit())


def test_a_place_is_kept_for_the_set_of_the_card_in_front(tmp_path):
    desk = opened(tmp_path)
    desk.accept("1987 1")
    desk.accept("1985 2")  # whose set is carried from here on
    desk.go(1)
    assert loupe_set(desk) == LIGHT
    desk.go(3)
    assert loupe_set(desk) == POND

"""The hub behind the desk: one sign while it is behind, and sales that other stations ask for are
entered while the lot is open."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

import pytest
from support.quiet_desk import box_text, new_session, quiet_desk, until

from tagger.core.session.session import Session
from tagger.core.stock.asked import Wish, seen_of
from tagger.services.background.ports import HubNews
from tagger.ui.desk.background import hub_monitor


class ToldWork:
    """A hub that answers as it is told, one answer after the other."""

    def __init__(self, answers: list[HubNews]) -> None:
        self.answers = answers
        self.entered: list[frozenset[str]] = []
        self.closed = False

    def send(self, entered: frozenset[str], told: Callable[[HubNews], None]) -> None:
        self.entered.append(entered)
        told(self.answers.pop(0) if self.answers else HubNews())

    def close(self) -> None:
        self.closed = True


def tagged() -> tuple[Session, Wish]:
    """A lot whose first card is tagged, and a wish for it."""
    session = new_session()
    session.take_unlisted("#23 ada marsh nm")
    seen = seen_of(session.view.card_at(1).mark.tags)
    wish = Wish("w1", "lot", session.view.card_at(1).id, "south", seen, {"order": "A-17"})
    return session, wish


def test_the_sign_and_a_sale_that_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hub_monitor, "EVERY", 0.1)
    session, wish = tagged()
    work = ToldWork([HubNews("gone"), HubNews("", (wish,)), HubNews("", (wish,))])
    app = quiet_desk(session, hub=work)

    async def sit() -> None:
        async with app.run_test(size=(80, 24)):

            def status() -> str:
                return box_text(app, "status")

            await until(status, lambda: "hub behind" in status())
            await until(status, lambda: "hub behind" not in status())
            said = "Card 1 sold, asked by south"
            await until(lambda: box_text(app, "message"), lambda: said in box_text(app, "message"))
            await until(status, lambda: len(work.entered) > 3)

    asyncio.run(sit())
    sold = session.view.card_at(1).mark
    assert (sold.gone, sold.trade.order) == ("sold", "A-17")
    # asked once more before the hub knew of it, it is entered once
    assert frozenset({"w1"}) in work.entered
    assert session.last_change() == "card 1 sold, asked by south"
    session.undo()
    assert session.view.card_at(1).mark.gone == ""
    assert work.closed

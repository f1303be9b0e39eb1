"""What comes from behind reaches the screen: each message of a thread or process is heard there."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from time import monotonic

import pytest
from support.at_work import LIGHT, SCANS
from support.quiet_desk import box_text, new_session, quiet_desk, until
from textual.message import Message

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.signature import CardSides, Signature, known_card
from tagger.core.model.tags import Tags
from tagger.core.session.recognition import KnownMatch
from tagger.core.session.session import Session
from tagger.errors import NotSaved
from tagger.services.background.ports import AuditProgress, ScansArrived
from tagger.ui.desk.background.background_monitor import (
    AuditReported,
    ScansCame,
    SheetSplit,
    StatusText,
)
from tagger.ui.desk.background.recognition_client import Recognized


def told(session: Session, message: Callable[[], Message], box: str, words: str) -> None:
    """The message makes the box say these words."""
    app = quiet_desk(session)

    async def sit() -> None:
        async with app.run_test(size=(120, 40)) as pilot:

            def shown() -> str:
                return box_text(app, box)

            await until(
                lambda: box_text(app, "panel"), lambda: "Type a number" in box_text(app, "panel")
            )
            await pilot.press("x", "backspace")
            app.screen.post_message(message())
            await until(shown, lambda: words in shown())

    asyncio.run(sit())


FOUND = Finding(FindingKind.FEW_DOTS, (SCANS[0],), 1, "few dots", "scan it again")


@pytest.mark.parametrize(
    ("message", "box", "words"),
    [
        (lambda: StatusText("Measured: 55 to 45."), "message", "Measured: 55 to 45."),
        (
            lambda: AuditReported(AuditProgress(1, 1, {}, [FOUND])),
            "message",
            "1 scan problem found: F12 shows it",
        ),
        (lambda: AuditReported(AuditProgress(1, 1, {}, [FOUND])), "status", "1 problem F12"),
        (
            lambda: ScansCame(ScansArrived([*SCANS, "scan_99.jpg"], frozenset({"scan_99.jpg"}))),
            "message",
            "1 new scan",
        ),
    ],
)
def test_what_is_told_from_behind_is_on_the_screen(message, box, words):
    told(new_session(), message, box, words)


def test_a_sheet_that_was_split_becomes_its_cards():
    session = new_session()
    cards = session.view.cards
    parts = tuple(
        (f"{SCANS[0]}#xywh=0,{top},800,500", f"{SCANS[1]}#xywh=0,{top},800,500") for top in (0, 500)
    )
    told(session, lambda: SheetSplit(SCANS[0], parts, False), "status", f"of {cards + 1}")


def test_the_answer_what_a_card_looks_like_is_proposed():
    session = new_session()
    look = Signature(Fingerprint(1, 2, bytes(48)), None)
    tags = Tags(set=LIGHT, number="5", subject="Edo Ferstad")
    card = known_card(CardSides("/scans/box 7", "a.jpg", None), "box 7", tags, look)
    told(
        session,
        lambda: Recognized(session.view.card.id, monotonic(), KnownMatch(card, True)),
        "panel",
        "like one in box 7",
    )


def test_that_a_card_was_not_saved_is_not_said_over_by_what_the_quiet_brings(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Both have one cause; the graver of them stays until a key."""
    app = quiet_desk(session := new_session())

    def fail(_: object = None) -> None:
        raise NotSaved("lot.json could not be updated.")

    async def sit() -> None:
        async with app.run_test(size=(120, 40)):
            monkeypatch.setattr(session, "settle", fail)
            message = app.screen._parts.message
            message.say("Not saved: the folder is gone.", alarm=True)
            app.screen._settle()
            assert message.text == "Not saved: the folder is gone."
            message.say("")
            app.screen._settle()
            assert message.text == "lot.json could not be updated."

    asyncio.run(sit())

"""When the desk asks what a card looks like, and which answers it lets through; with a memory that
only writes down."""

from __future__ import annotations

import random

import pytest
from support.at_work import LIGHT, MATCHER, SCANS
from support.memory import MemoryStore

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.measured import Measured
from tagger.core.audit.signature import CardSides, Signature, known_card
from tagger.core.fixes.feeding import SkipScan
from tagger.core.model.tags import Tags
from tagger.core.session.recognition import KnownMatch
from tagger.core.session.session import Session
from tagger.ui.desk.background import recognition_client
from tagger.ui.desk.background.recognition_client import RecognitionClient, Recognized
from tagger.ui.desk.findings import KEYS, Findings
from tagger.ui.keys import Action


def a_print(seed: str) -> Fingerprint:
    rng = random.Random(seed)
    return Fingerprint(rng.getrandbits(256), rng.getrandbits(256), rng.randbytes(48))


PRINTS = {scan: Measured("whole", print=a_print(scan)) for scan in SCANS}


class Notes:
    """A memory, and a screen, that write down what they get."""

    def __init__(self) -> None:
        self.asked: list[CardSides] = []
        self.told: list[str] = []

    def begin(self) -> None:
        self.told.append("begin")

    def remember(self, cards, gone) -> None:
        self.told += [card.number for card in cards]

    def find(self, look, own, tell) -> None:
        self.asked.append(own)

    def keep(self) -> None:
        self.told.append("keep")

    def close(self) -> None:
        self.told.append("close")

    def post_message(self, message) -> None:
        raise AssertionError("nothing is answered here")


@pytest.fixture
def desk() -> tuple[Session, Notes, RecognitionClient]:
    session = Session(MemoryStore(), clock=lambda: 1000.0)
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    notes = Notes()
    return session, notes, RecognitionClient(notes, session, notes, "/scans/box 12", "box 12")


def answer(session: Session, asked: float) -> Recognized:
    tags = Tags(set=LIGHT, number="5", subject="Edo Ferstad")
    card = known_card(
        CardSides("/scans/box 7", "a.jpg", None), "box 7", tags, Signature(a_print("a"), None)
    )
    return Recognized(session.view.card.id, asked, KnownMatch(card, True))


def test_a_card_is_asked_about_once_each_time_that_the_dealer_comes_to_it(desk):
    session, notes, alike = desk
    alike.begin()
    alike.learn(PRINTS, whole=True)
    for _ in range(3):
        alike.shown()
    assert [own.front for own in notes.asked] == [SCANS[0]]
    session.go(2)
    alike.shown()
    session.go(1)
    alike.shown()
    assert [own.front for own in notes.asked] == [SCANS[0], SCANS[2], SCANS[0]]


def test_a_card_that_is_in_front_already_when_it_is_measured_is_left_as_it_is(desk):
    session, notes, alike = desk
    alike.shown()
    alike.begin()
    alike.learn(PRINTS, whole=True)
    alike.shown()
    assert notes.asked == []
    session.go(2)
    alike.shown()
    assert len(notes.asked) == 1


def test_a_late_answer_one_after_a_key_and_one_for_another_card_change_nothing(desk, monkeypatch):
    session, _, alike = desk
    monkeypatch.setattr(recognition_client, "monotonic", lambda: 100.0)
    assert not alike.came(
        answer(session, 100.0 - recognition_client.PATIENCE * 1.1), undisturbed=True
    )
    assert not alike.came(answer(session, 100.0), undisturbed=False)
    other = answer(session, 100.0)
    session.go(2)
    assert not alike.came(other, undisturbed=True)
    assert alike.alike is None
    assert alike.came(answer(session, 100.0 - recognition_client.PATIENCE * 0.9), undisturbed=True)
    assert alike.alike.tags.number == "5"


def test_what_was_tagged_is_told_before_the_next_question_and_kept_when_the_keys_are_quiet(desk):
    session, notes, alike = desk
    alike.begin()
    alike.learn(PRINTS, whole=True)
    session.take(session.candidates.of("set=87 5")[0])
    alike.shown()
    assert notes.told[-1] == "5"
    session.take(session.candidates.of("6")[0])
    alike.quiet()
    assert notes.told[-2:] == ["6", "keep"]
    alike.close()
    assert notes.told[-1] == "close"


def test_the_key_line_has_no_key_that_does_nothing_about_a_finding():
    found = Findings()
    assert [id for id, _ in found.keys] == [Action.FINDINGS]
    found.left = [Finding(FindingKind.FEW_DOTS, (SCANS[0],), 1, "few dots", "scan it again")]
    assert Action.TAKE not in [id for id, _ in found.keys]
    found.left = [
        Finding(
            FindingKind.DOUBLED,
            (SCANS[0],),
            1,
            "twice",
            "leave it out",
            fixes=(SkipScan(SCANS[0]),),
        )
    ]
    assert found.keys == KEYS

"""How the lot teaches what comes next."""

from __future__ import annotations

import pytest
from support import drawn
from support.memory import MemoryStore

from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.steps import USUAL, StepModel
from tagger.core.session.session import Session

ROWS = drawn.set_rows("1987 Harbor Light", 300, seed=11)
MATCHER = Matcher(Index(parse_checklist(drawn.checklist_csv(ROWS).encode(), "list.csv", "list")))


def lot(cards: int) -> Session:
    session = Session(MemoryStore(), clock=lambda: 0.0)
    session.take_in([f"scan_{number}.jpg" for number in range(1, 2 * cards + 1)])
    session.candidates.matcher = MATCHER
    return session


def tagged(session: Session, *numbers: int) -> None:
    for number in numbers:
        session.take(session.candidates.of(str(number))[0])


def proposed(session: Session) -> str:
    return session.candidates.of("")[0].tags.number


def _whole(model: StepModel) -> float:
    return sum(model.share(at) or 0.0 for at in USUAL) + model.ahead + model.jump


def test_the_shares_are_a_distribution_before_and_after_learning() -> None:
    model = StepModel()
    for step in (0, 1, 1, -1, 40, -7):
        assert _whole(model) == pytest.approx(1.0)
        model.learn(step)
    assert _whole(model) == pytest.approx(1.0)


def test_a_presorted_tray_proposes_the_next_number() -> None:
    session = lot(20)
    tagged(session, 1, 2, 3, 5)
    assert proposed(session) == "6"


def test_a_tray_that_was_turned_over_comes_to_be_proposed_backwards() -> None:
    session = lot(60)
    tagged(session, *range(250, 210, -1))
    assert proposed(session) == "210"


def test_a_tray_of_doubles_comes_to_propose_the_same_again() -> None:
    session = lot(80)
    tagged(session, *(1 + at // 4 for at in range(60)))
    assert proposed(session) == "15"


def test_what_was_learned_comes_back_with_the_lot() -> None:
    session = lot(60)
    tagged(session, *range(250, 210, -1))
    again = Session(session._store, clock=lambda: 0.0)
    again.candidates.matcher = MATCHER
    assert [c.tags for c in again.candidates.of("")] == [c.tags for c in session.candidates.of("")]


def test_a_number_typed_in_full_is_first_whatever_was_learned() -> None:
    session = lot(80)
    tagged(session, *range(250, 210, -1))
    for number in (2, 20, 21, 209, 250, 300):
        assert session.candidates.of(str(number))[0].tags.number == str(number)


def test_a_card_that_is_in_no_checklist_does_not_break_the_run() -> None:
    session = lot(20)
    tagged(session, 41, 42)
    session.take_unlisted("999 ada marsh")
    assert proposed(session) == "43"


def test_nothing_typed_is_never_quite_sure() -> None:
    session = lot(20)
    assert [c.sure for c in session.candidates.of("")] == [False] * len(session.candidates.of(""))
    session.carry("set=harbor")
    assert [c.sure for c in session.candidates.of("")] == [False] * len(session.candidates.of(""))
    tagged(session, 41, 42)
    found = session.candidates.of("")
    assert not any(c.sure for c in found)
    assert sum(c.confidence for c in found) < 1


def test_a_number_a_few_rows_on_is_sure() -> None:
    session = lot(20)
    tagged(session, 41, 42)
    assert all(session.candidates.of(str(number))[0].sure for number in range(43, 70))

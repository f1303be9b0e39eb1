"""When what was read counts at the desk: once it is drawn, never under a key or under what is
typed."""

from __future__ import annotations

import pytest
from support.at_work import LIGHT, MATCHER, NAMES, SCANS, take
from support.memory import MemoryStore
from support.printed import LaidReadings, evidence

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Row, Tags
from tagger.core.session.session import Session
from tagger.ui.desk.background import reading_client
from tagger.ui.desk.background.reading_client import ReadingClient

SIX = evidence(MATCHER.index, Tags(set=LIGHT, number="6", subject=NAMES[5]))


class Screen:
    """Writes down what it is told."""

    def __init__(self) -> None:
        self.told: list[str] = []

    def post_message(self, message) -> None:
        self.told.append(message.told)

    def call_after_refresh(self, drawn) -> None:
        self.drawn = drawn


@pytest.fixture
def desk() -> tuple[Session, LaidReadings, ReadingClient]:
    session = Session(MemoryStore(), clock=lambda: 1000.0)
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    session.carry("set=87")
    readings = LaidReadings({})
    return session, readings, ReadingClient(Screen(), session, readings)


def test_what_was_read_before_counts_from_the_first_drawing_of_the_card(desk):
    session, readings, client = desk
    readings.found[session.view.card.id] = SIX
    assert client.print is None
    assert client.look(undisturbed=True) == ""
    assert client.print.named.number == "6"
    assert not client.just_changed
    take(session, "6")
    readings.found[session.view.card.id] = SIX
    assert client.print is None  # this card was not drawn yet: keys that are ahead take nothing


def test_what_comes_late_is_said_and_an_enter_that_was_on_its_way_does_nothing(desk, monkeypatch):
    session, readings, client = desk
    now = 50.0
    monkeypatch.setattr(reading_client, "monotonic", lambda: now)
    client.look(undisturbed=True)
    readings.found[session.view.card.id] = SIX
    assert client.look(undisturbed=False) == ""
    assert client.print is None
    assert client.look(undisturbed=True) == "Read just now: #6 Fenn Holby."
    now += 2 * reading_client.JUST
    assert client.just_changed  # it is not drawn yet
    client._screen.drawn()
    now += reading_client.JUST / 2
    assert client.just_changed
    now += reading_client.JUST
    assert not client.just_changed
    assert client.look(undisturbed=True) == ""


def test_other_lists_are_read_anew_and_a_lot_that_is_only_looked_at_is_not_read(desk):
    session, readings, client = desk
    readings.found[session.view.card.id] = SIX
    client.look(undisturbed=True)
    session.candidates.matcher = MATCHER
    assert client.print is None
    session.looking = "opened for looking"
    assert ReadingClient(Screen(), session, readings).readings is None


def test_reading_goes_where_the_dealer_goes(desk):
    session, readings, client = desk
    client.shown()
    assert readings.positions == []
    client.lists_changed()
    session.go(3)
    client.shown()
    assert readings.positions == [1, 3]
    readings.came("Reading goes on.")
    assert client._screen.told == ["Reading goes on."]


def test_a_set_that_was_corrected_too_often_is_read_but_not_proposed(desk):
    session, readings, client = desk
    for position, number in ((1, 1), (2, 2), (3, 3)):
        readings.found[session.view.card_at(position).id] = SIX
        assert client.look(undisturbed=True) == ""
        if position < 3:
            assert client.print.named is not None
            take(session, f"#{number}")
    assert client.print.named is None
    assert client.print.evidence is SIX
    assert "only listed" in client.trust.news()


def test_a_number_that_the_print_speaks_against_is_told_before_and_after(desk):
    session, readings, _client = desk
    readings.found[session.view.card.id] = SIX
    assert session.proposals.of("5").warnings == ("the print says #6 Fenn Holby",)
    assert session.accept("5").startswith("Check again: the print says #6 Fenn Holby. Card 1: #5")
    assert session.review.left() == [1]
    # the number is right in another set, and the set is what the print speaks against
    session.go(1)
    session.accept("name=fenn set=1985")
    assert session.review.why(1) == f"the print says #6 Fenn Holby of {LIGHT}"
    session.go(1)
    session.accept("6 set=87")
    assert [session.review.why(at) for at in session.review.left()] == []


def _named(session: Session, number: int) -> None:
    take(session, f"#{number} {NAMES[number - 1].split()[1]}")


def test_a_card_that_was_tagged_before_it_was_read_comes_into_the_review(desk):
    session, readings, _client = desk
    _named(session, 5)
    assert [session.review.why(at) for at in session.review.left()] == []
    assert session.review.warned() == 0
    readings.found[session.view.card_at(1).id] = SIX
    session.review.read_on()
    assert session.review.next() == (
        "Card 1: the print says #6 Fenn Holby · this is the only one left."
    )
    assert session.review.left() == [1]
    assert session.review.warned() == 1
    # who looks at it and keeps it knows better than the print
    session.review.keep()
    assert [session.review.why(at) for at in session.review.left()] == []


def test_a_number_that_the_print_agrees_with_is_no_slip_later_neither(desk):
    session, readings, _client = desk
    session.take_in([f"scan_{number}.jpg" for number in range(1, 17)])
    index = Index(Checklist(tuple(Row(LIGHT, str(at), f"{NAMES[0]} {at}") for at in range(1, 99))))
    session.candidates.matcher = Matcher(index)
    doubted = "#71 is out of sequence; #17 would follow #16 of card 6"
    for number in range(11, 17):
        take(session, f"#{number}")
    assert session.proposals.of("#71").warnings == (doubted,)
    seventy_one = Tags(set=LIGHT, number="71", subject=f"{NAMES[0]} 71")
    readings.found[session.view.card.id] = evidence(index, seventy_one)
    session.review.read_on()
    assert session.proposals.of("#71").warnings == ()
    take(session, "#71")
    assert doubted not in session.review.why(7)
    readings.found.clear()
    assert doubted in session.review.why(7)


def test_what_is_read_wrongly_too_often_speaks_against_nothing(desk):
    session, readings, client = desk
    for position, number in ((1, 1), (2, 2)):
        readings.found[session.view.card_at(position).id] = SIX
        client.look(undisturbed=True)
        _named(session, number)
    assert [session.review.why(at) for at in session.review.left()] == []

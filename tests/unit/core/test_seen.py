"""What is read on a card and what it looks like, as terms of the prior's sum: what they propose,
what they only list, and that what is typed goes before both."""

from __future__ import annotations

import math

import pytest
from support.at_work import LIGHT, MATCHER, NAMES, POND, SCANS
from support.memory import MemoryStore
from support.printed import CLEAR, FAINT, printed

from tagger.core.lot.carried import Carried
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.core.reading.printed import NOTHING_READ
from tagger.core.reading.trust import ReadingTrust
from tagger.core.session.proposal import Deed, Proposal
from tagger.core.session.recognition import Recognition
from tagger.core.session.seen import Print, Seen
from tagger.core.session.session import Session

INDEX = MATCHER.index


def card(number: int, of: str = LIGHT) -> Tags:
    names = NAMES if of == LIGHT else NAMES[::-1]
    return Tags(set=of, number=str(number), subject=names[number - 1])


def desk() -> Session:
    session = Session(MemoryStore(), clock=lambda: 1000.0)
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    session.carry("set=87")
    return session


def read(
    session: Session,
    tags: Tags,
    weight: float = CLEAR,
    alone: bool = True,
    looks: Tags | None = None,
) -> Seen:
    here = session.view.here()
    alike = None if looks is None else Recognition(here.id, looks, "card 9", False, None)
    return Seen(here.id, alike, printed(INDEX, tags, weight, alone))


def named(proposal: Proposal) -> list[tuple[str, str]]:
    return [(one.tags.set, one.tags.number) for one in proposal.candidates]


def test_what_is_read_whole_is_proposed_and_marked_with_nothing_of_the_copy_taken_from_it():
    session = desk()
    session.carry("gold nm at=box_2")
    seen = read(session, card(6))
    proposal = session.proposals.of("", 0, seen)
    assert proposal.deed is Deed.TAKE
    assert proposal.candidate.explained() == "the print: read"
    assert proposal.candidate.sure
    session.accept("", 0, seen)
    mark = session.view.card_at(1).mark
    assert (mark.tags.number, mark.tags.parallel, mark.tags.condition, mark.unsure) == (
        "6",
        "Gold",
        "Near Mint",
        False,
    )


def test_another_set_that_the_print_names_goes_before_the_carried_one():
    session = desk()
    assert named(session.proposals.of("", 0, read(session, card(6, POND))))[0] == (POND, "6")


def test_what_is_only_likely_is_listed_next_and_never_under_enter():
    session = desk()
    for seen in (
        read(session, card(6), FAINT),
        read(session, card(6), CLEAR, alone=False),  # a twin that was not told apart
    ):
        proposal = session.proposals.of("", 0, seen)
        assert named(proposal)[:2] == [(LIGHT, "1"), (LIGHT, "6")]
        assert proposal.candidate.reasons == ()
        assert proposal.note == "what is printed may be #6 Fenn Holby"
    chosen = session.proposals.of("", 1, seen)
    assert chosen.candidate.explained() == "the print: maybe read"
    session.accept("", 1, seen)
    assert not session.view.card_at(1).mark.unsure


def test_where_nothing_is_read_or_it_agrees_all_is_as_without_it():
    session = desk()
    plain = session.proposals.of("")
    for seen in (
        Seen(session.view.here().id, None, Print(NOTHING_READ)),
        read(session, card(1), 2),
    ):
        again = session.proposals.of("", 0, seen)
        assert (again.candidates, again.note) == (plain.candidates, "")


@pytest.mark.parametrize(
    ("hint", "wanted"),
    [
        ("3", (LIGHT, "3", "")),
        ("cyr", (LIGHT, "3", "")),
        ("gold 12/99", (LIGHT, "6", "Gold")),
        ("ex", (LIGHT, "6", "")),
        ("set=85 3", (POND, "3", "")),
        ("tor", (LIGHT, "3", "")),
    ],
)
def test_a_word_goes_before_the_print(hint, wanted):
    session = desk()
    [first, *_] = session.candidates.of(hint, read(session, card(6), 60.0))
    assert (first.tags.set, first.tags.number, first.tags.parallel) == wanted


def test_of_two_cards_that_are_called_alike_the_print_chooses():
    session = desk()
    seen = read(session, card(3, POND))
    assert session.candidates.of("3")[0].tags.set == LIGHT
    [first, *_] = session.candidates.of("3", seen)
    assert first.tags.set == POND
    assert first.sure
    assert session.candidates.of("3 gold", seen)[0].tags.set == LIGHT  # no gold in the other set


def test_a_look_and_the_print_are_one_sum_and_where_they_differ_nothing_is_proposed():
    session = desk()
    both = read(session, card(6), FAINT, alone=False, looks=card(6))
    first = session.proposals.of("", 0, both).candidate
    assert first.explained() == "the print: maybe read · the scan: maybe card 9"
    assert first.sure
    against = read(session, card(6), CLEAR, looks=card(4))
    assert session.proposals.of("", 0, against).candidate.reasons == ()


def test_the_rest_is_what_the_lot_leaves_to_it_however_much_speaks_for_one_row():
    step = INDEX.find(Tags(LIGHT, "6", "Fenn Holby"))
    lot = Carried((("set", LIGHT),))
    for weight in (1.0, 6.0, 12.0, 40.0):
        found = MATCHER.rank("", Context(lot, spoken_for=((step, weight),)))
        shares = [one.confidence for one in found]
        assert sum(shares) <= 1.0 + 1e-9
        assert all(0 <= share <= 1 for share in shares)
    assert found[0].tags.number == "6"
    assert math.isclose(found[0].confidence, 1.0)
    # a row of a list that is all but the whole world is not sure by a little that speaks for it
    weak = MATCHER.rank("", Context(lot, spoken_for=((step, 3.0),)))
    assert not any(one.sure for one in weak)


def test_a_number_that_goes_with_the_print_is_no_slip():
    session = desk()
    for number in (11, 12, 13, 14, 15):
        session.take_unlisted(str(number))
    seen = read(session, card(6))
    assert session.review.warnings(6, card(6))
    assert not session.review.warnings(6, card(6), seen)


def tagged(id: int, tags: Tags) -> Marking:
    return Marking(id, Mark(), Mark(State.TAGGED, tags))


def test_after_too_many_corrections_a_set_is_only_listed_and_that_is_said_once():
    trust = ReadingTrust()
    for id in range(1, 41):
        trust.expect(id, card(6))
    trust.heard([tagged(id, card(6)) for id in range(1, 20)])
    trust.heard([tagged(20, card(5))])
    assert trust.in_set(LIGHT)
    assert trust.news() == ""
    trust.heard([Marking(1, Mark(State.TAGGED, card(6)), Mark())])  # undone: nothing is said of it
    assert trust.in_set(LIGHT)
    trust.heard([tagged(1, card(4))])
    assert not trust.in_set(LIGHT)
    assert trust.in_set(POND)
    assert trust.news().startswith("2 cards of 1987 Harbor Light were read wrongly")
    assert trust.news() == ""


def test_a_few_corrections_among_many_are_not_too_many():
    trust = ReadingTrust()
    for id in range(1, 201):
        trust.expect(id, card(6))
    trust.heard([tagged(id, card(6)) for id in range(1, 190)])
    trust.heard([tagged(id, card(5)) for id in (190, 191, 192)])
    assert trust.in_set(LIGHT)

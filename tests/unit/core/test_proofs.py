"""The page of proofs: which cards are on it, what the dealer says of its lines, and what Enter
makes of them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from support.at_work import LIGHT, MATCHER, NAMES, POND, SCANS
from support.memory import MemoryStore
from support.printed import FAINT, LaidReadings, evidence

from tagger.core.dividers.divider import FRONT, Divider, payload_text
from tagger.core.fixes.dividers import LeaveOutDividers
from tagger.core.model.arrangement import PlacedDivider
from tagger.core.model.tags import State, Tags
from tagger.core.session.fixer import Fixer
from tagger.core.session.proofs.marks import ProofMarks
from tagger.core.session.proofs.page import Proofs
from tagger.core.session.seen import Print
from tagger.core.session.session import Session
from tagger.errors import Refused

INDEX = MATCHER.index


def card(number: int, of: str = LIGHT) -> Tags:
    names = NAMES if of == LIGHT else NAMES[::-1]
    return Tags(set=of, number=str(number), subject=names[number - 1])


def at_work(*read: Tags | None, faint: frozenset[int] = frozenset()) -> tuple[Session, Proofs]:
    """A lot of six cards, read as these, those of `faint` hardly (counted from 1)."""
    session = Session(MemoryStore(), clock=lambda: 1000.0)
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    session.carry("set=87 nm at=box 2")
    said = LaidReadings({})
    named: dict[int, Tags] = {}
    for at, tags in enumerate(read, start=1):
        if tags is not None:
            weight = FAINT if at in faint else 16.0
            id = session.view.card_at(at).id
            said.found[id] = evidence(INDEX, tags, weight, at not in faint)
            named[id] = tags

    def print_of(one) -> Print | None:
        found = said.evidence_of(one)
        alone = found is not None and found.alone is not None
        return found and Print(found, named[one.id] if alone else None)

    return session, Proofs(session, print_of)


def positions(page) -> list[int]:
    return [line.position for line in page.lines]


ALL = [card(number) for number in (1, 2, 3, 4, 4, 6)]


def test_a_page_has_the_sure_cards_and_what_is_unsure_in_between_stays_for_the_desk():
    _, proofs = at_work(*ALL, faint=frozenset({3}))
    page = proofs.page(1, 4, proofs.here())
    assert positions(page) == [1, 2, 4, 5]
    assert (page.first, page.last, page.between, page.unread) == (1, 5, 1, False)
    first = page.lines[0].tags
    assert (first.condition, first.place, first.parallel) == ("Near Mint", "box 2", "")
    assert positions(proofs.page(6, 4, page.after)) == [6]


def test_a_card_in_another_frame_stays_for_the_desk():
    session, proofs = at_work(*ALL)
    session.review.ask_frames(frozenset({session.view.card_at(2).front}))
    assert positions(proofs.page(1, 4, proofs.here())) == [1, 3, 4, 5]


def test_a_page_ends_where_a_card_is_not_read_yet():
    session, proofs = at_work(*ALL[:2], None, *ALL[3:])
    page = proofs.page(1, 6, proofs.here())
    assert (positions(page), page.unread) == ([1, 2], True)
    session.take_unlisted("77")  # a card that has tags is passed over
    assert positions(proofs.page(1, 6, proofs.here())) == [2]


def test_a_card_of_a_numbered_parallel_or_worth_a_closer_look_stays_for_the_desk():
    session, proofs = at_work(*ALL)
    session.carry("gold")
    assert not proofs.page(1, 6, proofs.here()).lines
    session.carry("silver")
    assert [line.tags.parallel for line in proofs.page(1, 6, proofs.here()).lines] == ["Silver"] * 6
    session.drop("parallel")
    session.carry("next=2 silver")
    found = [line.tags.parallel for line in proofs.page(1, 6, proofs.here()).lines]
    assert found == ["Silver", "Silver", "", "", "", ""]
    session.review.closer_look = Decimal(50)
    session.carry("price=99")
    assert not proofs.page(1, 6, proofs.here()).lines


def test_the_rest_is_one_change_each_card_with_its_own_tag():
    session, proofs = at_work(*ALL, faint=frozenset({2}))
    page = proofs.page(1, 6, proofs.here())
    marks = ProofMarks(proofs, page)
    marks.cross_out(1)
    marks.cross_out(3)
    marks.at = 0
    marks.type("g")
    before = session.view.revision
    said = proofs.take(page, marks.chosen())
    assert said == "3 cards accepted as read."
    assert session.view.revision == before + 1
    tags = [session.view.card_at(at).mark.tags for at in (1, 4, 6)]
    assert [(one.number, one.parallel) for one in tags] == [("1", "Gold"), ("4", ""), ("6", "")]
    assert [session.view.card_at(at).mark.state for at in (2, 3, 5)] == [State.UNTAGGED] * 3
    assert [line.position for line in marks.left()] == [3, 5]
    assert session.view.cursor.position == 7
    session.undo()
    assert session.view.counts().tagged == 0
    assert session.view.cursor.position == 1
    session.redo()
    session.go(4)
    session.clear()
    assert session.view.counts().tagged == 2


def test_another_set_is_carried_on_and_a_run_of_cards_is_counted_down():
    session, proofs = at_work(card(1), card(2, POND), card(3, POND))
    session.carry("next=2 ex")
    page = proofs.page(1, 6, proofs.here())
    proofs.take(page, [(line, line.tags) for line in page.lines])
    assert [session.view.card_at(at).mark.tags.condition for at in (1, 2, 3)] == [
        "Excellent", "Excellent", "Near Mint",
    ]  # fmt: skip
    assert session.view.cursor.carried.get("set") == POND
    assert session.view.cursor.carried.stretch is None


def test_a_line_is_right_wrong_or_of_another_parallel():
    _, proofs = at_work(*ALL)
    marks = ProofMarks(proofs, proofs.page(1, 6, proofs.here()))

    def said() -> list[str | None]:
        return [tags and tags.variant for tags in map(marks.tags, range(3))]

    assert said() == ["base"] * 3
    marks.cross_out(1)
    assert (said(), marks.at) == (["base", None, "base"], 1)
    marks.cross_out(1)
    assert said()[1] == "base"
    turned = []
    for _ in range(4):
        marks.turn(1)
        turned.append(said()[1])
    assert turned == ["Gold", "Silver", None, "base"]
    marks.turn(-1)
    assert said()[1] is None
    marks.type("silver")
    assert said()[1] == "Silver"
    marks.type("gold 12/99 ex")
    assert (said()[1], marks.tags(1).condition) == ("Gold 12/99", "Excellent")
    assert marks.print_run(1) is None
    marks.type("gold")
    assert marks.print_run(1) == 99
    for hint in ("4", "hana", "gold 12/50", "zz"):
        with pytest.raises(Refused, match="is not a parallel or a condition of this card"):
            marks.type(hint)
        assert said()[1] is None  # what was not understood is never accepted as it was
    marks.cross_out(1)
    assert said()[1] == "base"
    marks.unseen(frozenset({0}))
    assert said()[0] is None
    assert 0 not in [line.position - 1 for line, _ in marks.chosen()]


def test_a_page_of_which_every_line_is_wrong_accepts_nothing():
    session, proofs = at_work(*ALL)
    page = proofs.page(1, 1, proofs.here())
    with pytest.raises(Refused, match="no card to accept"):
        proofs.take(page, [])
    assert session.view.counts().tagged == 0


def test_a_card_whose_name_or_number_was_not_found_cannot_be_checked_at_a_glance():
    _, proofs = at_work(*ALL)
    plain = proofs._print_of
    proofs._print_of = lambda one: plain(one)._replace(
        evidence=replace(plain(one).evidence, name_at=None)
    )
    assert not proofs.page(1, 6, proofs.here()).lines


@pytest.mark.parametrize("scan", [0, 4])
def test_a_page_carries_what_a_divider_says_as_the_desk_does(scan: int):
    def behind_divider() -> tuple[Session, Proofs]:
        session, proofs = at_work(*ALL[:5])
        text = payload_text(Divider(LIGHT, "Silver", "", "box 9"), FRONT)
        divider = PlacedDivider(SCANS[scan], SCANS[scan + 1], text)
        Fixer(session).mend([LeaveOutDividers((divider,))])
        # the scans of a card became the divider's
        return session, proofs

    session, proofs = behind_divider()
    page = proofs.page(1, 6, proofs.here())
    assert page.lines
    proofs.take(page, ProofMarks(proofs, page).chosen())
    first = scan // 2 + 1
    for line in page.lines:
        tags = session.view.card_at(line.position).mark.tags
        there = ("Silver", "box 9") if line.position >= first else ("", "box 2")
        assert (tags.parallel, tags.place) == there
    session.go(page.last)
    assert session.view.cursor.carried.get("place") == "box 9"


def test_cards_that_a_page_skipped_are_learned_as_when_the_lot_is_opened_again() -> None:
    session, proofs = at_work(card(1), card(2), card(3), card(4), card(5), faint=frozenset((2, 4)))
    page = proofs.page(1, 9, proofs.here())
    assert [line.position for line in page.lines] == [1, 3, 5]
    proofs.take(page, ProofMarks(proofs, page).chosen())

    def likely() -> list[tuple[str, float]]:
        session.go(6)
        return [(one.tags.number, one.confidence) for one in session.candidates.of("")[:4]]

    at_once = likely()
    session.candidates.matcher = MATCHER
    assert at_once == likely()

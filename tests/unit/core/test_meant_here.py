"""What a bare number, a letter or a name means beside what is carried: the carried set first, and
nothing that is hardly it."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.drawn import set_rows

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Row, series_of
from tagger.core.session.proposal import Deed
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile

OLD, NEW, RIDGE, EMBER = "1987 Harbor Light", "1988 Harbor Light", "1991 Summit Ridge", "1995 Ember"
FAR = "2003 League"


def _rows() -> list[Row]:
    rows = [
        Row(name, truth.number, truth.subject)
        for seed, name in enumerate((OLD, NEW, RIDGE))
        for truth in set_rows("", 120, seed)
    ]
    rows += [
        Row(EMBER, truth.number, truth.subject, extra=(("subset", "Base"),))
        for truth in set_rows("", 60, 7)
    ]
    rows += [
        Row(EMBER, truth.number, truth.subject, extra=(("subset", "Quiet Stars"),))
        for truth in set_rows("", 15, 8)
    ]
    return [*rows, Row(FAR, "1", "Zenobia Quarrel"), Row(FAR, "2", "Odo Fenwick")]


@pytest.fixture(scope="module")
def matcher() -> Matcher:
    return Matcher(Index(Checklist(tuple(_rows()))))


@pytest.fixture
def desk(tmp_path: Path, matcher: Matcher) -> Session:
    session = Session(LotFile(tmp_path, "box 12"), clock=lambda: 1000.0)
    session.candidates.matcher = matcher
    session.take_in([f"scan_{at:04d}.jpg" for at in range(1, 301)])
    return session


def typed(session: Session, *hints: str) -> None:
    for hint in hints:
        session.accept(hint)


def test_a_number_is_of_the_set_that_was_typed_last(desk):
    typed(desk, "1987 5", "1988 5", "summit 110")
    first = desk.candidates.of("76")[0]
    assert (first.tags.set, first.tags.number) == (RIDGE, "76")
    assert not first.sure  # three sets have it, and little is known of this lot


def test_sets_by_turns_need_no_set_once_they_were_seen_to(desk):
    for number in range(1, 6):
        typed(desk, f"1987 {number}", f"1988 {number}")
    typed(desk, "6")
    assert desk.candidates.of("6")[0].tags.set == NEW


def test_turns_that_came_to_an_end_are_forgotten(desk):
    for number in range(1, 13):
        typed(desk, f"1987 {number}", f"1988 {number}")
    typed(desk, "1987 40", *map(str, range(41, 76)))
    typed(desk, "zenobia")
    assert desk.candidates.of("")[0].tags.set == FAR


def test_a_name_as_it_is_typed_is_more_than_a_guess_however_long_the_lot(desk):
    typed(desk, "1987 1", *map(str, range(2, 60)))
    [found, *_] = desk.candidates.of("quarrel")
    assert found.tags.subject == "Zenobia Quarrel"
    assert found.confidence > 0.5
    assert not found.sure  # the card may be in no list


@pytest.mark.parametrize("hint", ["4 zq", "9 z s"])
def test_a_number_that_words_follow_is_no_beginning_of_another(desk, hint):
    typed(desk, "1987 1", "2", "3")
    proposal = desk.proposals.of(hint)
    assert proposal.deed is not Deed.TAKE
    assert all(one.problem for one in proposal.candidates)


def test_one_letter_beside_a_number_is_a_series_of_the_carried_set_first(desk):
    typed(desk, "ember 3 base")
    first = desk.candidates.of("3 q")[0].tags
    assert (first.set, first.number, series_of(first.extra)) == (EMBER, "3", "Quiet Stars")


def test_a_single_insert_leaves_the_run_of_its_set_open(desk):
    typed(desk, "ember 3 base", "4", "5", "1 quiet")
    found = {(one.tags.number, series_of(one.tags.extra)) for one in desk.candidates.of("6")[:2]}
    assert found == {("6", "Base"), ("6", "Quiet Stars")}
    assert series_of(desk.candidates.of("6")[0].tags.extra) == "Base"
    assert series_of(desk.candidates.of("2")[0].tags.extra) == "Quiet Stars"


def _next(session: Session) -> str:
    return session.candidates.of("")[0].tags.number


def test_a_tray_that_was_turned_over_goes_back(desk):
    typed(desk, "1987 60", "59", "58")
    assert _next(desk) == "57"
    typed(desk, "", "", "")
    assert _next(desk) == "54"


def test_pairs_are_seen_to(desk):
    typed(desk, *(f"1987 {number}" for at in range(1, 6) for number in (at, at)))
    assert _next(desk) == "6"
    typed(desk, "6")
    assert _next(desk) == "6"


def test_a_card_that_is_set_aside_keeps_its_place_in_the_run(desk):
    typed(desk, "1987 1", "2", "3")
    desk.set_aside("")
    assert _next(desk) == "5"
    typed(desk, "5")
    assert _next(desk) == "6"


def test_between_tagged_cards_the_set_is_that_of_the_cards_around(desk):
    typed(desk, "1991 20", "21", "22", "23", "ember 5 base", "6")
    desk.go(3)
    desk.clear()
    found = desk.candidates.of("")[0].tags
    assert (found.set, found.number) == (RIDGE, "22")
    assert desk.candidates.of("30")[0].tags.set == RIDGE


def test_a_set_in_no_list_goes_on_by_itself(desk):
    typed(desk, "1987 1")
    desk.take_unlisted("set=1979 brook lane 5 ulla ferrer")
    proposal = desk.proposals.of("")
    assert proposal.deed is Deed.REFUSE  # the number that follows, which needs a name
    assert (proposal.candidates[0].tags.set, proposal.candidates[0].tags.number) == (
        "1979 Brook Lane",
        "6",
    )
    typed(desk, "6 max holt")
    tags = desk.view.card_at(3).mark.tags
    assert (tags.set, tags.number, tags.subject, tags.listed) == (
        "1979 Brook Lane",
        "6",
        "Max Holt",
        False,
    )
    typed(desk, "1987 2")
    assert desk.view.card_at(4).mark.tags.set == OLD


def test_what_is_hardly_a_card_is_not_accepted(desk):
    typed(desk, "1987 1", "2")
    proposal = desk.proposals.of("quenbyxx")
    assert proposal.deed is not Deed.TAKE


@pytest.mark.parametrize("hint", ["$4", "4$", "$4.50"])
def test_a_sum_is_a_price_and_no_number(desk, hint):
    typed(desk, "1987 1", "2", "3")
    desk.go(2)
    assert [field for field, *_ in desk.proposals.of(hint).changes] == ["price"]


@pytest.mark.parametrize("hint", ["m", "e", "ne", "nn", "nm+"])
def test_a_slip_for_a_condition_makes_no_other_card(desk, hint):
    typed(desk, "1987 1", "2", "3 nm")
    desk.go(3)
    assert desk.proposals.of(hint).deed in (Deed.REFUSE, Deed.NOTHING)


def test_words_of_the_copy_alone_make_no_card_unsure(desk):
    typed(desk, "1987 1", "2", "ex")
    assert not desk.view.card_at(3).mark.unsure


def test_a_card_that_is_passed_over_is_told(desk):
    typed(desk, "1987 1")
    assert desk.next_untagged(1).startswith("Card 2 is left untagged.")
    desk.go(1)
    assert "left untagged" not in desk.next_untagged(1)


@pytest.mark.parametrize(
    ("typed_name", "kept"),
    [
        ("d'angelo o'neil-macdonald", "D'Angelo O'Neil-Macdonald"),
        ("j.r. marsh", "J.R. Marsh"),
        ("marsh's gull", "Marsh's Gull"),
        ("McArthur", "McArthur"),
    ],
)
def test_names_in_small_letters_get_their_capitals(desk, typed_name, kept):
    desk.take_unlisted(f"set=1979 brook lane 5 {typed_name}")
    assert desk.view.card_at(1).mark.tags.subject == kept


def test_a_series_is_said_with_the_card(desk):
    typed(desk, "ember 3 base")
    assert "Quiet Stars" in desk.accept("1 quiet")


def test_a_card_that_was_gone_down_to_is_accepted_however_unlikely(desk):
    typed(desk, "1987 1", *map(str, range(2, 40)))
    found = desk.proposals.of("40").candidates
    other = next(at for at, one in enumerate(found) if one.tags.set != OLD)
    assert found[other].confidence < 0.005
    assert desk.proposals.of("40", other).deed is Deed.TAKE

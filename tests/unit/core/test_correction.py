"""A tagged card that is gone back to: what is typed changes what it names, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.at_work import opened
from support.memory import MemoryStore

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.history import words
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Parallel, Row, State
from tagger.core.session.proposal import Deed
from tagger.core.session.session import Session
from tagger.errors import Refused


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    """Four cards tagged: #1 to #3, and #2 once more as Gold 12/99, Near Mint, in box 1."""
    session = opened(tmp_path)
    session.carry("at=box 1")
    for hint in ("1", "2", "3", "2 g 12/99 nm"):
        session.accept(hint)
    yield session
    session.close()


def fields(session: Session, position: int) -> tuple[str, ...]:
    tags = session.view.card_at(position).mark.tags
    return tags.number, tags.parallel, tags.serial, tags.condition, tags.place, tags.note


@pytest.mark.parametrize(
    ("hint", "expected"),
    [
        ("ex", ("2", "Gold", "12/99", "Excellent", "box 1", "")),
        ("13/99", ("2", "Gold", "13/99", "Near Mint", "box 1", "")),
        ("base", ("2", "", "", "Near Mint", "box 1", "")),
        ("at=box 9", ("2", "Gold", "12/99", "Near Mint", "box 9", "")),
        ("note=soft corner", ("2", "Gold", "12/99", "Near Mint", "box 1", "soft corner")),
        ("ex 7/99 at=box 2", ("2", "Gold", "7/99", "Excellent", "box 2", "")),
    ],
)
def test_words_that_name_no_card_change_only_what_they_name(desk, hint, expected):
    others = [desk.view.card_at(at).mark for at in (1, 2, 3)]
    desk.carry("poor at=box 5")  # what is carried today is for the next cards
    desk.go(4)
    assert desk.proposals.of(hint).deed is Deed.CHANGE
    desk.accept(hint)
    assert fields(desk, 4) == expected
    assert [desk.view.card_at(at).mark for at in (1, 2, 3)] == others
    desk.undo()
    assert fields(desk, 4) == ("2", "Gold", "12/99", "Near Mint", "box 1", "")


def test_what_would_change_is_said_beforehand_and_afterwards(desk):
    desk.go(4)
    proposal = desk.proposals.of("ex")
    assert list(proposal.changes) == [("condition", "Near Mint", "Excellent")]
    assert desk.accept("ex") == "Card 4: condition Excellent, was Near Mint."


def test_what_is_so_already_changes_nothing(desk):
    desk.go(4)
    assert desk.proposals.of("nm").deed is Deed.KEEP


def test_a_number_alone_is_another_card_of_its_own_set_with_what_is_its_own(desk):
    desk.carry("poor at=box 5")
    desk.go(4)
    proposal = desk.proposals.of("3")
    assert proposal.deed is Deed.TAKE
    desk.accept("3")
    # it is still the copy that is in the hand: its serial number too is what was read on it
    assert fields(desk, 4) == ("3", "Gold", "12/99", "Near Mint", "box 1", "")
    assert desk.view.cursor.carried.get("place") == "box 5"


@pytest.mark.parametrize(("hint", "serial"), [("3 13/99", "13/99"), ("3 base", ""), ("3 si", "")])
def test_another_serial_number_or_parallel_is_not_that_of_the_copy(desk, hint, serial):
    desk.go(4)
    desk.accept(hint)
    assert fields(desk, 4)[2] == serial


@pytest.fixture(scope="module")
def sisters() -> Session:
    """Six cards of one set, then eight that go to and fro between it and its sister."""
    rows = [
        Row(name, str(number), f"{first}a{number} Ma{number}sh")
        for name, first in (("1992 Bright", "Ann"), ("1993 Bright Two", "Bel"))
        for number in range(1, 80)
    ]
    session = Session(MemoryStore(), clock=lambda: 1.0)
    session.candidates.matcher = Matcher(Index(Checklist(rows)))
    session.take_in([f"scan_{number}.jpg" for number in range(1, 41)])
    for number in (2, 5, 8, 11, 14, 17):
        session.accept(f"#{number} set=1992")
    for number in (20, 23, 26, 29):
        session.accept(f"#{number} set=1992")
        session.accept(f"#{number} set=two")
    session.go(4)
    return session


@pytest.mark.parametrize(
    ("hint", "set_name", "number"),
    [
        ("12", "1992 Bright", "12"),
        ("30", "1992 Bright", "30"),  # that the sister goes on with
        ("12 two", "1993 Bright Two", "12"),
    ],
)
def test_how_the_lot_goes_on_says_nothing_of_a_card_gone_back_to(sisters, hint, set_name, number):
    proposal = sisters.proposals.of(hint)
    assert proposal.deed is Deed.TAKE
    assert (proposal.candidate.tags.set, proposal.candidate.tags.number) == (set_name, number)
    assert proposal.candidate.sure or hint != "12"


def test_a_serial_number_above_its_print_run_is_refused(desk):
    desk.go(4)
    assert desk.proposals.of("100/99").deed is Deed.REFUSE


def test_an_unlisted_card_takes_what_is_typed(desk):
    desk.go(5)
    desk.take_unlisted("77 nobody")
    desk.go(5)
    desk.accept("p=teal 3/5 ex")
    tags = desk.view.card_at(5).mark.tags
    assert (tags.number, tags.parallel, tags.serial) == ("77", "Teal", "3/5")
    assert (tags.condition, tags.listed) == ("Excellent", False)


def test_a_card_that_was_set_aside_lies_where_it_lay_then(desk):
    desk.go(5)
    desk.set_aside("which parallel?")
    assert desk.view.card_at(5).mark.tags.place == "box 1"
    desk.carry("at=box 5")
    desk.go(5)
    desk.accept("1")
    mark = desk.view.card_at(5).mark
    assert (mark.state, mark.tags.place) == (State.TAGGED, "box 1")


def test_a_card_set_aside_before_any_place_was_carried_has_none(desk):
    desk.drop("place")
    desk.go(5)
    desk.set_aside("which parallel?")
    desk.carry("at=box 5")
    desk.go(5)
    desk.accept("1")
    assert desk.view.card_at(5).mark.tags.place == ""


def test_a_card_set_aside_keeps_the_condition_of_then_as_well(desk):
    desk.carry("ex")
    desk.go(5)
    desk.set_aside("which parallel?")
    desk.carry("poor at=box 5")
    desk.go(5)
    desk.accept("1")
    assert fields(desk, 5)[3:5] == ("Excellent", "box 1")


@pytest.mark.parametrize(
    ("hint", "expected"),
    [
        ("ex", ("2", "Gold", "12/99", "Excellent", "box 1", "")),
        ("at=box 9", ("2", "Gold", "12/99", "Near Mint", "box 9", "")),
        ("note=soft", ("2", "Gold", "12/99", "Near Mint", "box 1", "soft")),
        ("3", ("3", "Gold", "12/99", "Near Mint", "box 1", "")),
    ],
)
def test_on_a_card_set_aside_with_tags_only_what_is_typed_changes(desk, hint, expected):
    desk.go(4)
    desk.set_aside("d")
    was = desk.view.card_at(4).mark
    assert was.tags.place == "box 1"
    desk.carry("poor at=box 5")
    desk.go(4)
    assert desk.proposals.of("").deed is Deed.KEEP
    proposal = desk.proposals.of(hint)
    assert proposal.changes[0] == ("state", "set aside: damaged", "tagged")
    desk.accept(hint)
    assert fields(desk, 4)[0] == expected[0]
    assert fields(desk, 4)[3:] == expected[3:]
    assert desk.view.card_at(4).mark.state is State.TAGGED
    desk.undo()
    assert desk.view.card_at(4).mark == was


def test_a_card_set_aside_with_tags_is_tagged_with_them_again_by_the_same_key(desk):
    before = desk.view.card_at(4).mark
    desk.go(4)
    desk.set_aside("d")
    desk.go(4)
    said = desk.set_aside("")
    assert said == "Card 4 is no longer set aside: #2 Bo Lund, Gold 12/99, Near Mint."
    assert desk.view.card_at(4).mark == before
    desk.undo()
    assert desk.view.card_at(4).mark.state is State.SET_ASIDE
    desk.go(4)
    desk.set_aside("torn")  # another reason is one
    assert desk.view.card_at(4).mark.reason == "torn"


def test_setting_a_tagged_card_aside_changes_nothing_of_its_tags(desk):
    desk.drop("place")
    desk.go(5)
    desk.accept("3")
    was = desk.view.card_at(5).mark.tags
    desk.carry("ex at=box 7")
    desk.go(5)
    desk.set_aside("d")
    assert desk.view.card_at(5).mark.tags == was


def test_a_slip_that_hardly_names_a_card_does_not_replace_a_tagged_one():
    rows = [Row("Harbor", str(number), f"Emil N{number}rick") for number in range(1, 60)]
    session = Session(MemoryStore(), clock=lambda: 1.0)
    session.candidates.matcher = Matcher(Index(Checklist(rows)))
    session.take_in([f"scan_{number}.jpg" for number in range(1, 13)])
    session.accept("#3")
    session.go(1)
    before = session.view.card_at(1).mark
    assert session.proposals.of("gem").deed is Deed.REFUSE  # no condition, but nearly a name
    with pytest.raises(Refused, match="type a number or more of the name"):
        session.accept("gem")
    assert session.view.card_at(1).mark == before
    assert session.proposals.of("gem", 1).deed is Deed.TAKE  # chosen with the arrow it is meant
    assert session.proposals.of("n40r").deed is Deed.TAKE
    session.go(2)
    assert session.proposals.of("gem").deed is Deed.TAKE


def test_a_set_alone_is_the_card_of_the_same_number_there(tmp_path: Path) -> None:
    rows = [Row("1979 Orchard Road", str(at), f"Ada N{at}l") for at in range(1, 20)]
    rows += [Row("1983 Orchard Road", str(at), f"Bo V{at}s") for at in range(1, 20)]
    session = opened(tmp_path)
    session.candidates.matcher = Matcher(Index(Checklist(tuple(rows))))
    for hint in ("set=1983_orchard_road 7", "8 nm"):
        session.accept(hint)
    session.go(2)
    proposal = session.proposals.of("1979")
    assert proposal.deed is Deed.TAKE
    assert proposal.changes == [
        ("set", "1983 Orchard Road", "1979 Orchard Road"),
        ("name", "Bo V8s", "Ada N8l"),
    ]
    said = "Card 2: #8 Ada N8l, base, Near Mint, 1979 Orchard Road."
    assert session.accept("1979") == said
    assert f"{session.undo()}." == f"Undone: card{said[4:]}."
    assert session.redo()
    [entry] = session.history(1)
    assert words(entry.change, {2: 2}) == (
        "card 2: #8 Ada N8l, base, Near Mint, unsure, 1979 Orchard Road, was #8 Bo V8s, base, "
        "Near Mint, 1983 Orchard Road"
    )
    tags = session.view.card_at(2).mark.tags
    assert (tags.set, tags.number, tags.condition) == ("1979 Orchard Road", "8", "Near Mint")
    # it is the newest card: the next one is of its set, and undo brings back both
    assert session.view.cursor.carried.get("set") == "1979 Orchard Road"
    session.undo()
    assert session.view.cursor.carried.get("set") == "1983 Orchard Road"
    # an older card says nothing of the next one
    session.go(1)
    session.accept("1979")
    assert session.view.card_at(1).mark.tags.set == "1979 Orchard Road"
    assert session.view.cursor.carried.get("set") == "1983 Orchard Road"


def test_a_number_that_has_a_letter_in_the_list_is_another_card(tmp_path: Path) -> None:
    rows = [
        Row("1979 Orchard Road", number, f"Ada N{number}l") for number in ("1", "2a", "2b", "3")
    ]
    session = opened(tmp_path)
    session.candidates.matcher = Matcher(Index(Checklist(tuple(rows))))
    session.accept("1")
    session.go(1)
    # both are as likely; the number was typed, and ↓ leads to the other one
    assert session.proposals.of("2").deed is Deed.TAKE
    assert [one.tags.number for one in session.candidates.of("2")[:2]] == ["2a", "2b"]


SALT = "2003 Salt Row"
GOLD_50, GOLD_25, SILVER = Parallel("Gold", 50), Parallel("Gold", 25), Parallel("Silver")


@pytest.fixture
def salt() -> Session:
    """Two cards tagged: #1, which has no Gold, and #3 as Gold 4/25; #2 has a Gold of 50."""
    rows = (
        Row(SALT, "1", "Ada Lantern", parallels=(SILVER,)),
        Row(SALT, "2", "Bram Oar", parallels=(SILVER, GOLD_50)),
        Row(SALT, "3", "Cleo Pike", parallels=(SILVER, GOLD_25)),
        Row(SALT, "4", "Dov Reed"),
    )
    session = Session(MemoryStore(), clock=lambda: 1.0)
    session.candidates.matcher = Matcher(Index(Checklist(rows)))
    session.take_in([f"scan_{number}.jpg" for number in range(1, 13)])
    session.accept("1 nm")
    session.accept("3 gold 4/25 nm price=4")
    return session


@pytest.mark.parametrize(
    ("position", "hint", "why"),
    [
        (2, "4/50", "no parallel of this card is numbered to 50 (listed: /25)"),
        (1, "7/50", "no parallel of this card is numbered to 50 in the checklist"),
        (1, "gold 3/50", "the list has #1 Ada Lantern as base or Silver, not Gold"),
        (1, "gold", "the list has #1 Ada Lantern as base or Silver, not Gold"),
        (1, "g", "this card does not match 'g'"),
        (1, "red", "the list has #1 Ada Lantern as base or Silver, not Red"),
        (1, "parallel=rainbow", "the list has #1 Ada Lantern as base or Silver, not Rainbow"),
    ],
)
def test_what_a_card_cannot_have_leads_to_no_other_card(salt, position, hint, why):
    salt.go(position)
    own = salt.view.card_at(position).mark.tags
    proposal = salt.proposals.of(hint)
    assert (proposal.deed, proposal.why) == (Deed.REFUSE, why)
    assert [one.tags for one in proposal.candidates] == [own]


@pytest.mark.parametrize(
    ("hint", "made"),
    [
        ("7/50", "#1 Ada Lantern, base 7/50, Near Mint, unlisted"),
        ("gold 3/50 ex", "#1 Ada Lantern, Gold 3/50, Excellent, unlisted"),
        ("parallel=rainbow", "#1 Ada Lantern, Rainbow, Near Mint, unlisted"),
    ],
)
def test_what_the_list_lacks_of_a_card_is_added_to_it_by_the_key_for_unlisted(salt, hint, made):
    salt.go(1)
    assert salt.proposals.of(hint).unlisted.tags.brief() == made
    salt.take_unlisted(hint)
    assert salt.view.card_at(1).mark.tags.brief() == made


def test_what_the_list_has_of_a_card_is_not_made_unlisted(salt):
    salt.go(1)
    for hint in ("silver", "ex"):
        with pytest.raises(Refused, match="Enter changes what is typed of it"):
            salt.take_unlisted(hint)


@pytest.mark.parametrize(("hint", "first"), [("2", 1.0), ("gold 2", 0.6)])
def test_a_number_that_may_be_the_serial_number_is_shown_as_both(salt, hint, first):
    salt.go(2)
    other, own = salt.proposals.of(hint).candidates[:2]
    assert (other.tags.number, own.tags.number, own.tags.serial) == ("2", "3", "2/25")
    assert other.confidence == pytest.approx(first, abs=0.01)
    proposal = salt.proposals.of(hint, 1)
    assert list(proposal.changes) == [("serial number", "4/25", "2/25")]
    salt.accept(hint, 1)
    assert salt.view.card_at(2).mark.tags.brief() == "#3 Cleo Pike, Gold 2/25, Near Mint"


def test_a_serial_number_that_was_forgotten_makes_no_number_sure(salt):
    salt.accept("3 gold")
    for hint in ("2", "2 ex"):
        salt.go(3)
        assert not salt.proposals.of(hint).candidate.sure
        assert salt.proposals.of(hint, 1).deed is Deed.CHANGE
    salt.go(1)
    # the plain card has none to forget
    assert salt.proposals.of("2").candidate.sure
    assert not any(one.corrects for one in salt.proposals.of("3").candidates)


def test_what_another_number_costs_the_copy_is_shown(salt):
    salt.go(2)
    assert list(salt.proposals.of("2").copy_changes) == [("serial number", "4/25", "none")]
    assert list(salt.proposals.of("4").copy_changes) == [
        ("parallel", "Gold", "base"), ("serial number", "4/25", "none"),
    ]  # fmt: skip
    salt.accept("2")
    assert salt.view.card_at(2).mark.tags.price == "4"  # as place and note do, it stays


@pytest.mark.parametrize("numbers", ["ABCGX", ["I", "II", "V", "X", "G"]])
def test_a_number_of_letters_is_one_behind_its_sign(numbers):
    rows = [Row("Letters", number, f"Tam Kno{number}low") for number in numbers]
    session = Session(MemoryStore(), clock=lambda: 1.0)
    session.candidates.matcher = Matcher(Index(Checklist(rows)))
    session.take_in(["scan_1.jpg", "scan_2.jpg"])
    session.accept(f"#{numbers[1]}")
    session.go(1)
    for hint, number in (("#g", "G"), ("#x", "X"), ("number=g", "G")):
        proposal = session.proposals.of(hint)
        assert (proposal.deed, proposal.candidate.tags.number) == (Deed.TAKE, number)
    # alone it may be a slip
    assert session.proposals.of("g").why.endswith("to make it the card of that number, type #g")

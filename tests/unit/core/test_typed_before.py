"""Cards that no checklist has: what was typed before comes back, and a lot without any list is
worked at by Enter alone."""

from __future__ import annotations

import pytest
from support.memory import MemoryStore

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.unlisted_numbers import in_case, in_frame, next_number, usual_step
from tagger.core.model.tags import Parallel, Row, Tags
from tagger.core.session.proposal import Deed
from tagger.core.session.session import Session
from tagger.errors import Refused

NAMES = [f"{at:04d}_{side}.png" for at in range(40) for side in "ab"]


def _session(rows: tuple[Row, ...] = (), others: tuple[Tags, ...] = ()) -> Session:
    session = Session(MemoryStore(), clock=lambda: 1.0)
    session.take_in(NAMES)
    session.candidates.other_lots = lambda: others
    session.candidates.matcher = Matcher(Index(Checklist(rows)))
    return session


def _first(session: Session, hint: str) -> tuple[str, str, str]:
    tags = session.proposals.of(hint).candidate.tags
    return tags.set, tags.number, tags.subject


def _all(session: Session, hint: str) -> list[tuple[str, str]]:
    return [(each.tags.number, each.tags.subject) for each in session.proposals.of(hint).candidates]


def test_enter_accepts_what_was_typed_where_there_is_no_checklist():
    session = _session()
    session.accept("set=harbor 23 ada marsh nm")
    tags = session.view.card_at(1).mark.tags
    assert (tags.number, tags.subject, tags.condition, tags.listed) == (
        "23", "Ada Marsh", "Near Mint", False,
    )  # fmt: skip
    assert not session.view.card_at(1).mark.unsure


def test_the_run_goes_on_and_names_come_back():
    session = _session()
    session.accept("23 ada marsh set=harbor")
    assert _first(session, "bo lund") == ("Harbor", "24", "Bo Lund")
    session.accept("bo lund")
    session.accept("set=tide 7 cyr holm")
    # of another set, with the number that follows there
    assert _first(session, "lu") == ("Tide", "8", "Bo Lund")
    assert _first(session, "am") == ("Tide", "8", "Ada Marsh")
    # and what was typed is there as it was typed
    assert ("8", "Lu") in _all(session, "lu")
    # a number that was typed before is that card
    assert _first(session, "7") == ("Tide", "7", "Cyr Holm")
    assert ("23", "Ada Marsh") in _all(session, "23")


def test_a_number_alone_is_accepted_and_nothing_typed_is_not_without_a_name():
    session = _session()
    session.accept("23 ada marsh")
    assert session.proposals.of("").deed is Deed.REFUSE
    assert "name" in session.proposals.of("").why
    session.accept("24")
    # the card before has no name: the next one needs none
    session.accept("")
    assert session.view.card_at(3).mark.tags.title == "#25"


@pytest.mark.parametrize(
    ("number", "follows"),
    [("23", "24"), ("RC-9", "RC-10"), ("007", "008"), ("99", "100"), ("BP-AM", ""), ("", "")],
)
def test_the_number_that_follows(number, follows):
    assert next_number(number) == follows


ROWS = tuple(Row("Harbor", str(at), f"Name{at} Sur{at}") for at in range(1, 30))


def test_what_was_unlisted_is_a_candidate_beside_a_checklist():
    session = _session(ROWS)
    session.accept("3")
    session.take_unlisted("#900 zora quell")
    assert _first(session, "900") == ("Harbor", "900", "Zora Quell")
    assert _first(session, "quel") == ("Harbor", "900", "Zora Quell")
    assert not session.proposals.of("900").candidate.tags.listed
    # a card that a checklist has goes before
    session.take_unlisted("#5 zora quell")
    assert session.proposals.of("5").candidate.tags.listed
    assert ("5", "Zora Quell") in _all(session, "5")


def test_what_is_undone_is_known_no_more_and_what_is_corrected_is_known_as_that():
    session = _session(ROWS)
    session.take_unlisted("#900 zora quell set=harbor")
    session.undo()
    assert session.proposals.of("900").candidate is None
    session.redo()
    assert _first(session, "900")[2] == "Zora Quell"
    session.go(1)
    session.take_unlisted("#901 zora quell set=harbor")
    assert session.proposals.of("900").candidate is None


def test_cards_of_other_lots_are_known_here_and_this_lot_knows_its_own():
    others = (Tags("Tide", "77", "Mira Vance", listed=False),)
    session = _session(ROWS, others)
    assert _first(session, "vance") == ("Tide", "77", "Mira Vance")
    session.take_unlisted("#900 zora quell")
    # on another machine nothing is known of other lots, and all of this one
    elsewhere = Session(session._store, clock=lambda: 1.0)
    elsewhere.candidates.matcher = Matcher(Index(Checklist(ROWS)))
    assert _first(elsewhere, "900")[2] == "Zora Quell"
    assert [tags.subject for tags in elsewhere.candidates.unlisted()] == ["Zora Quell"]


@pytest.mark.parametrize(
    "text", ["\x1b[2Jada", "[red]x[/]", "=1+1", "a" * 5000, "\u202egold", "(", "9" * 300]
)
def test_hostile_text_is_no_trouble(text):
    session = _session(others=(Tags("S", text, text, listed=False),))
    session.proposals.of(text)
    session.accept(f"12 {text}")
    session.proposals.of("12")
    session.proposals.of("")


def test_a_name_that_comes_back_is_on_the_next_card_of_the_run():
    session = _session()
    session.accept("set=harbor 23 ada marsh")
    session.accept("bo lund")
    assert _first(session, "ada marsh") == ("Harbor", "25", "Ada Marsh")
    assert _first(session, "ada") == ("Harbor", "25", "Ada Marsh")
    assert ("23", "Ada Marsh") in _all(session, "ada")  # a copy is still one of them
    assert _first(session, "23 ada") == ("Harbor", "23", "Ada Marsh")


def test_a_set_that_was_typed_is_carried_where_there_is_no_checklist():
    session = _session()
    said, left = session.carry_off("set=blue harbor 7 ada near mint at=box 2")
    assert said == "Carrying from now on: set Blue Harbor, condition Near Mint, place box 2."
    assert left == "7 ada"
    session.accept(left)
    tags = session.view.card_at(1).mark.tags
    assert (tags.set, tags.number, tags.subject, tags.place) == ("Blue Harbor", "7", "Ada", "box 2")
    with pytest.raises(Refused, match="Type what to carry"):
        session.carry_off("bo lund")


def test_a_number_with_the_count_of_the_set_goes_on_as_a_number():
    """Of games (common practice, no source): `#` says so once, at the first card."""
    session = _session()
    session.accept("#012/110 ash bard set=mist")
    assert _first(session, "bog witch") == ("Mist", "013/110", "Bog Witch")
    assert _first(session, "019/110 bog witch") == ("Mist", "019/110", "Bog Witch")
    session.accept("019/110 bog witch")
    assert _first(session, "moon toad") == ("Mist", "020/110", "Moon Toad")
    tags = session.proposals.of("020/110 moon toad 7/99").candidate.tags
    assert (tags.number, tags.serial) == ("020/110", "7/99")


@pytest.mark.parametrize(
    ("hint", "title", "explained"),
    [
        (
            "set=state fair 1937 #1 penny arcade gd",
            "#1 Penny Arcade",
            "set=state: set · fair: set · 1937: set · #1: number · penny: subject"
            " · arcade: subject · gd: condition",
        ),
        ("set=sun_deck 7 reef", "#7 Reef", "set=sun_deck: set · 7: number · reef: subject"),
        (
            "7 very good dog gold 2/9 near mint",
            "#7 Very Good Dog",
            "7: number · very: subject · good: subject · dog: subject · gold: parallel"
            " · 2/9: serial number · near: condition · mint: condition",
        ),
    ],
)
def test_how_the_words_were_read_is_told_as_they_are_used(hint, title, explained):
    candidate = _session().proposals.of(hint).candidate
    assert (candidate.tags.title, candidate.explained()) == (title, explained)


@pytest.mark.parametrize(
    ("hint", "made"),
    [
        ("2 red 3/99 nm", "#2 Bo Lund, Red 3/99, Near Mint, unlisted"),
        ("2 gold 3/99", "#2 Bo Lund, Gold 3/99, unlisted"),
        ("2 parallel=rainbow", "#2 Bo Lund, Rainbow, unlisted"),
    ],
)
def test_a_card_of_another_set_never_goes_before_the_number_of_the_carried_set(hint, made):
    rows = (Row("Harbor", "1", "Ada Marsh"), Row("Harbor", "2", "Bo Lund", "", (Parallel("Gold"),)))
    session = _session(rows, (Tags("Copper Lane 1937", "2", "Strong Man", listed=False),))
    session.accept("1")
    proposal = session.proposals.of(hint)
    # the carried card cannot be so: Enter says it, and F4 makes it
    assert (proposal.deed, proposal.candidate.tags.set) == (Deed.REFUSE, "Harbor")
    assert proposal.unlisted.tags.brief() == made
    assert ("2", "Strong Man") in _all(session, hint)
    # named by more than the number it goes first
    assert _first(session, "2 strong") == ("Copper Lane 1937", "2", "Strong Man")


def test_the_steps_of_a_lot_without_a_list_are_learned_and_its_letters_filled_in():
    session = _session()
    for number, name in enumerate(("thrift", "marram", "lizard", "plover", "natter"), 1):
        session.accept(f"set=wild_shore ws-{2 * number:02d} {name}")
    proposal = session.proposals.of("sea holly")
    assert proposal.candidate.tags.title == "#WS-12 Sea Holly"
    # a number that goes on by itself is never called sure, nor is the card marked for it
    assert not proposal.candidate.sure
    assert proposal.unlisted is None
    assert _all(session, "12 sea holly") == [("WS-12", "Sea Holly"), ("12", "Sea Holly")]
    assert _all(session, "#12 sea holly") == [("12", "Sea Holly")]
    assert _first(session, "4") == ("Wild Shore", "WS-04", "Marram")
    session.accept("sea holly")
    assert not session.view.card_at(6).mark.unsure
    session.go(6)
    assert list(session.proposals.of("14").changes) == [("number", "WS-12", "WS-14")]


@pytest.mark.parametrize(
    ("numbers", "step"),
    [
        ("1 2 3", 1), ("2 4 6 8 10", 2), ("20 19 18 17 16 15", -1), ("1 1 2 2 3 3", 1),
        ("AB CD", 1), ("", 1), ("A-2 A-4 B-6", 1),
    ],
)  # fmt: skip
def test_by_how_much_a_number_goes_on(numbers, step):
    assert usual_step(numbers.split()) == step


@pytest.mark.parametrize(
    ("typed", "others", "written"),
    [
        ("sp14", "SP12 1 2", "SP14"),
        ("ws-02", "", "WS-02"),
        ("rc9", "rc7 rc8", "rc9"),
        ("117a", "1 2", "117a"),
        ("118b", "117A", "118B"),
        ("rc7a", "RC6a", "RC7a"),
        ("Ws-2", "WS-1", "Ws-2"),  # typed as it is to stand
        ("12", "SP12", "12"),
    ],
)
def test_a_number_has_its_letters_as_the_others_of_its_set(typed, others, written):
    assert in_case(typed, others.split()) == written


@pytest.mark.parametrize(
    ("typed", "others", "whole"),
    [
        ("4", "WS-02", "WS-04"),
        ("14", "RC-9 RC-10", "RC-14"),
        ("13", "012/110", "013/110"),
        ("4", "WS-02 7", "4"),
        ("4", "", "4"),
        ("4a", "WS-02", "4a"),
    ],
)
def test_digits_alone_have_what_all_numbers_of_the_set_have_around_them(typed, others, whole):
    assert in_frame(typed, others.split()) == whole


@pytest.mark.parametrize(
    ("hint", "name"),
    [
        ("7 hall of mirrors", "Hall of Mirrors"),
        ("7 juan de la cruz", "Juan de la Cruz"),
        ("7 the isle of the birds", "The Isle of the Birds"),
        ("7 john e smith", "John E Smith"),
        ("7 vitamin de", "Vitamin De"),
        ("7 d'angelo mcKay", "D'Angelo mcKay"),
        ("7 name=Hall Of mirrors", "Hall Of mirrors"),
        ("7 name=hall of mirrors", "Hall of Mirrors"),
    ],
)
def test_small_words_of_a_name_stay_small_and_a_tied_name_is_as_it_was_typed(hint, name):
    assert _session().proposals.of(hint).candidate.tags.subject == name


def test_the_case_of_a_name_can_be_corrected():
    session = _session()
    session.accept("7 ludwig van beethoven")
    session.go(1)
    proposal = session.proposals.of("name=Ludwig Van Beethoven")
    assert list(proposal.changes) == [("name", "Ludwig van Beethoven", "Ludwig Van Beethoven")]


def test_a_lettered_number_that_a_list_has_is_its_card_while_an_unlisted_set_is_carried():
    rows = [Row("Duskbound", f"DSK-{at:03d}", f"Salt N{at}l") for at in range(1, 120)]
    session = _session(tuple(rows))
    session.take_unlisted("set=1991 summit ridge 7 ada quist")
    for hint in ("dsk-105", "dsk105", "#dsk-105"):
        first, second = session.proposals.of(hint).candidates[:2]
        assert (first.tags.set, first.tags.number) == ("Duskbound", "DSK-105")
        assert second.tags.set == "1991 Summit Ridge"
        assert not first.sure
        assert not second.sure
    # a name beside it says which it is; bare digits are of the set that is carried
    assert _first(session, "dsk-105 n105l") == ("Duskbound", "DSK-105", "Salt N105l")
    assert _first(session, "dsk-105 tove vane")[0] == "1991 Summit Ridge"
    assert _first(session, "105")[0] == "1991 Summit Ridge"
    # once the set has such numbers, they are its own
    session.take_unlisted("dsk-1 tove vane")
    assert _first(session, "dsk-105")[0] == "1991 Summit Ridge"

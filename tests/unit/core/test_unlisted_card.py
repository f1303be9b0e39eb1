"""A card that no checklist has, as a hint makes it: what is a parallel, what is a set, and when it
is doubted that the card is of the carried set."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.at_work import LIGHT, POND, opened, take

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Row
from tagger.core.session.session import Session
from tagger.errors import Refused


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    take(session, "set=87 1")
    yield session
    session.close()


def made(session: Session, hint: str) -> tuple[str, str, str, str, str, str]:
    tags = session.unlisted(hint).tags
    return tags.set, tags.number, tags.subject, tags.parallel, tags.serial, tags.condition


@pytest.mark.parametrize(
    ("hint", "expected"),
    [
        ("900 ada marsh gold 12/99", (LIGHT, "900", "Ada Marsh", "Gold", "12/99", "")),
        ("gold 900 ada marsh nm", (LIGHT, "900", "Ada Marsh", "Gold", "", "Near Mint")),
        # the number ends the words of the set, and its year does not
        ("set=85 2 gold", (POND, "2", "Gil Norett", "Gold", "", "")),
        ("set=far meadow 1991 900 ada gold", ("Far Meadow 1991", "900", "Ada", "Gold", "", "")),
        ("name=ada gold #900", (LIGHT, "900", "Ada Gold", "", "", "")),
        ("name=ada gold silver 1/5", (LIGHT, "", "Ada Gold", "Silver", "1/5", "")),
        ("900 ada parallel=blue gold", (LIGHT, "900", "Ada Gold", "Blue", "", "")),
        ("900 ada purple 3/10", (LIGHT, "900", "Ada", "Purple", "3/10", "")),
        ("900 ada purple", (LIGHT, "900", "Ada Purple", "", "", "")),
        ("gold nm", (LIGHT, "", "Gold", "", "", "Near Mint")),
        ("set=summit ridge 1991 7 ada", ("Summit Ridge 1991", "7", "Ada", "", "", "")),
        ("set=summit ridge #7 ada lund", ("Summit Ridge", "7", "Ada Lund", "", "", "")),
        ("set=1991 ridge name=ada #7", ("1991 Ridge", "7", "Ada", "", "", "")),
        ("set=1991 1992 ada", ("1991", "1992", "Ada", "", "", "")),
        ("set=ridge gold 2/9 7", ("Ridge", "7", "", "Gold", "2/9", "")),
        ("set=ridge nm 7 ada", ("Ridge", "7", "Ada", "", "", "Near Mint")),
        ("set=85 7 ada", (POND, "7", "Ada", "", "", "")),
        ("set=mill pond 7 ada", (POND, "7", "Ada", "", "", "")),
        ("set=mill ponds 7 ada", ("Mill Ponds", "7", "Ada", "", "", "")),
        # of two conditions the first is part of a name
        ("sp3 fair wind ex", (LIGHT, "SP3", "Fair Wind", "", "", "Excellent")),
        ("97 very good dog nm", (LIGHT, "97", "Very Good Dog", "", "", "Near Mint")),
        ("name=very good dog 97 ex", (LIGHT, "97", "Very Good Dog", "", "", "Excellent")),
        ("97 ada fair condition=nm", (LIGHT, "97", "Ada Fair", "", "", "Near Mint")),
        ("set=state fair 1937 #7 ada gd", ("State Fair 1937", "7", "Ada", "", "", "Good")),
        ("set=state fair 1937 #7 ada", ("State Fair 1937", "7", "Ada", "", "", "")),
        ("set=ridge 2 #7 ada", ("Ridge 2", "7", "Ada", "", "", "")),
    ],
)
def test_words_of_a_parallel_and_of_a_set_are_read_as_such(desk, hint, expected):
    assert made(desk, hint) == expected


def test_a_colour_before_a_serial_number_needs_no_checklist(desk):
    desk.candidates.matcher = Matcher(Index(Checklist()))
    assert made(desk, "900 ada gold 12/99")[3:5] == ("Gold", "12/99")
    assert made(desk, "900 ada gold")[2:4] == ("Ada Gold", "")


def test_a_number_that_the_carried_set_does_not_have_is_doubted(desk):
    assert desk.unlisted("900 ada").doubt == f"{LIGHT} has no #900."
    for hint in ("set=87 900 ada", "nobody"):
        assert desk.unlisted(hint).doubt == ""


def test_the_same_number_with_letters_before_it_is_named(desk):
    rows = (Row(LIGHT, "1", "Ada Marsh"), Row(LIGHT, "NS-8", "Bo Lund"), Row(POND, "X8", "Cyr"))
    desk.candidates.matcher = Matcher(Index(Checklist(rows)))
    assert desk.unlisted("8 ada").doubt == f"{LIGHT} has no #8, but #NS-8 Bo Lund."
    assert desk.unlisted("9 ada").doubt == f"{LIGHT} has no #9."


def test_behind_such_a_card_of_the_set_it_is_not_doubted_again(desk):
    desk.take_unlisted("900 ada")
    assert desk.unlisted("901 bo").doubt == ""
    take(desk, "2")
    assert desk.unlisted("902 cyr").doubt
    desk.step(-1)
    assert desk.unlisted("902 cyr").doubt == ""  # a tagged card's set was said before


@pytest.mark.parametrize(
    ("hint", "shown", "first"),
    [
        ("zzqx", True, True),
        ("900 zora gold", True, True),
        ("2 zzqx", True, False),
        ("87 2", False, False),
        ("nm", False, False),
        ("?", False, False),
        ("next=3 zzqx", False, False),
        ("", False, False),
    ],
)
def test_the_proposal_has_the_card_where_it_may_be_meant(desk, hint, shown, first):
    proposal = desk.proposals.of(hint)
    assert (proposal.unlisted is not None, proposal.unlisted_first) == (shown, first)


def test_what_is_carried_for_many_makes_no_card(desk):
    for hint in ("next=60 gold", "?"):
        with pytest.raises(Refused, match="not a card"):
            desk.take_unlisted(hint)


def test_what_was_shown_is_what_is_made(desk):
    shown = desk.proposals.of("900 zora oakes gold 12/99 nm").unlisted
    desk.take_unlisted("900 zora oakes gold 12/99 nm")
    assert desk.view.card_at(2).mark.tags == shown.tags


def test_a_team_takes_all_its_words_behind_the_name(desk):
    tags = desk.unlisted("set=promos #P-2 wanda nobody team=Mill Creek Otters nm").tags
    assert (tags.subject, tags.team, tags.condition) == (
        "Wanda Nobody", "Mill Creek Otters", "Near Mint",
    )  # fmt: skip
    tags = desk.unlisted("9 team=gulls ada marsh").tags
    assert (tags.subject, tags.team) == ("Ada Marsh", "Gulls")


def test_a_parallel_that_the_list_does_not_have_is_of_the_card_that_it_has(desk):
    made = desk.unlisted("2 blue 3/10")
    assert (made.tags.subject, made.tags.team, made.tags.parallel) == ("Bo Lund", "Gulls", "Blue")
    told = "the list has #2 Bo Lund as base, Gold or Silver, not Blue"
    assert made.listed_as == told
    assert desk.unlisted("2 lund blue 3/10").tags == made.tags
    assert desk.unlisted("2 purple lund").tags.brief() == "#2 Bo Lund, Purple, unlisted"
    # a slip and an unknown parallel at once, and each by itself
    assert desk.unlisted("2 lnud red").listed_as.endswith("not Red")
    assert desk.unlisted("2 lnud").tags.brief() == "#2 Lnud, base, unlisted"
    assert desk.unlisted("2 ada red").tags.subject == "Ada Red"
    assert desk.unlisted("2 ada marsh").listed_as == "the list's #2 is Bo Lund"
    assert desk.unlisted("900 blue 3/10").listed_as == ""
    assert desk.unlisted("2 gold").listed_as == ""


def test_enter_says_what_the_list_has_instead(desk):
    desk.candidates.matcher = Matcher(Index(Checklist((Row(LIGHT, "2", "Bo Lund", "Gulls"),))))
    before, told = desk.view.revision, "the list has #2 Bo Lund as base, not Red"
    shown = desk.proposals.of("2 red")
    assert (shown.why, shown.candidate.problem) == (told, told)
    with pytest.raises(Refused, match=f"Not accepted: {told}."):
        desk.accept("2 red")
    assert desk.view.revision == before
    desk.take_unlisted("2 red")
    assert desk.view.card_at(2).mark.tags.brief() == "#2 Bo Lund, Red, unlisted"


@pytest.mark.parametrize(
    ("hint", "told"),
    [
        ("97 ada 1/9 2/9", "Two serial numbers are typed, 1/9 and 2/9: take one out."),
        ("#97 #98 ada", "Two numbers are typed, 97 and 98: take one out."),
        ("set=ridge ada", "behind set= all words are the set's: type name= before the name."),
    ],
)
def test_nothing_that_is_typed_is_dropped_in_silence(desk, hint, told):
    with pytest.raises(Refused) as refused:
        desk.unlisted(hint)
    assert str(refused.value).endswith(told)
    # nor does the panel offer the key that refuses it
    desk.candidates.matcher = Matcher(Index(Checklist()))
    assert desk.proposals.of(hint).why.endswith(told)


@pytest.mark.parametrize(
    ("hint", "expected"),
    [
        ("85 397 ivo zellard vg", (POND, "397", "Ivo Zellard", "", "", "Very Good")),
        ("1985 p1 finn golding", (POND, "P1", "Finn Golding", "", "", "")),
        ("397 1985 ivo", (POND, "397", "Ivo", "", "", "")),
        # the year of the carried set, and a number that no set has in its name
        ("1987 397 ivo", (LIGHT, "397", "Ivo", "", "", "")),
        ("397 12 ivo", (LIGHT, "397", "12 Ivo", "", "", "")),
        # alone, or behind its sign, it is the number
        ("1985 ivo", (LIGHT, "1985", "Ivo", "", "", "")),
        ("#1985 7 ivo", (LIGHT, "1985", "7 Ivo", "", "", "")),
    ],
)
def test_the_year_of_a_set_is_read_as_the_set_like_by_enter(desk, hint, expected):
    assert made(desk, hint) == expected


def test_a_year_that_several_sets_have_is_asked_about(desk):
    rows = (Row(LIGHT, "1", "Ada Marsh"), Row(POND, "1", "Bo"), Row("1985 Bay", "1", "Cy"))
    desk.candidates.matcher = Matcher(Index(Checklist(rows)))
    told = "'85' could be 1985 Mill Pond or 1985 Bay: type set=… for the set."
    with pytest.raises(Refused) as refused:
        desk.unlisted("85 397 ivo")
    assert str(refused.value) == told


def test_a_number_that_is_another_card_of_the_carried_set_is_doubted(desk):
    assert desk.unlisted("8 tove vane").doubt == f"{LIGHT} has #8 Hana Wimuna."
    # the same card in a parallel that its list does not have, and a set that was named
    for hint in ("8 hana wimuna purple 3/10", "8 hana", "set=87 8 tove vane"):
        assert desk.unlisted(hint).doubt == ""


def test_a_part_of_an_unlisted_set_of_the_lot_is_asked_about(desk):
    desk.take_unlisted("set=summit ridge 1991 #7 ada quist")
    asked = "Summit may be Summit Ridge 1991 of this lot."
    assert desk.unlisted("set=summit 8 tove vane").doubt == asked
    for hint in ("set=summit ridge 1991 #8 tove", "set=far meadow 8 tove", "set=85 8 tove"):
        assert desk.unlisted(hint).doubt == ""
    # who says again that it is meant has said so: from then on it is a set of its own
    desk.take_unlisted("set=summit 8 tove vane")
    assert desk.unlisted("set=summit 9 bo").doubt == ""

"""Numbers that say how many cards the set has, as `012/110` is printed on cards of games (common
practice, no source): found, counted on and told apart as numbers without it are."""

from __future__ import annotations

import pytest

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.facts import numbering_told, ranges_told, set_facts
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.lot.fields import CardInLot
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.matching.typed_before import next_number
from tagger.core.model.arrangement import Pair
from tagger.core.model.condition import Scale
from tagger.core.model.numbers import canonical, printed_key, split_total
from tagger.core.model.tags import Mark, Parallel, Row, State, Tags
from tagger.core.overview.doubles import Doubles
from tagger.core.overview.selection import read_filter, select

NAMES = ("Ash Bard", "Bog Witch", "Moon Toad", "Ore Smith", "Rust King", "Frost Hag", "Secret Moth")
FORMS = (
    "{at:03d}/110",
    "{at}/110",
    "NM-{at:03d}/110",
    "NM{at}/NM110",
    "{at:03d} / 110",
    "N2-{at:03d}/110",
    "OP05-{at:03d}",
)


def _matcher(form: str) -> Matcher:
    rows = [
        Row("Alpha Mist", form.format(at=at), NAMES[at % 7], "", (Parallel("Foil", 99),))
        for at in range(1, 113)
    ]
    rows += [Row("Beta Mist", f"{at:03d}/90", NAMES[(at + 3) % 7]) for at in range(1, 91)]
    return Matcher(Index(Checklist(tuple(rows))))


def _first(matcher: Matcher, hint: str, before: Tags | None = None, carried: str = "Alpha Mist"):
    context = Context(Carried().put("set", carried) if carried else Carried(), before)
    return matcher.rank(hint, context)[0]


@pytest.mark.parametrize("form", FORMS)
def test_a_number_is_typed_without_how_many_there_are(form):
    matcher = _matcher(form)
    for at in (1, 12, 112):
        for hint in (str(at), f"{at} {NAMES[at % 7][:3]}", form.format(at=at).replace(" ", "")):
            tags = _first(matcher, hint).tags
            assert (tags.set, tags.number) == ("Alpha Mist", form.format(at=at)), hint


@pytest.mark.parametrize("form", FORMS)
def test_the_run_goes_on(form):
    before = Tags("Alpha Mist", form.format(at=9), NAMES[2])
    assert _first(_matcher(form), "", before).tags.number == form.format(at=10)
    assert next_number(form.format(at=9)) == form.format(at=10)


def test_how_many_there_are_names_the_set():
    matcher = _matcher("{at:03d}/110")
    assert _first(matcher, "12/90", carried="").tags.set == "Beta Mist"
    assert _first(matcher, "12/110", carried="Beta Mist").tags.set == "Alpha Mist"


def test_what_no_card_says_is_a_serial_number():
    tags = _first(_matcher("{at:03d}/110"), "30 12/99").tags
    assert (tags.number, tags.parallel, tags.serial) == ("030/110", "Foil", "12/99")


def test_a_list_is_counted_by_its_own_numbers():
    rows = tuple(
        Row("Alpha Mist", f"NM-{at:03d}/110", f"Card {at}") for at in range(1, 111) if at != 40
    )
    (facts,) = set_facts(Checklist(rows))
    assert ranges_told(facts) == "NM-1–NM-110"
    assert list(numbering_told(facts)) == ["Alpha Mist: no card has the number NM-40"]


def test_the_overview_tells_such_a_number_from_a_serial_number():
    numbered = Tags("Alpha Mist", "012/110", "Ash Bard")
    copy = Tags("Alpha Mist", "12", "Bog Witch", "", "Foil", "12/99")
    lot = [
        CardInLot(at, Pair(at, None, None), Mark(State.TAGGED, tags))
        for at, tags in enumerate((numbered, copy), 1)
    ]
    found = {
        typed: select(lot, read_filter(typed, Scale()), Doubles(lot))
        for typed in ("12", "012/110", "12/99")
    }
    assert found == {"12": [1, 2], "012/110": [1], "12/99": [2]}


def test_two_digits_behind_the_stroke_are_a_count_and_one_is_not():
    assert [canonical(text) for text in ("1/2", "1-12", "01/12", "TG05/TG30", "ＮＭ-007/110")] == [
        "1-2",
        "1-12",
        "1",
        "tg5",
        "nm7",
    ]
    assert split_total("NM-012/110") == ("NM-012", "110")
    assert printed_key("RC-07/20") == "rc07"


def test_a_number_without_its_letters_is_shown_of_every_set():
    """A set that was not met yet may begin with any card; its year or a word of it names it."""
    names = ("Mist Beginnings (2019)", "Mist Returns (2021)", "Mist Extras")
    rows = [
        Row(name, f"{letters}-{at:03d}/110", NAMES[at % 7])
        for name, letters in zip(names, ("NM", "N2", "P"), strict=True)
        for at in range(1, 12 if letters == "P" else 111)
    ]
    matcher = Matcher(Index(Checklist(tuple(rows))))
    context = Context(Carried().put("set", names[2]), Tags(names[2], "P-011/110", NAMES[4]))
    shown = [one.tags.number for one in matcher.rank("78", context)]
    assert sorted(shown) == ["N2-078/110", "NM-078/110"]
    for hint in ("2021 78", "78 2021", "returns 78", "n2-78"):
        assert matcher.rank(hint, context)[0].tags.number == "N2-078/110", hint


def test_a_search_finds_the_number_without_its_letters_where_no_card_has_it_alone():
    rows = [Row("Mist", f"NM-{at:03d}/110", NAMES[at % 7]) for at in range(1, 20)]
    rows += [Row("Gulls", str(at), NAMES[at % 7]) for at in range(1, 10)]
    index = Index(Checklist(tuple(rows)))

    def found(hint: str) -> list[str]:
        return [index.row(step).number for _, step, _ in Matcher(index).fitting(hint, 9)]

    assert found("13") == ["NM-013/110"]
    assert found(f"13 {NAMES[13 % 7][:4]}") == ["NM-013/110"]
    assert found("7") == ["7"]


AROUND = (
    "{at}.1", "{at}-B", "No. {at}", "2024-{at}", "S2-{at}", "1:{at}", "{at}|110", "EX {at}",
    "{at} SP", "{at}★", "{at} of 110", "BT01-{at:03d}EN", "{at:03d}/110 R", "ABC-EN{at:03d}",
    "({at})",
    "{at}a/110", "{at}/SP", "GG{at}/GG70", "{at:03d}-110",
)  # fmt: skip


@pytest.mark.parametrize("form", AROUND)
def test_whatever_all_numbers_of_the_carried_set_share_needs_not_be_typed(form):
    rows = [Row("Mist", form.format(at=at), NAMES[at % 7]) for at in range(1, 31)]
    rows += [Row("Other", str(at), NAMES[(at + 2) % 7]) for at in range(1, 60)]
    matcher = Matcher(Index(Checklist(tuple(rows))))
    for before in (Tags("Mist", form.format(at=11), NAMES[4]), None):
        for at in (5, 12):
            for hint in (str(at), f"{at} {NAMES[at % 7][:3].lower()}"):
                found = _first(matcher, hint, before, "Mist")
                assert (found.tags.set, found.tags.number) == ("Mist", form.format(at=at)), hint
                assert not found.problem


def test_a_list_of_what_is_in_stock_is_told_in_one_short_line() -> None:
    rows = tuple(Row("Alpha Mist", number, f"Ada {number}") for number in ("2", "40", "151"))
    (facts,) = set_facts(Checklist(rows))
    assert list(numbering_told(facts)) == [
        "Alpha Mist: 3 cards, and 147 numbers between theirs that none has"
    ]

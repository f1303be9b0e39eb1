"""What a typed hint means, on a small invented checklist: what Enter would take, and what it never
takes."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from support import drawn
from support.harbor import AFTER_22, ALL, LIGHT, POND, ROWS, carrying, rank

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.hint import Hint, Token, parse_hint
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Row, Tags


def test_place_and_note_take_all_that_follows():
    found = rank("23 g at=box 3, row 2 note=corner  bent")[0].tags
    assert (found.number, found.parallel, found.place, found.note) == (
        "23",
        "Gold",
        "box 3, row 2",
        "corner bent",
    )


def test_an_empty_place_drops_the_carried_one_for_this_card():
    found = rank("23 at=", carrying(place="box 1", note="k"))[0].tags
    assert (found.place, found.note) == ("", "k")


def test_each_word_says_what_it_was_read_as():
    reasons = dict(rank("marsh 23 g 12/99 nm")[0].reasons)
    assert reasons == {
        "marsh": "subject",
        "23": "number",
        "g": "parallel",
        "12/99": "serial number",
        "nm": "condition",
    }


@pytest.mark.parametrize(
    ("hint", "reason"),
    [
        ("23 100/99", "above the print run of 99"),
        ("23 0/99", "no number 0"),
        ("23 12/10", "above the print run of 10"),
        ("23 12/60", "numbered to 60 (listed: /25, /99)"),
        ("23 gold serial=100", "above the print run of 99"),
        ("23 silver 12/99", ""),
        ("24 gold base", ""),
        ("23 zzqx", "zzqx"),
        ("23 condition=zzqx", "zzqx"),
        ("23 parallel=zzqx", "zzqx"),
        ("117 12/99", ""),
        ("23 #24", ""),
    ],
)
def test_what_cannot_be_right_is_not_taken_and_says_why(hint, reason):
    found = rank(hint)
    assert found
    assert all(candidate.problem and not candidate.sure for candidate in found)
    assert reason in found[0].problem


@pytest.mark.parametrize("hint", ["zzqx", "#999", "name=zzqx", "?", "="])
def test_where_nothing_fits_there_are_no_candidates(hint):
    assert rank(hint) == []


@pytest.mark.parametrize("word", ["aa", "q", "ad", "g", "nm", "23"])
def test_a_hint_of_hundreds_of_words_is_a_hint(word):
    found = rank(" ".join([word] * 300))
    assert not any(candidate.sure for candidate in found)


def test_an_empty_hint_gives_what_is_likely_next():
    assert [candidate.tags.number for candidate in rank("")[:3]] == ["23", "22", "24"]


def test_an_empty_hint_at_the_start_of_a_set_gives_its_first_card():
    assert rank("", Context(Carried().put("set", LIGHT)))[0].tags.number == "1"


def test_a_carried_parallel_is_taken_only_where_the_card_has_it():
    gold = carrying(parallel="Gold")
    assert rank("23", gold)[0].tags.brief() == "#23 Ada Marsh, Gold"
    assert rank("31", gold)[0].tags.brief() == "#31 Cora Mint, base"
    assert not rank("31", gold)[0].sure


@pytest.mark.parametrize("hint", ["23 base", "base 23", "23 parallel=base", "23 parallel="])
def test_base_overrides_a_carried_parallel(hint):
    assert rank(hint, carrying(parallel="Gold"))[0].tags.brief() == "#23 Ada Marsh, base"


def test_what_is_typed_overrides_what_is_carried():
    found = rank(
        "23 silver nm at=box 2", carrying(parallel="Gold", condition="Good", place="box 1")
    )[0].tags
    assert (found.parallel, found.condition, found.place) == ("Silver", "Near Mint", "box 2")


@pytest.mark.parametrize("carried", [parallel for parallel in ALL if parallel.run is not None])
@pytest.mark.parametrize("hint", ["23 7/", "7/", "23 serial=7"])
def test_a_serial_number_without_its_run_is_of_the_carried_parallel(carried, hint):
    found = rank(hint, carrying(parallel=carried.name))[0].tags
    assert (found.number, found.parallel, found.serial) == ("23", carried.name, f"7/{carried.run}")


def test_a_serial_number_with_its_run_is_of_the_parallel_that_has_this_run():
    one, other = [parallel for parallel in ALL if parallel.run is not None][:2]
    for carried, typed in ((one, other), (other, one)):
        found = rank(f"23 7/{typed.run}", carrying(parallel=carried.name))[0].tags
        assert (found.parallel, found.serial) == (typed.name, f"7/{typed.run}")


NAMES = drawn.names(400, 3)
ODD = (
    "117a",
    "23b",
    "RC-1",
    "RC-2",
    "RC-10",
    "U1",
    "1987",
    "1-1",
    "1-12",
    "T23",
    "0",
    "999",
    "12c",
    "SP",
)
BIG = Matcher(
    Index(
        Checklist(
            (
                *(Row(LIGHT, str(number), NAMES[number], "Gulls", ALL) for number in range(1, 287)),
                *(
                    Row(LIGHT, number, NAMES[290 + at], "Gulls", ALL)
                    for at, number in enumerate(ODD)
                ),
                *(
                    Row(POND, str(number), NAMES[number + 50], "Foxes", ALL)
                    for number in range(1, 100)
                ),
            )
        )
    )
)


@pytest.mark.parametrize(
    ("start", "every"),
    [(1, 24), *(pytest.param(start, 4, marks=pytest.mark.nightly) for start in range(4))],
)
def test_a_number_of_the_carried_set_comes_first_whatever_card_was_before(start, every):
    """All 300 numbers, behind some of the cards, at night behind all, and behind numbers of an
    unusual spelling."""
    rows = [BIG.index.row(step) for step in BIG.index.steps(0)]
    assert len(rows) == 300
    wrong = []
    for before in (
        row
        for at, row in enumerate(rows)
        if at % every == start or row.number in ODD[start % 2 :: 2]
    ):
        tags = Tags(set=LIGHT, number=before.number, subject=before.subject)
        context = Context(Carried().put("set", LIGHT), tags, frozenset({LIGHT, POND}))
        for row in rows:
            first = BIG.rank(row.number, context, 1)[0]
            # behind `RC-1` a 2 is the next of that run
            in_run = before.number.rstrip("0123456789") + row.number
            lettered = before.number[0].isalpha() and row.number.isdecimal()
            meant = in_run if lettered and in_run in ODD else row.number
            if (first.tags.set, first.tags.number, first.problem) != (LIGHT, meant, ""):
                wrong.append((before.number, row.number, first))
    assert wrong == []


@given(
    st.sampled_from(["", "2", "mar", "g", "23 g", "gold", "12/99", "a", "mint"]), st.integers(1, 9)
)
def test_the_same_hint_gives_the_same_order(hint, limit):
    fresh = Matcher(Index(Checklist(ROWS)))
    assert fresh.rank(hint, AFTER_22, limit) == rank(hint)[:limit]


@pytest.mark.parametrize(
    ("name", "field"),
    [
        ("number", "number"), ("nu", "number"), ("name", "subject"), ("na", "subject"),
        ("subject", "subject"), ("su", "subject"), ("team", "team"), ("t", "team"),
        ("set", "set"), ("ser", "serial"), ("p", "parallel"), ("par", "parallel"),
        ("c", "condition"), ("Cond", "condition"),
    ],
)  # fmt: skip
def test_a_field_s_name_may_be_cut_short_as_long_as_it_is_clear(name, field):
    hint = parse_hint(f"{name}=ab")
    assert ([(token.text, token.pin) for token in hint.tokens], hint.unclear) == (
        [("ab", field)],
        "",
    )


@pytest.mark.parametrize("name", ["at", "a", "place", "pl"])
def test_so_may_the_place(name):
    assert parse_hint(f"23 {name}=box 3, row 2 not=soft corner") == Hint(
        (Token("23", "23"),), "box 3, row 2", "soft corner"
    )


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("n=gold", "'n=' could be number, name or note"),
        ("no=23", "'no=' could be number or note"),
        ("s=87", "'s=' could be set or serial"),
        ("SE=87", "'SE=' could be set or serial"),
    ],
)
def test_a_name_that_is_not_clear_is_asked_and_no_card_taken(typed, said):
    assert parse_hint(typed).unclear == f"{said}: type one more letter"
    for hint in (typed, f"23 {typed}", f"{typed} g"):
        found = rank(hint)
        assert found
        assert all(one.problem == f"{said}: type one more letter" for one in found)


@pytest.mark.parametrize("typed", ["run=12", "r=12", "x=1"])
def test_what_is_called_like_no_field_is_a_word(typed):
    assert parse_hint(typed).tokens == (Token(typed, typed),)


def test_a_set_of_several_words_needs_no_sign_between_them():
    for hint in ("set=harbor light 23", "set=harbor light number=23", "23 set=harbor light"):
        assert rank(hint)[0].tags.set == LIGHT
        assert rank(hint)[0].tags.number == "23"


PIECES = ("23", "mar", "g", "gold", "12/99", "/", "/99", "12/", "#", "n=", "name=",
"parallel=gold", "condition=nm", "s=", "set=", "at=", "note=", "nm",
          "near", "mint",
          "base", "'", "_", "-", "0", "=", "117 a",
          "ß", "١٢", "²", "\0", "\ud800", "𝟙")  # fmt: skip


@settings(max_examples=400)
@given(st.one_of(st.text(max_size=40), st.lists(st.sampled_from(PIECES), max_size=8).map(" ".join)))
@example("9" * 5000)
@example("/" * 500 + "=" * 500)
def test_any_text_is_a_hint(hint):
    parse_hint(hint)
    for context in (Context(), AFTER_22):
        found = rank(hint, context)
        assert len(found) <= 9
        assert all(0 <= candidate.confidence <= 1 for candidate in found)
        assert sum(candidate.confidence for candidate in found) <= 1 + 1e-9


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ("23 at=box 2, price=3", "box 2"),
        ("at=box 2, row 1, price=3.50", "box 2, row 1"),
        ("at=box 2,", "box 2,"),  # typed on
    ],
)
def test_the_comma_before_a_price_is_no_part_of_the_place(typed: str, place: str) -> None:
    assert parse_hint(typed).place == place

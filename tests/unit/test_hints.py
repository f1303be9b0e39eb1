"""What a typed hint means, on a small invented checklist: what Enter would take, and what it never takes."""

from __future__ import annotations

import drawn
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import OSA

from tagger.core.checklist import Checklist
from tagger.core.hint import parse_hint
from tagger.core.index import Beginnings, Index
from tagger.core.model import Carried, Parallel, Row, Tags
from tagger.core.ranking import Candidate, Context, Matcher

LIGHT, POND = "1987 Harbor Light", "1985 Mill Pond"
ALL = (Parallel("Gold", 99), Parallel("Silver"), Parallel("Gold Wave", 25))
ROWS = (
    *(Row(LIGHT, str(n), truth.subject, "Mill Otters", ALL) for n, truth in enumerate(drawn.set_rows("", 20, 5), 1)),
    Row(LIGHT, "22", "Ivo Lund", "Sand Foxes", ALL),
    Row(LIGHT, "23", "Ada Marsh", "Harbor Gulls", ALL),
    Row(LIGHT, "24", "Bo Marlow", "Sand Foxes", ALL),
    Row(LIGHT, "25", "Ana Núñez", "Sand Foxes", ALL),
    Row(LIGHT, "26", "Łukasz Wirth", "", ALL),
    Row(LIGHT, "27", "Per Ørsted", "", ALL),
    Row(LIGHT, "28", "Otto Weiß", "", ALL),
    Row(LIGHT, "29", "Tim O'Neil", "", ALL),
    Row(LIGHT, "30", "Jon McKay", "", ALL),
    Row(LIGHT, "31", "Cora Mint"),
    Row(LIGHT, "32", "Ann Gray", "", (Parallel("Gold", 99),)),
    Row(LIGHT, "33", "Sam Gold", "", (Parallel("Gray", 50), Parallel("Base"))),
    Row(LIGHT, "117", "Abe Tarn"),
    Row(LIGHT, "117a", "Abe Tarn"),
    Row(LIGHT, "123", "Abe Marsden", "", ALL),
    Row(LIGHT, "RC-7", "Nils Vos", "", ALL),
    Row(LIGHT, "140", "Eve St. Clair", "", ALL),
    Row(POND, "23", "Lee Torbel", "Pine Herons", (Parallel("Gold", 50),)),
    Row(POND, "907", "Mara Kasell"),
)
MATCHER = Matcher(Index(Checklist(ROWS)))
AFTER_22 = Context(Carried().put("set", LIGHT), Tags(set=LIGHT, number="22", subject="Ivo Lund"), frozenset({LIGHT}))


def rank(hint: str, context: Context = AFTER_22, limit: int = 9) -> list[Candidate]:
    return MATCHER.rank(hint, context, limit)


def carrying(**fields: str) -> Context:
    carried = AFTER_22.carried
    for name, value in fields.items():
        carried = carried.put(name, value)
    return Context(carried, AFTER_22.before, AFTER_22.seen)


@pytest.mark.parametrize(
    ("hint", "expected"),
    [
        ("23", "#23 Ada Marsh, base"),
        ("#23", "#23 Ada Marsh, base"),
        ("no=23", "#23 Ada Marsh, base"),
        ("023", "#23 Ada Marsh, base"),
        ("marsh", "#23 Ada Marsh, base"),
        ("MARSH", "#23 Ada Marsh, base"),
        ("23 mar", "#23 Ada Marsh, base"),
        ("mar 23", "#23 Ada Marsh, base"),
        ("am", "#23 Ada Marsh, base"),
        ("marsh23", "#23 Ada Marsh, base"),
        ("23marsh", "#23 Ada Marsh, base"),
        ("gulls", "#23 Ada Marsh, base"),
        ("t=gulls", "#23 Ada Marsh, base"),
        ("n=ada_marsh", "#23 Ada Marsh, base"),
        ("mrash", "#23 Ada Marsh, base"),
        ("23g", "#23 Ada Marsh, Gold"),
        ("23 g", "#23 Ada Marsh, Gold"),
        ("23 gold", "#23 Ada Marsh, Gold"),
        ("23 si", "#23 Ada Marsh, Silver"),
        ("23 gw", "#23 Ada Marsh, Gold Wave"),
        ("23 gold wave", "#23 Ada Marsh, Gold Wave"),
        ("23 wave", "#23 Ada Marsh, Gold Wave"),
        ("23 base", "#23 Ada Marsh, base"),
        ("p=gold", "#23 Ada Marsh, Gold"),
        ("marsh gold ex", "#23 Ada Marsh, Gold, Excellent"),
        ("12/99", "#23 Ada Marsh, Gold 12/99"),
        ("/99", "#23 Ada Marsh, Gold"),
        ("23 12/25", "#23 Ada Marsh, Gold Wave 12/25"),
        ("23 r=12/99", "#23 Ada Marsh, Gold 12/99"),
        ("23 gold r=12", "#23 Ada Marsh, Gold 12/99"),
        ("23 1/99", "#23 Ada Marsh, Gold 1/99"),
        ("23 99/99", "#23 Ada Marsh, Gold 99/99"),
        ("12/99 nm gold marsh 23", "#23 Ada Marsh, Gold 12/99, Near Mint"),
        ("rc 7", "#RC-7 Nils Vos, base"),
        ("RC-7", "#RC-7 Nils Vos, base"),
        ("rc07", "#RC-7 Nils Vos, base"),
        ("117", "#117 Abe Tarn, base"),
        ("117a", "#117a Abe Tarn, base"),
        ("117 a", "#117a Abe Tarn, base"),
        ("007", f"#7 {ROWS[6].subject}, base"),
        ("oneil", "#29 Tim O'Neil, base"),
        ("o neil", "#29 Tim O'Neil, base"),
        ("O'Neil", "#29 Tim O'Neil, base"),
        ("o’neil", "#29 Tim O'Neil, base"),
        ("neil", "#29 Tim O'Neil, base"),
        ("kay", "#30 Jon McKay, base"),
        ("stclair", "#140 Eve St. Clair, base"),
        ("nunez", "#25 Ana Núñez, base"),
        ("Nun\u0303ez", "#25 Ana Núñez, base"),
        ("lukasz", "#26 Łukasz Wirth, base"),
        ("orsted", "#27 Per Ørsted, base"),
        ("weiss", "#28 Otto Weiß, base"),
        ("n=gold", "#33 Sam Gold, base"),
        ("n=gold p=gray", "#33 Sam Gold, Gray"),
        ("cora mint", "#31 Cora Mint, base"),
        ("31 mint", "#31 Cora Mint, base"),
        ("n=mint", "#31 Cora Mint, base"),
        ("31 c=mint", "#31 Cora Mint, base, Mint"),
        ("23 mint", "#23 Ada Marsh, base, Mint"),
        ("23 near mint", "#23 Ada Marsh, base, Near Mint"),
        ("23 nm", "#23 Ada Marsh, base, Near Mint"),
        ("23 c=nm", "#23 Ada Marsh, base, Near Mint"),
        ("23 c=near_mint", "#23 Ada Marsh, base, Near Mint"),
        ("23 very good", "#23 Ada Marsh, base, Very Good"),
        ("23 vg", "#23 Ada Marsh, base, Very Good"),
        ("23 exc", "#23 Ada Marsh, base, Excellent"),
        ("s=85 23", "#23 Lee Torbel, base"),
        ("85 23", "#23 Lee Torbel, base"),
        ("s=mill_pond 23", "#23 Lee Torbel, base"),
        ("s=harbor_light 23", "#23 Ada Marsh, base"),
        ("907", "#907 Mara Kasell, base"),
    ],
)
def test_the_first_reading(hint, expected):
    found = rank(hint)
    assert (found[0].tags.brief(), found[0].problem) == (expected, "")


@pytest.mark.parametrize("hint", ["23", "marsh", "23 g", "s=harbor_light 23", "23 12/99", "ada marsh"])
def test_a_plain_reading_is_sure(hint):
    assert rank(hint)[0].sure


@pytest.mark.parametrize("hint", ["nunez", "lukasz", "orsted", "weiss", "oneil", "kay", "stclair"])
def test_a_name_typed_plainly_is_no_slip(hint):
    assert rank(hint)[0].reasons == ((hint, "subject"),)


def test_place_and_note_take_all_that_follows():
    found = rank("23 g at=box 3, row 2 note=corner  bent")[0].tags
    assert (found.number, found.parallel, found.place, found.note) == ("23", "Gold", "box 3, row 2", "corner bent")


def test_an_empty_place_drops_the_carried_one_for_this_card():
    found = rank("23 at=", carrying(place="box 1", note="k"))[0].tags
    assert (found.place, found.note) == ("", "k")


@pytest.mark.parametrize("hint", ["gray gold", "gold gray"])
def test_two_readings_are_both_shown(hint):
    shown = [candidate.tags.brief() for candidate in rank(hint) if not candidate.problem]
    assert set(shown[:2]) == {"#32 Ann Gray, Gold", "#33 Sam Gold, Gray"}
    assert not rank(hint)[0].sure


def test_mint_alone_shows_the_condition_and_the_name():
    shown = {candidate.tags.brief() for candidate in rank("mint")}
    assert {"#23 Ada Marsh, base, Mint", "#31 Cora Mint, base"} <= shown


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
        ("23 gold r=100", "above the print run of 99"),
        ("23 silver 12/99", ""),
        ("23 gold base", ""),
        ("23 zzqx", "zzqx"),
        ("23 c=zzqx", "zzqx"),
        ("23 p=zzqx", "zzqx"),
        ("117 12/99", ""),
        ("23 #24", ""),
    ],
)
def test_what_cannot_be_right_is_not_taken_and_says_why(hint, reason):
    found = rank(hint)
    assert found
    assert all(candidate.problem and not candidate.sure for candidate in found)
    assert reason in found[0].problem


@pytest.mark.parametrize("hint", ["zzqx", "#999", "n=zzqx", "?", "="])
def test_where_nothing_fits_there_are_no_candidates(hint):
    assert rank(hint) == []


def test_an_empty_hint_gives_what_is_likely_next():
    assert [candidate.tags.number for candidate in rank("")[:3]] == ["23", "22", "24"]


def test_an_empty_hint_at_the_start_of_a_set_gives_its_first_card():
    assert rank("", Context(Carried().put("set", LIGHT)))[0].tags.number == "1"


def test_a_carried_parallel_is_taken_only_where_the_card_has_it():
    gold = carrying(parallel="Gold")
    assert rank("23", gold)[0].tags.brief() == "#23 Ada Marsh, Gold"
    assert rank("31", gold)[0].tags.brief() == "#31 Cora Mint, base"
    assert not rank("31", gold)[0].sure


@pytest.mark.parametrize("hint", ["23 base", "base 23", "23 p=base", "23 p="])
def test_base_overrides_a_carried_parallel(hint):
    assert rank(hint, carrying(parallel="Gold"))[0].tags.brief() == "#23 Ada Marsh, base"


def test_what_is_typed_overrides_what_is_carried():
    found = rank("23 silver nm at=box 2", carrying(parallel="Gold", condition="Good", place="box 1"))[0].tags
    assert (found.parallel, found.condition, found.place) == ("Silver", "Near Mint", "box 2")


NAMES = drawn.names(400, 3)
ODD = ("117a", "23b", "RC-1", "RC-2", "RC-10", "U1", "1987", "1-1", "1-12", "T23", "0", "999", "12c", "SP")
BIG = Matcher(
    Index(
        Checklist(
            (
                *(Row(LIGHT, str(number), NAMES[number], "Gulls", ALL) for number in range(1, 287)),
                *(Row(LIGHT, number, NAMES[290 + at], "Gulls", ALL) for at, number in enumerate(ODD)),
                *(Row(POND, str(number), NAMES[number + 50], "Foxes", ALL) for number in range(1, 100)),
            )
        )
    )
)


@pytest.mark.parametrize("start", [1, 3])
def test_a_number_of_the_carried_set_comes_first_whatever_card_was_before(start):
    """All 300 numbers, behind a quarter of the cards and behind each number of an unusual spelling."""
    rows = [BIG.index.row(step) for step in BIG.index.steps(0)]
    assert len(rows) == 300
    wrong = []
    for before in (row for at, row in enumerate(rows) if at % 8 == start or row.number in ODD[start // 2 :: 2]):
        tags = Tags(set=LIGHT, number=before.number, subject=before.subject)
        context = Context(Carried().put("set", LIGHT), tags, frozenset({LIGHT, POND}))
        for row in rows:
            first = BIG.rank(row.number, context, 1)[0]
            if (first.tags.set, first.tags.number, first.problem) != (LIGHT, row.number, ""):
                wrong.append((before.number, row.number, first))
    assert wrong == []


@given(st.sampled_from(["", "2", "mar", "g", "23 g", "gold", "12/99", "a", "mint"]), st.integers(1, 9))
def test_the_same_hint_gives_the_same_order(hint, limit):
    fresh = Matcher(Index(Checklist(ROWS)))
    assert fresh.rank(hint, AFTER_22, limit) == rank(hint)[:limit]


PIECES = ("23", "mar", "g", "gold", "12/99", "/", "/99", "12/", "#", "n=", "p=gold", "c=nm", "s=", "at=", "note=", "nm",
          "near", "mint", "base", "'", "_", "-", "0", "=", "117 a", "ß", "١٢", "²", "\0", "\ud800", "𝟙")  # fmt: skip


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


def beginnings(*words: str) -> Beginnings:
    return Beginnings(sorted(words))


@pytest.mark.parametrize(
    ("typed", "word", "edits"),
    [
        ("ca", "abc", 3),  # the example by which this distance differs from the unrestricted one (2)
        ("mrash", "marsh", 1),
        ("marhs", "marsh", 1),
        ("marshh", "marsh", 1),
        ("mash", "marsh", 1),
        ("kitten", "sitting", 3),
    ],
)
def test_edits_are_those_of_the_optimal_string_alignment_distance(typed, word, edits):
    """Worked examples as the literature on string metrics gives them (from memory)."""
    assert (word, edits) in beginnings(word).near(typed, edits)
    assert word not in [found for found, _ in beginnings(word).near(typed, edits - 1)]


@given(
    st.lists(st.text("abcd", min_size=1, max_size=7), min_size=1, max_size=12, unique=True),
    st.text("abcd", min_size=3, max_size=7),
    st.integers(1, 2),
)
def test_slips_are_all_beginnings_within_reach_nearest_first(known, typed, edits):
    found = beginnings(*known).near(typed, edits, limit=1000)
    lengths = range(max(2, len(typed) - edits), len(typed) + edits + 1)
    near = {word[:length] for word in known for length in lengths if len(word) >= length}
    expected = {(b, OSA.distance(typed, b)) for b in near if 0 < OSA.distance(typed, b) <= edits}
    assert set(found) == expected
    assert [distance for _, distance in found] == sorted(distance for _, distance in found)

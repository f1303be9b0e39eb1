"""What is typed exactly comes first, in lists of different making; a word or number that only
nearly fits, behind it."""

from __future__ import annotations

import random

import pytest
from support import drawn

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Parallel, Row, Tags

NEAR, FAR = "1987 Harbor Light", "1991 Copper Gate"


def _plain(set_name: str, size: int, seed: int) -> list[Row]:
    return [Row(set_name, truth.number, truth.subject) for truth in drawn.set_rows("", size, seed)]


def _syllables(set_name: str, size: int, seed: int) -> list[Row]:
    """Names of another making, numbers with leading zeros."""
    source = random.Random(seed)
    parts = ["ta", "ri", "mo", "vel", "dun", "osk", "ber", "hal", "quin"]
    return [
        Row(set_name, f"{at:03d}", " ".join("".join(source.sample(parts, 2)) for _ in range(2)))
        for at in range(1, size + 1)
    ]


def _columns(set_name: str, size: int, seed: int) -> list[Row]:
    """All in capitals, numbers in two groups, surname first."""
    source = random.Random(seed)
    names = [source.choice(["ODRIN", "MARET", "SULA", "PEHR"]) + str(at) for at in range(size)]
    return [Row(set_name, f"{1 + at // 20}-{at % 20 + 1}", name) for at, name in enumerate(names)]


MADE = (_plain, _syllables, _columns)


def _rank(rows: list[Row], hint: str, carried: str = NEAR) -> list[Candidate]:
    before = next(row for row in rows if row.set == carried)
    lot = Context(Carried().put("set", carried), Tags(before.set, before.number, before.subject))
    return Matcher(Index(Checklist(tuple(rows)))).rank(hint, lot)


@pytest.mark.parametrize("made", MADE)
@pytest.mark.parametrize("hint", ["klai", "klain", "klaine"])
def test_a_name_as_it_is_typed_goes_before_a_slip_in_the_carried_set(made, hint):
    rows = [*made(NEAR, 120, 1), Row(NEAR, "900", "Kali Moor"), *made(FAR, 300, 2)]
    rows.append(Row(FAR, "901", "Ken Klaine"))
    assert _rank(rows, hint)[0].tags.subject == "Ken Klaine"
    assert not _rank(rows, hint)[0].sure


@pytest.mark.parametrize("made", MADE)
def test_a_slip_stays_first_where_no_card_has_all_that_was_typed(made):
    rows = [*made(NEAR, 120, 1), Row(NEAR, "900", "Kali Moor"), Row(FAR, "901", "Ken Klaine")]
    assert _rank(rows, "900 klai")[0].tags.subject == "Kali Moor"
    assert _rank(rows, "klai moor")[0].tags.subject == "Kali Moor"


PAIRS = (("007", "7"), ("1/2", "1-2"), ("RC-07", "RC-7"), ("10.1", "10-1"), ("0", "00"))


@pytest.mark.parametrize(("one", "other"), [*PAIRS, *(pair[::-1] for pair in PAIRS)])
@pytest.mark.parametrize("made", MADE)
@pytest.mark.parametrize("sign", ["", "#", "number="])
def test_a_number_as_it_is_printed_goes_before_one_of_the_same_set_that_is_not(
    made, one, other, sign
):
    filled = [row for row in made(NEAR, 120, 3) if row.number not in (one, other)]
    rows = [Row(NEAR, one, "Bo One"), Row(NEAR, other, "Bo Other"), *filled, *made(FAR, 50, 4)]
    found = _rank(rows, sign + one)
    assert (found[0].tags.set, found[0].tags.number) == (NEAR, one)
    assert (NEAR, other) in [(each.tags.set, each.tags.number) for each in found]


@pytest.mark.parametrize(("number", "carried"), [("007", "7"), ("1/2", "1-2"), ("1-2", "1/2")])
def test_zeros_and_signs_that_were_typed_are_found_in_another_set_as_well(number, carried):
    rows = [Row(NEAR, carried, "Bo Near"), Row(FAR, number, "Bo Far"), *_plain(NEAR, 6, 5)]
    found = _rank(rows, f"#{number}")
    assert [each.tags.subject for each in found[:2]] == ["Bo Far", "Bo Near"]


def test_a_number_typed_short_is_of_the_carried_set_however_it_is_printed():
    rows = [*_syllables(NEAR, 120, 6), *_plain(FAR, 120, 7)]
    assert (_rank(rows, "7")[0].tags.set, _rank(rows, "7")[0].tags.number) == (NEAR, "007")
    # a hyphen between letters and digits is left out and put in at will
    rows = [Row(NEAR, "RC7", "Bo Near"), Row(FAR, "RC-7", "Bo Far")]
    assert _rank(rows, "rc-7")[0].tags.subject == "Bo Near"


@pytest.mark.parametrize("carried", [NEAR, FAR])
def test_a_colour_is_no_slip_in_a_longer_word(carried):
    finishes = (Parallel("Reverse"), Parallel("Golden Wave"))
    rows = [Row(NEAR, str(at), f"Hull {at}", "", finishes) for at in range(1, 30)]
    rows += [Row(FAR, str(at), f"Reef {at}") for at in range(1, 30)]
    first, *others = _rank(rows, "12 red", carried)
    assert first.problem == "this card does not match 'red'"
    assert not any("mistyped" in meaning for one in (first, *others) for meaning in one.meanings)
    assert _rank(rows, "12 revers", NEAR)[0].tags.parallel == "Reverse"
    assert _rank(rows, "12 reverze", NEAR)[0].tags.parallel == "Reverse"
    assert _rank(rows, "12 gold", NEAR)[0].tags.parallel == "Golden Wave"

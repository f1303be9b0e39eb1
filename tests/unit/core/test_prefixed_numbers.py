"""Numbers with letters before them, typed without their letters or with the first of them."""

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
from tagger.core.model.tags import Row, Tags

SET = "1987 Harbor Light"


def _rows(form: str, seed: int) -> list[Row]:
    """A set of 300 with two subsets whose numbers are written in some form, and twenty others."""
    source = random.Random(seed)
    rows = [Row(SET, truth.number, truth.subject) for truth in drawn.set_rows("", 300, seed)]
    for letters in ("RC", "US"):
        rows += [
            Row(SET, form.format(letters=letters, at=at), truth.subject)
            for at, truth in enumerate(drawn.set_rows("", 60, source.randrange(999)), 1)
        ]
    for other in range(20):
        named = drawn.set_rows("", 120, source.randrange(999))
        rows += [Row(f"Set {other}", truth.number, truth.subject) for truth in named]
    return rows


FORMS = ("{letters}-{at}", "{letters}{at:02d}", "{letters} {at}", "{letters}-{at:03d}")


def _found(rows: list[Row], hint: str, before: str, form: str, carried: str = SET):
    number = form.format(letters=before[:2], at=int(before[2:])) if before[0].isalpha() else before
    row = next(row for row in rows if row.set == SET and row.number == number)
    lot = Context(Carried().put("set", carried), Tags(SET, row.number, row.subject))
    return Matcher(Index(Checklist(tuple(rows)))).rank(hint, lot)


def _is(candidate: Candidate, form: str, letters: str, at: int) -> bool:
    number = form.format(letters=letters, at=at)
    return (candidate.tags.set, candidate.tags.number) == (SET, number)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("before", ["RC18", "RC3", "RC50"])
def test_a_number_alone_has_the_letters_of_the_run(form, before):
    found = _found(_rows(form, 3), "19", before, form)
    assert _is(found[0], form, "RC", 19)
    # and the plain one is there still
    assert (SET, "19") in [(each.tags.set, each.tags.number) for each in found]


@pytest.mark.parametrize("form", FORMS)
def test_a_number_whose_letters_were_left_out_is_listed_in_any_case(form):
    rows = _rows(form, 4)
    for before in ("18", "200", "US4"):
        found = _found(rows, "19", before, form)
        assert any(_is(each, form, "RC", 19) for each in found), before
    assert _found(rows, "19", "18", form)[0].tags.number == "19"


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("hint", ["rc19", "rc 19", "r19", "r 19", "RC-19", "#rc19", "#r19"])
@pytest.mark.parametrize("before", ["18", "RC18", "US3"])
def test_the_first_letters_are_enough(form, hint, before):
    assert _is(_found(_rows(form, 5), hint, before, form)[0], form, "RC", 19)


def test_a_run_of_one_set_says_nothing_of_another():
    form = FORMS[0]
    rows = [*_rows(form, 6), Row("Set 1", "RC-19", "Bo Ankar")]
    found = _found(rows, "19", "RC18", form, carried="Set 1")
    assert (found[0].tags.set, found[0].tags.number) == ("Set 1", "19")


def test_other_words_go_with_the_written_out_number():
    form = FORMS[0]
    rows = _rows(form, 7)
    surname = next(row.subject for row in rows if row.number == "RC-19").split()[-1].casefold()
    found = _found(rows, f"19 {surname} nm", "RC2", form)
    assert _is(found[0], form, "RC", 19)
    assert found[0].tags.condition == "Near Mint"


def test_another_form_of_the_plain_number_changes_nothing_of_the_run():
    form = FORMS[0]
    rows = [*_rows(form, 8), Row(SET, "019", "Bo Ankar")]
    assert _is(_found(rows, "19", "RC2", form)[0], form, "RC", 19)


def test_leading_zeros_that_were_typed_are_the_number_that_is_printed_so():
    form = FORMS[0]
    rows = [*_rows(form, 9), Row(SET, "019", "Bo Ankar")]
    assert _found(rows, "#019", "RC2", form)[0].tags.number == "019"


@pytest.mark.parametrize("hint", ["3 ni", "3 night"])
def test_a_card_that_reads_every_word_goes_before_one_that_leaves_one_over(hint):
    rows = [Row(SET, str(at), f"Ada N{at}l") for at in range(1, 60)]
    rows += [Row("1987 Night Shift", f"NS-{at}", f"Bo V{at}s") for at in range(1, 9)]
    lot = Context(Carried().put("set", SET), Tags(SET, "20", "Ada N20l"), frozenset({SET}))
    first = Matcher(Index(Checklist(tuple(rows)))).rank(hint, lot)[0]
    assert (first.tags.number, first.problem) == ("NS-3", "")


def test_a_number_stands_for_its_card_with_a_letter_in_the_set_at_hand():
    plain = [str(at) for at in range(1, 60) if at not in (12, 30)]
    rows = [Row(SET, number, f"Ada N{number}l") for number in plain]
    rows += [Row(SET, f"{at}{letter}", f"Ada N{at}l") for at in (12, 30, 40) for letter in "ab"]
    rows += [Row("1991 Copper Gate", str(at), f"Bo V{at}s") for at in range(1, 90)]
    rows.sort(key=lambda row: (row.set, int(row.number.rstrip("ab"))))
    matcher = Matcher(Index(Checklist(tuple(rows))))

    def found(hint: str, before: str) -> list[str]:
        lot = Context(Carried().put("set", SET), Tags(SET, before, f"Ada N{before}l"))
        ranked = matcher.rank(hint, lot)
        return [each.tags.number for each in ranked if each.tags.set == SET]

    assert set(found("12", "10")[:2]) == {"12a", "12b"}
    lot = Context(Carried().put("set", SET), Tags(SET, "10", "Ada N10l"))
    assert matcher.rank("12", lot)[0].tags.set == SET  # and not the 12 of the other set
    # where there is a plain one, that is meant; half of a longer number stays behind both
    assert found("40", "38")[0] == "40"
    assert "12a" not in found("1", "10")[:2]


@pytest.mark.parametrize("form", FORMS)
def test_behind_the_last_of_a_run_a_number_that_goes_back_is_the_plain_one(form):
    rows = _rows(form, 3)
    found = _found(rows, "1", "US60", form)
    assert [each.tags.number for each in found[:2]] == ["1", form.format(letters="US", at=1)]
    # either is meant, and neither is called sure
    assert max(each.confidence for each in found) < 0.6
    # the same card again, and a run that goes on, are of the run
    assert _is(_found(rows, "60", "US60", form)[0], form, "US", 60)
    assert _is(_found(rows, "1", "US59", form)[0], form, "US", 1)
    assert _is(_found(rows, "1", "RC59", form)[0], form, "RC", 1)


@pytest.mark.parametrize(("before", "first"), [("66a", "66b"), ("66b", "66b"), ("65", "66a")])
def test_of_a_number_in_two_versions_the_one_just_tagged_is_not_taken_for_granted(before, first):
    rows = [Row(SET, number, f"Ada {number}") for number in ("65", "66a", "66b", "67")]
    lot = Context(Carried().put("set", SET), Tags(SET, before, f"Ada {before}"))
    found = Matcher(Index(Checklist(tuple(rows)))).rank("66", lot)
    assert found[0].tags.number == first
    assert {one.tags.number for one in found[:2]} == {"66a", "66b"}
    assert not found[0].sure


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("hint", ["#19", "number=19"])
def test_a_number_that_is_said_to_be_one_is_the_plain_one_also_in_a_run(form, hint):
    found = _found(_rows(form, 3), hint, "RC7", form)
    assert (found[0].tags.set, found[0].tags.number) == (SET, "19")
    assert any(_is(each, form, "RC", 19) for each in found)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("hint", ["19", "19 base"])
def test_in_a_run_a_number_far_ahead_is_never_sure_where_the_set_has_the_plain_one(form, hint):
    rows = _rows(form, 3)
    found = _found(rows, hint, "RC7", form)
    assert _is(found[0], form, "RC", 19)
    assert found[0].confidence <= 0.6
    # what comes next in the run is meant, and a number with its letters is said
    assert _found(rows, "8", "RC7", form)[0].sure
    assert _found(rows, "rc19", "RC7", form)[0].sure

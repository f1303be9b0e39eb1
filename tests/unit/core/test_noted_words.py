"""Words that a list notes of a card in further columns, such as RC, and numbers that are enough by
themselves."""

from __future__ import annotations

import pytest
from support import drawn

from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.index.word_marks import noted_words
from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Tags

SET, OTHER = "1996 Tide Gate", "Cloud Yard 2020"
ROOKIES = (8, 9, 33)


def _matcher(column: str, mark: str) -> Matcher:
    lines = [f"set,number,subject,{column},price"]
    for row in drawn.set_rows("", 60, 4):
        noted = mark if int(row.number) in ROOKIES else ""
        lines.append(f"{SET},{row.number},{row.subject},{noted},0.{row.number}")
    for letter in "ABC":
        names = drawn.set_rows("", 12, ord(letter))
        lines += [f"{OTHER},{letter}-{int(row.number):02d},{row.subject},,1" for row in names]
    return Matcher(Index(parse_checklist("\n".join(lines).encode(), "list.csv", "list")))


def _rank(hint: str, carried: str = SET, column: str = "note", mark: str = "RC") -> list[Candidate]:
    before = Tags(carried, "7") if carried == SET else None
    lot = Context(Carried().put("set", carried), before, frozenset([carried]))
    return _matcher(column, mark).rank(hint, lot)


@pytest.mark.parametrize(("column", "mark"), [("note", "RC"), ("Rookie", "RC"), ("RC", "x")])
@pytest.mark.parametrize("hint", ["rc 33", "33 rc", "rc33", "rc 33 nm"])
def test_what_the_list_notes_of_a_card_is_read_beside_its_number(hint, column, mark):
    first = _rank(hint, column=column, mark=mark)[0]
    assert (first.tags.set, first.tags.number, first.problem) == (SET, "33", "")
    assert ("rc", "noted in the list") in first.reasons
    assert first.confidence > 0.9


@pytest.mark.parametrize("hint", ["rc 34", "sp 33", "33 rc rc2"])
def test_what_it_does_not_note_is_refused(hint):
    assert _rank(hint)[0].problem


def test_such_a_word_alone_names_no_card():
    assert not any("noted in the list" in one.meanings for one in _rank("rc"))


def test_it_takes_nothing_from_the_number():
    assert _rank("8 rc")[0].sure
    assert _rank("8")[0].sure


def test_prices_and_single_letters_are_no_such_words():
    noted = (("price", "0.10"), ("Rarity", "C"), ("Insert", "Deep Cold"), ("Notes", "short print"))
    assert noted_words(noted) == {"short", "print", "shortprint"}
    assert noted_words((("RC", "x"), ("SP", ""))) == {"rc"}


def test_a_number_with_letters_that_one_set_alone_has_is_enough():
    found = _rank("b-03")
    assert (found[0].tags.set, found[0].tags.number) == (OTHER, "B-03")
    assert found[0].confidence >= 0.98


def test_a_plain_number_of_another_set_may_as_well_be_a_card_of_none():
    assert _rank("33", carried=OTHER)[0].confidence < 0.98

"""Series inside a set that share their numbers: told apart, typed as a word, each with its own
run."""

from __future__ import annotations

import pytest
from support import drawn

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Tags, series_of

SET = "Tidewater"
SUITS = ("Anchors", "Bells", "Crowns", "Lanterns")
HEADS = ("suit", "Series", "Sub-set", "insert", "Insert Set")


def _listed(head: str, same_names: bool, seed: int = 3) -> Checklist:
    """A set of four series with 30 numbers each, and another set, in the order of the numbers."""
    names = [drawn.set_rows("", 30, seed + at * (not same_names)) for at in range(len(SUITS))]
    lines = [f"set,number,subject,{head}"]
    for at in range(30):
        for suit, named in zip(SUITS, names, strict=True):
            lines.append(f"{SET},{named[at].number},{named[at].subject},{suit}")
    lines += [f"Other,{row.number},{row.subject}," for row in drawn.set_rows("", 90, 77)]
    return parse_checklist("\n".join(lines).encode(), "list.csv", "list")


def _card(checklist: Checklist, suit: str, number: int) -> Tags:
    row = next(
        row for row in checklist.rows if (row.number, series_of(row.extra)) == (str(number), suit)
    )
    return Tags(row.set, row.number, row.subject, extra=row.extra)


def _rank(checklist: Checklist, hint: str, *before: tuple[str, int]) -> list[Candidate]:
    latest = tuple(_card(checklist, *card) for card in before)
    lot = Context(
        Carried().put("set", SET), latest[0] if latest else None, frozenset({SET}), latest=latest
    )
    return Matcher(Index(checklist)).rank(hint, lot)


def _is(candidate: Candidate) -> tuple[str, str]:
    return series_of(candidate.tags.extra), candidate.tags.number


@pytest.mark.parametrize("head", HEADS)
@pytest.mark.parametrize("same_names", [True, False])
def test_cards_of_one_number_are_told_apart_by_their_series(head, same_names):
    checklist = _listed(head, same_names)
    assert len(checklist.rows) == 210
    assert not checklist.problems
    found = _rank(checklist, "7", ("Bells", 3))
    assert {_is(each) for each in found} >= {(suit, "7") for suit in SUITS}
    for typed in ("crowns 7", "7 cro", "7 crowns"):
        assert _is(_rank(checklist, typed, ("Bells", 3))[0]) == ("Crowns", "7")


@pytest.mark.parametrize("same_names", [True, False])
def test_the_run_goes_on_within_its_series(same_names):
    checklist = _listed("suit", same_names)
    assert _is(_rank(checklist, "", ("Bells", 3))[0]) == ("Bells", "4")
    # a number alone is of the series of the card before, ahead or back
    for number in ("1", "5", "20", "29"):
        assert _is(_rank(checklist, number, ("Bells", 10))[0]) == ("Bells", number)


@pytest.mark.parametrize("same_names", [True, False])
def test_a_series_that_is_named_goes_on_where_it_was(same_names):
    checklist = _listed("suit", same_names)
    before = ("Bells", 4), ("Bells", 3), ("Anchors", 22), ("Lanterns", 9)
    assert _is(_rank(checklist, "anch", *before)[0]) == ("Anchors", "23")
    assert _is(_rank(checklist, "lanterns", *before)[0]) == ("Lanterns", "10")


def test_a_column_that_tells_no_cards_apart_leaves_the_numbers_in_order():
    lines = ["set,number,subject,subset"]
    lines += [
        f"{SET},{row.number},{row.subject},{('', 'Stars')[at % 3 == 0]}"
        for at, row in enumerate(drawn.set_rows("", 40, 5))
    ]
    checklist = parse_checklist("\n".join(lines).encode(), "list.csv", "list")
    index = Index(checklist)
    assert [index.row(step).number for step in range(40)] == [str(at) for at in range(1, 41)]
    assert _is(_rank(checklist, "stars 4", ("", 3))[0]) == ("Stars", "4")


def test_a_column_called_series_alone_still_names_the_set():
    checklist = parse_checklist(b"series,number,subject\nHarbor,1,Ada Marsh\n", "list.csv", "list")
    assert checklist.rows[0].set == "Harbor"


def test_a_list_of_years_variations_and_a_subset_is_tagged_right_row_by_row():
    """As a spreadsheet has it: the year beside the set, merged cells, a line per variation, and a
    subset that shares its numbers."""
    names = [row.subject for row in drawn.set_rows("", 60, 5)]
    lines = ["Year,Set,Insert,No.,Player,Variation,Print Run"]
    for at, (year, part) in enumerate([(1987, ""), (1987, "Night Lights"), (1988, "")]):
        for number in range(1, 21):
            head = f"{year},Harbor Light,{part}" if number == 1 or part else f",,{part}"
            name = names[20 * at + number - 1]
            lines.append(f"{head},{number},{name},,")
            if number % 5 == 0:
                lines.append(f"{head},{number},{name},No Cap,25")
    checklist = parse_checklist("\n".join(lines).encode(), "list.csv", "list")
    assert len(checklist.rows) == 60
    matcher = Matcher(Index(checklist))
    for row in checklist.rows:
        carried = Context(Carried().put("set", row.set))
        hint = f"{row.number} {row.subject.split()[-1].lower()} {series_of(row.extra).lower()}"
        wanted = [hint, f"{hint} no cap 3/25"] if row.parallels else [hint]
        for text in wanted:
            tags = matcher.rank(text, carried)[0].tags
            found = tags.set, tags.number, tags.subject, series_of(tags.extra), tags.parallel
            parallel = "No Cap" if "cap" in text else ""
            assert found == (row.set, row.number, row.subject, series_of(row.extra), parallel)

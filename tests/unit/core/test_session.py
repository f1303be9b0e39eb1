"""A sitting at a lot that is kept on disk: what each key does, and that a refusal changes
nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from support.at_work import LIGHT, POND, facts, opened, take

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Mark, Row, State, Tags
from tagger.core.session.proposal import Deed
from tagger.core.session.session import Session
from tagger.errors import Refused


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    yield session
    session.close()


def test_taking_tags_the_card_and_goes_on(desk):
    said = desk.take(desk.candidates.of("2 g 12/99 nm")[0])
    mark = desk.view.card_at(1).mark
    assert said == "Card 1: #2 Bo Lund, Gold 12/99, Near Mint."
    assert mark == Mark(
        State.TAGGED, Tags(LIGHT, "2", "Bo Lund", "Gulls", "Gold", "12/99", "Near Mint")
    )
    assert desk.view.cursor.position == 2
    assert desk.view.cursor.carried.get("set") == LIGHT


def test_a_reading_with_a_problem_is_refused(desk):
    with pytest.raises(Refused, match="above the print run of 99"):
        desk.take(desk.candidates.of("2 100/99")[0])
    assert desk.view.counts().tagged == 0


def test_the_next_proposal_follows_the_card_before(desk):
    take(desk, "set=87 3")
    assert desk.candidates.of("")[0].tags.number == "4"


def test_the_card_before_once_more_is_the_last_of_what_is_likely_next(desk):
    take(desk, "set=87 2")
    numbers = [candidate.tags.number for candidate in desk.candidates.of("")]
    assert (numbers[:4], numbers[-1]) == (["3", "4", "5", "6"], "2")


def test_the_card_before_once_more_is_the_first_where_the_lot_is_full_of_doubles(desk):
    take(desk, "set=87 2")
    desk.take_in([f"scan_{number}.jpg" for number in range(1, 41)])
    for _ in range(12):
        desk.again()
    assert desk.candidates.of("")[0].tags.number == "2"


def test_behind_the_last_card_of_a_set_that_card_is_not_shown_as_the_next(desk):
    """One Enter too many would tag a double that is none."""
    rows = [Row(LIGHT, str(number), f"Ada Marsh {number}") for number in range(1, 21)]
    rows += [Row(POND, str(number), f"Bo Lund {number}") for number in range(1, 21)]
    desk.candidates.matcher = Matcher(Index(Checklist(tuple(rows))))
    for number in (18, 19, 20):
        take(desk, f"set=87 {number}")
    assert desk.candidates.of("") == []
    assert desk.proposals.of("").deed is Deed.NOTHING
    # who has more of it still says so with one key
    desk.again()
    assert desk.view.card_at(4).mark.tags.number == "20"


def test_keeping_goes_on_and_changes_nothing(desk):
    take(desk, "set=87 3")
    desk.go(1)
    before = desk.view.card_at(1), desk.last_change()
    assert desk.proposals.of("").deed is Deed.KEEP
    desk.accept("", 0)
    assert (desk.view.card_at(1), desk.last_change()) == before
    assert desk.view.cursor.position == 2


def test_setting_aside_keeps_the_reason_and_the_tags(desk):
    tags = take(desk, "set=87 3")
    desk.go(1)
    desk.set_aside("  two  numbers ")
    assert desk.view.card_at(1).mark == Mark(State.SET_ASIDE, tags, "two numbers")
    assert (desk.view.counts().tagged, desk.view.counts().set_aside) == (0, 1)


def test_a_card_set_aside_without_a_reason_gets_one(desk):
    desk.set_aside(" ")
    assert desk.view.card_at(1).mark.reason


def test_clearing_stays_at_the_card(desk):
    take(desk, "set=87 3")
    desk.go(1)
    desk.clear()
    assert desk.view.card_at(1).mark == Mark()
    assert desk.view.cursor.position == 1


def test_again_copies_the_card_before_but_no_serial_number_and_no_note(desk):
    desk.carry("at=box 3")
    take(desk, "set=87 2 12/99 nm note=corner at=box 9")
    desk.again()
    assert desk.view.card_at(2).mark.tags == Tags(
        LIGHT, "2", "Bo Lund", "Gulls", "Gold", "", "Near Mint", "box 3"
    )


def test_again_copies_the_nearest_tagged_card_in_feeding_order(desk):
    take(desk, "set=87 2")
    desk.set_aside("torn")
    desk.step(1)
    desk.again()
    assert desk.view.card_at(4).mark.tags.subject == "Bo Lund"


def test_an_unlisted_card_is_taken_as_it_is_spelled(desk):
    desk.carry("set=85")
    desk.take_unlisted("T-9 ada  marsh parallel=blue_wave 3/10 nm note=checked")
    tags = desk.view.card_at(1).mark.tags
    assert tags == Tags(
        POND, "T-9", "Ada Marsh", "", "Blue Wave", "3/10", "Near Mint", "", "checked", listed=False
    )


@pytest.mark.parametrize(
    ("hint", "tags"),
    [
        ("set=pond road #9 name=ada marsh", Tags("Pond Road", "9", "Ada Marsh")),
        (
            "name=ada marsh set=1985 pond 1986 parallel=blue wave number=9 nm team=big gulls",
            Tags("1985 Pond 1986", "9", "Ada Marsh", "Big Gulls", "Blue Wave", "", "Near Mint"),
        ),
        ("set=pond road #9 ada", Tags("Pond Road", "9", "Ada")),
    ],
)
def test_a_field_has_all_its_words_where_the_name_is_said_to_be_another(desk, hint, tags):
    desk.take_unlisted(hint)
    assert desk.view.card_at(1).mark.tags == replace(tags, listed=False)


def test_the_place_is_dropped_by_either_of_its_names(desk):
    for name in ("at", "place"):
        desk.carry("at=box 1")
        assert desk.drop(name) == "No longer carrying the place."


def test_a_field_that_is_not_clear_is_told_where_nothing_fits(desk):
    assert desk.proposals.of("zzqx n=gold").why == (
        "'n=' could be number, name or note: type one more letter."
    )


def test_carried_tags_go_onto_the_next_cards_until_dropped(desk):
    desk.carry("set=87")
    desk.carry("silver ex at=row 2")
    assert take(desk, "1") == Tags(
        LIGHT, "1", "Ada Marsh", "Gulls", "Silver", "", "Excellent", "row 2"
    )
    desk.drop("par")
    desk.drop("condition")
    assert take(desk, "2") == Tags(LIGHT, "2", "Bo Lund", "Gulls", place="row 2")
    desk.drop("")
    assert take(desk, "3").place == ""
    assert desk.view.cursor.carried.pairs == (("set", LIGHT),)


def test_the_carried_set_follows_new_tags(desk):
    take(desk, "set=87 1")
    take(desk, "set=85 1")
    assert desk.view.cursor.carried.get("set") == POND


@pytest.mark.parametrize("mark", ["tagged", "set aside"])
def test_the_carried_set_stays_when_an_older_card_is_tagged_again(desk, mark):
    take(desk, "set=87 1")
    take(desk, "2")
    if mark == "set aside":
        desk.go(1)
        desk.set_aside("look")
    desk.go(1)
    take(desk, "set=85 1")
    assert desk.view.card_at(1).mark.tags.set == POND
    assert desk.view.cursor.carried.get("set") == LIGHT


def test_the_end_of_the_lot_takes_nothing(desk):
    desk.go(7)
    assert desk.view.at_end
    assert desk.view.card is None
    assert desk.proposals.of("1").deed is Deed.NOTHING
    assert desk.step(5) == ""
    assert desk.view.cursor.position == 7
    desk.step(-99)
    assert desk.view.cursor.position == 1


def test_taking_the_last_card_ends_at_the_end(desk):
    desk.go(6)
    take(desk, "set=87 1")
    assert desk.view.at_end


@pytest.mark.parametrize(
    ("start", "direction", "expected"), [(1, 1, 3), (3, 1, 5), (6, 1, 1), (3, -1, 1), (1, -1, 6)]
)
def test_the_next_untagged_card_is_found_round_the_end(desk, start, direction, expected):
    for position in (2, 4):
        desk.go(position)
        take(desk, "set=87 1")
    desk.go(start)
    desk.next_untagged(direction)
    assert desk.view.cursor.position == expected


REFUSED: dict[str, Callable[[Session], object]] = {
    "go 0": lambda desk: desk.go(0),
    "go too far": lambda desk: desk.go(8),
    "take a problem": lambda desk: take(desk, "2 100/99"),
    "unlisted without words": lambda desk: desk.take_unlisted("nm"),
    "unlisted above its run": lambda desk: desk.take_unlisted("9 12/10"),
    "clear an untagged card": lambda desk: desk.clear(),
    "again before any": lambda desk: (desk.go(1), desk.again()),
    "carry nothing": lambda desk: desk.carry(""),
    "carry what is not read": lambda desk: desk.carry("zzqx"),
    "carry the same": lambda desk: desk.carry("set=87"),
    "drop what is not carried": lambda desk: desk.drop("place"),
    "drop no field": lambda desk: desk.drop("zzqx"),
    "take what is not clear": lambda desk: desk.accept("2 n=bo"),
    "unlisted and not clear": lambda desk: desk.take_unlisted("9 n=bo"),
    "carry what is not clear": lambda desk: desk.carry("s=85"),
    "redo nothing": lambda desk: desk.redo(),
    "enter what fits nothing": lambda desk: desk.accept("zzqx", 0),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_refusal_changes_nothing_in_memory_or_on_disk(desk, tmp_path, name):
    take(desk, "set=87 1")
    desk.step(-1 if name == "again before any" else 1)
    before, files = facts(desk), {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    with pytest.raises(Refused) as refusal:
        REFUSED[name](desk)
    assert len(str(refusal.value).split()) > 2
    assert facts(desk) == before
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == files


def test_a_card_that_was_taken_while_hardly_likely_is_told_so(desk):
    guess = replace(desk.candidates.of("b")[0], confidence=0.2)
    assert desk.take(guess).startswith("Check again: unsure, 20%. Card 1: ")
    assert desk.view.card_at(1).mark.unsure
    likely = replace(desk.candidates.of("b")[0], confidence=0.7)
    assert desk.take(likely).startswith("Card 2: ")


def test_a_question_mark_is_told_where_the_help_is(desk):
    proposal = desk.proposals.of("?")
    assert proposal.deed is Deed.NOTHING
    assert "F9" in proposal.why


def test_what_was_shown_is_not_worked_out_again_for_enter(desk, monkeypatch):
    asked = []
    rank = desk.candidates.matcher.rank
    monkeypatch.setattr(
        desk.candidates.matcher, "rank", lambda *given: asked.append(given[0]) or rank(*given)
    )
    shown = desk.proposals.of("set=87 3")
    assert desk.accept("set=87 3").startswith("Card 1: #3")
    assert asked == ["set=87 3"]
    assert desk.view.card_at(1).mark.tags == shown.candidate.tags


def test_what_changed_since_it_was_shown_is_worked_out_anew(desk):
    assert desk.proposals.of("set=87 3").candidate.tags.parallel == ""
    desk.carry("gold")
    assert desk.proposals.of("set=87 3").candidate.tags.parallel == "Gold"
    desk.undo()
    assert desk.proposals.of("set=87 3").candidate.tags.parallel == ""


def test_without_a_checklist_the_panel_says_so_also_of_a_hint(desk):
    assert desk.proposals.of("77 nobody").why == "No checklist card matches. F4 tags it as typed."
    desk.candidates.matcher = Matcher(Index(Checklist()))
    no_list = "This lot has no checklist."
    assert (
        desk.proposals.of("").why == f"{no_list} Type number and name; Enter accepts them as typed."
    )
    typed = desk.proposals.of("77 nobody")
    assert (typed.deed, typed.candidate.tags.listed) == (Deed.TAKE, False)

"""Stock numbers: their check character, how they are typed, and that a card keeps its own."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise

import pytest
from stdnum.iso7064 import mod_37_36
from support.at_work import opened, take

from tagger.core.fixes.feeding import MissingSide
from tagger.core.lot.change import Effect, StockBegun
from tagger.core.lot.fields import cards
from tagger.core.lot.lot import LotState
from tagger.core.lot.view import UNTAGGED
from tagger.core.model.stock_number import (
    StockNumber,
    check_character,
    is_mistyped,
    part_of,
    read_part,
    read_stock_number,
)
from tagger.core.model.tags import Marking
from tagger.core.session.fixer import Fixer
from tagger.store.lot.lot_file import read_lot

NUMBER = StockNumber("K7TQX", 42)


def test_the_check_character_is_that_of_the_standard() -> None:
    # A1-2425G-ABC1234002-M: the worked example of the Global Release Identifier (GRid Standard,
    # IFPI/MUSIC, part 1), which uses ISO/IEC 7064 MOD 37,36; from memory.
    assert check_character("A12425GABC1234002") == "M"


def test_it_is_what_another_library_computes() -> None:
    """python-stdnum's `iso7064.mod_37_36`, over random texts."""
    source = random.Random(36)
    for _ in range(500):
        length = source.randint(1, 14)
        text = "".join(source.choices("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ", k=length))
        assert check_character(text) == mod_37_36.calc_check_digit(text)


def test_a_number_is_read_in_any_case_with_hyphens_or_without() -> None:
    for typed in (str(NUMBER), str(NUMBER).lower(), str(NUMBER).replace("-", ""), f" {NUMBER} "):
        assert read_stock_number(typed) == NUMBER
    assert read_stock_number(str(StockNumber("HL", 1_234_567))) == StockNumber("HL", 1_234_567)


def test_one_wrong_character_or_two_changed_places_is_no_stock_number() -> None:
    """All single errors, and all but a few exchanges of neighbours, as ISO/IEC 7064 has it."""
    typed = str(NUMBER).replace("-", "")
    for at, right in enumerate(typed):
        others = (one for one in "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ" if one != right)
        for wrong in others:
            assert read_stock_number(typed[:at] + wrong + typed[at + 1 :]) is None
    for at, (one, other) in enumerate(pairwise(typed)):
        if one != other:
            assert read_stock_number(typed[:at] + other + one + typed[at + 2 :]) is None


def test_words_of_a_hint_are_not_stock_numbers() -> None:
    for hint in ("", "23", "RC-7", "12/99", "ada marsh", "87 23 gold", "1987", "K7TQX", "T-100"):
        assert read_stock_number(hint) is None
        assert not is_mistyped(hint)
    misread = "K7TQX-0043-" + check_character("K7TQX0042")
    assert is_mistyped(misread)
    bare = misread.replace("-", "").lower()
    assert not is_mistyped(bare)
    assert is_mistyped(bare, bare=True)
    assert not is_mistyped(str(NUMBER).replace("-", ""), bare=True)


@pytest.mark.parametrize("typed", ["", "A", "7A", "A7", "HARBORLIGHT", "H-L", "HÄ", "H L"])
def test_a_part_is_letters_and_digits_with_a_letter_at_both_ends(typed: str) -> None:
    assert read_part(typed) is None
    assert read_part(" hl87b ") == "HL87B"


def test_two_lots_have_two_parts() -> None:
    given: set[str] = set()
    for lot in range(3000):
        part = part_of(f"lot {lot}", given.__contains__)
        assert part not in given
        assert read_part(part) == part
        given.add(part)


def running(session) -> list[int]:
    return [card.mark.running for card in cards(session.view)]


def test_a_card_keeps_its_number_and_none_is_given_twice(tmp_path) -> None:
    session = opened(tmp_path)
    for hint in ("set=87 #1", "set=87 #2", "set=87 #3"):
        take(session, hint)
    assert running(session)[:4] == [1, 2, 3, 0]
    session.go(2)
    take(session, "set=87 #5")  # another card, in the same place: the dealer had misread it
    session.undo()
    session.undo()  # the third card's tag, the last of its kind
    session.redo()
    assert running(session)[:3] == [1, 2, 3]
    session.undo()
    session.go(3)
    take(session, "set=87 #4")
    assert running(session)[:3] == [1, 2, 4]  # 3 was on a card for a moment, perhaps on a label
    session.close()


def named(session) -> dict[str, int]:
    tagged = (card.mark for card in cards(session.view) if card.mark.running)
    return {mark.tags.number: mark.running for mark in tagged}


def test_a_tag_that_moves_takes_its_number_along(tmp_path) -> None:
    session = opened(tmp_path)
    for hint in ("set=87 #1", "set=87 #2", "set=87 #3", "set=87 #4"):
        take(session, hint)
    before = named(session)
    assert before == {"1": 1, "2": 2, "3": 3, "4": 4}
    Fixer(session).mend([MissingSide(2, "front")])
    assert named(session).items() <= before.items()
    assert named(session)
    session.undo()
    assert named(session) == before
    session.close()


def test_the_tags_of_an_older_lot_are_numbered_in_feeding_order(tmp_path) -> None:
    session = opened(tmp_path)
    session.go(3)
    take(session, "set=87 #3")
    session.go(1)
    take(session, "set=87 #1")
    old = [
        Marking(card.pair.id, UNTAGGED, replace(card.mark, running=0))
        for card in cards(session.view)
    ]
    lot = LotState(session.view.arrangement, {one.id: one.after for one in old})
    lot.apply(StockBegun("HL"))
    assert [card.mark.running for card in cards(lot)] == [1, 0, 2, 0, 0, 0]
    assert [card.stock_number for card in cards(lot)][:2] == [str(StockNumber("HL", 1)), ""]
    # undo of a change that knew of no numbers leaves the card's own
    [first, *_] = cards(lot)
    lot.apply(Effect(lot.cursor, ((first.pair.id, replace(first.mark, running=0)),)))
    assert next(card.mark.running for card in cards(lot)) == 1
    session.close()


def test_what_is_stored_is_what_was_worked_at(tmp_path) -> None:
    session = opened(tmp_path)
    session.note(StockBegun("HL"))
    for hint in ("set=87 #1", "set=87 #2"):
        take(session, hint)
    session.undo()
    session.close()
    lot = read_lot(tmp_path)
    assert (lot.part, lot.highest) == ("HL", 2)
    assert [card.mark.running for card in cards(lot)][:2] == [1, 0]
    (tmp_path / "lot.json").unlink()
    again = read_lot(tmp_path)  # from the journal alone
    assert (again.part, again.highest, dict(again.marks)) == (lot.part, 2, dict(lot.marks))
    assert [card.mark.running for card in cards(again)][:2] == [1, 0]

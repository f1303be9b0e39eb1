"""A place is one place in any spelling, for every count, list and label; and a box that is renamed
is renamed wherever its name would come back."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.shop import HARBOR, kept, lot_of, marks, numbers

from tagger.cli import main
from tagger.config import Settings
from tagger.core.model.place import (
    place_key,
    place_order,
    places_meant,
    spelled_place,
    within,
)
from tagger.core.model.tags import Tags
from tagger.services.opening import change
from tagger.store.machine.paths import lot_place

SPELLINGS = ("box 7, row 2", "Box 7,row 2", "box7 ,  Row2", " BOX  7, row 2, ")


def lot_in(folder: Path, *places: str) -> Path:
    """A lot with a card in each place, numbered from 1."""
    return lot_of(
        folder, [Tags(HARBOR, str(at), "Ada", place=place) for at, place in enumerate(places, 1)]
    )


def told(capsys: pytest.CaptureFixture[str], *words: object) -> str:
    capsys.readouterr()
    main(list(map(str, words)))
    return capsys.readouterr().out


def test_spellings_of_one_place_are_told_apart_from_other_places() -> None:
    assert len(set(map(place_key, SPELLINGS))) == 1
    others = ("box 7", "box 72", "box 7 2", "row 2, box 7", "box 7, row 22", "", "box 7 row 2 a")
    assert len({place_key(place) for place in (*SPELLINGS, *others)}) == 1 + len(others)
    assert within("Box 7,Row 2", "box 7") == ("Row 2",)
    assert within("box 72", "box 7") is None


parts = st.text("abB1 ,", max_size=6)


@given(parts, parts)
def test_one_order_for_places_of_one_key(one: str, other: str) -> None:
    assert (place_key(one) == place_key(other)) == (place_order(one) == place_order(other))
    assert place_key(spelled_place(place_key(one))) == place_key(one)


def test_rows_lie_behind_their_box_and_before_the_next() -> None:
    ordered = ["", "box 9", "box 9, row 1", "box 9, row 10", "box 9 A", "box 10"]
    ordered.reverse()
    assert sorted(ordered, key=place_order) == ordered[::-1]


def test_cards_of_one_place_in_two_spellings_count_together(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot = lot_in(tmp_path / "one", SPELLINGS[0], SPELLINGS[1], SPELLINGS[0])
    second, third = numbers(lot)[1:]
    assert "2 from the front, between #1 and #3" in told(capsys, "find", second)
    assert "3 from the front, the last, after #2" in told(capsys, "find", third)
    for typed in (SPELLINGS[1], "box7", "BOX 7", "Row2"):
        assert told(capsys, "find", f"at={typed}").count("from the front") == 3
    assert "  box 7, row 2: 3 cards\n" in told(capsys, "stock")
    assert "In stock: 3 cards" in told(capsys, "stock", "at=BOX", "7,row", "2")
    listed = csv.DictReader(told(capsys, "stock", "--to", "-").splitlines())
    assert [row["from the front"] for row in listed] == ["1", "2", "3"]
    lot_in(tmp_path / "two", SPELLINGS[1])
    main(["sold", second, third, "--order", "A"])
    # the other lot's card lies there, too, whatever its place is called
    assert told(capsys, "pick").splitlines()[0] == f"{SPELLINGS[1]}: cards of one"
    assert told(capsys, "pick").count("cards of one") == 1


def test_a_count_takes_a_place_in_any_spelling(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot = lot_in(tmp_path / "one", "box 7, row 2", "box 12")
    counted, (first, second) = tmp_path / "counted.csv", numbers(lot)
    for said, found in (("box 12", 2), ("Box12", 2), ("box 1 2", 1)):
        rows = ("stock number,place", f'{first},"box7,Row2"', f"{second},{said}")
        counted.write_text("\n".join(rows) + "\n", encoding="utf-8")
        assert told(capsys, "stock", "--counted", counted).startswith(f"{found} card")


def test_a_card_is_moved_to_a_place_as_places_are_written(tmp_path: Path) -> None:
    lot = lot_in(tmp_path / "one", "box 9")
    assert main(["move", numbers(lot)[0], " box 7,row  2 "]) == 0
    assert marks(lot)[0].tags.place == "box 7, row 2"
    assert main(["move", "BOX 7", "shelf"]) == 0
    assert marks(lot)[0].tags.place == "shelf, row 2"


def test_a_box_has_one_label_also_where_another_is_called_nearly_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot_in(tmp_path / "one", "box 9", "box 9 A", "Box 9,row 1")
    assert main(["labels", "--boxes", "--to", str(tmp_path / "labels.pdf")]) == 0
    assert "3 labels on 1 page" in capsys.readouterr().err


def test_a_box_that_is_renamed_within_a_stretch_does_not_come_back_by_its_old_name(
    tmp_path: Path,
) -> None:
    lot = lot_in(tmp_path / "one", "box 7")
    for scan in range(3, 9):
        (lot / f"scan_{scan:04d}.jpg").touch()
    with change(lot_place(lot, None), Settings()) as session:
        session.take_in(sorted(one.name for one in lot.glob("*.jpg")))
        session.go(2)
        session.carry("at=box 7")
        session.carry("at=shelf next=1")
    assert main(["move", "box 7", "box 9"]) == 0
    with change(lot_place(lot, None), Settings()) as session:
        session.take_unlisted("5 Bo")
        session.take_unlisted("6 Cy")
    assert [mark.tags.place for mark in marks(lot)[:3]] == ["box 9", "shelf", "box 9"]
    assert kept(lot).cursor.carried.get("place") == "box 9"


def test_which_places_are_meant_is_told_in_any_spelling() -> None:
    there = (*SPELLINGS, "box 12", "box 7, row 22")
    assert set(places_meant("BOX7, row2", there)) == set(SPELLINGS)
    assert set(places_meant("box7", there)) == {*SPELLINGS, "box 7, row 22"}
    assert set(places_meant("ROW  2", there)) == set(SPELLINGS)
    assert set(places_meant("box 1", there)) == set(places_meant("", there)) == set()
    assert set(places_meant(" ,", ("", "box 1"))) == {""}

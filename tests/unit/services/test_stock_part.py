"""What a lot's stock numbers begin with is the dealer's choice, once, and no two lots share it."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.shop import harbor, lot_of, numbers

from tagger.errors import Refused, UsageError
from tagger.services.stock_part import begin_stock, part_typed
from tagger.store.lot.lot_file import LotFile, read_lot
from tagger.store.machine.paths import lot_place


def begin(folder: Path, part: str) -> None:
    folder.mkdir(exist_ok=True)
    store = LotFile(folder, folder.name)
    try:
        begin_stock(store, lot_place(folder, None), part)
    finally:
        store.close()


def test_a_new_lot_begins_with_letters_of_its_own(tmp_path: Path) -> None:
    one, two, late = tmp_path / "one", tmp_path / "two", tmp_path / "late"
    begin(one, part_typed(" hl87b "))
    lot_of(two, [harbor("22", "Ivo Lund")])
    with pytest.raises(Refused, match=r"HL87B already begins the stock numbers of the lot in"):
        begin(late, "HL87B")
    assert read_lot(late).part == ""
    begin(late, "LATE")
    # it is said once more, and stays; another one is refused, for labels have it
    begin(late, "LATE")
    with pytest.raises(Refused, match="begin with LATE, and never change"):
        begin(late, "NEW")
    given = numbers(two)
    with pytest.raises(Refused, match="never change"):
        begin(two, "NEW")
    assert numbers(two) == given


@pytest.mark.parametrize("typed", ["", "7A", "A7", "A", "ABCDEFGHI", "Ä-B"])
def test_what_cannot_begin_a_stock_number_is_said(typed: str) -> None:
    with pytest.raises(UsageError, match="two to eight letters and digits"):
        part_typed(typed)

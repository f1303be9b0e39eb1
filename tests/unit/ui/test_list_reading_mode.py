"""How the reading of a new list is laid out: whole where there is room, else each entry begun."""

from __future__ import annotations

import pytest

from tagger.ui.desk.modes.list_reading import fitted

ENTRIES = (
    "nebelmark.xlsx: 232 cards in 3 sets: Nebelmark – Erste Auflage (2019), Nebelmark Promos",
    "Karten-Nr. = number · Name = subject · Folie = one parallel · Preis € = price · Element, "
    "Seltenheit, Anmerkung = kept as they are",
    "Nebelmark Promos #P-012/012 Ascheschmied",
    "sheet Promos, line 17: total 'Gesamt 12', not a card; sheet Promos, line 1: heading 'Promos'",
)


@pytest.mark.parametrize(("width", "room"), [(80, 14), (100, 14), (40, 30)])
def test_nothing_is_left_out_where_there_is_room(width: int, room: int) -> None:
    lines = fitted(ENTRIES, width, room)
    said = " ".join(" ".join(line.plain for line in lines).split())
    assert said == " ".join(ENTRIES)
    assert len(lines) <= room
    assert all(line.cell_len <= width for line in lines)


@pytest.mark.parametrize("room", [4, 5, 6])
def test_the_longest_entry_ends_sooner_and_says_so(room: int) -> None:
    lines = [line.plain for line in fitted(ENTRIES, 60, room)]
    assert len(lines) == room
    begun = [line for line in lines if not line.startswith("   ")]
    assert [line.split()[0] for line in begun] == [entry.split()[0] for entry in ENTRIES]
    assert any(line.endswith("…") for line in lines)

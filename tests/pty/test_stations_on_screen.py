"""Two programs at two terminals and one PostgreSQL: a card that is tagged at one station is found
and sold at the other while the lot is open at its desk. The hub is stopped and started between."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from support import drawn
from support.folders import opened_before
from support.opened import Lot
from support.postgres import server
from support.shop import marks
from support.stations import Shop, Station
from support.terminal import Terminal

F4, ENTER, UNDO, LEAVE = "\x1bOS", "\r", "\x1a", "\x18"


def until(held: Callable[[], bool], *screens: Terminal) -> None:
    """Wait for something that no screen shows, while the screens go on."""
    end = time.monotonic() + 60
    while not held():
        assert time.monotonic() < end, "\n".join(screen.text() for screen in screens)
        for screen in screens:
            screen.pump(0.1)


def shop_of_two(top: Path) -> tuple[Shop, Path, list[drawn.Truth]]:
    """Two stations; north has a lot of three cards and a checklist."""
    shop = Shop(server(), top, "terminals", ["north", "south"])
    for station in shop.stations:
        opened_before(station.env)
    box = shop.stations[0].top / "box 12"
    drawn.draw_scans(box, 3, size=(60, 84))
    rows = drawn.set_rows("1987 Harbor Light", 20, seed=5)
    (box.parent / "list.csv").write_text(drawn.checklist_csv(rows), encoding="utf-8")
    return shop, box, rows


def answer_of(station: Station, *words: str) -> tuple[int, str]:
    process = station.start(*words)
    out, err = process.communicate()
    return process.returncode, out + err


@pytest.mark.nightly
def test_two_stations_sell_one_card_once(tmp_path: Path, tagger: list[str]) -> None:
    shop, box, rows = shop_of_two(tmp_path)
    north, south = shop.stations
    desk = Lot(box, box.parent / "list.csv", tagger).open(**north.env)
    with desk:
        # tagged at north, and there for all a moment later
        desk.send(f"7{ENTER}8{ENTER}")
        desk.wait_for("2 tagged")
        there = "SELECT id FROM tagger.card WHERE doc ->> 'state' = %s"
        until(lambda: len(shop.sql(there, "tagged")) == 2, desk)
        assert answer_of(south, "hub", "pull")[0] == 0
        name = rows[6].subject.split()[-1]
        with Terminal([*tagger, "find", name, "--screen"], env=south.env) as finder:
            finder.wait_for("box 12 at north")
            # the hub is gone: found as before, but not sold; the desk goes on and says so
            server().stop()
            finder.send(F4)
            finder.wait_for("(?i)mark|sold")
            finder.send(ENTER)
            finder.wait_for("Nothing was sold")
            desk.send(f"9{ENTER}")
            desk.wait_for("hub behind")
            server().start()
            desk.wait_gone("hub behind")
            # sold at south while the lot is open at north
            finder.send(F4)
            finder.send(ENTER)
            finder.wait_for("Asked north: reserved for you")
            desk.wait_for("Card 1 sold, asked by south")
            assert marks(box)[0].gone == "sold"
            until(lambda: len(shop.sql(there, "sold")) == 1, desk)
            finder.send(LEAVE)
            finder.wait_exit()
        assert answer_of(north, "hub", "status")[1].count("(confirmed)") == 1
        number = shop.sql("SELECT doc ->> 'stock number' FROM tagger.card WHERE id = 2")[0][0]
        # to an order, so that it is on the pick list of the station that has it
        assert answer_of(south, "hub", "pull")[0] == 0
        assert answer_of(south, "sold", str(number), "--order", "A-17")[0] == 0
        desk.wait_for("Card 2 sold, asked by south")
        assert "order A-17" in answer_of(north, "pick")[1]
        status, said = answer_of(north, "sold", str(number))
        assert status == 3, said
        desk.send(LEAVE)
        assert desk.wait_exit() == 0

"""Where a lot's document is kept, and the list of lots, which may be lost at any time."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from tagger.core.lot.view import Counts
from tagger.core.session.session import Session
from tagger.errors import LotError
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.lots import LotList
from tagger.store.machine.lots_now import lots_now
from tagger.store.machine.paths import (
    LotPlace,
    config_file,
    data_folder,
    lot_place,
    make_home,
    state_folder,
)


@pytest.fixture
def place(tmp_path: Path) -> LotPlace:
    """A lot of two cards, opened once."""
    folder = tmp_path / "box 12"
    folder.mkdir()
    found = lot_place(folder, None)
    session = Session(LotFile(found.home, found.name))
    session.take_in(["1.jpg", "2.jpg", "3.jpg", "4.jpg"])
    session.take_unlisted("7 Marsh")
    session.close()
    return found


def test_a_lot_is_kept_in_its_own_folder(tmp_path):
    place = lot_place(tmp_path, None)
    assert (place.folder, place.home, place.name) == (tmp_path, tmp_path, tmp_path.name)


def test_with_a_state_folder_each_lot_has_a_place_of_its_own(tmp_path):
    one, two, state = tmp_path / "a" / "box 12", tmp_path / "b" / "box 12", tmp_path / "state"
    for folder in (one, two):
        folder.mkdir(parents=True)
    homes = {lot_place(folder, state).home for folder in (one, two)}
    assert len(homes) == 2
    assert all(home.parent == state and home.name.startswith("box-12-") for home in homes)
    assert lot_place(tmp_path / "a" / ".." / "a" / "box 12", state) == lot_place(one, state)
    assert not state.exists()


def test_a_hostile_folder_name_gives_a_plain_place(tmp_path):
    folder = tmp_path / os.fsdecode(b"..\x1b[2J \xff\n$(x)")
    folder.mkdir()
    place = lot_place(folder, tmp_path / "state")
    assert place.home.parent == tmp_path / "state"
    assert place.home.name.isascii()
    assert place.home.name.isprintable()
    assert place.name.isprintable()
    make_home(place)
    assert place.home.is_dir()


def test_a_folder_that_is_none_is_named(tmp_path):
    (tmp_path / "scan.jpg").write_bytes(b"x")
    with pytest.raises(LotError, match="There is no folder"):
        lot_place(tmp_path / "nowhere", None)
    with pytest.raises(LotError, match="is a file"):
        lot_place(tmp_path / "scan.jpg", None)


def test_a_home_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "state").write_text("a file")
    with pytest.raises(LotError, match="cannot be made"):
        make_home(lot_place(tmp_path, tmp_path / "state"))


def test_user_files_go_to_the_folders_that_the_environment_names(own_folders):
    """XDG Base Directory Specification 0.8."""
    assert config_file() == own_folders / "config" / "tagger" / "config.toml"
    assert data_folder() == own_folders / "data" / "tagger"
    assert state_folder() == own_folders / "state" / "tagger"


def test_the_list_knows_how_far_each_lot_is(tmp_path, place):
    lots = LotList(tmp_path / "data")
    lots.opened(place)
    lots.opened(place)
    assert [(known.place, known.counts) for known in lots_now(lots)] == [(place, Counts(2, 1, 0))]


def test_the_lot_opened_last_comes_first(tmp_path, place):
    lots = LotList(tmp_path / "data")
    other = LotPlace(tmp_path / "other", tmp_path / "state" / "other-1")
    lots.opened(place)
    lots.opened(other)
    assert [known.place for known in lots_now(lots)] == [other, place]
    lots.opened(place)
    assert [known.place for known in lots_now(lots)] == [place, other]
    assert lots_now(lots)[1].counts is None


def test_the_home_of_a_folder_is_remembered(tmp_path):
    folder = tmp_path / os.fsdecode(b"scans \xff")
    folder.mkdir()
    place = lot_place(folder, tmp_path / "state")
    lots = LotList(tmp_path / "data")
    assert lots.home_of(folder) is None
    lots.opened(place)
    assert lots.home_of(folder) == place.home


@pytest.mark.parametrize(
    "damage",
    [
        None,
        b"",
        b"{",
        b"\xff",
        b"[]",
        b"7",
        b'{"lots": []}',
        b'{"lots": {"x": {}}}',
        b'{"lots": {"1": {"folder": 3}}}',
    ],
)
def test_a_lost_or_damaged_list_is_put_back_by_opening_a_lot(tmp_path, place, damage):
    lots = LotList(tmp_path / "data")
    lots.opened(place)
    path = tmp_path / "data" / "lots.json"
    path.unlink() if damage is None else path.write_bytes(damage)
    assert lots_now(lots) == []
    lots.opened(place)
    assert [(known.place, known.counts) for known in lots_now(lots)] == [(place, Counts(2, 1, 0))]


def test_a_lot_that_cannot_be_read_stays_on_the_list(tmp_path, place):
    lots = LotList(tmp_path / "data")
    lots.opened(place)
    (place.home / "lot.json").write_bytes(b"{")
    (place.home / "lot.journal").unlink()
    assert [(known.place, known.counts) for known in lots_now(lots)] == [(place, None)]


def test_a_list_that_cannot_be_written_is_no_obstacle(tmp_path, place):
    (tmp_path / "data").write_text("a file")
    lots = LotList(tmp_path / "data")
    lots.opened(place)
    assert lots_now(lots) == []
    assert lots.home_of(place.folder) is None


def test_reading_the_list_writes_nothing(tmp_path):
    lots = LotList(tmp_path / "data")
    assert lots_now(lots) == []
    assert not (tmp_path / "data").exists()


def test_the_list_is_a_json_document(tmp_path, place):
    LotList(tmp_path / "data").opened(place)
    entry = json.loads((tmp_path / "data" / "lots.json").read_bytes())["lots"]["1"]
    assert (entry["folder"], entry["home"]) == (str(place.folder), str(place.home))


def test_a_place_says_what_state_must_name_to_find_it(tmp_path):
    folder, state = tmp_path / "scans", tmp_path / "kept"
    folder.mkdir()
    assert lot_place(folder, None).state is None
    place = lot_place(folder, state)
    assert place.state == state
    assert lot_place(folder, place.state) == place
    # the scans were moved: only this machine's list of lots finds the tags
    assert LotPlace(tmp_path / "moved", place.home).state is None

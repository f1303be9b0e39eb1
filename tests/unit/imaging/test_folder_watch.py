"""Scans that appear while the lot is open."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from tagger.core.feeding.order import feeding_order
from tagger.errors import LotError
from tagger.imaging.scan.folder_watch import LIST, PATIENCE, SELDOM, SOON, Arrivals


def picture(shade: int = 90, kind: str = "JPEG") -> bytes:
    data = io.BytesIO()
    Image.new("RGB", (40, 56), (shade, 80, 70)).save(data, kind)
    return data.getvalue()


class Clock:
    """Seconds, as the test says."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


def look(
    arrivals: Arrivals, clock: Clock, times: int = 1
) -> list[tuple[tuple[str, ...], frozenset[str]]]:
    out = []
    for _ in range(times):
        clock.now += 1
        found = arrivals.look()
        if found is not None:
            out.append((found.scans, found.fresh))
    return out


def put(folder: Path, name: str, data: bytes) -> None:
    (folder / name).write_bytes(data)


def test_a_whole_file_joins_at_the_second_look(tmp_path, clock):
    put(tmp_path, "s_1.jpg", picture())
    arrivals = Arrivals(tmp_path, seen=["s_1.jpg"], clock=clock)
    assert look(arrivals, clock, 2) == []
    put(tmp_path, "s_2.jpg", picture())
    assert look(arrivals, clock) == []
    assert look(arrivals, clock) == [(("s_1.jpg", "s_2.jpg"), {"s_2.jpg"})]
    assert look(arrivals, clock, 40) == []


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF"])
def test_a_file_that_grows_joins_when_it_ends_as_its_kind_ends(tmp_path, clock, kind):
    arrivals = Arrivals(tmp_path, clock=clock)
    look(arrivals, clock)
    data, name = picture(kind=kind), f"s_1.{kind.lower()}"
    for size in range(0, len(data), max(1, len(data) // 4)):
        put(tmp_path, name, data[:size])
        assert look(arrivals, clock, 3) == []
    put(tmp_path, name, data)
    assert look(arrivals, clock, 2) == [((name,), {name})]


def test_later_scans_wait_for_an_earlier_one_but_not_for_ever(tmp_path, clock):
    arrivals = Arrivals(tmp_path, clock=clock)
    look(arrivals, clock)
    put(tmp_path, "s_1.jpg", picture()[:-40])
    put(tmp_path, "s_2.jpg", picture())
    assert look(arrivals, clock, int(PATIENCE)) == []
    assert look(arrivals, clock, 2) == [(("s_1.jpg", "s_2.jpg"), {"s_1.jpg", "s_2.jpg"})]


def test_a_scan_made_again_under_its_name_is_told(tmp_path, clock):
    put(tmp_path, "s_1.jpg", picture()[:-40])
    arrivals = Arrivals(tmp_path, seen=["s_1.jpg"], clock=clock)
    assert look(arrivals, clock, 3) == []
    put(tmp_path, "s_1.jpg", picture(200))
    told = look(arrivals, clock, int(LIST) + 2)
    assert told == [(("s_1.jpg",), {"s_1.jpg"})]


def test_a_folder_that_is_gone_for_a_while_does_no_harm(tmp_path, clock):
    folder = tmp_path / "lot"
    folder.mkdir()
    put(folder, "s_1.jpg", picture())
    arrivals = Arrivals(folder, seen=["s_1.jpg"], clock=clock)
    look(arrivals, clock, 2)
    folder.rename(tmp_path / "away")
    assert look(arrivals, clock, 5) == []
    (tmp_path / "away").rename(folder)
    put(folder, "s_2.jpg", picture())
    assert look(arrivals, clock, 3) == [(("s_1.jpg", "s_2.jpg"), {"s_2.jpg"})]


def test_a_folder_whose_time_stands_still_is_listed_all_the_same(tmp_path, clock):
    arrivals = Arrivals(tmp_path, clock=clock)
    look(arrivals, clock, 2)
    told = os.stat(tmp_path)
    put(tmp_path, "s_1.jpg", picture())
    os.utime(tmp_path, ns=(told.st_atime_ns, told.st_mtime_ns))
    assert look(arrivals, clock, int(LIST) + 2) == [(("s_1.jpg",), {"s_1.jpg"})]


def test_the_pause_is_short_while_scans_come_and_long_when_none_do(tmp_path, clock):
    arrivals = Arrivals(tmp_path, clock=clock)
    look(arrivals, clock, 8)
    assert arrivals.pause == SELDOM
    put(tmp_path, "s_1.jpg", picture())
    look(arrivals, clock)
    assert arrivals.pause == SOON


def test_pages_and_joined_folders(tmp_path, clock):
    lot, other = tmp_path / "lot", tmp_path / "box13"
    lot.mkdir()
    other.mkdir()
    pages = [Image.new("RGB", (20, 28), (shade, 0, 0)) for shade in (10, 90)]
    arrivals = Arrivals(lot, ["../box13"], clock=clock)
    look(arrivals, clock)
    pages[0].save(lot / "s_2.tif", save_all=True, append_images=pages[1:])
    put(other, "s_1.jpg", picture())
    names = ("s_2.tif#page=1", "s_2.tif#page=2", "../box13/s_1.jpg")
    assert look(arrivals, clock, 2) == [(names, set(names))]
    with pytest.raises(LotError, match="cannot be joined"):
        Arrivals(lot, ["../../etc"])


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_every_whole_file_joins_once_and_in_feeding_order(tmp_path_factory, data):
    folder, clock = tmp_path_factory.mktemp("lot"), Clock()
    arrivals = Arrivals(folder, clock=clock)
    look(arrivals, clock)
    order = data.draw(st.permutations(range(1, data.draw(st.integers(1, 7)) + 1)))
    told: list[str] = []
    last: tuple[str, ...] = ()
    for number in order:
        name = f"s_{number}.jpg"
        if data.draw(st.booleans()):
            put(folder, name, picture()[:-30])
            told += [
                scan
                for _, fresh in look(arrivals, clock, data.draw(st.integers(0, 2)))
                for scan in fresh
            ]
        put(folder, name, picture(number))
        for scans, fresh in look(arrivals, clock, data.draw(st.integers(0, 3))):
            told += fresh
            last = scans
    for scans, fresh in look(arrivals, clock, 40):
        told += fresh
        last = scans
    assert sorted(told) == sorted(f"s_{number}.jpg" for number in order)
    assert list(last) == feeding_order(told)

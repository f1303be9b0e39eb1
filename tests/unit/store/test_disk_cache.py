"""The cache on disk: what is put is found again or is as if it never was, and it never grows beyond
its bound."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from PIL import Image
from support.small_card import card

from tagger.core.model.pose import Pose
from tagger.errors import PictureError
from tagger.imaging.scan.scans import ScanReader, packed, unpacked
from tagger.store.caches.disk_cache import DiskCache


class NoCopies:
    """Keeps nothing."""

    def get(self, name: str) -> bytes | None:
        """Nothing."""
        return None

    def put(self, name: str, data: bytes) -> None:
        """Forget it."""


def files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


def test_what_was_put_is_found_also_by_another_sitting(tmp_path):
    kept = DiskCache(tmp_path / "cache")
    assert kept.get("a") is None
    kept.put("a", b"one")
    kept.put("b\0\udcff", b"two")
    kept.settle()
    again = DiskCache(tmp_path / "cache")
    assert (again.get("a"), again.get("b\0\udcff"), again.get("c")) == (b"one", b"two", None)


def test_it_stays_within_its_bound_and_lets_the_oldest_go(tmp_path):
    kept = DiskCache(tmp_path, limit=40 * 4096)
    for number in range(200):
        kept.put(str(number), bytes(3000))
        kept.settle()
        if number < 150:
            for path in files(tmp_path):
                os.utime(path, (number, number)) if path.stat().st_mtime > 1e6 else None
    assert len(files(tmp_path)) <= 40
    assert kept.get("199") is not None
    assert kept.get("0") is None


def test_what_other_sittings_left_counts(tmp_path):
    before = DiskCache(tmp_path)
    for number in range(50):
        before.put(str(number), b"x")
    before.settle()
    kept = DiskCache(tmp_path, limit=20 * 4096)
    kept.put("new", b"x")
    kept.settle()
    assert len(files(tmp_path)) <= 20


def test_it_may_be_deleted_at_any_time(tmp_path):
    kept = DiskCache(tmp_path / "cache")
    kept.put("a", b"one")
    kept.settle()
    shutil.rmtree(tmp_path / "cache")
    assert kept.get("a") is None
    kept.put("a", b"two")
    kept.settle()
    assert kept.get("a") == b"two"


def test_a_folder_that_cannot_be_made_is_passed_over(tmp_path):
    (tmp_path / "cache").write_text("a file")
    kept = DiskCache(tmp_path / "cache")
    kept.put("a", b"one")
    kept.settle()
    assert kept.get("a") is None


def test_too_much_at_once_is_forgotten_and_nothing_waits(tmp_path):
    kept = DiskCache(tmp_path)
    for number in range(1000):
        kept.put(str(number), b"x")
    kept.settle()
    assert 1 <= len(files(tmp_path)) <= 1000


class Counted:
    """Copies in memory, and how often one was found."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}
        self.found = 0

    def get(self, name: str) -> bytes | None:
        self.found += name in self.kept
        return self.kept.get(name)

    def put(self, name: str, data: bytes) -> None:
        self.kept[name] = data


def test_a_small_copy_is_the_picture_it_was_made_of(tmp_path):
    card().resize((400, 570)).save(tmp_path / "a.jpg")
    copies = Counted()
    scans = ScanReader(tmp_path, copies)
    fresh = ScanReader(tmp_path, NoCopies())
    for read in (
        lambda s: s.whole("a.jpg", (40, 60), (1, 2)),
        lambda s: s.whole("a.jpg", (40, 60), (2, 3)),
        lambda s: s.whole("a.jpg", (44, 60), (1, 2)),
        lambda s: s.part("a.jpg", (0.5, 0.5, 0.3), (40, 20), (1, 2)),
        lambda s: s.part("a.jpg", (0.6, 0.5, 0.3), (40, 20), (1, 2)),
        lambda s: s.whole("a.jpg", (40, 60), (1, 2), Pose(180)),
        lambda s: s.part("a.jpg", (0.5, 0.5, 0.3), (40, 20), (1, 2), Pose(180, levels=True)),
        lambda s: s.whole("a.jpg#xywh=0,0,40,60", (40, 60), (1, 2)),
    ):
        first, second = read(scans), read(scans)
        assert first.tobytes() == second.tobytes() == read(fresh).tobytes()
        assert first.size == second.size
    assert (len(copies.kept), copies.found) == (8, 8)


def test_another_state_of_the_file_is_another_picture(tmp_path):
    scans = ScanReader(tmp_path, Counted())
    for colour in ((200, 10, 10), (10, 10, 200)):
        Image.new("RGB", (100, 140), colour).save(tmp_path / "new.png")
        os.replace(tmp_path / "new.png", tmp_path / "a.png")
        assert scans.whole("a.png", (10, 14), (1, 2)).getpixel((2, 2)) == colour
    before = scans.stamp("a.png")
    (tmp_path / "a.png").unlink()
    assert scans.stamp("a.png") is None != before
    with pytest.raises(PictureError, match="missing"):
        scans.whole("a.png", (10, 14), (1, 2))


@pytest.mark.parametrize(
    "damage",
    [lambda d: b"", lambda d: d[:-1], lambda d: d[:7], lambda d: d + b"x", lambda d: b"x" + d[1:],
     lambda d: d[:15] + b"\xff\xff" + d[17:], lambda d: d[:-5] + bytes([d[-5] ^ 1]) + d[-4:],
     lambda d: bytes(4000)],
)  # fmt: skip
def test_a_damaged_copy_is_as_none_and_is_made_again(tmp_path, damage):
    Image.new("RGB", (100, 140), (10, 90, 30)).save(tmp_path / "a.png")
    copies = DiskCache(tmp_path / "cache")
    scans = ScanReader(tmp_path, copies)
    whole = scans.whole("a.png", (10, 14), (1, 2))
    copies.settle()
    (path,) = files(tmp_path / "cache")
    good = path.read_bytes()
    path.write_bytes(damage(good))
    assert scans.whole("a.png", (10, 14), (1, 2)).tobytes() == whole.tobytes()
    copies.settle()
    assert path.read_bytes() == good


def test_no_flipped_bit_of_a_copy_comes_back(tmp_path):
    kept = DiskCache(tmp_path)
    kept.put("a", b"what was put")
    kept.settle()
    (path,) = files(tmp_path)
    good = path.read_bytes()
    for bit in range(8 * len(good)):
        data = bytearray(good)
        data[bit // 8] ^= 1 << bit % 8
        path.write_bytes(data)
        assert kept.get("a") is None
    path.write_bytes(good)
    assert kept.get("a") == b"what was put"


@pytest.mark.parametrize("data", [b"", b"abc", bytes(40), b"\x0a\x00\x0e\x00x"])
def test_bytes_that_are_no_packed_picture_are_none(data):
    assert unpacked(data) is None


def test_a_picture_is_packed_smaller_and_comes_back_as_it_was():
    picture = card()
    assert len(packed(picture)) < len(picture.tobytes())
    assert unpacked(packed(picture)).tobytes() == picture.tobytes()

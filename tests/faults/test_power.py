"""The power goes at any moment: nothing acknowledged is lost, and the lot opens."""

from __future__ import annotations

import random

import pytest
from faults.disk import Disk
from faults.power import power


def test_nothing_acknowledged_is_lost_by_a_power_cut(tmp_path):
    tally = power(tmp_path, 750, seed=0)
    assert tally.tried >= 750
    assert tally.good, str(tally)


@pytest.mark.nightly
@pytest.mark.parametrize("block", range(100))
def test_nothing_acknowledged_is_lost_by_any_power_cut(tmp_path, block):
    tally = power(tmp_path, 1000, seed=1000 + block)
    assert tally.good, str(tally)


def test_the_simulated_disk_forgets_what_was_not_synced(tmp_path):
    disk = Disk({"lot.json": b"old"})
    path = tmp_path / "lot.json"
    fd = disk.open(path, 0)
    disk.write_at(fd, b"new and longer", 0)
    source = random.Random(1)
    left = {disk.cut(source)["lot.json"] for _ in range(500)}
    assert {b"old", b"new", b"new and longer", b"old\0\0\0\0\0\0\0\0\0\0\0"} <= left
    disk.sync(fd)
    assert {disk.cut(source)["lot.json"] for _ in range(50)} == {b"new and longer"}
    disk.replace(path, tmp_path / "lot.journal")
    assert {tuple(disk.cut(source)) for _ in range(50)} == {("lot.json",), ("lot.journal",)}
    disk.sync_folder(disk.open(tmp_path, 0))
    assert {tuple(disk.cut(source)) for _ in range(50)} == {("lot.journal",)}

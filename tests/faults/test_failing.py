"""A disk that fails: what is refused is told in words and is not there; what was acknowledged
is."""

from __future__ import annotations

import errno
import os

import pytest
from faults.disk import Disk
from faults.failing import faults, full_disk
from faults.lots import opened, tag

from tagger.errors import NotSaved
from tagger.store.lot.lot_file import look


@pytest.mark.parametrize("start", [0, pytest.param(1, marks=pytest.mark.nightly)])
def test_each_call_may_fail_in_each_way(tmp_path, start):
    """Of the errors the three that are taken differently: the medium, no room, a part written."""
    tally = faults(tmp_path, only=start, errors=(errno.EIO, errno.ENOSPC, 0))
    assert tally.tried > 300
    assert tally.good, str(tally)


@pytest.mark.nightly
def test_each_call_may_fail_in_each_way_whatever_the_work(tmp_path):
    tally = faults(tmp_path, seeds=12)
    assert tally.good, str(tally)


def test_a_full_disk_refuses_and_goes_on_when_there_is_room(tmp_path):
    tally = full_disk(tmp_path, 30)
    assert tally.good, str(tally)


@pytest.mark.parametrize("failing", ["write_at", "sync"])
@pytest.mark.parametrize(("error", "for_good"), [(errno.EIO, True), (errno.ENOSPC, False)])
def test_after_an_error_of_the_medium_nothing_more_is_accepted(tmp_path, failing, error, for_good):
    """A full disk is another matter: there may be room the next time."""
    disk = Disk()
    store = opened(tmp_path, disk)
    tag(store, 1, "Marsh")
    failed = []

    def before(name: str, size: int) -> int:
        if name == failing and not failed:
            failed.append(name)
            raise OSError(error, os.strerror(error))
        return size

    disk.before_call = before
    with pytest.raises(NotSaved):
        tag(store, 2, "Lund")
    if for_good:
        with pytest.raises(NotSaved, match="Nothing more can be saved"):
            tag(store, 2, "Lund")
    else:
        tag(store, 2, "Lund")
    store.close()
    kept = look(tmp_path, Disk(disk.contents())).kept.lot
    assert [kept.mark(id).tags.subject for id in (1, 2)] == ["Marsh", "" if for_good else "Lund"]

"""Python's garbage collector while the program starts."""

from __future__ import annotations

import gc

import pytest

from tagger.services.garbage import begun, collected_later, collected_once_it_runs


@pytest.fixture(autouse=True)
def as_before():
    yield
    gc.unfreeze()
    gc.enable()


def test_nothing_is_collected_until_the_command_begins():
    collected_once_it_runs()
    assert not gc.isenabled()
    begun()
    assert gc.isenabled()
    assert gc.get_freeze_count() > 0


def test_what_a_command_left_is_garbage_for_the_next_one_in_the_process():
    begun()
    assert gc.get_freeze_count() == 0


def test_a_desk_that_ends_is_collected_as_ever():
    with collected_later():
        assert not gc.isenabled()
    assert gc.isenabled()

"""Processes that do what is asked, and can be ended at any moment."""

from __future__ import annotations

import os
import signal
import time
from concurrent.futures import BrokenExecutor

import pytest

from tagger.imaging.survey.process_pool import ProcessPool

LONG = 60


def begin() -> None:
    """Nothing has to be made ready."""


def fail(words: str) -> None:
    raise ValueError(words)


def unsendable() -> object:
    return lambda: None


def large(count: int) -> bytes:
    return bytes(count)


def ended(pool: ProcessPool) -> bool:
    end = time.monotonic() + LONG
    while pool.pids():
        if time.monotonic() > end:
            return False
        time.sleep(0.01)
    return True


def test_answers_errors_and_what_cannot_be_sent_come_back_and_rest_ends_the_processes() -> None:
    pool = ProcessPool(1, begin)
    asked = [pool.submit(divmod, number, 3) for number in range(5)]
    assert [one.result(LONG) for one in asked] == [divmod(number, 3) for number in range(5)]
    with pytest.raises(ValueError, match="odd") as raised:
        pool.submit(fail, "odd").result(LONG)
    assert "in fail" in "".join(raised.value.__notes__)
    with pytest.raises(Exception, match="pickle"):
        pool.submit(unsendable).result(LONG)
    with pytest.raises(Exception, match="pickle"):
        pool.submit(unsendable()).result(LONG)  # type: ignore[arg-type]
    (first,) = pool.pids()
    os.kill(first, signal.SIGKILL)
    assert ended(pool)
    assert pool.submit(divmod, 7, 3).result(LONG) == (2, 1)  # by another one
    last = pool.submit(divmod, 8, 3)
    pool.rest()
    assert last.result(LONG) == (2, 2)
    assert ended(pool)


def test_ended_amid_a_large_answer_nobody_waits_for_the_rest() -> None:
    pool = ProcessPool(2, begin)
    assert pool.submit(divmod, 7, 3).result(LONG) == (2, 1)
    asked = [pool.submit(large, 1 << 27) for _ in range(6)]
    time.sleep(0.05)
    pool.kill()
    assert ended(pool)
    left = [one.exception(LONG) for one in asked]
    assert any(isinstance(error, BrokenExecutor) for error in left)
    with pytest.raises(BrokenExecutor):
        pool.submit(divmod, 7, 3)

"""While keys come, the processes behind the desk leave it a processor."""

from __future__ import annotations

import os
import select
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor
from contextlib import ExitStack, closing, contextmanager
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from queue import Queue
from threading import Event, Thread

import pytest

from tagger.imaging.survey import free_core
from tagger.imaging.survey.free_core import PAUSE, FreeCore
from tagger.imaging.survey.process_pool import ProcessPool

LONG = 60
BEGUN, ENDED, GO = b"b", b"e", b"g"


class Heard(FreeCore):
    """So many processors and a clock that is set; what has asked for its turn, and how many were at
    work whenever one began."""

    def __init__(self, cores: int = 2) -> None:
        super().__init__(cores, now=lambda: self.clock)
        self.clock = 0.0
        self.asked: Queue[bool] = Queue()
        self.at_once: list[int] = []
        self._at_it: list[bool] = []

    @contextmanager
    def task(self, given_up: Callable[[], bool] = lambda: False) -> Iterator[None]:
        self.asked.put(True)
        with super().task(given_up):
            self._at_it.append(True)
            self.at_once.append(len(self._at_it))
            try:
                yield
            finally:
                self._at_it.pop()


# In a process: what it tells by, and what it waits for.
_ends: list[Connection] = []


def take(*ends: Connection) -> None:
    _ends.extend(ends)


def hold(number: int) -> int:
    """Say so, and wait until one may go on."""
    os.write(_ends[0].fileno(), BEGUN)
    os.read(_ends[1].fileno(), 1)
    os.write(_ends[0].fileno(), ENDED)
    return number


class Held:
    """Two processes, each at a task until it is let go."""

    def __init__(self, free: FreeCore) -> None:
        (self._told, telling), (waiting, self._going) = Pipe(duplex=False), Pipe(duplex=False)
        self._kept = (telling, waiting)
        self.pool = ProcessPool(2, take, telling, waiting, free=free)
        # both are there from now on, and none is still on its way
        begun = [self.pool.submit(hold, number) for number in range(2)]
        assert self.told() + self.told() == BEGUN + BEGUN
        self.let_go()
        self.let_go()
        assert self.told() + self.told() == ENDED + ENDED
        assert [one.result(LONG) for one in begun] == [0, 1]

    def told(self) -> bytes:
        """What a task tells next."""
        assert select.select([self._told], [], [], LONG)[0], "no task told anything"
        return os.read(self._told.fileno(), 1)

    def let_go(self) -> None:
        """One of them may go on."""
        os.write(self._going.fileno(), GO)

    def close(self) -> None:
        self.pool.kill()


@pytest.fixture
def free() -> Heard:
    return Heard()


@pytest.fixture
def held(free) -> Iterator[Held]:
    with closing(Held(free)) as one:
        free.asked, free.at_once = Queue(), []
        yield one


def test_while_keys_come_one_of_two_processes_is_at_work_and_after_a_pause_both_are(free, held):
    free.key_came()
    asked = [held.pool.submit(hold, number) for number in range(6)]
    told = [held.told()]
    for _ in range(2):  # both have a task, and one of them does it
        free.asked.get(timeout=LONG)
    for _ in range(3):
        held.let_go()
        told += [held.told(), held.told()]
    assert b"".join(told) == BEGUN + 3 * (ENDED + BEGUN)
    assert free.at_once == [1, 1, 1, 1]
    free.clock = PAUSE
    assert held.told() == BEGUN  # beside the one that is at work
    for _ in range(3):
        held.let_go()
    assert [one.result(LONG) for one in asked] == list(range(6))


def test_a_key_stops_nothing_that_is_at_work(free, held):
    asked = [held.pool.submit(hold, number) for number in range(3)]
    assert held.told() + held.told() == BEGUN + BEGUN
    free.key_came()
    for _ in range(3):
        held.let_go()
    assert [one.result(LONG) for one in asked] == [0, 1, 2]
    assert free.at_once[:2] == [1, 2]


def test_what_waits_for_its_turn_is_given_up_when_the_processes_are_ended(free, held):
    free.key_came()
    with free.task():  # of another pool
        asked = [held.pool.submit(hold, number) for number in range(2)]
        for _ in range(3):
            free.asked.get(timeout=LONG)
        held.pool.kill()
        for one in asked:
            assert isinstance(one.exception(LONG), BrokenExecutor)


def test_who_waits_has_a_turn_before_who_had_one_just_now(free):
    free.key_came()
    waits, order = Event(), list[str]()

    def wait() -> None:
        with free.task(lambda: bool(waits.set())):
            order.append("waited")

    thread = Thread(target=wait)
    with free.task():
        thread.start()
        assert waits.wait(LONG)
    with free.task():
        order.append("again")
    thread.join()
    assert order == ["waited", "again"]


@pytest.mark.parametrize(("cores", "at_once"), [(2, 1), (3, 2), (8, 7)])
def test_one_processor_fewer_than_there_are_is_used(cores, at_once, monkeypatch):
    monkeypatch.setattr(free_core, "PAUSE", 0.01)  # of a clock that stands still
    free = Heard(cores)
    free.key_came()
    with ExitStack() as at_work:
        for _ in range(at_once):
            at_work.enter_context(free.task())
        given_up = iter((False, True))
        with free.task(lambda: next(given_up)):
            assert not [*given_up]  # it was asked again, because there was no room for it


def test_with_a_single_processor_nothing_waits():
    free = Heard(1)
    free.key_came()
    with free.task(), free.task(), free.task():
        pass

"""A pool of processes that can be ended at any moment, also amid an answer.

The standard library's has one pipe for the answers of all: where a process is ended while it writes
there, the program waits for the rest for ever. Here each has a pipe of its own, and a thread that
waits for it. Nothing is shared, so nothing is left in the system that would have to be removed."""

from __future__ import annotations

import contextlib
import pickle
import signal
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Future
from queue import Empty, SimpleQueue
from threading import Lock, Thread
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import SpawnProcess

    from tagger.imaging.survey.free_core import FreeCore

Answer = TypeVar("Answer")

# What ends the program. It ends its processes by itself, in order.
_STOPS = {signal.SIGINT, signal.SIGTERM, signal.SIGHUP}


class ProcessPool:
    """At most `count` processes, each begun when there is work for it, with `begin(*given)` in it;
    `free` says when a task may be begun. May be used from any thread."""

    def __init__(
        self,
        count: int,
        begin: Callable[..., None],
        *given: object,
        free: FreeCore | None = None,
    ) -> None:
        self._count, self._begin, self._given = count, begin, given
        self._free = free
        self._lock, self._starting = Lock(), Lock()
        self._tasks: SimpleQueue[_Task | None] = SimpleQueue()
        self._processes: list[SpawnProcess] = []
        self._threads = self._asked = 0
        self._broken = False

    def submit(self, work: Callable[..., Answer], *given: object) -> Future[Answer]:
        """Have it done, in the order asked. The future raises BrokenExecutor where any of the
        processes died before; raised here where one died already."""
        task = _Task(work, given)
        with self._lock:
            if self._broken:
                raise BrokenExecutor("a process died")
            self._asked += 1
            self._tasks.put(task)
            if self._threads < min(self._count, self._asked):
                self._threads += 1
                # a daemon: the program's end does not wait for it
                Thread(target=self._serve, name="worker", daemon=True).start()
        return task.future

    def rest(self) -> None:
        """Let each process end when all that was asked for is done."""
        with self._lock:
            for _ in range(self._threads):
                self._tasks.put(None)

    def kill(self) -> None:
        """End the processes at once, whatever they are at."""
        self._broken = True
        # one that is half started would say so when it finds its beginnings missing
        with self._starting, self._lock:
            for process in self._processes:
                process.kill()
            while self._threads:
                self._tasks.put(None)
                self._threads -= 1
        self._refuse_waiting()
        if self._free is not None:
            self._free.look_again()

    def pids(self) -> list[int]:
        """The processes that run now."""
        return [one.pid for one in self._processes if one.pid is not None and one.is_alive()]

    def _refuse_waiting(self) -> None:
        """Nobody does what was asked for and not begun."""
        ends = 0
        while True:
            try:
                task = self._tasks.get_nowait()
            except Empty:
                break
            if task is None:
                ends += 1
            else:
                task.refuse()
        for _ in range(ends):
            self._tasks.put(None)

    def _serve(self) -> None:
        # The process has this from the thread that starts it. Ctrl+C comes to both, and only the
        # program heeds it.
        signal.pthread_sigmask(signal.SIG_BLOCK, _STOPS)
        try:
            process, line = self._start()
        except OSError:
            self.kill()
            return
        while (task := self._tasks.get()) is not None:
            try:
                if not process.is_alive():  # it died while nothing was asked of it
                    line.close()
                    process, line = self._start()
                with self._turn():
                    task.do(line)
            except (EOFError, OSError):
                task.refuse()
                self.kill()
                break
            del task  # a large answer is not kept while nothing is asked
            with self._lock:
                self._asked -= 1
        line.close()
        process.join()

    def _turn(self) -> contextlib.AbstractContextManager[None]:
        if self._free is None:
            return contextlib.nullcontext()
        return self._free.task(lambda: self._broken)

    def _start(self) -> tuple[SpawnProcess, Connection]:
        # Fresh processes, not forks: the screen may be at work in this one, with threads.
        from multiprocessing import get_context

        spawn = get_context("spawn")
        line, far_end = spawn.Pipe()
        given = (far_end, self._begin, self._given)
        process = spawn.Process(target=_answer, args=given, daemon=True)
        with self._starting:
            if self._broken:
                raise BrokenPipeError
            process.start()
            self._processes.append(process)
        far_end.close()  # or the end of the process could not be told by the pipe
        return process, line


class _Task:
    """What was asked for, and its answer to come."""

    def __init__(self, work: Callable[..., Any], given: tuple[object, ...]) -> None:
        self.future: Future[Any] = Future()
        self._work, self._given = work, given

    def do(self, line: Connection) -> None:
        """Have it done at the other end. Raises OSError, EOFError where that is gone."""
        if not self.future.set_running_or_notify_cancel():
            return
        try:
            line.send((self._work, self._given))
            error, answer = pickle.loads(line.recv_bytes())
        except (EOFError, OSError):
            raise
        except Exception as unsendable:
            self.future.set_exception(unsendable)
            return
        if error is not None:
            self.future.set_exception(error)
        else:
            self.future.set_result(answer)

    def refuse(self) -> None:
        """Nobody will do it, or did it to the end."""
        running = self.future.running() or self.future.set_running_or_notify_cancel()
        if running:
            self.future.set_exception(BrokenExecutor("a process died"))


def _answer(line: Connection, begin: Callable[..., None], given: tuple[object, ...]) -> None:
    """What a process does, until the other end is closed."""
    # a process must end when the system says so, whatever became of the program
    signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGTERM})
    begin(*given)
    with contextlib.suppress(EOFError, OSError):
        while True:
            _answer_one(line)


def _answer_one(line: Connection) -> None:
    """Do the next thing that is asked. Raises EOFError, OSError where the other end is gone."""
    data = line.recv_bytes()
    try:
        work, given = pickle.loads(data)
        said = pickle.dumps((None, work(*given)), pickle.HIGHEST_PROTOCOL)
    except Exception as error:
        said = _told(error)
    line.send_bytes(said)


def _told(error: Exception) -> bytes:
    """An error as it is sent, with where it came from."""
    import traceback

    error.add_note("in another process: " + "".join(traceback.format_exception(error)))
    try:
        return pickle.dumps((error, None))
    except Exception:
        return pickle.dumps((RuntimeError(f"{type(error).__name__}: {error}"), None))

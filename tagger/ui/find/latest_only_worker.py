"""One search at a time, in a thread of its own: of what is asked meanwhile only the last counts."""

from __future__ import annotations

from collections.abc import Callable
from threading import Condition, Thread
from typing import Generic, TypeVar

Answer = TypeVar("Answer")


class LatestOnlyWorker(Generic[Answer]):
    """`search` gets words and may raise; `tell` gets its answer or what it raised, from the thread,
    unless something else was asked since."""

    def __init__(
        self, search: Callable[[str], Answer], tell: Callable[[Answer | Exception], None]
    ) -> None:
        self._search, self._tell = search, tell
        self._wanted: str | None = None
        self._asked = 0
        self._open = True
        self._change = Condition()
        self._thread: Thread | None = None

    def ask(self, words: str) -> None:
        """Search for these words; a search for others that is not answered yet is obsolete."""
        with self._change:
            self._wanted = words
            self._asked += 1
            if self._thread is None and self._open:
                # A daemon: a search over a slow disk must not hold up who leaves.
                self._thread = Thread(target=self._work, daemon=True, name="search")
                self._thread.start()
            self._change.notify_all()

    def close(self) -> None:
        """Search no more, and tell nothing from now on."""
        with self._change:
            self._open = False
            self._change.notify_all()

    def _work(self) -> None:
        while (wanted := self._next()) is not None:
            words, asked = wanted
            found: Answer | Exception
            try:
                found = self._search(words)
            except Exception as error:  # told, so that it is raised where the screen can say it
                found = error
            with self._change:
                current = self._open and asked == self._asked
            # Told outside the lock: who is told may ask again at once.
            if current:
                self._tell(found)

    def _next(self) -> tuple[str, int] | None:
        """Wait for words, and give them with their number; None once it is closed."""
        with self._change:
            self._change.wait_for(lambda: self._wanted is not None or not self._open)
            if not self._open or self._wanted is None:
                return None
            # What was asked between two searches is gone: only the last words count.
            words, self._wanted = self._wanted, None
            return words, self._asked

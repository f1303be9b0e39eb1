"""Textual's Linux driver, made to live with bytes that are no UTF-8: a bad paste must not end an afternoon's work."""

from __future__ import annotations

import codecs
import select
from collections.abc import Callable

from textual.drivers import linux_driver


def _forgiving(encoding: str) -> Callable[[], codecs.IncrementalDecoder]:
    return lambda: codecs.getincrementaldecoder(encoding)(errors="ignore")


class TerminalDriver(linux_driver.LinuxDriver):
    """Reads keys as UTF-8 and passes over bytes that are none.

    Textual looks its decoder up by name in the driver's module when the input thread starts; that name is given here.
    """

    def run_input_thread(self) -> None:
        """Read keys until the terminal closes."""
        vars(linux_driver)["getincrementaldecoder"] = _forgiving
        super().run_input_thread()

    @property
    def behind(self) -> bool:
        """Whether the line has not yet taken all that was drawn; what is drawn meanwhile would only be late."""
        writer = self._writer_thread
        if writer is None or self._file is None:
            return False
        return writer._queue.qsize() > 0 or not select.select([], [self._file.fileno()], [], 0)[1]

    @property
    def keys_wait(self) -> bool:
        """Whether bytes have come that were not read yet."""
        return bool(select.select([self.fileno], [], [], 0)[0])

"""All that is private to Textual and is leaned on, in one place. Each name has a plain fallback, so
that another version of Textual costs speed or a comfort, and never the program; a test names each
and asks whether the installed Textual has it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import IO, Any, Protocol

from textual.app import App
from textual.driver import Driver
from textual.message import Message
from textual.screen import Screen
from textual.strip import Strip
from textual.timer import Timer


class KeyParser(Protocol):
    """Makes events of what a terminal sends."""

    def feed(self, data: str) -> Iterable[Message]:
        """The events of this text; the beginning of one is kept."""

    def tick(self) -> Iterable[Message]:
        """Those that are there because nothing more came: Escape by itself."""


def key_parser(driver: Driver) -> KeyParser | None:
    """`textual._xterm_parser.XTermParser`, as `Driver._debug` asks for it. None: the driver's own
    way of reading keys must do, which ends the program at bytes that are no UTF-8."""
    try:
        from textual._xterm_parser import XTermParser
    except ImportError:
        return None
    return XTermParser(getattr(driver, "_debug", False))


def app_of(driver: Driver) -> App[Any] | None:
    """`Driver._app`. None: a terminal that is gone is told by a signal alone."""
    return getattr(driver, "_app", None)


def driver_of(app: App[Any]) -> Driver | None:
    """`App._driver`. None: each key is drawn as it comes, since nobody knows of the next."""
    return getattr(app, "_driver", None)


def output_of(driver: Driver) -> IO[str] | None:
    """`LinuxDriver._file`, what is drawn to. None: the line counts as quick."""
    return getattr(driver, "_file", None)


def writes_waiting(driver: Driver) -> int:
    """How many writes have not been given to the line yet: `LinuxDriver._writer_thread` and its
    `WriterThread._queue`. 0 where that cannot be told: the line counts as quick."""
    queue = getattr(getattr(driver, "_writer_thread", None), "_queue", None)
    return 0 if queue is None else int(queue.qsize())


# Whether a strip can hold the text that it is rendered as. Where not, it is made of segments, which
# are three times the bytes.
STRIPS_HOLD_TEXT = "_render_cache" in Strip.__slots__


def hold_text(strip: Strip, text: str) -> None:
    """Have a strip without segments rendered as this text: `Strip._render_cache`, which
    `Strip.render` and `Strip.join` take before they look at segments."""
    strip._render_cache = text


def always_fires(timer: Timer) -> Timer:
    """One that fires however late it begins: `Timer._skip`. A timer skips the turns that are over
    when it looks at the clock for the first time; one that has a single turn of a few milliseconds
    would never fire on a machine that is busy just then. Where there is no such name it may not."""
    if hasattr(timer, "_skip"):
        timer._skip = False
    return timer


def unpainted(screen: Screen[Any]) -> Callable[[], None]:
    """Have nothing of a new screen painted until what is returned is called:
    `Screen._compositor_refresh`. It is laid out in several steps, and would be painted after each
    with nothing on it yet. Where there is no such name it is."""
    if not hasattr(screen, "_compositor_refresh"):
        return lambda: None
    screen._compositor_refresh = lambda: None  # type: ignore[method-assign]

    def paint() -> None:
        if screen.__dict__.pop("_compositor_refresh", None) is not None:
            screen.refresh()

    return paint


class ErrorCatchingApp(App[None], inherit_bindings=False):
    """Is told of an error that nobody caught: `App._handle_exception`. Where Textual no longer
    calls that, its own traceback is shown instead."""

    def _handle_exception(self, error: Exception) -> None:
        self.failed(error)

    def failed(self, error: Exception) -> None:
        """The program has an error of its own."""
        raise NotImplementedError

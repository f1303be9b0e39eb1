"""What is private to Textual: each name that is leaned on is there, and without it the program goes
on."""

from __future__ import annotations

import asyncio
import io
import signal
import subprocess
import sys
from types import SimpleNamespace

import pytest
from rich.console import Console
from rich.style import Style
from textual.app import App
from textual.driver import Driver
from textual.drivers.linux_driver import LinuxDriver
from textual.screen import Screen
from textual.strip import Strip
from textual.timer import Timer

from tagger.ui.terminal import textual_private
from tagger.ui.widgets import cell_strip
from tagger.ui.widgets.cell_strip import CellStrip


@pytest.fixture
def driver():
    """A driver of a terminal, as it is before anything is drawn."""
    before = {name: signal.getsignal(name) for name in (signal.SIGTSTP, signal.SIGCONT)}

    async def made() -> LinuxDriver:
        return LinuxDriver(App())

    yield asyncio.run(made())
    for name, handler in before.items():
        signal.signal(name, handler)


def test_the_installed_textual_has_each_name_that_is_leaned_on(driver):
    from textual._xterm_parser import XTermParser
    from textual.drivers._writer_thread import WriterThread

    assert all(hasattr(driver, name) for name in ("_app", "_debug", "_file", "_writer_thread"))
    assert hasattr(WriterThread(io.StringIO()), "_queue")
    assert all(hasattr(XTermParser(), name) for name in ("feed", "tick"))
    assert hasattr(App(), "_driver")
    assert callable(App._handle_exception)
    assert callable(Screen._compositor_refresh)
    assert hasattr(Timer(App(), 1.0), "_skip")
    assert "_render_cache" in Strip.__slots__
    assert textual_private.STRIPS_HOLD_TEXT


def test_what_is_asked_of_a_driver_is_what_it_has(driver):
    assert textual_private.app_of(driver) is driver._app
    assert textual_private.output_of(driver) is sys.__stderr__
    assert textual_private.writes_waiting(driver) == 0
    driver._writer_thread = SimpleNamespace(_queue=SimpleNamespace(qsize=lambda: 3))
    assert textual_private.writes_waiting(driver) == 3
    app = App()
    assert textual_private.driver_of(app) is None
    app._driver = driver
    assert textual_private.driver_of(app) is driver
    parser = textual_private.key_parser(driver)
    assert [event.key for event in parser.feed("a")] == ["a"]


def test_without_the_names_the_line_counts_as_quick_and_nobody_knows_of_further_keys(monkeypatch):
    nothing = SimpleNamespace()
    assert textual_private.app_of(nothing) is None
    assert textual_private.driver_of(nothing) is None
    assert textual_private.output_of(nothing) is None
    assert textual_private.writes_waiting(nothing) == 0
    monkeypatch.setitem(sys.modules, "textual._xterm_parser", None)
    assert textual_private.key_parser(nothing) is None


def test_without_its_parser_textual_reads_the_keys_itself(driver, monkeypatch):
    from tagger.ui.terminal import driver as ours

    asked = []
    monkeypatch.setattr(ours, "key_parser", lambda _: None)
    monkeypatch.setattr(LinuxDriver, "run_input_thread", lambda self: asked.append(self))
    driver.__class__ = ours.TerminalDriver
    driver.run_input_thread()
    assert asked == [driver]


def test_an_error_that_nobody_caught_is_told():
    told = []

    class Telling(textual_private.ErrorCatchingApp):
        def failed(self, error: Exception) -> None:
            told.append(error)

    error = ValueError("broken")
    Telling()._handle_exception(error)
    assert told == [error]


def strip() -> CellStrip:
    row = SimpleNamespace(width=2, cells=lambda: [("a", (1, 2, 3), (4, 5, 6))] * 2)
    return CellStrip(row, "TEXT", 1, 1, Style(), "")


def test_a_row_is_sent_as_its_text_and_as_segments_where_strips_hold_no_text(monkeypatch):
    console = Console(color_system="truecolor")
    assert "TEXT" in strip().render(console)
    monkeypatch.setattr(cell_strip, "STRIPS_HOLD_TEXT", False)
    plain = strip()
    assert "TEXT" not in plain.render(console)
    assert plain.text == " aa "
    assert plain.cell_length == 4


def test_what_textual_reads_from_its_environment_is_set_before_it_is_imported():
    code = (
        "import tagger.ui.desk.app, tagger.ui.find.app; from textual import constants; "
        "print(constants.MAX_FPS, constants.TEXTUAL_ANIMATIONS)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["240", "none"]


def test_nothing_else_of_the_screens_leans_on_a_private_name_of_textual(driver):
    """Every name with an underscore that the screens ask of another object is their own."""
    import ast
    from pathlib import Path

    import tagger.ui

    of_textual = {name for kind in (App, Driver, LinuxDriver, Strip) for name in dir(kind)}
    of_textual |= {*vars(App()), *vars(driver), "_queue"}
    for path in Path(tagger.ui.__file__).parent.rglob("*.py"):
        if path.name == "textual_private.py":
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        asked = {
            node.attr
            for node in ast.walk(tree)
            if isinstance(node, ast.Attribute)
            and node.attr.startswith("_")
            and not node.attr.startswith("__")
            and not (isinstance(node.value, ast.Name) and node.value.id == "self")
        }
        assert not asked & of_textual, path
        imported = [n.module or "" for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)]
        assert not [name for name in imported if name.startswith("textual._")], path


def test_a_new_screen_is_painted_from_when_it_is_said():
    class Painted(Screen[None]):
        painted = refreshed = 0

        def _compositor_refresh(self) -> None:
            self.painted += 1

        def refresh(self, *given: object, **named: object) -> Painted:
            self.refreshed += 1
            return self

    screen = Painted()
    before = screen.refreshed
    appear = textual_private.unpainted(screen)
    screen._compositor_refresh()
    assert screen.painted == 0
    appear()
    screen._compositor_refresh()
    appear()
    assert (screen.painted, screen.refreshed - before) == (1, 1)
    textual_private.unpainted(SimpleNamespace())()  # of another Textual

"""What a part of the program loads when it is imported, seen in a fresh interpreter."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

import tagger

PACKAGE = Path(tagger.__file__).parent
OUTSIDE = {"textual", "rich", "tinydb", "PIL", "curses", "termios", "tty", "pty", "readline"}
SCREEN = {"textual", "rich"}


def modules(part: str) -> list[str]:
    """All modules of one part of the program, by name."""
    paths = sorted((PACKAGE / part).rglob("*.py"))
    return [
        ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__")
        for path in paths
    ]


def loaded(*names: str) -> set[str]:
    """Top-level modules that are loaded after importing these."""
    code = (
        f"import {', '.join(names)}, json, sys; print(json.dumps([name.split('.')[0] for name "
        "in sys.modules]))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(json.loads(run.stdout))


def test_the_rules_load_no_terminal_no_storage_and_no_pixels():
    names = modules("core")
    assert "tagger.core.session.session" in names
    assert "tagger.core.matching.matcher" in names
    assert loaded(*names) & OUTSIDE == set()


@pytest.mark.parametrize("part", ["store", "imaging", "preview", "exchange"])
def test_what_works_for_the_rules_loads_no_terminal(part):
    names = modules(part)
    assert len(names) > 1
    assert loaded(*names) & SCREEN == set()


def test_the_command_line_loads_no_screen():
    assert loaded("tagger.cli") & SCREEN == set()


def test_the_screen_loads_the_screen():
    """The check above could not fail if this one did not hold."""
    assert loaded("tagger.ui.terminal.app") >= SCREEN

"""What a part of the program loads when it is imported, seen in a fresh interpreter."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

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


# What the desk wants only when its first card is on the screen, or never in its own process.
LATER = (
    "importlib.resources", "multiprocessing", "numpy", "onnxruntime", "psycopg", "statistics",
    "tomllib", "zxingcpp",
    "tagger.core.audit.audit", "tagger.core.audit.findings", "tagger.core.audit.measured",
    "tagger.core.audit.signature", "tagger.core.audit.slips", "tagger.core.checklist",
    "tagger.core.dividers", "tagger.core.fixes", "tagger.core.index",
    "tagger.core.matching.candidate", "tagger.core.matching.hint", "tagger.core.matching.matcher",
    "tagger.core.matching.priors",
    "tagger.core.overview", "tagger.core.reading.printed",
    "tagger.core.reports", "tagger.core.session.correction", "tagger.core.session.fixer",
    "tagger.core.session.recognizer", "tagger.core.stock", "tagger.exchange", "tagger.help",
    "tagger.imaging.survey.divider_codes", "tagger.imaging.survey.process_pool",
    "tagger.preview.two_means",
    "tagger.services.background.lot_audit", "tagger.services.background.ports",
    "tagger.services.guide.json_schemas", "tagger.services.hub", "tagger.services.lists",
    "tagger.services.reading.lot_readings", "tagger.store.caches.measured_cache",
    "tagger.store.checklists", "tagger.store.hub", "tagger.store.machine.pulled",
    "tagger.toml.document",
    "tagger.ui.desk.modes.findings", "tagger.ui.desk.modes.help", "tagger.ui.desk.modes.history",
    "tagger.ui.desk.modes.overview", "tagger.ui.desk.modes.proofs", "tagger.ui.find",
)  # fmt: skip
OURS = 234  # modules at most; there were 327 once, and each is some half a millisecond
FIRST_CARD = """
import json, sys
from tagger.cli import main
from tagger.ui.desk.background import checklist_reader
from tagger.ui.terminal import app

def shown(self):
    print(json.dumps(sorted(sys.modules)), file=sys.__stdout__, flush=True)
    self._screen.app.exit()

checklist_reader.ChecklistReader.begin = shown
app.check_terminal = lambda: None
app.run = lambda desk: desk.run(headless=True, size=(120, 40))
main(["open", sys.argv[1]])
"""


def test_what_is_wanted_later_is_not_loaded_before_the_first_card(tmp_path):
    for number in range(1, 5):
        Image.new("RGB", (250, 350), (200, 180, 40 * number)).save(tmp_path / f"s{number}.jpg")
    command = [sys.executable, "-c", FIRST_CARD, str(tmp_path)]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    names = json.loads(run.stdout.splitlines()[0])
    assert "tagger.ui.desk.modes.tagging" in names
    later = tuple(f"{name}." for name in LATER)
    assert [name for name in names if name in LATER or name.startswith(later)] == []
    assert len([name for name in names if name.startswith("tagger")]) <= OURS

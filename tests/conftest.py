"""What all tests share: folders of their own for the user's files, and the program as it is
started."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from support import folders


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No test reads or writes the user's settings or list of lots."""
    home = tmp_path_factory.mktemp("xdg")
    for name, folder in folders.own_folders(home).items():
        monkeypatch.setenv(name, folder)
    return home


@pytest.fixture
def opened_before(own_folders: Path) -> Path:
    """A machine on which the program was opened before, by a file that a test may take away."""
    path = own_folders / "data" / "tagger" / "opened-before"
    path.parent.mkdir(parents=True)
    path.touch()
    return path


@pytest.fixture
def tagger() -> list[str]:
    """The command, as it is started in a terminal."""
    return [sys.executable, "-m", "tagger"]

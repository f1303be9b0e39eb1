"""What all tests share: folders of their own for the user's files, and the program as it is
started."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from support import folders
from support.processes import heed_stops

# The program is started hundreds of times: where its bytecode may not be kept, as in many
# containers, it would compile itself each time, which is a third of what a start costs.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

heed_stops()


LONGEST = ("test_feeder_faults.py", "test_two_sittings.py", "test_kills.py")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes longest comes first: at the end it would keep one of two processes waiting."""
    items.sort(key=lambda item: item.path.name not in LONGEST)


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
    return folders.opened_before(folders.own_folders(own_folders))


@pytest.fixture
def tagger() -> list[str]:
    """The command, as it is started in a terminal."""
    return [sys.executable, "-m", "tagger"]

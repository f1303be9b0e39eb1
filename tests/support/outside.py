"""Programs and libraries from outside that nightly checks ask: where one is missing, the test says
in one sentence what to install."""

from __future__ import annotations

import importlib
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from types import ModuleType

import pytest

NODE = Path(__file__).parents[1] / "outside"
_LONGEST = 300  # seconds of one program


def program(name: str, package: str) -> str:
    """Where a program is; `package` is Debian's that has it."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} is missing: install it with apt-get install {package}.")
    return found


def library(name: str) -> ModuleType:
    """A Python library that the tests alone use."""
    try:
        return importlib.import_module(name)
    except ImportError:
        pytest.skip(f"{name} is missing: install it with .venv/bin/pip install {name}.")


def node_package(name: str) -> Path:
    """The folder of a package for Node.js."""
    folder = NODE / "node_modules" / name
    if not folder.is_dir():
        pytest.skip(f"{name} is missing: install it with npm install --prefix tests/outside.")
    return folder


def said(words: Sequence[object], status: tuple[int, ...] = (0,)) -> str:
    """What a program prints."""
    done = subprocess.run(
        list(map(str, words)), capture_output=True, text=True, timeout=_LONGEST, check=False
    )
    assert done.returncode in status, (words, done.stdout, done.stderr)
    return done.stdout

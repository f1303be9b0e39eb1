"""The folders of its own in which the program keeps things, somewhere else than the user's."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

KINDS = ("CONFIG", "DATA", "STATE", "CACHE")


def own_folders(top: Path) -> dict[str, str]:
    """The environment that keeps the program's settings, lists, states and caches below `top` (XDG
    Base Directory Specification)."""
    return {f"XDG_{kind}_HOME": str(top / kind.lower()) for kind in KINDS}


def opened_before(env: Mapping[str, str]) -> Path:
    """The file by which a machine with this environment knows that the program was opened there
    before; it is there now."""
    path = Path(env["XDG_DATA_HOME"]) / "tagger" / "opened-before"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch()
    return path

"""The folders of its own in which the program keeps things, somewhere else than the user's."""

from __future__ import annotations

from pathlib import Path

KINDS = ("CONFIG", "DATA", "STATE", "CACHE")


def own_folders(top: Path) -> dict[str, str]:
    """The environment that keeps the program's settings, lists, states and caches below `top` (XDG
    Base Directory Specification)."""
    return {f"XDG_{kind}_HOME": str(top / kind.lower()) for kind in KINDS}

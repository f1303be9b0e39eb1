"""The layouts that come with the tool: to use by name, and to copy."""

from __future__ import annotations

from importlib import resources


def examples() -> dict[str, bytes]:
    """The layouts' files by name, without the ending."""
    folder = resources.files("tagger.exchange.layout").joinpath("layouts")
    # Sorted below, since a folder has no order of its own and the names are shown.
    found = {entry.name.removesuffix(".toml"): entry.read_bytes() for entry in folder.iterdir()}
    return dict(sorted(found.items()))


def about(data: bytes) -> str:
    """What a layout is for: its first line, which is a comment."""
    return data.decode("utf-8").partition("\n")[0].lstrip("# ").rstrip()

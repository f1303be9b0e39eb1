"""The JSON Schemas (draft 2020-12) of what commands print or write as JSON, by command."""

from __future__ import annotations

from importlib import resources


def schema_text(verb: str) -> str:
    """The JSON Schema of a command's document, as it is published."""
    folder = resources.files("tagger") / "schemas"
    return (folder / f"{verb}.schema.json").read_text(encoding="utf-8")

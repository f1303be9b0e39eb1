"""Parallels and further columns of a row as they lie in an index's sections, and back."""

from __future__ import annotations

from typing import Any

from tagger.core.model.tags import Extra, Parallel


def parallels_of(document: Any) -> tuple[Parallel, ...]:
    """Parallels as they were packed."""
    return tuple(Parallel(name, run) for name, run in document)


def extra_of(text: str) -> Extra:
    """Further columns as they were packed."""
    if not text:
        return ()
    parts = text.split("\0")
    return tuple(zip(parts[::2], parts[1::2], strict=True))


def packed_extra(extra: Extra) -> str:
    # no checklist holds NUL
    return "\0".join([part.replace("\0", "") for pair in extra for part in pair])

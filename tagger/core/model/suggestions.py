"""A name that is none of those there are: which one was meant, by the ratio of matching blocks
(Ratcliff and Obershelp, as Python's difflib has it)."""

from __future__ import annotations

from collections.abc import Sequence

from tagger.core.model.text import fold


def meant(name: str, known: Sequence[str]) -> str:
    """How a sentence about a wrong name ends: `; did you mean set?`, or all of `known`, which are
    two or more."""
    if near := nearest(name, known):
        return f"; did you mean {near}?"
    *first, last = known
    return f"; there are {', '.join(first)} and {last}."


def nearest(name: str, known: Sequence[str]) -> str:
    """The one of `known` that is nearly spelled like `name`, case and marks aside; empty where none
    is."""
    import difflib  # here, since most runs make no mistake, and the first screen waits for imports

    by_fold = {fold(other): other for other in reversed(known)}
    near = difflib.get_close_matches(fold(name), by_fold, 1)
    return next(map(by_fold.__getitem__, near), "")

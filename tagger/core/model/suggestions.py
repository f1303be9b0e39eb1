"""A name that is none of those there are: which one was meant, by the ratio of matching blocks
(Ratcliff and Obershelp, as Python's difflib has it)."""

from __future__ import annotations

from collections.abc import Sequence

from tagger.core.model.text import fold


def meant(name: str, known: Sequence[str]) -> str:
    """How a sentence about a wrong name ends: `; did you mean set?`, or all of `known`, which are
    two or more."""
    near = nearest(name, known)
    *first, last = known
    return f"; did you mean {near}?" if near else f"; there are {', '.join(first)} and {last}."


def nearest(name: str, known: Sequence[str]) -> str:
    """The one of `known` that is nearly spelled like `name`, case and marks aside; empty where none
    is."""
    import difflib  # here, since most runs make no mistake, and the first screen waits for imports

    by_fold = {fold(other): other for other in reversed(known)}
    near = difflib.get_close_matches(fold(name), by_fold, 1)
    return by_fold[near[0]] if near else ""

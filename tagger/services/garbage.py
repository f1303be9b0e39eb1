"""Python's garbage collector, kept out of the way while the program starts.

To look for garbage among what is being loaded is a tenth of the start, and finds none: nearly all
of it stays."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


def collected_once_it_runs() -> None:
    """Nothing is collected until a command has `begun`."""
    gc.disable()


@contextmanager
def collected_later() -> Iterator[None]:
    """Nothing is collected until `all_is_loaded` is said, at the latest until the end."""
    # Nearly all that is loaded stays, so a search for garbage in it finds none.
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def all_is_loaded() -> None:
    """What is there by now stays, and is not looked through at any later collection."""
    # Else each full collection would look through all the modules again.
    gc.freeze()
    gc.enable()


def begun() -> None:
    """A command begins, and what it is made of is loaded."""
    # where many begin in one process, what the others left is garbage
    if not gc.isenabled():
        all_is_loaded()

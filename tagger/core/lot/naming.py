"""A lot's own name: one that its dealer gave it, where the name of its folder is not enough."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from tagger.core.model.text import fold, printable
from tagger.errors import Refused

LONGEST = 60  # characters: a title and a line of a list must have room for it
SHOWN = 80  # of the name of a folder, which nobody chose for this


def own_name(typed: str) -> str:
    """A name as it is kept. Raises Refused where it is empty, too long, or cannot be shown."""
    name = " ".join(typed.split())
    if not name:
        raise Refused("The name is empty; type at least one letter or digit.")
    if len(name) > LONGEST:
        raise Refused(f"The name is too long; use at most {LONGEST} characters.")
    if not name.isprintable():
        raise Refused("The name has a character that cannot be shown; type it again.")
    return name


def path_ends(folder: Sequence[str]) -> Sequence[str]:
    """The ends of a folder's path (in its parts), from the parent on: `spring/scans`; the last one
    is the whole path."""
    # From two parts on: the last part alone is the name that was not enough.
    ends = [shown("/".join(folder[-count:])) for count in range(2, len(folder))]
    return [*ends, shown("/".join(folder).replace("//", "/"))]


def told_apart(folder: Sequence[str], taken: Collection[str]) -> str:
    """The shortest of its `path_ends` that is no name of `taken`, which are folded; the whole path
    where every end is one."""
    ends = path_ends(folder)
    return next((end for end in ends if fold(end) not in taken), ends[-1])


def shown(name: str) -> str:
    """A name as it is shown, whatever is in it."""
    return printable(name, SHOWN)

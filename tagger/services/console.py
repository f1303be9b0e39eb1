"""What the program says outside the screens: answers on stdout, messages on stderr."""

from __future__ import annotations

import contextlib
import json
import sys
from collections.abc import Iterable, Sequence

from tagger.core.model.text import printable


def print_json(document: object) -> None:
    """One JSON document on stdout, ASCII only, so that no locale can spoil it."""
    print(json.dumps(document, indent=1))


def tell(message: str) -> None:
    """A message for the user, on stderr."""
    with contextlib.suppress(OSError):  # the line may be gone
        # A file's name may have control characters, which a terminal would obey.
        print(printable(message, 2000), file=sys.stderr)


def out(line: str) -> None:
    """A line of the answer, on stdout."""
    # A letter that the locale does not have is a question mark, and no traceback.
    encoding = sys.stdout.encoding or "utf-8"
    print(printable(line, 2000).encode(encoding, "replace").decode(encoding))


def out_lines(lines: Iterable[str]) -> None:
    """Lines of the answer, on stdout."""
    for line in lines:
        out(line)


def tell_first(messages: Sequence[str], most: int, rest: str) -> None:
    """The first messages, at most so many; `rest` says of how many others: `{} more pictures.`"""
    for message in messages[:most]:
        tell(message)
    if len(messages) > most:
        tell(rest.format(len(messages) - most))

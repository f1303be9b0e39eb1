"""What the program says outside the screens: answers on stdout, messages on stderr."""

from __future__ import annotations

import contextlib
import json
import sys

from tagger.core.model.text import printable


def print_json(document: object) -> None:
    """One JSON document on stdout, ASCII only, so that no locale can spoil it."""
    print(json.dumps(document, indent=1))


def tell(message: str) -> None:
    """A message for the user, on stderr."""
    with contextlib.suppress(OSError):  # the line may be gone
        print(printable(message, 2000), file=sys.stderr)


def out(line: str) -> None:
    """A line of the answer, on stdout."""
    text = printable(line, 2000)
    print(
        text.encode(sys.stdout.encoding or "utf-8", "replace").decode(
            sys.stdout.encoding or "utf-8"
        )
    )

"""Text laid out in lines of cells."""

from __future__ import annotations

from rich.text import Text

from tagger.core.model.text import printable


def wrapped(text: str, width: int, style: object) -> list[Text]:
    """Text over as many lines as it needs, each set in by one cell."""
    lines: list[str] = []
    for word in printable(text).split(" "):
        if lines and len(lines[-1]) + len(word) + 1 <= width - 2:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return [Text(f" {line}", style) for line in lines]  # type: ignore[arg-type]

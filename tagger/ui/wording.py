"""Text laid out in lines of cells."""

from __future__ import annotations

from rich.cells import cell_len
from rich.style import Style
from rich.text import Text

from tagger.core.model.text import printable


def wrapped(text: str, width: int, style: Style) -> list[Text]:
    """Text over as many lines as it needs, each set in by one cell."""
    room = max(1, width - 2)
    lines: list[str] = []
    left = 0  # cells of the last line that are free
    for word in printable(text).split(" "):
        cells = cell_len(word)
        if lines and cells < left:
            lines[-1] += f" {word}"
            left -= cells + 1
            continue
        # A word that is longer than a line, as names of files are, is broken and never cut.
        pieces = _broken(word, room) if cells > room else [word]
        lines += pieces
        left = room - cell_len(pieces[-1])
    return [Text(f" {line}", style) for line in lines]


def _broken(word: str, room: int) -> list[str]:
    pieces = [""]
    for char in word:
        if cell_len(pieces[-1]) + cell_len(char) > room and pieces[-1]:
            pieces.append("")
        pieces[-1] += char
    return pieces


def spread(left: Text, right: Text, width: int) -> Text:
    """Both at the edges of a line of so many cells; only the left one where there is no room
    between them."""
    # The left says what is so, the right what else there is to know: it goes first.
    room = width - left.cell_len - right.cell_len
    if room < 1:
        return left
    return left.append(" " * room).append_text(right)


def cut(line: Text, width: int) -> Text:
    """The line in at most so many cells, with an ellipsis where it was longer."""
    line.truncate(width, overflow="ellipsis")
    return line


def joined(*parts: str, between: str = " ") -> str:
    """The parts that say something."""
    return between.join(part for part in parts if part)

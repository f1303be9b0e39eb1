"""The lines of a checklist's text, a block at a time, and the records in them (RFC 4180)."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterable, Iterator

MAX_LINE = 20_000  # characters; a longer line is no line of a checklist
MAX_QUOTED_LINES = 20  # lines that one quoted cell may run over
BLOCK = 1 << 17  # characters that are parted into lines at once

# a cell that begins with a quotation mark and goes on behind its second one
_NICKNAMED = re.compile(r'\s*"[^"]+"\s*[^\s"][^"]*(?:"[^"]*"[^"]*)*')

Line = tuple[int, str]  # its number from 1, its text
TellProblem = Callable[[int, str], None]  # takes a line's number and what is wrong with it


class Blocks:
    """A text in blocks of whole lines: (number of the first line, text without the last line's
    end). Only CR, LF and CRLF end a line."""

    def __init__(self, text: str) -> None:
        # not `splitlines`, which ends a line at U+2028 and a form feed as well
        if "\r" in text:
            text = text.replace("\r\n", "\n").replace("\r", "\n")
        self._text = text
        self._at, self._line = 0, 1
        self._block = 0, 1  # where the last block began: character, line

    def head(self, count: int) -> list[Line]:
        """The next lines, at most `count`; they are not taken."""
        at, found = self._at, list[Line]()
        while at <= len(self._text) and len(found) < count:
            end = self._text.find("\n", at)
            if end < 0:
                end = len(self._text)
            found.append((self._line + len(found), self._text[at:end]))
            at = end + 1
        return found

    def skip(self, lines: list[Line]) -> None:
        """Take lines that `head` gave."""
        self._at += sum(len(text) + 1 for _, text in lines)
        self._line += len(lines)

    def skip_empty(self) -> None:
        """Take the empty lines that come next."""
        while (first := self.head(1)) and not first[0][1].strip():
            self.skip(first)

    def back_to(self, line: int) -> None:
        """Go on from a line that was taken already."""
        self._at, self._line = self._block if line >= self._block[1] else (0, 1)
        while self._line < line:
            self._at = self._text.index("\n", self._at) + 1
            self._line += 1

    def __iter__(self) -> Iterator[tuple[int, str]]:
        while self._at <= len(self._text):
            end = self._text.find("\n", self._at + BLOCK)
            block = self._text[self._at : len(self._text) if end < 0 else end]
            if end < 0 and block.endswith("\n"):
                block = block[:-1]  # nothing stands behind the last line's end
                end = len(self._text)
            first = self._line
            self._block = self._at, first
            self._at += len(block) + 1
            self._line += block.count("\n") + 1
            if end == len(self._text):
                self._at = end + 1
            yield first, block

    def lines(self) -> Iterator[Line]:
        """All lines that are left."""
        for first, block in self:
            yield from enumerate(block.split("\n"), start=first)

    def records(
        self, first: int, block: str, delimiter: str, problem: TellProblem
    ) -> Iterator[tuple[int, list[str]]]:
        """Records of a block with the number of their first line. A quoted cell may run over
        several lines, also into the next block. A record that cannot be read is told."""
        ahead = _LinesAhead(self, first, block)
        while (item := ahead.next_of_block()) is not None:
            line, text = item
            # Nearly all lines are so, and need no reader of quotation marks.
            if '"' not in text and not unreadable(text):
                if text.replace(delimiter, "").strip():
                    yield line, text.split(delimiter)
            elif text.strip() and (cells := ahead.quoted(item, delimiter, problem)):
                yield line, cells


class _LinesAhead:
    """The lines of a block, then those behind it; lines can be put back."""

    def __init__(self, blocks: Blocks, first: int, block: str) -> None:
        self._blocks = blocks
        self._block = enumerate(block.split("\n"), start=first)
        self._put_back: list[Line] = []

    def next_of_block(self) -> Line | None:
        """The next line of the block, None at its end."""
        return self._put_back.pop() if self._put_back else next(self._block, None)

    def next(self) -> Line | None:
        """The next line, also from behind the block; None at the text's end."""
        line = self.next_of_block()
        if line is None:
            lines = self._blocks.head(1)
            self._blocks.skip(lines)
            line = next(iter(lines), None)
        return line

    def quoted(self, start: Line, delimiter: str, problem: TellProblem) -> list[str]:
        """The cells of the record that starts with a line and may go on in the next ones; empty
        where there are none, or none that can be read. The lines behind a quotation mark that is
        never closed stay to be read by themselves."""
        if reason := unreadable(start[1]):
            problem(start[0], reason)
            return []
        taken = [start]

        def lines() -> Iterator[str]:
            yield start[1]
            while len(taken) < MAX_QUOTED_LINES and (line := self.next()) is not None:
                if reason := unreadable(line[1]):
                    problem(line[0], reason)
                else:
                    taken.append(line)
                    yield line[1]

        try:
            cells = csv_record(lines(), delimiter)
        except csv.Error as error:
            problem(start[0], f"the line cannot be read ({error}); it is skipped")
            return []
        if cells is None:
            problem(start[0], "a quotation mark is not closed; the line is skipped")
            self._put_back.extend(reversed(taken[1:]))
            return []
        if not any(map(str.strip, cells)):
            return []
        return cells


def csv_record(lines: Iterable[str], delimiter: str) -> list[str] | None:
    """The cells of the record that starts with the first of some lines, of which no more are asked
    for than it takes; None where a quotation mark is still open at the end (RFC 4180, 2.5 to 2.7).

    Raises csv.Error."""
    closed = True

    def fed() -> Iterator[str]:
        nonlocal closed
        for at, line in enumerate(lines):
            yield f"{line if at else _with_literal_marks(line, delimiter)}\n"
        closed = False  # only an open quotation mark makes the reader ask for more

    cells = next(csv.reader(fed(), delimiter=delimiter, skipinitialspace=True), [])
    if not closed:
        return None
    return cells


def _with_literal_marks(line: str, delimiter: str) -> str:
    """A line in which the marks of cells such as `"Ace" Marsh` are doubled, as RFC 4180 has marks
    that are text."""
    parts = line.split(delimiter)
    if not any(map(_NICKNAMED.fullmatch, parts)) and not (delimiter == "\t" and '"' in parts):
        return line
    doubled = (part.replace('"', '""') for part in parts)
    return delimiter.join(
        f'"{marked}"' if _NICKNAMED.fullmatch(part) or part == '"' else part
        for part, marked in zip(parts, doubled, strict=True)
    )


def has_long_line(block: str) -> bool:
    """Whether a line of a block is longer than MAX_LINE."""
    at = 0
    while at + MAX_LINE < len(block):
        end = block.rfind("\n", at, at + MAX_LINE + 1)
        if end < 0:
            return True
        at = end + 1
    return False


def unreadable(text: str) -> str:
    """Why a line cannot be one of a checklist, empty where it can."""
    if len(text) > MAX_LINE:
        return (
            f"the line is {len(text):,} characters long; no card needs more than {MAX_LINE:,}, "
            "so it is skipped"
        )
    if "\0" in text:
        return (
            "the line holds NUL bytes, so this is not a text file, or not in UTF-8; the line is "
            "skipped"
        )
    return ""


LONGEST_CARD = 2000  # characters of a typed card; cards that follow each other in a line are many
_WORD = re.compile(r"\S{400}")
_BETWEEN_CARDS = re.compile(r"[,;•|]")


def no_typed_line(text: str) -> str:
    """Why a line cannot be one of a typed list, empty where it can: where it would be one card of
    more letters than any has."""
    if reason := unreadable(text):
        return reason
    if len(text) < LONGEST_CARD and not _WORD.search(text):
        return ""
    if _WORD.search(text) or max(map(len, _BETWEEN_CARDS.split(text))) > LONGEST_CARD:
        return f"no card has {len(text):,} characters without an end; the line is skipped"
    return ""


def filled(cells: Iterable[str]) -> list[str]:
    """The cells that have something in them."""
    return [cell for cell in cells if cell.strip()]

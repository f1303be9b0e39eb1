"""The lines of a checklist's text, a block at a time, and the records in them (RFC 4180)."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator

MAX_LINE = 20_000  # characters; a longer line is no line of a checklist
MAX_QUOTED_LINES = 20  # lines that one quoted cell may run over
BLOCK = 1 << 17  # characters that are parted into lines at once

Line = tuple[int, str]  # its number from 1, its text


class Blocks:
    """A text in blocks of whole lines: (number of the first line, text without the last line's
    end). Only CR, LF and CRLF end a line."""

    def __init__(self, text: str) -> None:
        self._text = text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text
        self._at, self._line = 0, 1

    def head(self, count: int) -> list[Line]:
        """The next lines, at most `count`; they are not taken."""
        at, found = self._at, list[Line]()
        while at <= len(self._text) and len(found) < count:
            end = self._text.find("\n", at)
            end = len(self._text) if end < 0 else end
            found.append((self._line + len(found), self._text[at:end]))
            at = end + 1
        return found

    def skip(self, lines: list[Line]) -> None:
        """Take lines that `head` gave."""
        self._at += sum(len(text) + 1 for _, text in lines)
        self._line += len(lines)

    def __iter__(self) -> Iterator[tuple[int, str]]:
        while self._at <= len(self._text):
            end = self._text.find("\n", self._at + BLOCK)
            block = self._text[self._at : len(self._text) if end < 0 else end]
            if end < 0 and block.endswith("\n"):
                block = block[:-1]  # nothing stands behind the last line's end
                end = len(self._text)
            first = self._line
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
        self, first: int, block: str, delimiter: str, problem: Callable[[int, str], None]
    ) -> Iterator[tuple[int, list[str]]]:
        """Records of a block with the number of their first line. A quoted cell may run over
        several lines, also into the next block. A record that cannot be read is told."""
        own = enumerate(block.split("\n"), start=first)
        waiting: list[Line] = []
        again: list[Line] = []
        while True:
            item = again.pop() if again else next(own, None)
            if item is None and waiting:
                item = self._one_more()
            if item is None:
                if not waiting:
                    return
            else:
                line, text = item
                if not waiting:
                    if '"' not in text and len(text) <= MAX_LINE and "\0" not in text:
                        if text and not text.isspace():
                            cells = text.split(delimiter)
                            if any(cells) and not text.replace(delimiter, "").isspace():
                                yield line, cells
                        continue
                    if not text.strip():
                        continue
                if reason := unreadable(text):
                    problem(line, reason)
                    continue
                waiting.append(item)
            whole = "\n".join(text for _, text in waiting)
            if is_open(whole, delimiter):
                if item is not None and len(waiting) < MAX_QUOTED_LINES:
                    continue
                problem(
                    waiting[0][0], "a quotation mark is opened and not closed; the line is left out"
                )
                again.extend(reversed(waiting[1:]))
                waiting = []
                continue
            start = waiting[0][0]
            waiting = []
            try:
                cells = next(csv.reader(whole.splitlines(keepends=True), delimiter=delimiter), [])
            except csv.Error as error:
                problem(start, f"the line cannot be read ({error}); it is left out")
                continue
            if any(cell.strip() for cell in cells):
                yield start, cells

    def _one_more(self) -> Line | None:
        lines = self.head(1)
        self.skip(lines)
        return lines[0] if lines else None


def has_long_line(block: str) -> bool:
    """Whether a line of a block is longer than MAX_LINE."""
    at = 0
    while at + MAX_LINE < len(block):
        end = block.rfind("\n", at, at + MAX_LINE + 1)
        if end < 0:
            return True
        at = end + 1
    return False


def header_of(lines: list[Line], delimiter: str) -> tuple[int, list[str]]:
    """How many lines the column names take, and the names; a name in quotes may run over several
    lines."""
    for count in range(1, len(lines) + 1):
        whole = "\n".join(text for _, text in lines[:count])
        if len(whole) > MAX_LINE:
            break
        if not is_open(whole, delimiter):
            return count, next(csv.reader(whole.splitlines(keepends=True), delimiter=delimiter), [])
    return 1, next(csv.reader([lines[0][1][:MAX_LINE]], delimiter=delimiter), [])


def is_open(text: str, delimiter: str) -> bool:
    """Whether a cell that starts with a quotation mark is still open at the end of the text (RFC
    4180, 2.5 to 2.7)."""
    if '"' not in text:
        return False
    at = 0
    while True:
        if text[at : at + 1] == '"':
            at += 1
            while True:
                at = text.find('"', at)
                if at < 0:
                    return True
                if text[at + 1 : at + 2] != '"':
                    break
                at += 2
        at = text.find(delimiter, at)
        if at < 0:
            return False
        at += 1


def unreadable(text: str) -> str:
    """Why a line cannot be one of a checklist, empty where it can."""
    if len(text) > MAX_LINE:
        return (
            f"the line is {len(text):,} characters long; no card needs more than {MAX_LINE:,}, "
            "so it is left out"
        )
    if "\0" in text:
        return (
            "the line holds NUL bytes, so this is no text file or not in UTF-8; the line is "
            "left out"
        )
    return ""

"""The history as it is gone through on the desk: what stands, the newest first, and below a line
what was undone."""

from __future__ import annotations

import time
from collections.abc import Mapping
from typing import NamedTuple

from rich.text import Text

from tagger.core.lot.history import card_of, words
from tagger.core.model.text import printable
from tagger.core.session.session import Session
from tagger.ui import theme
from tagger.ui.keys import Keymap

PAGE = 40  # changes that are read at a time

# What the key line shows: a command, or a key that means this only here, and its words.
KEYS = (
    ("take", "go to the card"), ("reading_down", "older"), ("undo", "undo"), ("redo", "redo"),
    ("history", "back"),
)  # fmt: skip


class Entry(NamedTuple):
    """A change as it is shown: when it was done, in seconds since 1970, its words, and its card's
    position."""

    at: float
    words: str
    card: int | None


class _Thread:
    """Changes that stand, or that were undone, read as far as they were looked at."""

    def __init__(self, session: Session, positions: Mapping[int, int], undone: bool) -> None:
        self._session, self._positions, self._undone = session, positions, undone
        self.read: list[Entry] = []
        self._onward: int | None = None

    def reach(self, count: int) -> int:
        """Read on until there are `count`, or no more; how many there are now."""
        while len(self.read) < count and self._onward != 0:
            past = self._session.history(PAGE, self._undone, self._onward)
            for change, onward in past:
                self._onward = onward
                said, card = words(change, self._positions), card_of(change, self._positions)
                self.read.append(Entry(change.at, said, card))
            if len(past) < PAGE:
                self._onward = 0
        return len(self.read)


class History:
    """What is read of a lot's history, and the change that is looked at: `below` the line or above,
    counted from 0."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.shown = False
        self.at, self.below, self._top, self._page = 0, False, 0, 1
        self._stands = self._undone = _Thread(session, {}, False)

    def open(self) -> None:
        """Read it from the newest change on."""
        positions = {
            pair.id: at for at, pair in enumerate(self._session.arrangement.pairs, start=1)
        }
        self._stands = _Thread(self._session, positions, False)
        self._undone = _Thread(self._session, positions, True)
        self.shown, self.at, self.below, self._top = True, 0, False, 0

    @property
    def here(self) -> Entry | None:
        """The change that is looked at."""
        thread = self._undone if self.below else self._stands
        return thread.read[self.at] if thread.reach(self.at + 1) > self.at else None

    def step(self, by: int) -> None:
        """Look at another change. Past the oldest that stands, and before the newest, are those
        that were undone."""
        thread = self._undone if self.below else self._stands
        last = thread.reach(self.at + by + 1) - 1
        wanted = self.at + by
        if 0 <= wanted <= last or abs(by) > 1:
            self.at = min(max(0, wanted), max(0, last))
            return
        other = self._stands if self.below else self._undone
        if not other.reach(PAGE):
            return
        self.below = not self.below
        self.at = 0 if wanted > 0 or not self.below else len(other.read) - 1

    def turn(self, pages: int) -> None:
        """Look a page on (1) or back (-1)."""
        self.step(pages * max(2, self._page))

    def lines(self, keys: Keymap, width: int, height: int) -> list[Text]:
        """The list in lines; days are told where they change."""
        undone = self._undone.reach(PAGE)
        some = min(undone, max(1, height // 3)) if undone else 0
        room = max(1, height - 2 - (some + 1 if some else 0))
        self._page = room
        here = f" history · {keys.shown('take')} goes to the card · {keys.shown('history')} closes"
        out = [Text(here, theme.DIM), Text()]
        at = -1 if self.below else self.at
        out += self._window(at, room, width) or [Text(" Nothing was changed yet.", theme.DIM)]
        if some:
            out += [Text()] * (height - some - 1 - len(out))
            more = "and more " if undone >= PAGE else ""
            rule = f" undone: {undone} {more}· {keys.shown('redo')} does the first again "
            out.append(Text(f"{rule}{'─' * max(0, width - len(rule) - 1)}", theme.BRASS))
            first = max(0, self.at - some + 1) if self.below else 0
            for index in range(first, min(first + some, undone)):
                out.append(_line(self._undone.read[index], self.below and index == self.at, width))
        return out[:height]

    def _window(self, at: int, room: int, width: int) -> list[Text]:
        count = self._stands.reach(max(at, self._top) + room)
        self._top = min(self._top, max(0, at), max(0, count - 1))
        while True:
            lines: list[Text] = []
            seen, day = False, ""
            for index in range(self._top, min(count, self._top + room)):
                entry = self._stands.read[index]
                if (today := _day(entry.at)) != day:
                    lines.append(Text(f" {today}", theme.BRASS))
                    day = today
                lines.append(_line(entry, index == at, width))
                seen = seen or (index == at and len(lines) <= room)
            if seen or at <= self._top:
                return lines[:room]
            self._top += 1


def _day(at: float) -> str:
    return time.strftime("%A %d %B %Y", time.localtime(at)).replace(" 0", " ")


def _line(entry: Entry, meant: bool, width: int) -> Text:
    clock = time.strftime("%H:%M", time.localtime(entry.at))
    line = Text("▸ " if meant else "  ", theme.BRASS).append(f"{clock}  ", theme.DIM)
    line.append(printable(entry.words), theme.BRIGHT if meant else theme.PLAIN)
    line.truncate(width - 1, overflow="ellipsis")
    return line

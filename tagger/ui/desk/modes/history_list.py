"""The history as it is gone through on the desk: what stands, the newest first, and below a line
what was undone."""

from __future__ import annotations

import time
from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from rich.text import Text

from tagger.core.lot.history import card_of, words
from tagger.core.model.text import printable
from tagger.ui import theme
from tagger.ui.fit import middle
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import wrapped

if TYPE_CHECKING:
    from tagger.core.session.session import Session

PAGE = 40  # changes that are read at a time
CLOCK = 9  # cells before the words of a change


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
            # A lot's journal may have many thousand changes; who looks for one reads a few pages.
            if len(past) < PAGE:
                self._onward = 0
        return len(self.read)


class History:
    """What is read of a lot's history, from the newest change on, and the change that is looked at:
    `below` the line or above, counted from 0."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._page = 1
        self.open()

    def open(self) -> None:
        """Read it anew, and look at the newest change."""
        # A change is told by where its card stands now: that is where Enter goes.
        pairs = self._session.view.arrangement.pairs
        positions = {pair.id: at for at, pair in enumerate(pairs, start=1)}
        self._stands = _Thread(self._session, positions, False)
        self._undone = _Thread(self._session, positions, True)
        self.at, self.below, self._top = 0, False, 0

    @property
    def _thread(self) -> _Thread:
        return self._undone if self.below else self._stands

    @property
    def here(self) -> Entry | None:
        """The change that is looked at."""
        thread = self._thread
        return thread.read[self.at] if thread.reach(self.at + 1) > self.at else None

    def step(self, by: int) -> None:
        """Look at another change. Past the oldest that stands, and before the newest, are those
        that were undone."""
        last = self._thread.reach(self.at + by + 1) - 1
        wanted = self.at + by
        if 0 <= wanted <= last or abs(by) > 1:
            self.at = min(max(0, wanted), max(0, last))
            return
        # A step over the edge goes to the other list, a page stops there: one sees where one is.
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
        below = self._below_the_line(keys, width, height)
        room = max(1, height - 2 - len(below))
        self._page = room
        take, closes = keys.shown(Action.TAKE), keys.shown(Action.HISTORY)
        head = Text(f" history · {take} goes to the card · {closes} closes", theme.DIM)
        standing = self._window(room, width) or [Text(" No changes yet.", theme.DIM)]
        out = [head, Text(), *standing]
        # What was undone stands at the foot, however little stands above it.
        gap = [Text()] * (height - len(below) - len(out)) if below else []
        return [*out, *gap, *below][:height]

    def _below_the_line(self, keys: Keymap, width: int, height: int) -> list[Text]:
        """The line, and what was undone; at most a third of the list."""
        undone = self._undone.reach(PAGE)
        if not undone:
            return []
        rows = min(undone, max(1, height // 3))
        more = "and more " if undone >= PAGE else ""
        rule = f" undone: {undone} {more}· {keys.shown(Action.REDO)} redoes the first "
        here = self.at if self.below else -1
        first = max(0, here - rows + 1)
        shown = range(first, min(first + rows, undone))
        lines = [
            line
            for index in shown
            for line in _lines(self._undone.read[index], index == here, width)
        ]
        # The one that is looked at is the last of them, or stands among the first.
        seen = lines[-rows:] if first else lines[:rows]
        return [Text(f"{rule}{'─' * max(0, width - len(rule) - 1)}", theme.BRASS), *seen]

    def _window(self, room: int, width: int) -> list[Text]:
        """So many rows of what stands, the change that is looked at among them."""
        at = -1 if self.below else self.at
        count = self._stands.reach(max(at, self._top) + room)
        self._top = min(self._top, max(0, at), max(0, count - 1))
        # How many changes fit is known only with the days between them.
        while True:
            lines, row = self._from_top(at, min(count, self._top + room), width)
            if (row is not None and row < room) or at <= self._top:
                return lines[:room]
            self._top += 1

    def _from_top(self, at: int, end: int, width: int) -> tuple[list[Text], int | None]:
        """The changes from the top on, the day above the first of each; and the last row of the
        change `at`, None where it is not among them."""
        lines: list[Text] = []
        row: int | None = None
        day = ""
        for index in range(self._top, end):
            entry = self._stands.read[index]
            if (today := _day(entry.at)) != day:
                lines.append(Text(f" {today}", theme.BRASS))
                day = today
            lines += _lines(entry, index == at, width)
            if index == at:
                row = len(lines) - 1
        return lines, row


def _day(at: float) -> str:
    return time.strftime("%A %d %B %Y", time.localtime(at)).replace(" 0", " ")


def _lines(entry: Entry, meant: bool, width: int) -> list[Text]:
    """A change in a line, its middle left out where it is too long; that which is looked at in as
    many as it needs."""
    clock = time.strftime("%H:%M", time.localtime(entry.at))
    room = width - CLOCK - 1
    if not meant:
        line = Text("  ", theme.BRASS).append(f"{clock}  ", theme.DIM)
        return [line.append(middle(printable(entry.words), room), theme.PLAIN)]
    first, *rest = wrapped(entry.words, room + 2, theme.BRIGHT)
    head = Text("▸ ", theme.BRASS).append(f"{clock} ", theme.DIM)
    return [head.append_text(first), *(Text(" " * (CLOCK - 1)).append_text(one) for one in rest)]

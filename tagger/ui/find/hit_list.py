"""The cards that were found as a list: where the cursor is, what is seen of it, and what is asked
of the card there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tagger.core.index.location_builder import name_of
from tagger.core.model.trade import PULLED, SOLD
from tagger.ui.find.ports import Copy, Finds

# a copy by its place in the list, or None for the name above the copies that follow
Entry = int | None


class HitList:
    """Starts empty. Copies count from 0; those of the same card stand below its name."""

    def __init__(self) -> None:
        self.finds = Finds("")
        self.at = self.top = 0
        self.entries: Sequence[Entry] = ()

    def show(self, finds: Finds) -> None:
        """List these. Other words: the cursor is at the best card. The same words, as after a
        change: it stays at its card, or where that was."""
        # After a mark or a visit the same words are searched for again: nothing may jump then.
        here, same = self.here, finds.words == self.finds.words
        keys = [copy.key for copy in finds.copies]
        self.finds = finds
        if not same:
            self.at = self.top = 0
        elif here is not None and here.key in keys:
            self.at = keys.index(here.key)
        self.at = min(self.at, max(0, len(keys) - 1))
        self.entries = list(_with_names(finds.copies))

    @property
    def here(self) -> Copy | None:
        """The copy at the cursor."""
        return self.finds.copies[self.at] if self.finds.copies else None

    def move(self, by: int) -> None:
        """Move the cursor so many copies, at most to either end."""
        self.at = min(max(0, self.at + by), max(0, len(self.finds.copies) - 1))

    def near(self) -> list[Copy]:
        """The copy at the cursor, the next one and the one before."""
        places = (self.at, self.at + 1, self.at - 1)
        return [self.finds.copies[at] for at in places if 0 <= at < len(self.finds.copies)]

    def page(self, rows: int) -> range:
        """The entries that so many rows show. A name stays with its first copy; a cursor that
        leaves the rows comes to their middle."""
        if not self.entries:
            return range(0)
        # A copy without the name above it would be a card that nobody can tell.
        line = self.entries.index(self.at)
        first = line - 1 if rows > 1 and self.entries[line - 1] is None else line
        if not (self.top <= first and line < self.top + rows):
            self.top = max(first - rows // 2, line - rows + 1)
        self.top = min(max(0, self.top), max(0, len(self.entries) - rows))
        return range(self.top, min(len(self.entries), self.top + rows))

    def count(self) -> tuple[int, int, int]:
        """(cards that are there, cards that left, lots that any of these lie in)."""
        copies = self.finds.copies
        gone = sum(bool(copy.card.mark.gone) for copy in copies)
        return len(copies) - gone, gone, len({copy.home for copy in copies})


def _with_names(copies: Sequence[Copy]) -> Iterator[Entry]:
    """The copies by their places, each run of copies of one card below its name."""
    for at, copy in enumerate(copies):
        name = name_of(copy.card.mark.tags)
        if not at or name != name_of(copies[at - 1].card.mark.tags):
            yield None
        yield at


def choices(copy: Copy) -> tuple[str, ...]:
    """What a card can be marked as, in turn; empty for there again."""
    # The likeliest first, since one Enter does it: a card that is there is sold, one that left came
    # back.
    return {SOLD: ("", PULLED), PULLED: ("", SOLD)}.get(copy.card.mark.gone, (SOLD, PULLED))


def next_choice(copy: Copy, gone: str) -> str | None:
    """What comes after `gone` among them, None after the last. The first one where the card was
    marked otherwise meanwhile, and `gone` is what it is by now."""
    known = choices(copy)
    if gone not in known:
        return known[0]
    following = known[known.index(gone) + 1 :]
    return following[0] if following else None

"""What is sure of cards that were read, by lists that have their rows and by lists that do not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bench.reading.cards import Shown, Tray, index_of
from tagger.core.index.index import Index
from tagger.core.model.tags import Row
from tagger.core.reading.book import ReadingBook

FIVE = 5


@dataclass
class Count:
    """Of so many cards: sure, wrong among them, and the own row among the weightiest five."""

    cards: int = 0
    sure: int = 0
    wrong: int = 0
    among_five: int = 0

    def __add__(self, other: Count) -> Count:
        return Count(
            self.cards + other.cards, self.sure + other.sure, self.wrong + other.wrong,
            self.among_five + other.among_five,
        )  # fmt: skip


def judged(index: Index, book: ReadingBook, cards: Sequence[Shown]) -> Count:
    """What a book says of cards."""
    found = Count(len(cards))
    for card in cards:
        evidence = book.evidence(card.key)
        if evidence is None:
            continue
        rows = sorted(evidence.weights, key=lambda step: -evidence.weights[step])[:FIVE]
        found.among_five += any(_is_row(index.row(step), card.row) for step in rows)
        if evidence.alone is not None:
            found.sure += 1
            found.wrong += not _is_row(index.row(evidence.alone), card.row)
    return found


def _is_row(row: Row, other: Row) -> bool:
    return (row.set, row.number, row.subject) == (other.set, other.number, other.subject)


def whole_book(tray: Tray, index: Index) -> ReadingBook:
    """A tray read whole, weighed by some lists; the places are learned from all of it."""
    book = ReadingBook()
    book.use(index)
    for card in tray.cards:
        book.put(card.key, tray.whole[card.key])
    return book


def wrongly_sure(tray: Tray) -> dict[str, Count]:
    """What is sure where the row that is printed is not in the lists, or another one is like it."""
    families = tray.families
    drawn = {(card.family, card.row.number) for card in tray.cards}
    missing = [
        row for at, family in enumerate(families) for row in family.own.rows
        if (at, row.number) not in drawn
    ]  # fmt: skip
    own = [row for family in families for row in family.own.rows]
    sisters = [row for family in families for row in family.sister.rows]
    twins = [row for family in families for row in family.twin.rows]
    lists = {
        "own row missing": [*missing, *sisters],
        "next year's set listed alone": sisters,
        "set not listed, one of that year with its people is": [*twins, *sisters],
        "a set of that year with its people listed too": [*own, *twins],
    }
    found = {}
    for name, rows in lists.items():
        index = index_of(rows)
        found[name] = judged(index, whole_book(tray, index), tray.cards)
    return found

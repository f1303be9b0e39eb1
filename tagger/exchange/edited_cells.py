"""Whether a cell of a table says something else than was exported, and what somebody typed into
it."""

from __future__ import annotations

from collections.abc import Iterator

from tagger.core.lot.cells import unguarded
from tagger.core.lot.fields import Field, is_price
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.exchange.price_cells import same_price
from tagger.exchange.spreadsheet_coercion import detect_coercion


class EditedCells:
    """Tells edits from what a spreadsheet did by itself, and keeps the latter to be told."""

    def __init__(self) -> None:
        self._coerced: dict[tuple[str, str], list[str]] = {}

    def differs(self, field: Field, own: str, cell: str, where: str) -> bool:
        """Whether somebody typed something else into a cell of a field than `own`."""
        if says(field, own, cell):
            return False
        # Nobody typed that: a spreadsheet does it to a whole column when it opens the file.
        if what := detect_coercion(own, cell.strip()):
            example = f'{where}: "{printable(cell, 40)}" for "{printable(own, 40)}"'
            self._coerced.setdefault((field.name, what), []).append(example)
            return False
        return True

    def notes(self) -> Iterator[str]:
        """A sentence for each column that a spreadsheet changed."""
        for (name, what), examples in self._coerced.items():
            cells = counted(len(examples), "cell")
            yield (
                f"A spreadsheet turned {cells} of {name} into {what} ({examples[0]}); the lot "
                "keeps its own value."
            )


def typed(cell: str) -> str:
    """What somebody typed into a cell, as the lot keeps it."""
    return " ".join(unguarded(cell).split())


def says(field: Field, own: str, cell: str) -> bool:
    """Whether a cell of a field still says what `own` is."""
    return same(own, cell) or (is_price(field) and same_price(own, cell))


def same(own: str, cell: str) -> bool:
    """Whether a cell still says what the export wrote for `own`."""
    text = unguarded(cell)
    return own in (cell, text) or " ".join(own.split()) in (
        " ".join(cell.split()),
        " ".join(text.split()),
    )

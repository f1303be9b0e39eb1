"""All that is wrong with a file, told at once, so that it is put right in one go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from tagger.errors import UsageError, UsageErrors

if TYPE_CHECKING:
    from tagger.toml.document import TomlTable


class TomlErrors:
    """What was found so far."""

    def __init__(self) -> None:
        self._found: list[UsageError] = []

    @contextmanager
    def kept(self) -> Iterator[None]:
        """Keeps a UsageError that is raised within, and goes on behind."""
        try:
            yield
        except UsageError as error:
            self._found.append(error)

    def of_names(self, given: TomlTable, known: Sequence[str], what: str) -> None:
        """Keeps an error for each name of a table that is none of those known; see
        `TomlTable.check_names`."""
        self._found.extend(given.unknown_names(known, what))

    def check(self) -> None:
        """Raises UsageError where anything is wrong."""
        if self._found:
            raise UsageErrors(tuple(error.message for error in self._found))

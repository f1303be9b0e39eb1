"""TinyDB over tables that lie in memory: a document is changed where it is, at the cost of that
document.

The tables come from `lot.json` and the journal; what makes a change durable is the journal, not
TinyDB's storage."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

Tables = dict[str, dict[str, dict[str, Any]]]


class MemoryTables(Storage):
    """Hands TinyDB the tables as they lie in memory."""

    def __init__(self, tables: Tables) -> None:
        self._tables = tables

    def read(self) -> Tables:
        """The tables themselves, no copy."""
        return self._tables

    def write(self, data: Tables) -> None:
        """Take over what TinyDB's own calls made of the tables."""
        # the tables themselves are what all others hold, so they stay the same object
        if data is not self._tables:
            fresh = {name: dict(table) for name, table in data.items()}
            self._tables.clear()
            self._tables.update(fresh)


class LotTable(Table):
    """A table whose single documents are put and taken out without touching the others."""

    def put(self, doc_id: int, document: Mapping[str, Any]) -> None:
        """Set one document."""
        # a document is replaced and never changed: a snapshot may be on its way to the disk
        self._raw()[str(doc_id)] = dict(document)
        self.clear_cache()

    def take_out(self, doc_id: int) -> None:
        """Remove one document; fine where there is none."""
        self._raw().pop(str(doc_id), None)
        self.clear_cache()

    def raw(self, doc_id: int) -> Mapping[str, Any]:
        """One document as it lies in the table, empty where there is none. Not to be changed."""
        # TinyDB's own `get` makes a Document of each, and copies it
        return self._raw().get(str(doc_id), {})

    def items(self) -> list[tuple[int, Mapping[str, Any]]]:
        """(number, document) of all documents. Not to be changed."""
        return [(int(id), document) for id, document in self._raw().items()]

    def _raw(self) -> dict[str, dict[str, Any]]:
        tables: Tables = self._storage.read()  # type: ignore[assignment]
        return tables.setdefault(self.name, {})


class LotDatabase(TinyDB):
    """A TinyDB of LotTables."""

    table_class = LotTable

    def __init__(self, tables: Tables) -> None:
        super().__init__(storage=lambda: MemoryTables(tables))

    def table(self, name: str, **kwargs: Any) -> LotTable:
        """One of the tables."""
        return cast(LotTable, super().table(name, **kwargs))

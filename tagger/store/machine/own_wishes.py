"""What this station asked of others and nobody answered yet: the hub may be made again, and a sale
that somebody was promised must not be lost with it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from tagger.core.stock.asked import Wish
from tagger.store.machine.paths import data_folder
from tagger.store.machine.state_file import StateFile


def remember_wishes(wishes: Iterable[Wish]) -> None:
    """Keep some; silent where that cannot be written: the hub has them."""
    file = _file()
    for wish in wishes:
        file.put(wish.id, wish)


def waiting_wishes() -> list[Wish]:
    """All that wait, as far as is known here."""
    return _file().values()


def forget_wishes(ids: Collection[str]) -> None:
    """Keep some no longer."""
    file = _file()
    for id in ids:
        file.remove(id)


def _file() -> StateFile[Wish]:
    return StateFile(data_folder(), "asked", "id", _read, _written)


def _read(entry: Mapping[str, Any]) -> Wish:
    seen, details = dict(entry["seen"]), dict(entry["details"])
    card, station = int(entry["card"]), str(entry["station"])
    return Wish(str(entry["id"]), str(entry["lot"]), card, station, seen, details)


def _written(wish: Wish) -> dict[str, Any]:
    said = wish._asdict()
    del said["id"]
    return {**said, "seen": dict(wish.seen), "details": dict(wish.details)}

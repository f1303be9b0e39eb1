"""Stations, each a process, that sell the same card at the same moment."""

from __future__ import annotations

import json
from multiprocessing import get_context
from multiprocessing.synchronize import Barrier
from typing import Any
from uuid import uuid4

from tagger.core.stock.asked import SEEN, Wish
from tagger.errors import Refused
from tagger.store.hub.connection import connected
from tagger.store.hub.stations import StationId
from tagger.store.hub.wishes import ask

LOT = "raced"


def races(url: str, cards: int, sellers: int) -> list[int]:
    """How many of the sellers won each card."""
    seen = dict.fromkeys(SEEN, "x")
    with connected(url) as line:
        for n in range(sellers + 1):
            line.execute("INSERT INTO tagger.station (id, name) VALUES (%s, %s)", (f"s{n}",) * 2)
        line.execute(
            "INSERT INTO tagger.lot (id, station, n, at_byte, tail, cards, state) "
            "VALUES (%s, 's0', 1, 1, '', %s, '{}')",
            (LOT, cards),
        )
        line.execute(
            "INSERT INTO tagger.card (lot, id, doc) SELECT %s, n, %s "
            "FROM generate_series(1, %s::integer) AS n",
            (LOT, json.dumps(seen), cards),
        )
    spawn = get_context("fork")
    gate, answers = spawn.Barrier(sellers), spawn.SimpleQueue()
    processes = [
        spawn.Process(target=_sell, args=(url, n, cards, gate, answers), daemon=True)
        for n in range(1, sellers + 1)
    ]
    for process in processes:
        process.start()
    won = [answers.get() for _ in processes]
    for process in processes:
        process.join()
    return [sum(card in one for one in won) for card in range(1, cards + 1)]


def _sell(url: str, seller: int, cards: int, gate: Barrier, answers: Any) -> None:
    won: set[int] = set()
    me, seen = StationId(f"s{seller}", f"s{seller}"), dict.fromkeys(SEEN, "x")
    with connected(url) as line:
        for card in range(1, cards + 1):
            gate.wait(120)
            try:
                with line.transaction():
                    ask(line, me, Wish(str(uuid4()), LOT, card, me.name, seen, {}))
            except Refused:
                continue
            won.add(card)
    answers.put(won)

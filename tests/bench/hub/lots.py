"""Lots of stations, drawn from `world.py` and written as journals; a change is made by the store's
own door."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from uuid import UUID

from support.stations import Station

from bench.common.world import CardSet, World
from tagger.core.lot.change import Change
from tagger.core.model.stock_number import part_of
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.store.lot.documents import mark_document
from tagger.store.lot.journal import FORMAT, JOURNAL, Draft
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.paths import data_folder

PER_LOT, TRAY = 500, 250
CONDITIONS = ("Near Mint", "Excellent", "Very Good")


def draw_lots(station: Station, count: int, seed: int, per_lot: int = PER_LOT) -> list[Path]:
    """So many lots of a station, on its list."""
    source, world = random.Random(seed), World(max(2000, count * 20), seed=seed)
    homes: list[Path] = []
    entries: dict[str, dict[str, object]] = {}
    for number in range(count):
        home = station.top / "lots" / f"{station.name} box {number}"
        home.mkdir(parents=True)
        _write(home, list(_marks(source, world.sets, per_lot)), source)
        homes.append(home)
        entries[str(number + 1)] = {"folder": str(home), "home": str(home), "opened": float(number)}
    with station.here():
        data_folder().mkdir(parents=True, exist_ok=True)
        listed = json.dumps({"lots": entries})
        (data_folder() / "lots.json").write_text(listed, encoding="ascii")
    return homes


def _marks(source: random.Random, sets: Sequence[CardSet], count: int) -> Iterator[Mark]:
    """Trays of one set each, in the order of its numbers; one in forty is sold, one in ten has an
    own price."""
    for at in range(count):
        if at % TRAY == 0:
            of = sets[source.randrange(len(sets))]
        card = of.cards[at % len(of.cards)]
        parallel, serial = "", ""
        if card.parallels and source.random() < 1 / 8:
            parallel, run = source.choice(card.parallels)
            serial = f"{source.randint(1, run)}/{run}" if run else ""
        tags = Tags(
            of.name, card.number, card.person.name, card.team, parallel, serial,
            source.choice(CONDITIONS), f"row {at // TRAY + 1}",
            price=f"{source.randint(1, 900) / 100:.2f}" if source.random() < 0.1 else "",
        )  # fmt: skip
        gone = "sold" if source.random() < 1 / 40 else ""
        yield Mark(State.TAGGED, tags, gone=gone, running=at + 1)


def _write(home: Path, marks: Sequence[Mark], source: random.Random) -> None:
    identity = UUID(int=source.getrandbits(128)).hex
    cards = {
        str(id): {
            "front": f"scan_{2 * id - 1:04d}.jpg",
            "back": f"scan_{2 * id:04d}.jpg",
            **mark_document(mark),
        }
        for id, mark in enumerate(marks, start=1)
    }
    state = {
        "format": FORMAT, "lot": home.name, "sides": "front, back", "next_id": len(cards) + 1,
        "order": list(map(int, cards)), "position": 1, "part": part_of(identity),
    }  # fmt: skip
    draft = Draft()
    draft.begin(identity, home.name, {"state": {"1": state}, "cards": cards})
    (home / JOURNAL).write_bytes(draft.data)


def change_cards(home: Path, count: int, source: random.Random) -> None:
    """So many cards get another condition, each as one change; what is sold stays so."""
    store = LotFile(home, home.name)
    try:
        for _ in range(count):
            pair = source.choice(store.lot.arrangement.pairs)
            before = store.lot.mark(pair.id)
            tags = replace(
                before.tags, condition=source.choice(CONDITIONS), note=str(source.random())
            )
            after = replace(before, tags=tags)
            cursor = store.lot.cursor
            store.enter(Change("drawn", 0.0, cursor, cursor, (Marking(pair.id, before, after),)))
    finally:
        store.close()

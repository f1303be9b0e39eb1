"""A day of several stations: each changes cards, publishes, and pulls now and then; in the evening
each must have the truth, which is what the lots' own files say."""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Iterator
from pathlib import Path

from support.stations import Shop, Station

from bench.common.aims import Measure
from bench.common.table import time_text
from bench.hub.lots import PER_LOT, change_cards, draw_lots
from tagger.core.model.tags import Mark
from tagger.store.hub.connection import connected
from tagger.store.hub.journal_place import journal_place
from tagger.store.hub.publishing import LotToPublish, lots_at_hub, publish_lot
from tagger.store.hub.pulling import pull
from tagger.store.hub.stations import StationId, register
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.pulled import read_pulled

ROUNDS = 20

Marks = dict[str, list[Mark]]


def day_of_changes(shop: Shop, lots: int, changes: int) -> Iterator[Measure]:
    """The whole day."""
    source = random.Random(9)
    homes = {one.name: draw_lots(one, lots, seed=at) for at, one in enumerate(shop.stations, 10)}
    start = time.perf_counter()
    for one in shop.stations:
        _published(shop, one, homes[one.name])
    for one in shop.stations:
        _pulled(shop, one)
    yield Measure("the morning: all published and pulled", time_text(time.perf_counter() - start))
    published: list[float] = []
    pulled: list[float] = []
    a_turn = max(1, changes // (ROUNDS * len(shop.stations)))
    for _ in range(ROUNDS):
        for one in shop.stations:
            _change(homes[one.name], a_turn, source)
            published.append(_published(shop, one, homes[one.name]))
            if source.random() < 0.5:
                pulled.append(_pulled(shop, one))
    yield Measure("a station publishes in the day", time_text(statistics.median(published)))
    yield Measure("a station pulls in the day", time_text(statistics.median(pulled)))
    for one in shop.stations:
        _pulled(shop, one)
    right = _equal(shop.stations)
    total = len(shop.stations)
    cards = lots * PER_LOT * total
    yield Measure(
        f"stations with the truth of {cards:,} cards, {a_turn * ROUNDS * total:,} changes",
        f"{right} of {total}", "all", right == total,
    )  # fmt: skip


def _change(homes: list[Path], count: int, source: random.Random) -> None:
    # a dealer is at a lot or two at a time
    for part in (count // 2, count - count // 2):
        if part:
            change_cards(source.choice(homes), part, source)


def _id(station: Station) -> StationId:
    return StationId(station.name.rjust(32, "0"), station.name)


def _published(shop: Shop, station: Station, homes: list[Path]) -> float:
    start = time.perf_counter()
    with connected(shop.url) as line:
        register(line, _id(station))
        places = {home: journal_place(home) for home in homes}
        known = lots_at_hub(line, [place.id for place in places.values()])
        for home, place in places.items():
            lot, there = LotToPublish(home, home.name), known.get(place.id)
            if there is None or not there.is_now(lot, place):
                publish_lot(line, _id(station), lot, there)
    return time.perf_counter() - start


def _pulled(shop: Shop, station: Station) -> float:
    start = time.perf_counter()
    with station.here(), connected(shop.url) as line:
        pull(line, _id(station))
    return time.perf_counter() - start


def _equal(stations: list[Station]) -> int:
    """How many stations have all lots of the others as these have them themselves."""
    # compared by digests: a million marks, eight times, need not all be in memory
    truth = {name: hash(tuple(marks)) for one in stations for name, marks in _kept(one)}
    right = 0
    for one in stations:
        wanted = {n: h for n, h in truth.items() if not n.endswith(f" at {one.name}")}
        right += {name: hash(tuple(marks)) for name, marks in _pulled_lots(one)} == wanted
    return right


def kept_marks(station: Station) -> Marks:
    """The marks of a station's own lots, by the names that others know them by."""
    return dict(_kept(station))


def pulled_marks(station: Station) -> Marks:
    """The marks of all lots that a station pulled."""
    return dict(_pulled_lots(station))


def _kept(station: Station) -> Iterator[tuple[str, list[Mark]]]:
    for home in sorted((station.top / "lots").iterdir()):
        lot = read_lot(home)
        yield f"{home.name} at {station.name}", [lot.mark(p.id) for p in lot.arrangement.pairs]


def _pulled_lots(station: Station) -> Iterator[tuple[str, list[Mark]]]:
    with station.here():
        for place in read_pulled().places():
            lot = read_lot(place.home)
            yield place.name, [lot.mark(pair.id) for pair in lot.arrangement.pairs]

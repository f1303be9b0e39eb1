"""The hub, over a PostgreSQL of its own with its usual durability (fsync is on).

100,000 cards are published in 200 lots; lots of 500 with nothing or one card new, each with its own
reading of the lot's files; processes killed at random while they publish; one card sold by eight
stations at once; a find over 1,000,000 cards that are one's own, and over the same pulled from the
hub, which is there or gone; eight stations that change 20,000 cards in a day. --quick: a hundredth
of each, --tenth a tenth. `--part NAME` measures one part."""

from __future__ import annotations

import argparse
import os
import random
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from support.postgres import Server
from support.stations import Shop, Station

from bench.common.aims import Measure, table_text
from bench.common.table import time_text
from bench.hub.day import day_of_changes
from bench.hub.lots import PER_LOT, change_cards, draw_lots
from bench.hub.races import races
from tagger.core.reports.card_search import find
from tagger.services.lot_selection import all_places
from tagger.store.caches.catalogue import catalogue
from tagger.store.hub.connection import connected
from tagger.store.hub.journal_place import journal_place
from tagger.store.hub.publishing import LotToPublish, lots_at_hub, publish_lot
from tagger.store.hub.pulling import pull
from tagger.store.hub.stations import StationId, register
from tagger.store.machine.paths import catalogue_folder

DURABLE = {"fsync": "on", "synchronous_commit": "on", "full_page_writes": "on",
           "shared_buffers": "256MB", "max_wal_size": "2GB"}  # fmt: skip
NORTH = StationId("1" * 32, "north")


def main() -> int:
    """Measure, print; 1 where an aim is missed."""
    parser = argparse.ArgumentParser(description="Measures the hub.")
    parser.add_argument("--quick", action="store_true", help="a hundredth of each")
    parser.add_argument("--tenth", action="store_true", help="a tenth of each")
    parser.add_argument("--part", choices=PARTS, action="append", help="one part alone")
    given = parser.parse_args()
    scale = 100 if given.quick else 10 if given.tenth else 1
    lines: list[Measure] = []
    server = Server(DURABLE)
    try:
        for name in given.part or PARTS:
            with tempfile.TemporaryDirectory(prefix="tagger-hub-") as top:
                for line in PARTS[name](server, Path(top), scale):
                    lines.append(line)
                    print(f"  {line.what}: {line.measured}", file=sys.stderr, flush=True)
    finally:
        server.remove()
    print(table_text(lines))
    return int(any(line.met is False for line in lines))


def took(work: Callable[[], object]) -> float:
    """Seconds that something takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def publishing(server: Server, top: Path, scale: int) -> Iterator[Measure]:
    """All at once, and lot by lot."""
    shop = Shop(server, top, "publishing", ["north"])
    [north] = shop.stations
    homes = draw_lots(north, max(4, 200 // scale), seed=1)
    lots = [LotToPublish(home, home.name) for home in homes]
    with connected(shop.url) as line:
        register(line, NORTH)
        seconds = took(lambda: [publish_lot(line, NORTH, lot) for lot in lots])
        rate = len(lots) * PER_LOT / seconds
        yield Measure(
            f"publish {len(lots) * PER_LOT:,} cards, indexed", f"{rate:,.0f} docs/s",
            "at least 10,000", rate >= 10_000,
        )  # fmt: skip
        some = lots[: min(len(lots), 40)] * max(1, 40 // len(lots))

        def unchanged(lot: LotToPublish) -> None:
            at = journal_place(lot.home)
            assert lots_at_hub(line, [at.id])[at.id].is_now(lot, at)

        def one_new(lot: LotToPublish) -> None:
            id = journal_place(lot.home).id
            assert publish_lot(line, NORTH, lot, lots_at_hub(line, [id])[id]).cards == 1

        yield _at_most(
            "a lot with nothing new", [took(partial(unchanged, lot)) for lot in some], 0.005
        )
        source, times = random.Random(3), []
        for lot in some:
            change_cards(lot.home, 1, source)
            times.append(took(partial(one_new, lot)))
        yield _at_most("a lot with one card new", times, 0.010)
    yield from _listing(shop)


def _at_most(what: str, times: list[float], aim: float) -> Measure:
    median = statistics.median(times)
    slow = sorted(times)[int(len(times) * 0.95)]
    said = f"{time_text(median)} / {time_text(slow)} (p95)"
    return Measure(what, said, f"at most {time_text(aim)}", median <= aim)


def _listing(shop: Shop) -> Iterator[Measure]:
    """What a pull asks first, over more and more lots: the slope by which it breaks."""
    from tagger.store.hub.pulling import _LOTS

    shop.sql("INSERT INTO tagger.station VALUES ('far', 'far', now())")
    made = 0
    for lots in (2_000, 20_000, 200_000):
        shop.sql(
            "INSERT INTO tagger.lot (id, station, n, at_byte, tail, cards, state) "
            "SELECT 'far' || n, 'far', 1, 1, '', 500, "
            "jsonb_build_object('name', 'box ' || n, 'part', 'KXXXL', 'sides', 'front, back') "
            "FROM generate_series(%s::integer, %s::integer) AS n",
            made, lots - 1,
        )  # fmt: skip
        made = lots
        shop.sql("ANALYZE tagger.lot")
        with connected(shop.url) as line:
            asked = [took(lambda: line.execute(_LOTS, (NORTH.id,)).fetchall()) for _ in range(3)]
        yield Measure(f"which of {lots:,} lots are new", time_text(min(asked)))


def kills(server: Server, top: Path, scale: int) -> Iterator[Measure]:
    """Processes that publish whole lots, killed at random."""
    shop = Shop(server, top, "kills", ["north"])
    [north] = shop.stations
    homes, source = draw_lots(north, 3, seed=4), random.Random(5)
    lots, half, times = [LotToPublish(home, home.name) for home in homes], 0, 1000 // scale
    with connected(shop.url) as line:
        register(line, NORTH)
        usual = took(lambda: [publish_lot(line, NORTH, lot) for lot in lots])
    for _ in range(times):
        shop.sql("UPDATE tagger.lot SET tail = 'another'" if source.random() < 0.5
                 else "DELETE FROM tagger.lot")  # fmt: skip
        child = os.fork()
        if child == 0:
            _publish_and_end(shop.url, lots)
        time.sleep(source.uniform(0, 1.2 * usual))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        half += bool(
            shop.sql(
                "SELECT lot.id FROM tagger.lot LEFT JOIN tagger.card ON card.lot = lot.id "
                "GROUP BY lot.id HAVING count(card.id) <> lot.cards"
            )
        )
    yield Measure(f"half published after {times:,} kills", str(half), "0", half == 0)
    with connected(shop.url) as line:
        register(line, NORTH)
        for lot in lots:
            publish_lot(line, NORTH, lot)
    same = _equal(shop, north, top)
    yield Measure("republished, equal to the files", str(same), "True", same)


def _publish_and_end(url: str, lots: list[LotToPublish]) -> None:
    try:
        with connected(url) as line:
            register(line, NORTH)
            for lot in lots:
                publish_lot(line, NORTH, lot)
    finally:
        os._exit(0)


def _equal(shop: Shop, north: Station, top: Path) -> bool:
    """Whether what another station pulls is what the lots' files say."""
    from bench.hub.day import kept_marks, pulled_marks

    south = Station(top, "south", shop.user("south"))
    with south.here(), connected(shop.url) as line:
        pull(line, StationId("2" * 32, "south"))
    return pulled_marks(south) == kept_marks(north)


def finding(server: Server, top: Path, scale: int) -> Iterator[Measure]:
    """The same lots as one's own, and pulled."""
    shop = Shop(server, top, "finding", ["north", "south"])
    north, south = shop.stations
    draw_lots(north, max(20, 2000 // scale), seed=6)
    with connected(shop.url) as line:
        register(line, NORTH)
        publish = [LotToPublish(h, h.name) for h in sorted((north.top / "lots").iterdir())]
        seconds = took(lambda: [publish_lot(line, NORTH, lot) for lot in publish])
        yield Measure(f"publish {len(publish):,} lots", f"{time_text(seconds)}")
    with south.here(), connected(shop.url) as line:
        station = StationId("2" * 32, "south")
        seconds = took(lambda: pull(line, station))
        yield Measure(f"pull {len(publish):,} lots", time_text(seconds))
        again = min(took(lambda: pull(line, station)) for _ in range(3))
        yield Measure("pull again, nothing new", time_text(again))
    ours, command = _searched(north), _started(north)
    theirs = _searched(south)
    up = _started(south)
    server.stop()
    down = _started(south)
    server.start()
    for what, here, there in (
        ("a search over the pulled, to one's own", ours, theirs),
        ("the command, hub up", command, up),
        ("the command, hub down", command, down),
    ):
        ratio = there / here
        said = f"{time_text(there)} to {time_text(here)}: {ratio:.2f}"
        yield Measure(what, said, "at most 1.2", ratio <= 1.2)


def _searched(station: Station) -> float:
    """The median search once all is read."""
    with station.here():
        parts = catalogue(all_places(), catalogue_folder()).parts
        words = _words(parts)
        return statistics.median(took(lambda hint=hint: find(parts, hint)) for hint in words * 3)  # type: ignore[misc]


def _words(parts: object) -> list[str]:
    """Hints for cards that are there, the same for the same cards."""
    source = random.Random(8)
    [(index, _)] = parts  # type: ignore[misc]
    found = []
    for _ in range(100):
        tags = index.card(source.randrange(len(index))).mark.tags
        found.append(f"{tags.number} {tags.subject.split()[-1].lower()}")
    return found


def _started(station: Station) -> float:
    """The median of the command as it is typed."""
    environment = {**os.environ, **station.env}

    def run() -> None:
        command = [sys.executable, "-m", "tagger", "find", "23", "lund", "--json"]
        subprocess.run(command, check=True, capture_output=True, env=environment)

    run()
    return statistics.median(took(run) for _ in range(7))


def day(server: Server, top: Path, scale: int) -> Iterator[Measure]:
    """Eight stations from morning to evening."""
    names = [f"station{n}" for n in range(1, 9)]
    shop = Shop(server, top, "day", names)
    yield from day_of_changes(shop, lots=max(4, 250 // scale), changes=max(160, 20_000 // scale))


def racing(server: Server, top: Path, scale: int) -> Iterator[Measure]:
    """Eight stations sell one card at the same moment."""
    shop = Shop(server, top, "racing", [])
    times = max(20, 1000 // scale)
    wins = races(shop.url, times, sellers=8)
    right = sum(won == 1 for won in wins)
    said = f"{right:,} of {times:,}"
    yield Measure("one wins, of eight that sell one card", said, "all", right == times)


PARTS: dict[str, Callable[[Server, Path, int], Iterator[Measure]]] = {
    "publish": publishing,
    "kills": kills,
    "races": racing,
    "find": finding,
    "day": day,
}


if __name__ == "__main__":
    sys.exit(main())

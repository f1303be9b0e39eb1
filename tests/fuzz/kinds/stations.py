"""What comes from other stations: lots that were pulled, and rows of a hub that another program
wrote, or one that means ill."""

from __future__ import annotations

import contextlib
import io
import json
import random
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fuzz.mutations import mutated, mutated_value, source
from fuzz.world import World, command

if TYPE_CHECKING:
    from support.stations import Shop

OWN_SETTINGS = '[hub]\nurl = "{url}"\nstation = "south"\n'
# what is mutated of each table: the column that says which row it is, and those with documents
DOCUMENTS = {
    "lot": ("id", ("state",)),
    "card": ("id", ("doc", "rest")),
    "asked": ("id", ("seen", "wish")),
    "learned": ("key", ("value",)),
}
LOUPE = {"side": "front", "x": 0.3, "y": 0.9, "width": 0.2}
Rows = dict[str, list[tuple[Any, ...]]]


class _Hub:
    """A hub with a lot of another station, what that station asks of a lot of ours, and a loupe
    that it shares."""

    def __init__(self, world: World) -> None:
        from support.postgres import server
        from support.shop import harbor
        from support.stations import Shop

        self.shop: Shop = Shop(server(), world.home, "fuzzed", ("north", "south"))
        north = self.shop.stations[0]
        north.lot("spring", [harbor("7", "Ada Marsh"), harbor("8", "Ivo Lund", price="2")])
        with contextlib.redirect_stderr(io.StringIO()):
            assert north.run("hub", "publish") == 0
        self.settings = OWN_SETTINGS.format(url=self.shop.server.url("fuzzed", "south"))
        world.settings.write_text(self.settings, encoding="utf-8")
        for words in (["hub", "publish"], ["hub", "pull"], ["find", "marsh"]):
            _done(words)
        ((self.there,),) = self.shop.sql(  # the stock number of a card of the other station
            "SELECT doc ->> 'stock number' FROM tagger.card WHERE doc ->> 'subject' = 'Ivo Lund'"
        )
        self._ask()
        _done(["hub", "pull", "--lists"])
        world.keep()
        world.remember()
        self.kept = {table: self.shop.sql(f"SELECT * FROM tagger.{table}") for table in DOCUMENTS}

    def _ask(self) -> None:
        sql = self.shop.sql
        ((north,), (south,)) = sql("SELECT id FROM tagger.station ORDER BY name")
        ((lot, card),) = sql(
            "SELECT lot, card.id FROM tagger.card JOIN tagger.lot ON lot.id = card.lot "
            "WHERE station = %s AND doc ->> 'number' = '9'",
            south,
        )
        ((doc,),) = sql("SELECT doc FROM tagger.card WHERE lot = %s AND id = %s", lot, card)
        assert isinstance(doc, dict)
        seen = ("set", "number", "subject", "team", "parallel", "serial", "condition")
        sql(
            "INSERT INTO tagger.asked (id, lot, card, station, seen, wish) "
            "VALUES (gen_random_uuid(), %s, %s, %s, %s, %s)",
            lot, card, north, json.dumps({name: doc.get(name, "") for name in seen}),
            json.dumps({"price": "4", "order": "B-1", "sold_on": "2026-05-03", "lines": "B-1:1"}),
        )  # fmt: skip
        sql(
            "INSERT INTO tagger.learned (kind, key, station, value) VALUES ('loupes', %s, %s, %s)",
            "1987 Harbor Light", north, json.dumps(LOUPE),
        )  # fmt: skip

    def restore(self) -> None:
        """The rows as they were."""
        with self.shop.server.connect("fuzzed") as line, line.transaction():
            line.execute("TRUNCATE tagger.asked, tagger.learned, tagger.lot CASCADE")
            for table, rows in self.kept.items():
                for row in rows:
                    values = ", ".join(["%s"] * len(row))
                    cells = [json.dumps(one) if isinstance(one, dict) else one for one in row]
                    line.execute(f"INSERT INTO tagger.{table} VALUES ({values})".encode(), cells)

    def change(self, chance: random.Random) -> None:
        """One or two documents become others, as far as the database can hold them."""
        for _ in range(chance.randint(1, 2)):
            table = chance.choice(sorted(DOCUMENTS))
            key, columns = DOCUMENTS[table]
            column = chance.choice(columns)
            rows = self.shop.sql(f"SELECT {key}, {column} FROM tagger.{table} ORDER BY {key}")
            row, value = chance.choice(rows)
            said = json.dumps(_storable(mutated_value(value, chance)))
            self.shop.sql(f"UPDATE tagger.{table} SET {column} = %s WHERE {key} = %s", said, row)
        self.shop.sql("UPDATE tagger.lot SET mark = gen_random_uuid()")
        if chance.random() < 0.2:
            odd = chance.choice(("", "é\u202e", "../..", "a" * 3000, "[bold]\x1b[2J"))
            self.shop.sql("UPDATE tagger.station SET name = %s WHERE name <> 'south'", odd)


def _done(words: list[str]) -> None:
    status, said, _ = command(words)
    assert status == 0, said


def _storable(value: Any) -> Any:
    """The same as jsonb can hold it: without NUL, half characters, and numbers that are none."""
    if isinstance(value, str):
        return value.replace("\0", "").encode("utf-8", "replace").decode()
    if isinstance(value, float) and not abs(value) < 1e300:
        return 10**300
    if isinstance(value, dict):
        return {_storable(name): _storable(one) for name, one in value.items()}
    return list(map(_storable, value)) if isinstance(value, list) else value


@lru_cache(1)
def _hub(world: World) -> _Hub:
    return _Hub(world)


def hubs(world: World, case: int) -> list[list[str]]:
    """Rows of the hub that say something else, pulled, asked and sold from."""
    chance, hub = source("hubs", case), _hub(world)
    hub.restore()
    hub.change(chance)
    world.settings.write_text(hub.settings, encoding="utf-8")
    further = [
        ["find", "marsh"], ["stock"], ["find", "--json", "7"], ["hub", "status"], ["sales"],
        ["export", "--all-lots", "--to", str(world.odd / "new.csv")], ["lots"], ["value"],
        ["sold", hub.there], ["pick"],
    ]  # fmt: skip
    return [["hub", "pull", "--lists"], ["hub", "publish"], *chance.sample(further, 3)]


def stations(world: World, case: int) -> list[list[str]]:
    """What was pulled and is kept on this machine."""
    from tagger.store.machine.paths import data_folder, pulled_folder

    hub, chance = _hub(world), source("stations", case)
    if not (data_folder() / "asked.json").exists():
        world.settings.write_text(hub.settings, encoding="utf-8")
        _done(["sold", hub.there, "--price", "2"])
        world.remember()
    kept = [data_folder() / name for name in ("hub.json", "asked.json", "station", "loupes.json")]
    path = chance.choice([*kept, *sorted(pulled_folder().rglob("lot.journal")) * 3])
    path.write_bytes(_other(path, chance))
    world.settings.write_text(hub.settings, encoding="utf-8")
    return [["find", "marsh"], ["stock"], ["lots"], ["sales"],
            ["hub", chance.choice(("status", "publish", "pull"))], ["sold", hub.there]]  # fmt: skip


def _other(path: Path, chance: random.Random) -> bytes:
    from tagger.store.lot.journal import encode

    data = path.read_bytes()
    if chance.random() < 0.15 or path.suffix not in (".json", ".journal"):
        return mutated(data, chance)
    if path.suffix == ".json":
        return json.dumps(mutated_value(json.loads(data), chance)).encode()
    lines = data.splitlines(keepends=True)
    at = chance.randrange(len(lines))
    while True:
        try:
            lines[at] = encode(mutated_value(json.loads(lines[at])[1], chance))
        except (TypeError, ValueError):
            continue
        return b"".join(lines)

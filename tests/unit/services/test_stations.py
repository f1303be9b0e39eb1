"""Several stations as one inventory, over a real PostgreSQL: what is published and pulled is what
the lots are, and a card is sold once."""

from __future__ import annotations

import json
import random
import shutil
import signal
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from support.postgres import PASSWORD, server
from support.shop import harbor, marks, numbers
from support.stations import Shop, Station

from tagger.cli import main
from tagger.config import Settings, load_settings
from tagger.core.model.tags import Mark
from tagger.core.session.loupes.loupe import Loupe
from tagger.core.stock.asked import Wish, seen_of
from tagger.errors import Refused
from tagger.services.guide.json_schemas import schema_text
from tagger.services.hub.hub import named_hub
from tagger.services.opening import change
from tagger.store.hub.connection import connected
from tagger.store.hub.stations import StationId
from tagger.store.hub.wishes import ask
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.loupes import LoupeFile
from tagger.store.machine.paths import config_file, data_folder, lot_place
from tagger.store.machine.pulled import read_pulled

Output = pytest.CaptureFixture[str]


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Two stations: north with three cards, south with one."""
    made = Shop(server(), tmp_path, "services", ["north", "south"])
    north, south = made.stations
    north.lot(
        "box 12",
        [
            harbor("23", "Ada Marsh", price="3.50"),
            harbor("24", "Ivo Lund", parallel="Gold", serial="12/99", extra=(("price", "$2"),)),
            harbor("25", "Bo Reed", note="it's \"; DROP TABLE tagger.card; --"),
        ],
    )
    south.lot("box 3", [harbor("26", "Lee Gold")])
    return made


def exchanged(*stations: Station) -> None:
    """All publish, then all pull."""
    for station in stations:
        assert station.run("hub", "publish") == 0
    for station in stations:
        assert station.run("hub", "pull") == 0


def pulled_marks(station: Station) -> dict[str, list[Mark]]:
    """The marks of all pulled lots by their names, in feeding order."""
    with station.here():
        found = {}
        for place in read_pulled().places():
            lot = read_lot(place.home)
            found[place.name] = [lot.mark(pair.id) for pair in lot.arrangement.pairs]
        return found


def enter(station: Station, folder: Path, hint: str, at: int = 1) -> None:
    """Tag a card at the desk."""
    with station.here(), change(lot_place(folder, None), Settings()) as session:
        session.go(at)
        session.take_unlisted(hint)


def test_what_is_pulled_is_what_was_published(shop: Shop, capsys: Output) -> None:
    north, south = shop.stations
    exchanged(north, south)
    with north.here():
        box = marks(north.top / "box 12")
        assert main(["export", str(north.top / "box 12"), "--to", str(north.top / "x.json")]) == 0
    assert pulled_marks(south) == {
        # of a list's further columns only the price goes with a card
        "box 12 at north": box
    }
    docs = [doc for (doc,) in shop.sql("SELECT doc FROM tagger.card ORDER BY lot, id")]
    exported = json.loads((north.top / "x.json").read_text(encoding="utf-8"))
    validator = Draft202012Validator(json.loads(schema_text("export")))
    columns = [*exported["columns"], "price by"]
    assert validator.is_valid({**exported, "columns": columns, "cards": docs})
    ours = {"price", "price by"}
    plain = [{k: v for k, v in doc.items() if k not in ours} for doc in docs]
    cards = [{k: v for k, v in card.items() if k not in ours} for card in exported["cards"]]
    assert all(card in plain for card in cards)
    prices = {doc["number"]: (doc.get("price"), doc.get("price by")) for doc in docs}
    assert prices["23"] == ("3.50", "yours")
    assert prices["24"] == ("$2", "list")
    assert prices["25"] == (None, None)
    # found, counted and valued there as here, by words and by number
    for station in (north, south):
        capsys.readouterr()
        for words in (["find", "marsh"], ["find", numbers(north.top / "box 12")[0]]):
            assert station.run(*words, "--json") == 0
            found = json.loads(capsys.readouterr().out)
            [card] = found["cards"]
            assert (card["number"], card["price"]) == ("23", "3.50")
            assert [one["name"] for one in found["stations"]] == [
                "south" if station is north else "north"
            ]
        assert station.run("stock", "--json") == 0
        stock = json.loads(capsys.readouterr().out)["stock"]
        assert (stock["cards"], stock["boxes"][0]["name"]) == (4, "box 7")
        assert station.run("value") == 0
        told = capsys.readouterr()
        assert "3.50 for 1 card" in told.out
        assert "$2.00 for 1 card" in told.out
        assert "just now" in told.err


def test_only_what_changed_is_published(shop: Shop, capsys: Output) -> None:
    north, south = shop.stations
    exchanged(north, south)
    box = north.top / "box 12"

    def published() -> str:
        capsys.readouterr()
        assert north.run("hub", "publish") == 0
        return capsys.readouterr().err.strip()

    assert published() == "0 lots published (0 cards), 1 unchanged."
    enter(north, box, "#40 cyr torwick", at=2)
    assert published() == "1 lot published (1 card), 0 unchanged."
    with north.here(), change(lot_place(box, None), Settings()) as session:
        session.undo()
        session.enter("moved", after=replace(session.view.cursor, position=3))
    assert published() == "1 lot published (1 card), 0 unchanged."
    with north.here():
        assert main(["fix", str(box), "2", "swap"]) == 0
    assert published() == "1 lot published (3 cards), 0 unchanged."
    south.run("hub", "pull")
    with north.here():
        truth = marks(box)
    assert pulled_marks(south)["box 12 at north"] == truth
    docs = shop.sql("SELECT doc ->> 'front' FROM tagger.card WHERE doc ->> 'number' = '24'")
    assert docs == [("scan_0004.jpg",)]


def test_a_copied_lot_is_refused_until_it_is_one_of_its_own(shop: Shop, capsys: Output) -> None:
    north, south = shop.stations
    exchanged(north, south)
    copy = south.top / "box 12"
    shutil.copytree(north.top / "box 12", copy)
    enter(south, copy, "#41 cyr torwick")
    before = shop.sql("SELECT doc FROM tagger.card ORDER BY lot, id")
    assert south.run("hub", "publish") == 1
    assert "tagger lots --new-identity FOLDER" in capsys.readouterr().err
    assert shop.sql("SELECT doc FROM tagger.card ORDER BY lot, id") == before
    old = numbers(copy)
    assert south.run("lots", "--new-identity", str(copy)) == 0
    assert not set(numbers(copy)) & set(old)
    with south.here(), change(lot_place(copy, None), Settings()) as session:
        assert "Undone" in session.undo()
    assert south.run("hub", "publish") == 0
    assert shop.sql("SELECT count(*) FROM tagger.card") == [(7,)]
    # two copies on one machine
    shutil.copytree(copy, south.top / "box 13")
    with south.here(), change(lot_place(south.top / "box 13", None), Settings()):
        pass
    assert south.run("hub", "publish") == 1
    assert "are copies of one lot" in capsys.readouterr().err


def test_a_card_of_another_station_is_sold_once(shop: Shop, capsys: Output) -> None:
    north, south = shop.stations
    exchanged(north, south)
    box = north.top / "box 12"
    marsh, lund, reed = numbers(box)
    assert south.run("sold", marsh, "--order", "A-17", "--price", "4.00") == 0
    assert "Asked north: reserved for you" in capsys.readouterr().err
    # reserved here at once, and for who pulls; nobody sells it a second time
    assert pulled_marks(south)["box 12 at north"][0].trade.reserved == "asked by south"
    assert south.run("sold", marsh) == 3
    assert north.run("sold", marsh) == 3
    assert "already sold by south" in capsys.readouterr().err
    # somebody is at the lot: its desk enters the sale, not we
    with north.here(), change(lot_place(box, None), Settings()):
        assert main(["hub", "publish"]) == 0
    assert marks(box)[0].gone == ""
    assert north.run("hub", "publish") == 0
    assert "Card 1 sold, asked by south" in capsys.readouterr().out
    sold = marks(box)[0]
    assert (sold.gone, sold.trade.order, sold.trade.price) == ("sold", "A-17", "4.00")
    capsys.readouterr()
    assert north.run("pick") == 0
    assert "order A-17" in capsys.readouterr().out
    assert south.run("hub", "pull") == 0
    assert pulled_marks(south)["box 12 at north"][0].to_pull
    assert south.run("pick", "--done") == 0
    assert "1 card is at other stations, to be marked there" in capsys.readouterr().err
    # undone there, it is free again
    with north.here(), change(lot_place(box, None), Settings()) as session:
        session.undo()
    assert north.run("hub", "publish") == 0
    assert south.run("hub", "pull") == 0
    assert south.run("sold", marsh) == 0
    # and what was asked can be withdrawn as long as it waits
    assert south.run("sold", marsh, "--returned") == 0
    assert south.run("sold", marsh, "--returned") == 3
    assert south.run("sold", marsh) == 0
    # an own sale is known to the hub before the lot is published
    assert north.run("sold", lund) == 0
    assert south.run("sold", lund) == 3
    # and what is not a sale cannot be asked for
    for words in (["move", reed, "box 9"], ["sold", reed, "--pulled"]):
        assert south.run(*words) == 3
        assert "only sales can be asked for" in capsys.readouterr().err
    assert south.run("hub", "status") == 0
    told = capsys.readouterr().out
    assert "(waiting)" in told
    assert "(over, the card is free again" in told


def test_a_sale_is_refused_where_the_tags_changed(shop: Shop, capsys: Output) -> None:
    north, south = shop.stations
    exchanged(north, south)
    box = north.top / "box 12"
    marsh, lund, _ = numbers(box)
    for card in (marsh, lund):
        assert south.run("sold", card) == 0
    enter(north, box, "#23 ada marsh poor")
    assert north.run("sold", str(box), "2") == 3  # asked for by south: the hub is there
    assert north.run("hub", "publish") == 0
    assert marks(box)[0].gone == ""
    assert marks(box)[1].gone == "sold"
    assert south.run("hub", "status", "--json") == 0
    asked = json.loads(capsys.readouterr().out.partition("{\n")[2].join(("{", "")))["asked"]
    [refused] = [one for one in asked if one["state"] == "refused"]
    assert refused["why"] == "its condition is Poor now, was Near Mint"
    # who asked is told, once; it is free again, as it is now
    assert south.run("hub", "publish") == 1
    told = capsys.readouterr()
    assert "Refused: 1987 Harbor Light 23 Ada Marsh is not sold, for its condition is" in told.err
    assert "Confirmed: 1987 Harbor Light 24 Ivo Lund is sold." in told.out
    assert south.run("hub", "publish") == 0
    assert south.run("sold", marsh) == 3
    assert "pull again: tagger hub pull" in capsys.readouterr().err
    assert south.run("hub", "pull") == 0
    assert south.run("sold", marsh) == 0


def test_without_the_hub_each_works_on_what_was_pulled(shop: Shop, capsys: Output) -> None:
    north, south = shop.stations
    exchanged(north, south)
    marsh, lund, _ = numbers(north.top / "box 12")
    orders = south.top / "orders.csv"
    mine = numbers(south.top / "box 3")[0]
    orders.write_text(f"order,stock number\n7,{mine}\n8,{marsh}\n", encoding="utf-8")
    capsys.readouterr()
    server().stop()
    try:
        assert south.run("find", "marsh") == 0
        assert "box 12 at north" in capsys.readouterr().out
        assert south.run("sold", marsh) == 3
        assert "Nothing was sold: 23 Ada Marsh is at another station" in capsys.readouterr().err
        # a table with cards of both: all or none
        assert south.run("sold", "--orders", str(orders), "--yes") == 3
        assert marks(south.top / "box 3")[0].gone == ""
        capsys.readouterr()
        assert north.run("sold", lund) == 0
        assert "cannot be reached" in capsys.readouterr().err
        assert north.run("hub", "publish") == 3
        assert south.run("hub", "status") == 1
        assert "north: 1 lot, published" in capsys.readouterr().out
    finally:
        server().start()
    assert pulled_marks(south)["box 12 at north"][0].gone == ""
    exchanged(north, south)
    assert pulled_marks(south)["box 12 at north"][1].gone == "sold"
    assert south.run("sold", "--orders", str(orders), "--yes") == 0
    assert marks(south.top / "box 3")[0].gone == "sold"
    assert north.run("hub", "publish") == 0
    assert marks(north.top / "box 12")[0].trade.order == "8"
    # the table once more changes nothing, though the sale was entered elsewhere
    assert south.run("hub", "pull") == 0
    capsys.readouterr()
    assert south.run("sold", "--orders", str(orders), "--yes") == 0
    assert "2 lines were marked before" in capsys.readouterr().err


def test_todays_prices_go_with_the_cards_when_asked(shop: Shop, capsys: Output) -> None:
    north, south = shop.stations
    prices = north.top / "harbor.csv"
    rows = "set,number,name,price\n1987 Harbor Light,25,Bo Reed,{}\n"
    prices.write_text(rows.format("$1.00"), encoding="utf-8")
    with north.here(), change(lot_place(north.top / "box 12", None), Settings(), [prices]):
        pass
    asked = (
        "SELECT doc ->> 'price', doc ->> 'price by' FROM tagger.card WHERE doc ->> 'number' = '25'"
    )
    assert north.run("hub", "publish") == 0
    assert shop.sql(asked) == [(None, None)]
    for price in ("$1.00", "$1.25"):
        prices.write_text(rows.format(price), encoding="utf-8")
        assert north.run("hub", "publish", "--prices") == 0
        assert shop.sql(asked) == [(price, "list")]
    capsys.readouterr()
    assert north.run("hub", "publish", "--prices") == 0
    assert "0 lots published" in capsys.readouterr().err
    assert south.run("hub", "pull") == 0
    assert south.run("value") == 0
    assert "$3.25 for 2 cards" in capsys.readouterr().out


def test_what_changes_is_published_until_it_is_stopped(shop: Shop, capsys: Output) -> None:
    north, _ = shop.stations
    watching = north.start("hub", "publish", "--watch")
    assert watching.stderr is not None
    try:
        assert watching.stderr.readline().startswith("Publishing what changes")
        assert watching.stderr.readline() == "1 lot published.\n"
    finally:
        watching.send_signal(signal.SIGINT)
        said = watching.communicate(timeout=20)[1]
    assert "Traceback" not in said
    # a lot that cannot be trusted is told, and not published
    shop.sql("DELETE FROM tagger.lot")
    journal = north.top / "box 12" / "lot.journal"
    journal.write_bytes(journal.read_bytes().replace(b"Ada Marsh", b"Ada March", 1))
    (north.top / "box 12" / "lot.json").unlink()
    assert north.run("hub", "publish") == 1
    assert "was not published: lot.journal is damaged" in capsys.readouterr().err
    assert shop.sql("SELECT count(*) FROM tagger.card") == [(0,)]


def test_a_hub_that_was_deleted_is_made_again(shop: Shop, capsys: Output) -> None:
    north, south = shop.stations
    exchanged(north, south)
    before = pulled_marks(south)
    docs = shop.sql("SELECT doc, rest FROM tagger.card ORDER BY lot, id")
    # a sale that was promised is not lost with it
    assert south.run("sold", numbers(north.top / "box 12")[2], "--order", "A-18") == 0
    shop.sql("DROP SCHEMA tagger CASCADE")
    assert north.run("hub", "publish") == 3
    assert "set it up: tagger hub setup URL" in capsys.readouterr().err
    assert main(["hub", "setup", shop.url]) == 0
    assert south.run("hub", "publish") == 0
    exchanged(north, south)
    assert shop.sql("SELECT doc, rest FROM tagger.card ORDER BY lot, id") == docs
    [found] = pulled_marks(south).values()
    assert found[:2] == before["box 12 at north"][:2]
    assert found[2].trade.reserved == "asked by south"
    assert north.run("hub", "publish") == 0
    assert marks(north.top / "box 12")[2].trade.order == "A-18"


def test_lists_and_loupes_are_shared_and_never_overwritten(shop: Shop, capsys: Output) -> None:
    north, south = shop.stations
    text = "set,number,name\n1987 Harbor Light,23,Ada Marsh\n"
    (north.top / "harbor.csv").write_text(text, encoding="utf-8")
    with north.here():
        place = lot_place(north.top / "box 12", None)
        with change(place, Settings(), [north.top / "harbor.csv"]):
            pass
        LoupeFile(data_folder()).put("1987 Harbor Light", Loupe("front", 0.5, 0.5, 0.3))
    with south.here():
        LoupeFile(data_folder()).put("1985 Mill Pond", Loupe("back", 0.2, 0.2, 0.3))
        mine = data_folder() / "lists" / "harbor.csv"
        mine.parent.mkdir(parents=True)
        mine.write_text("set,number,name\n", encoding="utf-8")
    for _ in range(2):
        assert north.run("hub", "publish", "--lists") == 0
        assert south.run("hub", "pull", "--lists") == 0
    told = capsys.readouterr().err
    assert "new to the hub: 2." in told
    assert "new to the hub: 0." in told
    assert "new here: 2;" in told
    assert "new here: 0;" in told
    assert mine.read_text(encoding="utf-8") == "set,number,name\n"
    [other] = mine.parent.glob("harbor-*.csv")
    assert other.read_text(encoding="utf-8") == text
    with south.here():
        assert LoupeFile(data_folder()).get("1987 Harbor Light") == Loupe("front", 0.5, 0.5, 0.3)
    # what is there first stays, and a name leads nowhere else
    shop.sql("UPDATE tagger.learned SET value = '{\"side\": \"top\"}', key = 'other'")
    digest = "'../../../evil.csv', bytes = 'x', digest = encode(sha256('x'), 'hex')"
    shop.sql(f"UPDATE tagger.checklist SET name = {digest}")
    assert south.run("hub", "pull", "--lists") == 0
    assert sorted(path.name for path in mine.parent.iterdir())[0] == "_.._.._evil.csv"
    with south.here():
        assert LoupeFile(data_folder()).get("other") is None


def test_hostile_names_are_kept_as_text(shop: Shop) -> None:
    north, south = shop.stations
    exchanged(north, south)
    name = "'); DROP SCHEMA tagger CASCADE; -- \x1b[31m"
    odd = north.lot("odd", [harbor("1", "Zoë \x00 \ud800 %s {} \\x", note="\x1b[2J")])
    with north.here(), change(lot_place(odd, None), Settings(), name=name):
        pass
    exchanged(north, south)
    [found] = [n for n in pulled_marks(south) if n.startswith("')")]
    [mark] = pulled_marks(south)[found]
    for text in (found, mark.tags.subject, mark.tags.note):
        assert "\x1b" not in text
        assert "\x00" not in text
    assert mark.tags.subject.startswith("Zoë")
    assert south.run("find", "zoe") == 0


def test_of_many_sellers_one_wins(shop: Shop) -> None:
    exchanged(*shop.stations)
    assert race(shop, 12, 8) == [1] * 12


def race(shop: Shop, cards: int, sellers: int) -> list[int]:
    """How many sellers won each card."""
    [(lot, doc)] = shop.sql("SELECT lot, doc FROM tagger.card WHERE doc ->> 'number' = '23'")
    shop.sql(
        "INSERT INTO tagger.card (lot, id, doc) SELECT %s, n, %s "
        "FROM generate_series(1001, %s::integer) AS n",
        lot, json.dumps(doc), 1000 + cards,
    )  # fmt: skip
    names = [f"seller{n}" for n in range(sellers)]
    shop.sql("INSERT INTO tagger.station (id, name) SELECT n, n FROM unnest(%s::text[]) n", names)
    wins, told = [0] * cards, set[str]()
    gate = threading.Barrier(sellers)
    assert isinstance(doc, dict)
    seen = {name: str(doc[name]) for name in seen_of(harbor("1", "x"))}

    def sell(name: str) -> None:
        with connected(shop.url) as line:
            for card in range(cards):
                id = f"{random.getrandbits(128):032x}"
                gate.wait(60)
                try:
                    with line.transaction():
                        ask(
                            line,
                            StationId(name, name),
                            Wish(id, str(lot), 1001 + card, name, seen, {}),
                        )
                    wins[card] += 1
                except Refused as refused:
                    told.add(refused.message.partition(" by ")[0])

    threads = [threading.Thread(target=sell, args=(name,)) for name in names]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert told == {"23 Ada Marsh is already sold"}
    shop.sql("DELETE FROM tagger.card WHERE id > 1000")
    shop.sql("DELETE FROM tagger.asked")
    shop.sql("DELETE FROM tagger.station WHERE id LIKE 'seller%%'")
    return wins


def killed_while_publishing(shop: Shop, times: int, seed: int) -> int:
    """Kills a publishing process so many times at random moments; how many of them left a lot half
    published."""
    north = shop.stations[0]
    chance, half = random.Random(seed), 0
    lots = [north.lot(f"lot {n}", [harbor(str(i), "Ada Marsh") for i in range(60)]) for n in (1, 2)]
    for _ in range(times):
        shop.sql("DELETE FROM tagger.lot")
        process = north.start("hub", "publish", "--quiet")
        time.sleep(chance.uniform(0.25, 0.75))
        process.kill()
        process.communicate()
        rows = shop.sql(
            "SELECT lot.cards, count(card.id) FROM tagger.lot LEFT JOIN tagger.card "
            "ON card.lot = lot.id GROUP BY lot.id"
        )
        half += any(said != there for said, there in rows)
    assert north.run("hub", "publish") == 0
    assert shop.sql("SELECT count(*) FROM tagger.card") == [(3 + 60 * len(lots),)]
    return half


def test_a_kill_leaves_no_lot_half_published(shop: Shop) -> None:
    assert killed_while_publishing(shop, 3, seed=1) == 0


@pytest.mark.nightly
def test_many_kills_leave_no_lot_half_published(shop: Shop) -> None:
    assert killed_while_publishing(shop, 1000, seed=2) == 0


@pytest.mark.nightly
def test_of_many_sellers_one_wins_a_thousand_cards(shop: Shop) -> None:
    exchanged(*shop.stations)
    assert race(shop, 1000, 8) == [1] * 1000


def test_what_belongs_to_a_station_is_its_own(shop: Shop, capsys: Output) -> None:
    """Two machines of one name, and a lot that is opened elsewhere than at its station."""
    north, south = shop.stations
    exchanged(north, south)
    twin = Station(north.top.parent / "twin", "north", shop.user("north"))
    assert twin.run("hub", "publish") == 3
    assert "Another station is called north" in capsys.readouterr().err
    with south.here():
        [place] = read_pulled().places()
        with pytest.raises(Refused, match="another station's lot"):
            change(place, Settings())
        hub = named_hub(load_settings(config_file()))
    assert PASSWORD not in hub.url

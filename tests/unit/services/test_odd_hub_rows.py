"""A hub whose rows another program wrote, or one that means ill: what is a lot is pulled, what is
not is told, and no command ends in a trace."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from support.postgres import PASSWORD, server
from support.shop import harbor
from support.stations import Shop

from tagger.store.machine.paths import data_folder
from tagger.store.machine.pulled import read_pulled

ODD = {
    "a card that is text": ("card", "doc = '\"x\"'"),
    "what else is known that is text": ("card", "rest = '\"x\"'"),
    "no position": ("card", 'doc = doc || \'{"position": "first"}\''),
    "a running number that is none": ("card", "rest = '{\"running\": {}}'"),
    "a scan that is none": ("card", "doc = doc || '{\"front\": 1.5}'"),
    "no part of stock numbers": ("lot", 'state = state || \'{"part": "=1+1"}\''),
}


def test_odd_rows_are_told_and_all_others_pulled(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("PGPASSWORD", PASSWORD)
    shop = Shop(server(), tmp_path, "odd", ["north", "south"])
    north, south = shop.stations
    for name in (*ODD, "box 3"):
        north.lot(name, [harbor("23", "Ada Marsh", extra=(("price", "2"),))])
    south.lot("box 4", [harbor("24", "Ivo Lund")])
    assert [north.run("hub", "publish"), south.run("hub", "publish")] == [0, 0]
    for name, (table, change) in ODD.items():
        of = "id" if table == "lot" else "lot"
        lot = "SELECT id FROM tagger.lot WHERE state ->> 'name' = %s"
        shop.sql(f"UPDATE tagger.{table} SET {change} WHERE {of} = ({lot})", name)
    # a sale that is asked for without a word of which card it is
    shop.sql(
        "INSERT INTO tagger.asked (id, lot, card, station, seen, wish) "
        "SELECT gen_random_uuid(), lot, card.id, north.id, '[\"x\"]', '7' FROM tagger.card "
        "JOIN tagger.lot ON lot.id = lot JOIN tagger.station AS north ON north.id <> lot.station "
        "WHERE doc ->> 'number' = '24'"
    )
    capsys.readouterr()
    assert south.run("hub", "pull") == 1
    told = capsys.readouterr().err
    for name in ODD:
        assert f"{name} at north was not pulled: the hub says something" in told
    assert south.run("hub", "publish") == 0
    assert shop.sql("SELECT state FROM tagger.asked") == [("refused",)]
    for words in (("find", "marsh"), ("stock",), ("sales",), ("hub", "status"), ("lots",)):
        assert south.run(*words) == 0, words
    with south.here():
        assert [lot.name for lot in read_pulled().lots.values()] == ["box 3"]
        # the list of what was pulled, with times that no clock says
        path = data_folder() / "hub.json"
        said = json.loads(path.read_bytes())
        for odd in (float("inf"), float("nan"), -1):
            path.write_text(json.dumps({**said, "here": odd}), encoding="utf-8")
            assert read_pulled().lots == {}

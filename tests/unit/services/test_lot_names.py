"""Lots in folders of one name: each has a name of its own, kept with it, shown and searched."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from tagger.cli import main
from tagger.config import load_settings
from tagger.core.lot.naming import own_name, told_apart
from tagger.core.model.text import fold
from tagger.errors import Refused
from tagger.services.lot_places import free_name, place_of_folder, proposed_name
from tagger.services.opening import change
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, config_file, data_folder

LIST = "set,number,name,price\n1987 Harbor Light,1,Ada Marsh,$2\n1987 Harbor Light,2,Bo Lund,$3\n"
HOSTILE = "\x1b]0;x\x07[bold]=1+1"


def scans(folder: Path) -> Path:
    folder.mkdir(parents=True)
    for at in range(1, 5):
        (folder / f"scan_{at}.jpg").write_bytes(b"x")
    return folder


def work(folder: Path, hint: str = "", name: str = "") -> LotPlace:
    """Open a lot, tag the next card as unlisted where a hint is given; the place it has then."""
    opened = change(place_of_folder(folder), load_settings(config_file()), name=name)
    with opened as session:
        if hint:
            session.take_unlisted(hint)
    return opened.place


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    capsys.readouterr()
    main(list(words))
    return capsys.readouterr().out


@pytest.fixture
def two(tmp_path: Path) -> tuple[Path, Path]:
    """Two lots in folders `scans`, the second opened when the first was known."""
    first, second = scans(tmp_path / "spring" / "scans"), scans(tmp_path / "autumn" / "scans")
    work(first, "set=harbor #1 name=ada price=2")
    work(second, "set=harbor #1 name=ada price=7")
    return first, second


def test_the_second_gets_a_name_of_its_own_by_itself(two):
    first, second = two
    assert (read_lot(first).name, read_lot(second).name) == ("", "autumn/scans")
    assert (place_of_folder(first).name, place_of_folder(second).name) == ("scans", "autumn/scans")
    work(second)
    assert place_of_folder(second).name == "autumn/scans"


def test_it_is_told_everywhere(two, tmp_path, capsys):
    first, second = two
    assert json.loads(said(capsys, "status", str(second), "--json"))["lot"] == "autumn/scans"
    assert said(capsys, "status", str(second)).startswith("autumn/scans")
    lots = json.loads(said(capsys, "lots", "--json"))["lots"]
    assert [lot["lot"] for lot in lots] == ["autumn/scans", "scans"]
    found = json.loads(said(capsys, "find", "ada", "--json"))["cards"]
    assert sorted(card["lot"] for card in found) == ["autumn/scans", "scans"]
    assert "autumn/scans: " in said(capsys, "find", "ada")
    value = json.loads(said(capsys, "value", "--json"))["estimates"][0]
    assert [(lot["lot"], lot["folder"], lot["total"]) for lot in value["lots"]] == [
        ("autumn/scans", str(second), "7"), ("scans", str(first), "2"),
    ]  # fmt: skip
    assert "  autumn/scans: 7.00 for 1 card" in said(capsys, "value")
    layout = tmp_path / "own.toml"
    layout.write_text('[[column]]\ntext = "{lot}"\n')
    table = said(capsys, "export", str(second), "--to", "-", "--layout", str(layout))
    assert set(table.splitlines()[1:]) == {"autumn/scans"}
    page = tmp_path / "box.html"
    main(["page", str(second), "--to", str(page)])
    assert "autumn/scans" in page.read_text(encoding="utf-8")


def test_find_searches_in_the_lots_that_are_named(two, capsys):
    def lots(*words: str) -> list[str]:
        cards = json.loads(said(capsys, "find", *words, "--json"))["cards"]
        return sorted(card["lot"] for card in cards)

    assert lots("ada", "lot=autumn") == ["autumn/scans"]
    assert lots("lot=SCANS", "ada") == ["autumn/scans", "scans"]
    assert lots("ada", "lot=winter") == []
    work(two[1], name="Spring Box 2")
    assert lots("ada", "lot=spring_box") == ["Spring Box 2"]
    assert lots("ada", "lot=autumn") == []


def test_it_moves_with_the_folder_to_another_machine(two, tmp_path, monkeypatch, capsys):
    second = tmp_path / "elsewhere"
    shutil.move(two[1], second)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "other machine"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "other cache"))
    assert place_of_folder(second).name == "autumn/scans"
    assert said(capsys, "status", str(second)).startswith("autumn/scans")
    assert work(second).name == "autumn/scans"
    assert [place.name for place in LotList(data_folder()).places()] == ["autumn/scans"]


def test_it_is_in_the_journal_and_in_the_file(two):
    second = two[1]
    assert json.loads((second / "lot.json").read_bytes())["state"]["1"]["name"] == "autumn/scans"
    (second / "lot.json").unlink()  # the journal alone says it as well
    assert read_lot(second).name == "autumn/scans"
    assert "name" not in json.loads((two[0] / "lot.json").read_bytes())["state"]["1"]


def test_it_can_be_changed_and_a_name_is_given_once(two):
    first, second = two
    assert work(second, name="winter").name == "winter"
    assert read_lot(second).name == "winter"
    assert free_name(place_of_folder(second), "  Winter  ") == "Winter"
    for taken in ("winter", "WINTER"):
        with pytest.raises(Refused, match="belongs to the lot in"):
            free_name(place_of_folder(first), taken)


def test_two_that_were_opened_before_there_were_names_are_told_apart(tmp_path):
    lots, places = LotList(data_folder()), []
    for year in ("1", "2"):
        folder = scans(tmp_path / year / "in" / "scans")
        (folder / "lot.json").write_text("{}")
        places.append(LotPlace(folder, folder))
        lots.opened(places[-1])
    gone = LotPlace(tmp_path / "gone" / "scans", tmp_path / "gone" / "scans")
    lots.opened(gone)  # a folder that was moved away is mistaken for none
    assert {place.name for place in lots.places()} == {"2/in/scans", "1/in/scans", "scans"}
    lots.opened(LotPlace(places[0].folder, places[0].home, "spring"))
    lots.opened(LotPlace(places[1].folder, places[1].home, "spring"))
    assert {place.name for place in lots.places()} == {
        "spring (2/in/scans)", "spring (1/in/scans)", "scans",
    }  # fmt: skip


def test_a_lot_alone_is_called_like_its_folder(tmp_path):
    place = work(scans(tmp_path / "box 12"))
    assert (place.name, read_lot(place.home).name) == ("box 12", "")
    assert proposed_name(place_of_folder(scans(tmp_path / "box 13"))) == ""


@pytest.mark.parametrize("typed", ["", "  ", "x" * 61, "a\x1bb", "a\u202eb", "a\x00"])
def test_what_cannot_be_a_name_is_refused(typed):
    with pytest.raises(Refused, match="name"):
        own_name(typed)


def test_the_end_of_a_path_that_no_other_lot_has():
    parts = ("/", "a", "b", "scans")
    assert told_apart(parts, {"scans"}) == "b/scans"
    assert told_apart(parts, {"scans", "b/scans"}) == "a/b/scans"
    assert told_apart(parts, {"b/scans", "a/b/scans"}) == "/a/b/scans"
    assert told_apart(("/", "scans"), {"scans"}) == "/scans"


def test_hostile_folders_and_names_are_harmless(tmp_path, capsys):
    folder = os.fsdecode(HOSTILE.replace("/", "").encode() + b"\xff")
    for parent in ("a", folder):
        place = work(scans(tmp_path / parent / folder), "#1 name=ada")
        assert place.name.isprintable()
        assert fold(place.name)
    # another hand may have written anything into the lot
    state = json.loads((place.home / "lot.json").read_bytes())
    state["state"]["1"]["name"] = HOSTILE
    (place.home / "lot.json").write_text(json.dumps(state))
    (place.home / "lot.journal").unlink()
    for words in (["lots"], ["find", "ada"], ["status", str(place.folder)], ["value"]):
        main(words)
    told = capsys.readouterr()
    assert "\x1b" not in told.out + told.err
    table = said(capsys, "export", str(place.folder), "--to", "-", "--format", "json")
    assert "\x1b" not in table

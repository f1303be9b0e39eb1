"""Many lots in one export, several tables in one run, a profile in the settings; and such a table
comes back into all its lots, or into none."""

from __future__ import annotations

import csv
import errno
import json
import os
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from jsonschema import Draft202012Validator
from support.shop import POND, harbor, lot_of, marks
from support.small_card import card

from tagger.cli import main
from tagger.config import Settings
from tagger.core.model.tags import Marking, Tags
from tagger.errors import LockedError
from tagger.services.guide.json_schemas import schema_text
from tagger.services.opening import change
from tagger.store.files import SystemFiles
from tagger.store.machine.paths import config_file, lot_place

pytestmark = pytest.mark.usefixtures("work_at_hand")

KINDS = """kind = ["set", "number"]
[[column]]
text = "{number}"
[[column]]
text = "{count}"
[[column]]
text = "{lot}"
"""


@pytest.fixture
def top(tmp_path: Path) -> Path:
    """Two lots: spring with two cards, one of which is sold, autumn with three."""
    extra = (("Rarity", "common"),)
    lot_of(
        tmp_path / "spring",
        [harbor("7", "Ada Marsh", price="3.50", extra=extra), harbor("8", "Bo")],
    )
    pond = Tags(POND, "7", "Cyr", condition="Mint", extra=(("rarity", "rare"),))
    lot_of(tmp_path / "autumn", [harbor("7", "Ada Marsh"), pond, harbor("9", "Dee", price="4.50")])
    assert main(["sold", str(tmp_path / "spring"), "2"]) == 0
    return tmp_path


def table(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def saved(path: Path, rows: list[dict[str, str]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def tag(folder: Path, position: int, **changes: str) -> None:
    with change(lot_place(folder, None), Settings()) as session:
        card = session.view.card_at(position)
        after = replace(card.mark, tags=replace(card.mark.tags, **changes))
        session.enter("by hand", [Marking(card.id, card.mark, after)])


def test_all_lots_in_several_tables_in_one_run(
    top: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (top / "kinds.toml").write_text(KINDS)
    words = ["--to", str(top / "all.csv"), "--to", str(top / "kinds.csv")]
    assert main(["export", str(top / "spring"), str(top / "autumn"), *words]) == 0
    assert main(["export", "--all-lots", *words, "--layout", "pricing", "--layout", "x"]) == 3
    assert main(["export", "--all-lots", "--to", str(top / "all.xlsx")]) == 0
    rows = table(top / "all.csv")
    assert [(row["lot"], row["position"], row["subject"]) for row in rows] == [
        ("autumn", "1", "Ada Marsh"),
        ("autumn", "2", "Cyr"),
        ("autumn", "3", "Dee"),
        ("spring", "1", "Ada Marsh"),
    ]
    # one column, however the lists spell it; one of prices, whoever gave them
    assert [row["rarity"] for row in rows] == ["", "rare", "", "common"]
    assert [row["price"] for row in rows] == ["", "", "4.50", "3.50"]
    assert len({row["stock number"] for row in rows}) == 4
    said = capsys.readouterr().err
    assert "4 of 5 cards in 2 lots written to" in said
    assert "1 card was sold or pulled: --all has them too." in said
    counts = openpyxl.load_workbook(top / "all.xlsx")["counts"]
    assert [[cell.value for cell in row][:2] for row in counts][1:] == [
        ["1987 Harbor Light", 3],
        [POND, 1],
        ["all", 4],
    ]
    words += ["--layout", "pricing", "--layout", str(top / "kinds.toml")]
    assert main(["export", "--all-lots", "--all", *words]) == 0
    assert [[*row.values()] for row in table(top / "kinds.csv")] == [
        ["7", "2", "autumn; spring"],
        ["7", "1", "autumn"],
        ["9", "1", "autumn"],
        ["8", "1", "spring"],
    ]
    assert main(["export", "--all-lots", "--to", str(top / "all.json")]) == 0
    document = json.loads((top / "all.json").read_text(encoding="utf-8"))
    assert list(Draft202012Validator(json.loads(schema_text("export"))).iter_errors(document)) == []
    assert document["lot"] == "autumn, spring"


def test_what_cannot_be_is_told_and_nothing_is_written(
    top: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spring, autumn = str(top / "spring"), str(top / "autumn")
    one, two = str(top / "one.csv"), str(top / "two.csv")
    for words, said in (
        (["--to", one], "Name the folders of the lots, or say --all-lots."),
        ([spring, "--all-lots", "--to", one], "Say --all-lots or name folders, not both."),
        ([spring, autumn, "--state", spring, "--to", one], "--state goes with one folder."),
        ([spring, "--to", one, "--to", one], "one.csv is named twice; give each table"),
        (
            [spring, *("--to", one) * 2, "--to", two, *("--layout", "counts") * 2],
            "Give one --layout for all tables",
        ),
        ([spring, autumn, "--to", f"{autumn}/lot.csv"], "belongs to the lot"),
        ([spring, "--to", one, "--only", "price=abc"], "--only: "),
        ([spring, "--to", one, "--profile", "shop"], "'shop' is not a profile; add [exports.NAME]"),
    ):
        assert main(["export", *words]) == 2, words
        assert said in capsys.readouterr().err
    # of two tables one cannot be written: the other is not there either
    with change(lot_place(top / "autumn", None), Settings()):
        words = ["export", "--all-lots", "--to", one, "--mark-listed", "shop"]
        assert main(words) == LockedError.exit_status
    assert main(["export", spring, "--to", one, "--to", str(top / "none" / "x.csv")]) == 3
    assert not (top / "one.csv").exists()
    # a lot that is gone hides no other, and is told
    (top / "spring").rename(top / "moved")
    capsys.readouterr()
    assert main(["export", "--all-lots", "--to", one]) == 1
    assert "spring" in capsys.readouterr().err
    assert [row["subject"] for row in table(top / "one.csv")] == ["Ada Marsh", "Cyr", "Dee"]


@pytest.mark.parametrize("call", ["write_at", "replace"])
def test_a_full_disk_leaves_every_table_whole(
    top: Path, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    names = ("a.csv", "b.xlsx")
    words = [word for name in names for word in ("--to", str(top / name))]
    assert main(["export", "--all-lots", *words]) == 0
    before = [(top / name).read_bytes() for name in names]
    real, calls = getattr(SystemFiles, call), 0

    def fails(self: SystemFiles, *given: object) -> object:
        nonlocal calls
        calls += call == "write_at" or Path(str(given[1])).parent == top
        if calls == 2:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return real(self, *given)

    with monkeypatch.context() as patch:
        patch.setattr(SystemFiles, call, fails)
        assert main(["export", str(top / "spring"), *words]) == 3
    same = [(top / name).read_bytes() == old for name, old in zip(names, before, strict=True)]
    left = {path.name for path in top.iterdir() if path.is_file()}
    if call == "write_at":
        assert same == [True, True]
        assert left == {*names, *(f"{name}.base" for name in names)}
        return
    # the last is there already, whole; no base lies beside a table that it is not of
    assert same == [True, False]
    assert openpyxl.load_workbook(top / "b.xlsx")["cards"].max_row == 2
    assert left == {*names}


def test_a_profile_says_what_is_written_and_what_is_typed_goes_before_it(top: Path) -> None:
    config_file().parent.mkdir(parents=True, exist_ok=True)
    config_file().write_text(
        f"""[exports.shop]
to = ["{top}/shop.csv", "{top}/kinds.csv"]
layout = ["listing", "mine.toml"]
only = "number=7"
csv = ";"
mark-listed = "my shop"
all-lots = true
"""
    )
    (config_file().parent / "mine.toml").write_text(KINDS)
    assert main(["export", "--profile", "shop"]) == 0
    assert (top / "kinds.csv").read_text().splitlines()[1:] == [
        '7;2;"autumn; spring"', "7;1;autumn"
    ]  # fmt: skip
    # each lot is marked, and undone by itself
    listed = {one.trade.listed for folder in ("spring", "autumn") for one in marks(top / folder)}
    assert listed == {"", "my shop"}
    assert [one.trade.listed for one in marks(top / "autumn")] == ["my shop", "my shop", ""]
    only = ["--only", "number=9", "--to", str(top / "nine.csv"), "--layout", "listing"]
    assert main(["export", "--profile", "shop", *only]) == 0
    assert len((top / "nine.csv").read_text(encoding="utf-8").splitlines()) == 2
    assert main(["export", "--profile", "shp"]) == 2


def test_a_table_of_many_lots_comes_back_into_all_or_into_none(
    top: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = top / "all.csv"
    assert main(["export", "--all-lots", "--to", str(target)]) == 0
    rows = table(target)
    tag(top / "autumn", 2, note="newer")
    rows[0]["note"], rows[1]["note"], rows[3]["note"] = "edge", "mine", "corner"
    rows[1]["place"] = "box 9"
    saved(target, [rows[3], rows[1], rows[0]])
    # a lot that is open elsewhere: nothing is imported
    with change(lot_place(top / "autumn", None), Settings()):
        assert main(["import", str(target), "--yes"]) == LockedError.exit_status
    assert [one.tags.note for one in marks(top / "spring")] == ["", ""]
    capsys.readouterr()
    assert main(["import", str(target), "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    schema = json.loads(schema_text("import"))
    assert list(Draft202012Validator(schema).iter_errors(document)) == []
    assert {one["in_lot"] for one in document["differences"]} == {"autumn", "spring"}
    assert main(["import", str(target), "--yes"]) == 1
    said = capsys.readouterr()
    assert said.out.splitlines() == [
        'autumn, card 2: place "" → "box 9"',
        'autumn, card 1: note "" → "edge"',
        'autumn, card 2: conflict in note: exported "", in the file "mine", in the lot "newer"',
        'spring, card 1: note "" → "corner"',
    ]
    assert "3 changes imported into 3 cards of 2 lots. Undo in each lot" in said.err
    assert [one.tags.note for one in marks(top / "autumn")] == ["edge", "newer", ""]
    # once more: only what is edited since, in one of the lots alone
    rows[3]["note"] = "crease"
    saved(target, [rows[0], rows[3]])
    assert main(["import", str(top / "autumn"), str(target), "--yes"]) == 0
    assert "1 row of another lot was not imported" in capsys.readouterr().err
    assert main(["import", str(target), "--yes"]) == 0
    assert [one.tags.note for one in marks(top / "spring")] == ["crease", ""]
    # a row of a card that was never there, and no file but a folder
    rows[0].update({"stock number": "", "lot": "winter"})
    saved(target, [rows[0]])
    assert main(["import", str(target)]) == 3
    assert "neither the stock number nor the lot is one of the export" in capsys.readouterr().err
    assert main(["import", str(top / "autumn")]) == 2


def test_a_table_of_many_lots_without_its_base_is_told_by_the_lots_names(
    top: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = top / "all.csv"
    assert main(["export", "--all-lots", "--to", str(target)]) == 0
    (top / "all.csv.base").unlink()
    rows = table(target)
    rows[3]["note"] = "corner"
    saved(target, rows)
    assert main(["import", str(target), "--yes"]) == 0
    assert "Compared with the lot as it is now" in capsys.readouterr().err
    assert marks(top / "spring")[0].tags.note == "corner"
    rows[3]["lot"] = "winter"
    saved(target, rows)
    assert main(["import", str(target), "--yes"]) == 3
    assert "No lot opened on this machine is winter" in capsys.readouterr().err


def test_pictures_of_many_lots_are_those_of_the_cards_that_are_meant(top: Path) -> None:
    for folder in (top / "spring", top / "autumn"):
        for scan in folder.glob("*.jpg"):
            card().save(scan)
    (top / "shop.toml").write_text(
        """[only]
set = "1987 Harbor Light"
state = ["tagged", "sold"]
[pictures]
before = "https://shop.example/"
[[column]]
text = "{subject}"
[[column]]
text = "{pictures}"
"""
    )
    words = ["export", "--all-lots", "--images", str(top / "p"), "--layout", str(top / "shop.toml")]
    only = ["--only=-number=9"]
    # 1: the scans are other ones than those that were tagged
    assert main([*words, *only, "--to", str(top / "shop.csv")]) == 1
    files = ["autumn/0001-front.jpg", "autumn/0001-back.jpg"]
    files += [f"spring/000{at}-{side}.jpg" for at in (1, 2) for side in ("front", "back")]
    found = (one for one in (top / "p").rglob("*.jpg"))
    assert sorted(one.relative_to(top / "p").as_posix() for one in found) == sorted(files)
    cells = [row["pictures"] for row in table(top / "shop.csv")]
    assert "; ".join(cells).split("; ") == [f"https://shop.example/{one}" for one in files]
    # a layout says which pictures are meant without a table, too
    assert main(words) == 1
    assert (top / "p" / "autumn" / "0003-front.jpg").exists()
    assert not (top / "p" / "autumn" / "0002-front.jpg").exists()

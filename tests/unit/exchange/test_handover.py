"""All that leaves a tagged lot of 150 cards, held against a truth that is drawn here and kept
apart: three layouts, pictures, contact sheets, the page, wants, a card found again, and a table
that was edited and taken back."""

from __future__ import annotations

import csv
import json
import random
import re
import shutil
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import openpyxl
import pypdf
import pytest
from PIL import Image
from support import drawn

from tagger.cli import main
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import State
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile, read_lot
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder, lot_place, make_home
from tagger.store.read_lists import read_indexed

pytestmark = pytest.mark.usefixtures("work_at_hand")

CARDS, BASE = 75, 120
SETS = ("1987 Harbor Light", "1985 Mill Pond")
PRICES = ("0.25", "1.00", "4.50")
STEPS = ("Near Mint", "Excellent")


@dataclass
class Told:
    """A card as the truth has it."""

    set: str
    number: str
    subject: str
    team: str
    parallel: str
    serial: str
    condition: str
    price: str


@dataclass
class Shelf:
    """The lot, its checklists and the truth by position from 1."""

    folder: Path
    lists: Path
    cards: list[Told]
    size: int


def _truth() -> tuple[list[Told], list[list[drawn.Truth]]]:
    rng = random.Random("handed over")
    rows = [drawn.set_rows(name, BASE, seed) for seed, name in enumerate(SETS, start=5)]
    cards = []
    for at in range(CARDS):
        row = rows[at * 2 // CARDS][rng.randrange(BASE) if at % 3 else at % BASE]
        gold = rng.random() < 0.2
        serial = f"{rng.randint(1, 99)}/99" if gold else ""
        price = PRICES[int(row.number) % 3]
        cards.append(
            Told(
                row.set, row.number, row.subject, row.team, "Gold" if gold else "", serial,
                STEPS[rng.random() < 0.1],
                price,
            )
        )  # fmt: skip
    return cards, rows


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Told]]:
    """The folders, tagged through the table that is taken in: the same for all tests, each works on
    its own copy."""
    place = tmp_path_factory.mktemp("shelf")
    cards, rows = _truth()
    drawn.draw_scans(place / "box 12", CARDS, size=(100, 140))
    (place / "lists").mkdir()
    for one in rows:
        text = "set,number,subject,team,parallels,price\n"
        text += "".join(
            f"{r.set},{r.number},{r.subject},{r.team},Gold /99,{PRICES[int(r.number) % 3]}\n"
            for r in one
        )
        (place / "lists" / f"{one[0].set}.csv").write_text(text, encoding="utf-8")
    _tag(place, cards)
    return place, cards


def _tag(place: Path, cards: list[Told]) -> None:
    """Tag all cards by their hints; what the lot says then is kept in `kept`."""
    folder, lists = place / "box 12", place / "lists"
    home = lot_place(folder, None)
    make_home(home)
    session = Session(LotFile(home.home, home.name))
    session.take_in([path.name for path in folder.glob("*.jpg")], [str(lists)])
    session.candidates.matcher = Matcher(read_indexed([lists], place / "index").index)
    for card in cards:
        hint = f"set={card.set} #{card.number} {card.parallel} {card.serial}"
        hint += f" condition={card.condition}"
        session.take(session.candidates.of(hint)[0])
    session.close()
    (place / "kept").mkdir()
    for path in folder.glob("lot.*"):
        path.rename(place / "kept" / path.name)


@pytest.fixture
def shelf(made: tuple[Path, list[Told]], own_folders: object) -> Shelf:
    place, cards = made
    folder, lists = place / "box 12", place / "lists"
    for old in (*folder.glob("lot.*"), *folder.glob(".lot*")):
        old.unlink()
    shutil.copytree(place / "kept", folder, dirs_exist_ok=True)
    LotList(data_folder()).opened(lot_place(folder, None))
    return Shelf(folder, lists, cards, CARDS)


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def layout(folder: Path, text: str) -> Path:
    path = folder / "layout.toml"
    path.write_text(text, encoding="utf-8")
    return path


def export(shelf: Shelf, target: Path, *more: str) -> Path:
    assert main(["export", str(shelf.folder), "--to", str(target), *more]) == 0
    return target


def test_a_row_a_card(shelf: Shelf, tmp_path: Path) -> None:
    rows = rows_of(export(shelf, tmp_path / "cards.csv"))
    got = [
        [
            row[name]
            for name in ("set", "number", "subject", "team", "parallel", "serial", "condition")
        ]
        for row in rows
    ]
    assert got == [
        [c.set, c.number, c.subject, c.team, c.parallel, c.serial, c.condition] for c in shelf.cards
    ]
    assert [row["position"] for row in rows] == [str(at) for at in range(1, CARDS + 1)]


def test_a_row_a_kind_with_its_count(shelf: Shelf, tmp_path: Path) -> None:
    path = export(shelf, tmp_path / "counts.xlsx", "--layout", "counts")
    sheet = openpyxl.load_workbook(path).active
    head, *rows = [
        [str(cell) if cell is not None else "" for cell in row]
        for row in sheet.iter_rows(values_only=True)
    ]
    at = {name: head.index(name) for name in ("count", "set", "number", "parallel", "condition")}
    got = Counter()
    for row in rows:
        got[tuple(row[at[name]] for name in ("set", "number", "parallel", "condition"))] += int(
            row[at["count"]]
        )
    kinds = (
        (c.set, c.number, f"{c.parallel} /99" if c.parallel else "", c.condition)
        for c in shelf.cards
    )
    assert got == Counter(kinds)
    assert len(rows) == len(got)


def test_a_title_of_80_characters_at_most_drops_in_the_order_that_is_written(
    shelf: Shelf, tmp_path: Path
) -> None:
    title = "{set} {#number} {subject}{ · parallel}{ serial}{ · team}{ · condition}"
    text = f"""[[column]]
heading = "Title"
text = "{title}, straight from the box, well kept"
at_most = 80
drop = ["team", "condition", "serial"]
"""
    rows = rows_of(export(shelf, tmp_path / "titles.csv", "--layout", str(layout(tmp_path, text))))
    seen = Counter()
    for row, card in zip(rows, shelf.cards, strict=True):
        wanted, left = "", [card.team, card.condition, card.serial]
        for dropped in range(4):
            team, condition, serial = [
                "" if at < dropped else value for at, value in enumerate(left)
            ]
            wanted = f"{card.set} #{card.number} {card.subject}"
            wanted += f" · {card.parallel}" * bool(card.parallel) + f" {serial}" * bool(serial)
            wanted += f" · {team}" * bool(team) + f" · {condition}" * bool(condition)
            wanted += ", straight from the box, well kept"
            if len(wanted) <= 80:
                seen[dropped] += 1
                break
        assert row["Title"] == wanted
    assert len(seen) > 1, "no title was too long, or all were"


def test_pictures_sheets_and_the_page_show_every_card(shelf: Shelf, tmp_path: Path) -> None:
    pictures = tmp_path / "pictures"
    name = "{position} {#number} {subject} {side}"
    assert (
        main(
            [
                "export",
                str(shelf.folder),
                "--images",
                str(pictures),
                "--name",
                name,
                "--max-size",
                "90",
            ]
        )
        == 0
    )
    files = sorted(path.name for path in pictures.glob("*.jpg"))
    assert len(files) == 2 * CARDS
    for file in files:
        with Image.open(pictures / file) as picture:
            picture.load()
            assert max(picture.size) <= 90
    numbers = {re.match(r"0*(\d+) #?(\d+) (.+?) (front|back)", file).groups() for file in files}
    assert {(int(at), number) for at, number, _, _ in numbers} == {
        (at, card.number) for at, card in enumerate(shelf.cards, start=1)
    }
    sheet, page = tmp_path / "sheet.pdf", tmp_path / "page.html"
    assert main(["sheet", str(shelf.folder), "--to", str(sheet)]) == 0
    assert main(["page", str(shelf.folder), "--to", str(page), "--no-findings"]) == 0
    assert len(pypdf.PdfReader(sheet).pages) == CARDS // 15
    said = page.read_text(encoding="utf-8")
    assert said.count("<img ") == 2 * CARDS
    for set_name in SETS:
        here = {card.number for card in shelf.cards if card.set == set_name and not card.parallel}
        assert f"{len(here)} of {BASE}" in said


def test_wants_are_what_no_card_is_there_of(
    shelf: Shelf, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "wants.csv"
    assert main(["sets", str(shelf.folder), "--wants", "--to", str(target)]) == 0
    got = {(row["set"], row["number"]) for row in rows_of(target)}
    here = {(card.set, card.number) for card in shelf.cards if not card.parallel}
    assert got == {(name, str(number)) for name in SETS for number in range(1, BASE + 1)} - here


def test_a_card_is_found_where_it_lies(shelf: Shelf, capsys: pytest.CaptureFixture[str]) -> None:
    for at in (1, 35, CARDS):
        card = shelf.cards[at - 1]
        capsys.readouterr()
        assert main(["find", f"set={card.set}", f"#{card.number}", "--json", "--limit", "100"]) == 0
        found = json.loads(capsys.readouterr().out)["cards"]
        mine = next(one for one in found if one["position"] == at)
        assert (mine["subject"], mine["parallel"], mine["depth"]) == (
            card.subject,
            card.parallel,
            at,
        )
        same = [
            n
            for n, c in enumerate(shelf.cards, start=1)
            if (c.set, c.number) == (card.set, card.number)
        ]
        assert sorted(one["position"] for one in found) == same


def test_an_edited_table_is_taken_back_whole(shelf: Shelf, tmp_path: Path) -> None:
    path = export(shelf, tmp_path / "prices.csv", "--layout", "pricing")
    rows = rows_of(path)
    for row in rows[::7]:
        row["note"] = f"looked at {row['position']}"
        row["condition"] = "Very Good"
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    assert main(["import", str(shelf.folder), str(path), "--layout", "pricing", "--yes"]) == 0
    lot = read_lot(lot_place(shelf.folder, None).home)
    for at, card in enumerate(shelf.cards, start=1):
        mark, edited = lot.card_at(at).mark, (at - 1) % 7 == 0
        assert mark.state is State.TAGGED
        assert mark.tags.note == (f"looked at {at}" if edited else "")
        assert mark.tags.condition == ("Very Good" if edited else card.condition)
        assert (mark.tags.set, mark.tags.number, mark.tags.serial) == (
            card.set,
            card.number,
            card.serial,
        )

"""The drawn demo: the same from the same seed, true to its checklists, and careful with other
people's files."""

from __future__ import annotations

import csv
import io
from itertools import groupby, pairwise
from pathlib import Path

import pytest
from PIL import Image

from tagger.core.session.session import Session
from tagger.demo import checklist_files, draw_demo, drawing
from tagger.demo.art.letters import Face, cap_height, lettering
from tagger.demo.art.sheet import em_pixels
from tagger.demo.lot import LotCard, demo_lot, truth_text
from tagger.demo.sets.printing import printed, printed_back
from tagger.demo.sets.scenario import SETS, set_named
from tagger.errors import TaggerError
from tagger.imaging.scan.folder import list_scans
from tagger.store.lot.lot_file import LotFile

REPOSITORY = Path(__file__).parents[3]
HEADER = (
    "position,front,back,set,number,subject,team,parallel,serial,condition,place,note,state,price"
)


def truth(seed: int = 7) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(truth_text(demo_lot(seed)), newline="")))


def listed() -> dict[tuple[str, str], dict[str, str]]:
    """Every card of the checklists by set and number, read without the demo's or the program's own
    help."""
    cards: dict[tuple[str, str], dict[str, str]] = {}
    for name, text in checklist_files().items():
        first = text.splitlines()[0]
        if not any(mark in first for mark in ",;\t"):
            for line in text.splitlines()[1:]:
                number, rest = line.split(" ", 1)
                subject, team = rest.split(", ")
                cards[first, number] = {
                    "subject": subject,
                    "team": team,
                    "parallels": "",
                    "price": "",
                }
            continue
        mark = next(mark for mark in "\t;," if mark in first)
        for row in csv.DictReader(io.StringIO(text), delimiter=mark):
            low = {key.lower(): value for key, value in row.items()}
            key = (
                low.get("set", Path(name).stem),
                next(low[k] for k in ("number", "no", "card") if k in low),
            )
            assert key not in cards
            subject = next(low[k] for k in ("subject", "player", "title") if k in low)
            cards[key] = {"subject": subject, "team": low["team"], "parallels": low["parallels"]}
            cards[key]["price"] = low.get("price", "")
    return cards


def card_where(number: str, set_name: str = "1987 Harbor Light", parallel: str = "") -> LotCard:
    return next(
        c
        for c in demo_lot(7)
        if (c.row.set, c.row.number, c.parallel) == (set_name, number, parallel)
    )


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the demo be two cards only."""
    monkeypatch.setattr(drawing, "demo_lot", lambda seed: demo_lot(seed)[:2])


def test_same_seed_same_bytes_and_another_seed_other_bytes() -> None:
    card = card_where("98", parallel="Gold")
    first = drawing.draw_card(card, 7)
    printed.cache_clear()
    assert drawing.draw_card(card, 7) == first
    assert drawing.draw_card(card, 8) != first
    assert demo_lot(7) == demo_lot(7)
    assert demo_lot(7) != demo_lot(8)


def test_scans_are_as_from_a_scanner() -> None:
    for data in drawing.draw_card(card_where("14", "1992 Squall Line"), 7):
        with Image.open(io.BytesIO(data)) as scan:
            assert (scan.format, scan.mode) == ("JPEG", "RGB")
            assert tuple(round(value) for value in scan.info["dpi"]) == (300, 300)
            assert 750 < scan.width <= 850
            assert 1050 < scan.height <= 1150
            grey = scan.convert("L")
        corners = [
            grey.crop((x, y, x + 2, y + 2)).tobytes()
            for x in (3, grey.width - 5)
            for y in (3, grey.height - 5)
        ]
        assert max(max(corner) for corner in corners) < 60
        assert 60_000 < len(data) < 220_000


def test_truth_is_what_the_checklists_say() -> None:
    cards = listed()
    assert truth_text(demo_lot(7)).splitlines()[0] == HEADER
    assert (
        truth_text(demo_lot(7)).count("\r\n")
        == truth_text(demo_lot(7)).count("\n")
        == len(truth()) + 1
    )
    for row in truth():
        card = cards[row["set"], row["number"]]
        assert (row["subject"], row["team"], row["price"]) == (
            card["subject"],
            card["team"],
            card["price"],
        )
        offered = dict(part.strip().partition(" /")[::2] for part in card["parallels"].split(";"))
        assert row["parallel"] in {"", *offered}
        run = offered.get(row["parallel"], "") if row["parallel"] else ""
        assert row["serial"].partition("/")[2] == run
        assert not run or 1 <= int(row["serial"].partition("/")[0]) <= int(run)


def test_lot_is_a_dealers_presorted_tray() -> None:
    rows = truth()
    assert 60 <= len(rows) <= 64
    assert [row["position"] for row in rows] == [str(n) for n in range(1, len(rows) + 1)]
    scans = [name for row in rows for name in (row["front"], row["back"])]
    assert scans == [f"scan_{n:04d}.jpg" for n in range(1, 2 * len(rows) + 1)]
    sets = [name for name, _ in groupby(row["set"] for row in rows)]
    assert len(sets) == len(set(sets)) == len(SETS)
    for _, run in groupby(rows, key=lambda row: row["set"]):
        order = [
            ("-" in r["number"], int("".join(c for c in r["number"] if c.isdigit()))) for r in run
        ]
        assert order == sorted(order)
    assert [row["set"] for row in rows[-4:]] == ["1987 Harbor Light Keepers"] * 4
    assert {row["state"] for row in rows} == {"tagged"}
    assert [place for place, _ in groupby(row["place"] for row in rows)] == [
        "box 12, row 1",
        "box 12, row 2",
    ]


def test_lot_has_doubles_parallels_and_worn_cards() -> None:
    rows = truth()
    same = [(row["set"], row["number"], row["parallel"]) for row in rows]
    doubles = {a for a, b in pairwise(same) if a == b}
    assert len(doubles) >= 4
    assert len(set(same)) == len(list(groupby(same))), "copies of a card lie next to each other"
    stretches = [(kind, len(list(run))) for kind, run in groupby(row["parallel"] for row in rows)]
    assert max(count for kind, count in stretches if kind == "Gold") >= 5
    assert ("Silver", 1) in stretches
    assert {row["parallel"] for row in rows} >= {"", "Gold", "Silver", "Neon", "Midnight", "Foil"}
    conditions = [row["condition"] for row in rows]
    assert conditions.count("Near Mint") > 45
    assert 1 <= conditions.count("Very Good") <= conditions.count("Excellent")
    assert len({"117", "117a"} & {row["number"] for row in rows}) == 2


def test_names_are_as_awkward_as_real_ones() -> None:
    cards = listed()
    for (set_name, number), subject in {
        ("1987 Harbor Light", "22"): "Ivo Lund",
        ("1987 Harbor Light", "23"): "Ada Marsh",
        ("1987 Harbor Light", "123"): "Abe Marsden",
        ("1985 Harbor Light", "23"): "Lee Gold",
    }.items():
        assert cards[set_name, number]["subject"] == subject
    subjects = " ".join(card["subject"] for card in cards.values())
    assert all(letter in subjects for letter in "ñøłü")
    assert all(
        part in subjects
        for part in ("O'Neal", "de la ", " Jr.", " / ", "Marshall", "Silver", "Mint")
    )
    for set_name in {name for name, _ in cards} - {"1987 Harbor Light Keepers"}:
        assert 90 <= sum(name == set_name for name, _ in cards) <= 250


def test_repository_holds_the_same_checklists() -> None:
    folder = REPOSITORY / "checklists"
    held = {
        path.name: path.read_bytes().decode()
        for path in folder.iterdir()
        if path.name != "README.md"
    }
    assert held == checklist_files()
    assert (folder / "README.md").is_file()


def test_checklists_are_in_four_forms_of_plain_utf8() -> None:
    firsts = [text.splitlines()[0] for text in checklist_files().values()]
    assert sorted("".join(mark for mark in "\t;," if mark in first) for first in firsts) == [
        "",
        "\t",
        ",",
        ";",
    ]
    assert all("\r" not in text and text.endswith("\n") for text in checklist_files().values())


@pytest.mark.parametrize(
    ("set_name", "number"),
    [
        ("1974 Penny Ferry", "117a"),
        ("1985 Harbor Light", "23"),
        ("1987 Harbor Light", "150"),
        ("1992 Squall Line", "120"),
        ("1992 Squall Line", "RC-4"),
        ("1987 Harbor Light Keepers", "LH-11"),
    ],
)
def test_number_on_the_back_is_printed_small_and_clear(set_name: str, number: str) -> None:
    assert 7 <= set_named(set_name).number_pt <= 9
    back, (left, top, right, bottom) = printed_back(card_where(number, set_name).row, "")
    assert back.size == (750, 1050)
    assert cap_height(em_pixels(7)) <= bottom - top <= cap_height(em_pixels(9)) + 5
    assert 0 < left < right < 750
    assert 0 < top < bottom < 1050
    shades = back.crop((int(left), int(top), int(right), int(bottom))).convert("L").tobytes()
    assert max(shades) - min(shades) > 90


def test_numbers_stand_in_another_place_on_each_back() -> None:
    spots = []
    for card_set in SETS:
        row = next(card.row for card in demo_lot(7) if card.row.set == card_set.name)
        _, (left, top, *_) = printed_back(row, "")
        spots.append((round(left / 50), round(top / 50)))
    assert len(set(spots)) == len(SETS)


@pytest.mark.parametrize(
    ("accented", "plain"), [("ñ", "n"), ("ø", "o"), ("ł", "l"), ("ü", "u"), ("Å", "A"), ("ç", "c")]
)
def test_accents_are_lettered(accented: str, plain: str) -> None:
    with_mark, *_ = lettering(accented, Face(60))
    without, *_ = lettering(plain, Face(60))
    assert with_mark.tobytes() != without.tobytes()
    assert sum(with_mark.histogram()[128:]) > sum(without.histogram()[128:])


@pytest.mark.usefixtures("small")
def test_demo_is_drawn_and_drawn_again(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    place = draw_demo(
        tmp_path / "demo", workers=1, progress=lambda done, of: told.append((done, of))
    )
    assert (place.lot, place.truth, place.cards) == (
        tmp_path / "demo/lot",
        tmp_path / "demo/truth.csv",
        2,
    )
    assert told == [(1, 2), (2, 2)]
    before = {path: path.read_bytes() for path in (tmp_path / "demo").rglob("*") if path.is_file()}
    assert sorted(path.name for path in place.lot.iterdir()) == [
        f"scan_000{n}.jpg" for n in (1, 2, 3, 4)
    ]
    assert {path.name: path.read_bytes().decode() for path in place.checklists} == checklist_files()
    # tagged in part, and opened again by the same command
    session = Session(LotFile(place.lot, "lot"), clock=lambda: 1000.0)
    session.take_in(list_scans(place.lot).scans)
    session.take_unlisted("7 marsh")
    session.close()
    tagged = {path: path.read_bytes() for path in place.lot.glob("lot.*")}
    assert {path.name for path in tagged} == {"lot.json", "lot.journal"}
    assert draw_demo(tmp_path / "demo", workers=2) == place
    assert {path: path.read_bytes() for path in before | tagged} == before | tagged


@pytest.mark.usefixtures("small")
@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("lot/holiday.jpg", b"a picture"),
        ("lot/scan_0001.jpg", b"the dealer's own scan"),
        ("checklists/1985 Harbor Light.txt", b"1985 Harbor Light\n23 Lee Gold, corrected\n"),
        ("truth.csv", b"my notes"),
    ],
)
def test_foreign_files_are_refused_and_left_alone(
    tmp_path: Path, name: str, content: bytes
) -> None:
    theirs = tmp_path / name
    theirs.parent.mkdir(exist_ok=True)
    theirs.write_bytes(content)
    with pytest.raises(TaggerError, match=theirs.name) as refused:
        draw_demo(tmp_path, workers=1)
    assert str(refused.value).count("\n") == 0
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == [theirs]
    assert theirs.read_bytes() == content


@pytest.mark.usefixtures("small")
def test_target_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "demo").write_text("not a folder")
    with pytest.raises(TaggerError, match="cannot be written"):
        draw_demo(tmp_path / "demo", workers=1)

"""Dividers: printed pages are read back by two readers that did not make them; in scans they are
found, skipped, and told where something is odd."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
import pypdf
import pytest
import zxingcpp
from PIL import Image, ImageDraw
from support import fed_dividers
from support.fed_dividers import GOLD, MILL, PLAIN, card_side, divider_side
from support.pdf_drawn import drawn
from support.scanning import machines_held
from support.scanning.dividers import clean, sides, worn_toner
from support.scanning.machines import scanned

from tagger.cli import main
from tagger.core.dividers.divider import BACK, FRONT, Divider, DividerKind, read_payload
from tagger.core.dividers.stripes import looks_like_divider
from tagger.exchange.shown.contact_sheet import PAPERS
from tagger.imaging.survey.divider_codes import look_for_code
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.store.lot.lot_file import read_lot

pytestmark = pytest.mark.usefixtures("work_at_hand")

LIST = """set,number,subject,team,parallels
1986 Harbor Light,1,Ada Marsh,Gulls,Gold/50
1987 Harbor Light,1,Ada Marsh,Gulls,Gold/99
1985 Mill Pond,1,Flo Gray,Terns,Silver Foil
"""


@pytest.fixture
def checklist(tmp_path: Path) -> str:
    file = tmp_path / "list.csv"
    file.write_text(LIST)
    return str(file)


def codes(page: Image.Image) -> dict[str, tuple[float, float]]:
    """The texts of the codes on a page, each with its middle as parts of the page."""
    wide, high = page.size
    return {
        code.text: (
            (code.position.top_left.x + code.position.bottom_right.x) / 2 / wide,
            (code.position.top_left.y + code.position.bottom_right.y) / 2 / high,
        )
        for code in zxingcpp.read_barcodes(page, formats=zxingcpp.BarcodeFormat.QRCode)
    }


def test_pages_have_each_back_behind_its_front_in_pdf_and_png(
    checklist: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wanted = ["set=1987 harbor parallel=gold condition=nm at=box 3, row 2", "end of group"]
    wanted += [f"at=box {number}" for number in range(9)]
    given = ["dividers", *wanted, "--checklist", checklist]
    assert main([*given, "--to", str(tmp_path / "made.pdf"), "--paper", "letter"]) == 0
    assert main([*given, "--to", str(tmp_path / "made.png")]) == 0
    assert "11 dividers written to made-1-front.png to made-2-back.png" in capsys.readouterr().err
    read = pypdf.PdfReader(tmp_path / "made.pdf")
    assert len(read.pages) == 4
    assert "1987" in read.pages[0].extract_text()
    assert tuple(map(float, read.pages[0].mediabox[2:])) == pytest.approx(
        [mm / 25.4 * 72 for mm in PAPERS["letter"]], abs=0.1
    )
    names = [f"made-{number}-{side}.png" for number in (1, 2) for side in ("front", "back")]
    pages = [Image.open(tmp_path / name) for name in names]
    small = [page.reduce(2) for page in pages]
    for front, back in ([drawn(page, 6) for page in read.pages[:2]], small[:2], small[2:]):
        here = {read_payload(text): at for text, at in codes(front).items()}
        there = {read_payload(text): at for text, at in codes(back).items()}
        assert len(here) == len(there) in (9, 2)
        for payload, (x, y) in here.items():
            assert payload is not None
            assert payload.side == FRONT
            # turned over the long edge, left is right
            assert there[payload._replace(side=BACK)] == pytest.approx((1 - x, y), abs=0.003)
    said = {payload.divider for payload in here if payload}
    assert said == {Divider(place="box 7"), Divider(place="box 8")}
    # a second reader has the same of each page
    texts = cv2.QRCodeDetector().detectAndDecodeMulti(np.asarray(pages[0]))[1]
    assert set(texts) == set(codes(small[0]))
    gold = Divider("1987 Harbor Light", "Gold", "Near Mint", "box 3, row 2")
    kinds = {read_payload(text).divider for text in texts}  # type: ignore[union-attr]
    assert {gold, Divider(kind=DividerKind.END)} < kinds


def test_what_is_not_clear_is_refused_and_a_table_names_many(
    checklist: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "made.png"
    given = ["dividers", "--checklist", checklist, "--to", str(target)]
    for typed, said in (
        ("set=harbor light", "fits 2 sets: 1986 Harbor Light, 1987 Harbor Light"),
        ("set=1985 parallel=gold", "Unknown parallel 'gold'"),
    ):
        assert main([*given, typed]) == 2
        assert said in capsys.readouterr().err
    assert main(given) == 2
    table = tmp_path / "tray.csv"
    table.write_text("Set,At,count\n1986,box 1,3\n1986,box 1,2\nmill,,\n,,4\n")
    assert main([*given, "--from", str(table)]) == 0
    assert "2 dividers written" in capsys.readouterr().err
    table.write_text("Set,At\n1986,box 1\nharbor,box 2\n")
    assert main([*given, "--from", str(table)]) == 2
    assert "tray.csv, line 3: 'harbor' fits 2 sets" in capsys.readouterr().err


@lru_cache(1)
def machine():  # type: ignore[no-untyped-def]
    return replace(machines_held.MACHINES[0].own(), dpi=200, skew=4.0)


def test_a_scan_tells_its_code_its_side_and_which_way_up(tmp_path: Path) -> None:
    rng = random.Random("scans of dividers")
    front, back = sides(GOLD)
    for turned, side, art in ((0, FRONT, clean(front, rng)), (180, BACK, worn_toner(back, rng))):
        (tmp_path / "scan.jpg").write_bytes(scanned(art, machine(), rng, turned=turned).data)
        seen = look_for_code(tmp_path, "scan.jpg")
        assert seen.payload == (GOLD, side)
        assert seen.turn == turned
        if not turned:  # its edges are found
            assert looks_like_divider(measure_scan(tmp_path, "scan.jpg").fields)
    # a foreign code is none of ours, and its text is kept nowhere
    art = Image.new("RGB", (600, 840), "white")
    foreign = zxingcpp.create_barcode("https://example.com", zxingcpp.BarcodeFormat.QRCode)
    art.paste(Image.fromarray(np.asarray(foreign.to_image(scale=10))).convert("RGB"), (150, 300))
    (tmp_path / "scan.jpg").write_bytes(scanned(art, machine(), rng).data)
    assert look_for_code(tmp_path, "scan.jpg")[:2] == ("", 0)
    blank = Image.new("RGB", (600, 840), (246, 245, 240))
    (tmp_path / "scan.jpg").write_bytes(scanned(blank, machine(), rng).data)
    assert look_for_code(tmp_path, "scan.jpg").blank


def audit(folder: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, list[dict[str, object]]]:
    """The findings by their codes."""
    capsys.readouterr()
    main(["audit", str(folder), "--json"])
    found: dict[str, list[dict[str, object]]] = {}
    for one in json.loads(capsys.readouterr().out)["findings"]:
        found.setdefault(one["kind"], []).append(one)
    return found


def test_a_lot_is_told_and_fixed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "tray"
    soiled = divider_side(MILL, 0)
    ImageDraw.Draw(soiled).rectangle((150, 600, 620, 1010), "grey")
    fed = [
        *(divider_side(GOLD, at) for at in (0, 1)), *(card_side(at) for at in range(4)),
        # of the next card the back is missing; then one divider twice
        card_side(4), *(divider_side(PLAIN, at) for at in (0, 1, 0, 1)),
        *(card_side(at) for at in range(6, 10)),
        # one whose codes are soiled
        soiled, soiled, *(card_side(at) for at in range(10, 12)),
        # turned, and fed the wrong way round
        *(divider_side(MILL, at).rotate(180) for at in (1, 0)),
        *(card_side(at) for at in range(12, 14)),
        Divider(kind=DividerKind.ASIDE), *(card_side(at) for at in range(14, 16)),
    ]  # fmt: skip
    fed_dividers.scan_into(folder, fed)
    found = audit(folder, capsys)
    titles = [str(one["detail"]).partition("divider ")[2] for one in found["divider"]]
    assert titles == [GOLD.title, PLAIN.title, PLAIN.title, MILL.title, "set aside from here"]
    assert all(one["certain"] for one in found["divider"])
    (unread,) = found["divider_not_read"]
    assert "look like a divider, but cannot be read" in str(unread["detail"])
    # without the library such scans are cards, and it is said what to install
    with monkeypatch.context() as patch:
        patch.setattr("tagger.services.lot_audit.can_look", lambda: False)
        bare = audit(folder, capsys)
        assert "divider" not in bare
        assert "pipx install '.[dividers]'" in str(bare["divider_not_read"][0]["remedy"])
    assert main(["fix", str(folder), "--findings"]) == 1
    lot = read_lot(folder)
    assert [len(pair.scans) for pair in lot.arrangement.pairs] == [2, 2, 1, 2, 2, 2, 2, 2, 2]
    found = audit(folder, capsys)
    assert "counts once" in str(found["dividers_in_a_row"][0]["detail"])
    assert "cards 1 to 3 have an odd number" in str(found["odd_scan_count"][0]["detail"])
    assert "came upside down: did card 8, too?" in str(found["upside_down"][0]["detail"])
    assert "came first: are front and back of card 8" in str(found["swapped_sides"][0]["detail"])
    assert found["set_aside_from_here"][0]["position"] == 9
    assert main(["fix", str(folder), "undo"]) == 0
    assert len(read_lot(folder).arrangement.pairs) == len(fed) // 2 + 1

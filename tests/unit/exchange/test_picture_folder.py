"""`tagger export --images`: only what changed is written again, never over a scan, and a kill
leaves no half file."""

from __future__ import annotations

import csv
import fcntl
import os
import random
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from tagger.cli import main
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile
from tagger.store.picture_folder import LIST, PictureFolder

pytestmark = pytest.mark.usefixtures("work_at_hand")

CARDS = 6


def draw(path: Path, seed: int) -> None:
    """A light card of flat colours on a dark bed."""
    rng = random.Random(seed)
    page = Image.new("RGB", (200, 270), (18, 18, 20))
    pen = ImageDraw.Draw(page)
    pen.rectangle((12, 14, 186, 257), fill=(236, 232, 224))
    for _ in range(6):
        x, y = rng.randrange(30, 120), rng.randrange(30, 190)
        pen.rectangle((x, y, x + 40, y + 40), fill=tuple(rng.randrange(30, 220) for _ in range(3)))
    page.save(path, quality=90, dpi=(70, 70))


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    folder = tmp_path / "box 12"
    folder.mkdir()
    for number in range(1, 2 * CARDS + 1):
        draw(folder / f"scan_{number:02}.jpg", number)
    return folder


def export(lot: Path, target: Path, *more: str) -> int:
    return main(["export", str(lot), "--images", str(target), *more])


def written(folder: Path) -> dict[str, bytes]:
    """The pictures in a folder, each decoded to its end."""
    found = {}
    for path in folder.iterdir():
        if path.name != LIST:
            with Image.open(path) as picture:
                picture.load()
            found[path.name] = path.read_bytes()
    return found


def times(folder: Path) -> dict[str, tuple[int, int]]:
    """Which file it is that has a name, and since when."""
    return {
        path.name: (path.stat().st_ino, path.stat().st_mtime_ns)
        for path in folder.iterdir()
        if path.name != LIST
    }


def renewed(before: dict[str, tuple[int, int]], folder: Path) -> set[str]:
    return {name for name, one in times(folder).items() if before.get(name) != one}


def test_each_side_of_each_card_has_its_picture(lot, tmp_path, capsys):
    out = tmp_path / "out"
    assert export(lot, out) == 0
    assert sorted(written(out)) == [
        f"{card:04}-{side}.jpg" for card in range(1, CARDS + 1) for side in ("back", "front")
    ]
    assert capsys.readouterr().err == f"12 pictures written to {out}.\n"
    with Image.open(out / "0001-front.jpg") as picture:
        # 2 mm at 70 dpi are 5.5 pixels
        assert picture.size == pytest.approx((175 + 11, 244 + 11), abs=3)


def test_a_second_export_writes_nothing(lot, tmp_path, capsys):
    out = tmp_path / "out"
    export(lot, out)
    before = times(out)
    capsys.readouterr()
    assert export(lot, out) == 0
    assert not renewed(before, out)
    assert capsys.readouterr().err == f"0 pictures written to {out}; 12 were there already.\n"


def test_only_what_changed_is_written_again(lot, tmp_path):
    out = tmp_path / "out"
    export(lot, out)
    before = times(out)
    assert main(["fix", str(lot), "2", "turn", "back", "180"]) == 0
    export(lot, out)
    assert renewed(before, out) == {"0002-back.jpg"}
    before = times(out)
    draw(lot / "scan_05.jpg", 99)
    export(lot, out)
    assert renewed(before, out) == {"0003-front.jpg"}
    before = times(out)
    (out / "0004-back.jpg").write_bytes(b"spoilt")
    (out / "0005-back.jpg").unlink()
    export(lot, out)
    assert renewed(before, out) == {"0004-back.jpg", "0005-back.jpg"}
    assert len(written(out)) == 12
    before = times(out)
    export(lot, out, "--quality", "70")
    assert len(renewed(before, out)) == 12


def test_a_tag_in_the_name_renames_only_its_card(lot, tmp_path, capsys):
    out = tmp_path / "out"
    export(lot, out, "--name", "{position}{ subject}")
    before = times(out)
    store = LotFile(lot, "box 12")
    session = Session(store)
    session.take_in(sorted(path.name for path in lot.glob("scan_*")))
    session.take_unlisted("Ada Marsh")
    store.close()
    capsys.readouterr()
    export(lot, out, "--name", "{position}{ subject}")
    new = {"0001 Ada Marsh-front.jpg", "0001 Ada Marsh-back.jpg"}
    assert renewed(before, out) == new
    assert set(before) - set(times(out)) == {"0001-front.jpg", "0001-back.jpg"}
    assert (
        capsys.readouterr().err
        == f"2 pictures written to {out}; 10 were there already; 2 old ones removed.\n"
    )


def test_an_old_picture_that_somebody_changed_is_not_removed(lot, tmp_path):
    out = tmp_path / "out"
    export(lot, out)
    (out / "0002-back.jpg").write_bytes(b"mine")
    export(lot, out, "--name", "{position} b", "--side-by-side")
    assert sorted(times(out)) == sorted(
        [*(f"{card:04} b.jpg" for card in range(1, CARDS + 1)), "0002-back.jpg"]
    )
    assert (out / "0002-back.jpg").read_bytes() == b"mine"


def test_the_table_names_the_pictures(lot, tmp_path):
    table = tmp_path / "box.csv"
    assert export(lot, tmp_path / "out", "--to", str(table), "--max-size", "60") == 0
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    assert [row["front picture"] for row in rows] == [
        f"{card:04}-front.jpg" for card in range(1, CARDS + 1)
    ]
    assert {row["back picture"] for row in rows} <= set(written(tmp_path / "out"))


def test_a_side_that_cannot_be_shown_is_told_and_the_rest_written(lot, tmp_path, capsys):
    out, table = tmp_path / "out", tmp_path / "box.csv"
    export(lot, out)
    main(["fix", str(lot), "1", "levels", "on"])  # keeps the lot, so that a scan can go
    (lot / "scan_03.jpg").write_bytes((lot / "scan_03.jpg").read_bytes()[:700])
    (lot / "scan_06.jpg").unlink()
    capsys.readouterr()
    assert export(lot, out, "--to", str(table)) == 1
    said = capsys.readouterr().err.splitlines()
    assert said[0].startswith("card 2: scan_03.jpg ")
    assert said[1] == "card 3: scan_06.jpg is missing from the folder."
    assert len(written(out)) == 10
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    assert (rows[1]["front picture"], rows[2]["back picture"], rows[2]["front picture"]) == (
        "",
        "",
        "0003-front.jpg",
    )


def test_a_scan_that_is_damaged_inside_is_told(lot, tmp_path, capsys):
    data = bytearray((lot / "scan_03.jpg").read_bytes())
    middle = data.index(b"\xff\xda") + len(data) // 2
    data[middle : middle + 12] = b"\xff\xd9\xff\xd8" * 3  # markers where there is a picture
    (lot / "scan_03.jpg").write_bytes(data)
    assert export(lot, tmp_path / "out") == 1
    said = capsys.readouterr().err.splitlines()[0]
    assert said == "card 2: scan_03.jpg is damaged, and so is 0002-front.jpg; rescan this side."


def refused(lot: Path, target: Path, capsys: pytest.CaptureFixture[str], *more: str) -> str:
    """The one sentence by which an export is refused; no file of the lot is another one
    afterwards."""
    before = {path: path.read_bytes() for path in lot.iterdir()}
    capsys.readouterr()
    assert export(lot, target, *more) in (2, 3)
    assert {path: path.read_bytes() for path in lot.iterdir()} == before
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    return said.removeprefix("tagger: ").strip()


def test_no_picture_is_written_among_scans(lot, tmp_path, capsys):
    link, outside = tmp_path / "link", tmp_path / "other"
    link.symlink_to(lot)
    outside.mkdir()
    draw(outside / "0001-front.jpg", 3)
    for target in (lot, link, lot / "..", lot / "x" / "..", tmp_path):
        assert "name another folder for the pictures." in refused(lot, target, capsys)
    said = refused(lot, outside, capsys)
    assert (
        said == f"{outside} holds other files; name a folder for the pictures that is new or empty."
    )
    assert [path.name for path in outside.iterdir()] == ["0001-front.jpg"]


def test_no_picture_is_written_into_a_lot_s_folder_even_with_a_list_in_it(lot, tmp_path, capsys):
    out, other = tmp_path / "out", tmp_path / "other"
    export(lot, out)
    other.mkdir()
    (other / LIST).write_bytes((out / LIST).read_bytes())
    (other / "lot.json").write_text("{}")
    assert refused(lot, other, capsys).endswith(
        "is a lot; name a folder for the pictures that is new or empty."
    )
    (other / "lot.json").unlink()
    draw(other / "0002-back.jpg", 5)
    (other / LIST).write_bytes(b"spoilt" + (out / LIST).read_bytes())
    kept = (other / "0002-back.jpg").read_bytes()
    assert "cannot be read; name another folder." in refused(lot, other, capsys)
    assert (other / "0002-back.jpg").read_bytes() == kept


def test_a_file_that_no_export_wrote_is_left_alone(lot, tmp_path, capsys):
    out = tmp_path / "out"
    export(lot, out)
    (out / "0003-front.jpg").rename(out / "mine.jpg")
    (out / "0001 best-front.jpg").write_bytes(b"mine")
    export(lot, out)
    assert (out / "mine.jpg").exists()
    assert "has a file 0001 best-front.jpg that no export wrote" in refused(
        lot, out, capsys, "--name", "{position} best"
    )
    assert (out / "0001 best-front.jpg").read_bytes() == b"mine"


@pytest.mark.parametrize(
    "name",
    [".tagger-pictures.picture", ".tagger-pictures.0123456789abcdef.new", LIST, "0001-front.jpg"],
)
def test_no_link_leads_to_a_scan(lot, tmp_path, name):
    """One that was there before the first export, or came between two of them."""
    scan = (lot / "scan_02.jpg").read_bytes()
    out = tmp_path / "out"
    for again in (False, True):
        out.mkdir(exist_ok=True)
        (out / name).unlink(missing_ok=True)
        (out / name).symlink_to(lot / "scan_02.jpg")
        assert export(lot, out) == (2 if name == LIST or (name[0] != "." and not again) else 0)
        assert (lot / "scan_02.jpg").read_bytes() == scan
        (out / name).unlink(missing_ok=True)
        # pictures of which no list tells
        assert export(lot, out) == (2 if name == LIST and again else 0)
    assert not any(path.is_symlink() for path in out.iterdir())


def test_a_folder_that_cannot_be_is_told(lot, tmp_path, capsys):
    (tmp_path / "file").write_bytes(b"")
    (tmp_path / "round").symlink_to(tmp_path / "round")
    assert refused(lot, tmp_path / "file", capsys).endswith(
        "is a file; name a folder for the pictures."
    )
    assert "There is no folder" in refused(lot, tmp_path / "no" / "out", capsys)
    assert "cannot be written" in refused(lot, tmp_path / "round", capsys)
    export(lot, tmp_path / "out")
    other = tmp_path / "box 13"
    other.mkdir()
    draw(other / "scan_1.jpg", 1)
    assert "holds the pictures of another lot" in refused(other, tmp_path / "out", capsys)
    table = tmp_path / "new" / "box.csv"
    assert "cannot be in the pictures' folder" in refused(
        lot, tmp_path / "out", capsys, "--to", str(tmp_path / "out" / "box.csv")
    )
    assert not table.parent.exists()
    for words in (
        ("--quality", "0"),
        ("--max-size", "5"),
        ("--margin", "nan"),
        ("--name", "{nothing}"),
    ):
        refused(lot, tmp_path / "out", capsys, *words)


def test_an_export_says_where_to(lot, capsys):
    assert main(["export", str(lot)]) == 2
    said = capsys.readouterr().err
    assert (
        said
        == "tagger: Name what to write: --to FILE for the table, --images DIR for the pictures, or "
        "both.\n"
    )


@pytest.mark.parametrize(
    "words", [("--side-by-side",), ("--margin", "0"), ("--name", "{number}"), ("--srgb",)]
)
def test_words_for_pictures_go_with_a_folder_for_them(lot, tmp_path, capsys, words):
    assert main(["export", str(lot), "--to", str(tmp_path / "box.csv"), *words]) == 2
    assert capsys.readouterr().err == f"tagger: {words[0]} goes with --images DIR.\n"


def test_two_exports_at_once_are_refused(lot, tmp_path, capsys):
    out = tmp_path / "out"
    export(lot, out)
    held = os.open(out, os.O_RDONLY)
    fcntl.flock(held, fcntl.LOCK_EX)
    assert (
        refused(lot, out, capsys) == f"Another export is writing into {out}; wait until it is done."
    )
    os.close(held)
    first = PictureFolder(tmp_path / "both", "a")
    with pytest.raises(Exception, match="Another export"):
        PictureFolder(tmp_path / "both", "a")
    first.close()
    PictureFolder(tmp_path / "both", "a").close()

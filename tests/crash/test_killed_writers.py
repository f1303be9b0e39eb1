"""What writes a file for somebody else is killed at random moments, and finds the disk full: what
was there before stays as it was, or the new file is there as a whole."""

from __future__ import annotations

import csv
import errno
import io
import json
import os
import posix
import random
import signal
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import justhtml
import openpyxl
import pypdf
import pytest
from PIL import Image
from support.shop import POND, harbor, lot_of, numbers

from tagger.cli import main
from tagger.core.model.tags import Tags
from tagger.store.files import SystemFiles, leftovers

CARDS = 12
KILLS = 4


def read_csv(data: bytes) -> object:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))


def read_pdf(data: bytes) -> object:
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data), strict=True).pages]


def read_book(data: bytes) -> object:
    book = openpyxl.load_workbook(io.BytesIO(data))
    return {sheet.title: list(sheet.values) for sheet in book}


def read_html(data: bytes) -> object:
    document = justhtml.JustHTML(data.decode("utf-8"), strict=True)
    return document.to_text()


def read_lines(data: bytes) -> object:
    return [json.loads(line) for line in data.splitlines()]


class Writer(NamedTuple):
    """A command that writes a file, `{one}` and `{two}` being lots, and what reads all of it."""

    words: str
    ending: str
    read: Callable[[bytes], object]


WRITERS = {
    "sheets": Writer("sheet {one}", ".pdf", read_pdf),
    "page with a folder": Writer("page {one} --folder --prices", ".html", read_html),
    "workbook with pictures": Writer("export {one} --thumbnails", ".xlsx", read_book),
    "several lots": Writer("export {one} {two}", ".csv", read_csv),
    "all lots": Writer("export --all-lots", ".jsonl", read_lines),
    "a profile": Writer("export {one} --profile shop", ".csv", read_csv),
    "labels": Writer("labels", ".pdf", read_pdf),
    "sheets between sets": Writer("labels --dividers", ".pdf", read_pdf),
    "dividers": Writer("dividers {divider} --checklist {list}", ".pdf", read_pdf),
    "pick list": Writer("pick", ".pdf", read_pdf),
    "pick list as a table": Writer("pick", ".csv", read_csv),
    "what to count": Writer("stock", ".csv", read_csv),
    "sales": Writer("sales", ".csv", read_csv),
}


class Shop(NamedTuple):
    """Two lots, and where files are written."""

    folder: Path
    words: dict[str, str]

    def command(self, writer: Writer, target: Path) -> list[str]:
        made = [word.format(**self.words) for word in writer.words.split()]
        return [*made, "--to", os.fspath(target), "--force", "--quiet"]


@pytest.fixture
def shop(tmp_path: Path, own_folders: Path) -> Shop:
    cards = [harbor(str(at), f"Ada Marsh {at}", price="$1.50") for at in range(1, CARDS + 1)]
    one, two = lot_of(tmp_path / "one", cards), lot_of(tmp_path / "two", [Tags(POND, "5", "Bo")])
    for number in range(1, 2 * CARDS + 1):
        page = Image.effect_noise((300, 420), 60).convert("RGB")
        page.paste((number * 6, 90, 200), (40, 40, 200, 300))
        page.save(one / f"scan_{number:04d}.jpg", dpi=(100, 100))
    (tmp_path / "list.csv").write_text("set,number,subject\n1987 Harbor Light,1,Ada Marsh\n")
    settings = own_folders / "config" / "tagger" / "config.toml"
    settings.parent.mkdir(parents=True, exist_ok=True)
    settings.write_text('[exports.shop]\nonly = "marsh"\ncsv = ";,"\n')
    assert main(["audit", str(one), "--quiet"]) in (0, 1)
    some = numbers(one)[:3]
    assert main(["sold", *some, "--order", "A-1", "--price", "$3.00", "--quiet"]) in (0, 1)
    words = {"one": str(one), "two": str(two), "list": str(tmp_path / "list.csv")}
    (tmp_path / "out").mkdir()
    return Shop(tmp_path / "out", {**words, "divider": "set=1987"})


CALLS = ("write", "pwrite", "fsync", "replace", "unlink")


def watched(shop: Shop, writer: Writer, target: Path, kill_at: int | None, half: bool) -> int:
    """Run a command in a process of its own and kill it at a call to the disk, or never; how many
    calls there were when it was not killed, else 0."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        count = 0
        status = 9
        for name in CALLS:
            real = getattr(os, name)

            def counted(*words: object, real: Callable = real, name: str = name) -> object:
                nonlocal count
                count += 1
                if count == kill_at:
                    if half and "write" in name:
                        real(words[0], bytes(words[1])[: len(words[1]) // 2], *words[2:])
                    os.kill(os.getpid(), signal.SIGKILL)
                return real(*words)

            setattr(os, name, counted)
        try:
            status = main(shop.command(writer, target))
            posix.write(theirs, f"{count}".encode())
        finally:
            os._exit(status)
    os.close(theirs)
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    with open(ours, "rb") as told:
        said = told.read()
    assert status in ((0, 1) if said else (-signal.SIGKILL,))
    return int(said or 0)


def nothing_half(shop: Shop, target: Path, writer: Writer, before: bytes | None) -> bool:
    """Whether the new file is there; it is whole, or the old one is, and nothing else is seen."""
    base = target.with_name(f"{target.name}.base")
    left = {*leftovers(target), target, *leftovers(base), base}
    for path in shop.folder.iterdir():
        if path.is_dir():
            pictures_whole(path)
        elif path not in left:
            # what a change or a killed program leaves is hidden or said to be new
            assert path.name.startswith("."), path
    if not target.exists():
        assert before is None
        return False
    found = target.read_bytes()
    assert writer.read(found)
    return found != before


def pictures_whole(folder: Path) -> None:
    for path in folder.glob("[!.]*.jpg"):
        with Image.open(path) as picture:
            picture.load()


@pytest.mark.nightly
@pytest.mark.parametrize("name", WRITERS)
def test_a_writer_that_is_killed_leaves_nothing_half(name: str, shop: Shop) -> None:
    writer, source = WRITERS[name], random.Random(name)
    target = shop.folder / f"made{writer.ending}"
    calls = watched(shop, writer, shop.folder.parent / f"first{writer.ending}", None, half=False)
    before = None
    for life in range(KILLS):
        # most of the calls are the last ones: the file is written when all of it is known
        at = source.randint(max(1, calls - 12), calls) if life % 2 else source.randint(1, calls)
        watched(shop, writer, target, at, half=source.random() < 0.5)
        nothing_half(shop, target, writer, before)
        before = target.read_bytes() if target.exists() else None
    # Killed between the file and the note that it is the program's own, it asks for --force; what
    # was begun stays beside it as a file that ends in .new.
    assert main(shop.command(writer, target)) in (0, 1)
    nothing_half(shop, target, writer, None)
    assert target.exists()


@pytest.mark.nightly
@pytest.mark.parametrize("call", ["write_at", "sync", "replace"])
@pytest.mark.parametrize("name", WRITERS)
def test_a_writer_that_finds_the_disk_full_leaves_what_was_there(
    name: str,
    call: str,
    shop: Shop,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    writer = WRITERS[name]
    target = shop.folder / f"made{writer.ending}"
    assert main(shop.command(writer, target)) in (0, 1)
    before = target.read_bytes()

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    capsys.readouterr()
    with monkeypatch.context() as patch:
        patch.setattr(SystemFiles, call, full)
        assert main(shop.command(writer, target)) == 3
    assert "No space left on device" in capsys.readouterr().err
    assert target.read_bytes() == before
    nothing_half(shop, target, writer, before)
    assert leftovers(target) == []

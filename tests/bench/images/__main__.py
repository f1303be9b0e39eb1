"""Pictures, contact sheets and the page of a lot, beside Pillow's decoding and encoding alone."""

from __future__ import annotations

import contextlib
import io
import os
import random
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import active_children
from pathlib import Path
from typing import NamedTuple

from PIL import Image
from support.card_art import side
from support.folders import own_folders
from support.scanned import fed, jpeg

from bench.common.table import Row, bytes_text, ratio_text, table_text, time_text
from tagger.cli import main as tagger
from tagger.imaging.survey.workers import WORKERS

DRAWN = 48  # scans that are really different; the others are the same bytes in files of their own
AIM, RATIO = 30.0, 1.1  # seconds for 1,000 cards; times the peer
PAGE_CARDS, PAGE_AIM = 400, 30_000_000  # bytes


def draw(folder: Path, cards: int) -> None:
    """A lot of cards at 300 dpi, each a little crooked on its scan."""
    folder.mkdir()
    rng = random.Random(5)
    files = [
        jpeg(fed(side(rng, "tuning").picture, rng).picture) for _ in range(min(DRAWN, cards * 2))
    ]
    for number in range(cards * 2):
        (folder / f"scan_{number + 1:05d}.jpg").write_bytes(files[number % len(files)])


def decode_encode(path: Path) -> int:
    """The peer: a scan decoded and encoded again, as large as it is; the bytes."""
    with Image.open(path) as picture:
        picture.load()
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=90)
    return len(out.getvalue())


def decode_turn_encode(path: Path) -> int:
    """The second peer: the same with the scan turned by a degree in between, bicubic; the bytes."""
    with Image.open(path) as picture:
        out = io.BytesIO()
        picture.rotate(1, Image.Resampling.BICUBIC).save(out, "JPEG", quality=90)
    return len(out.getvalue())


class Took(NamedTuple):
    """Seconds that passed, and seconds of processor time, of other processes that were started and
    ended too."""

    passed: float
    worked: float

    @property
    def text(self) -> str:
        """Both, for a table."""
        return f"{time_text(self.passed)}, {time_text(self.worked)} of work"


def taken(work: Callable[[], None]) -> Took:
    """What a piece of work takes."""
    start, before = time.perf_counter(), sum(os.times()[:4])
    work()
    passed = time.perf_counter() - start
    for process in active_children():  # the time of a process counts when it has ended
        process.join()
    return Took(passed, sum(os.times()[:4]) - before)


def peer(folder: Path, work: Callable[[Path], int]) -> Took:
    """What all scans of a folder take, in as many processes as an export has."""
    paths = sorted(folder.glob("scan_*.jpg"))

    def all_of_them() -> None:
        with ProcessPoolExecutor(WORKERS) as pool:
            list(pool.map(work, paths, chunksize=8))

    return taken(all_of_them)


def run(*words: object) -> Took:
    """What a command takes; what it says is not shown."""

    def command() -> None:
        with contextlib.redirect_stderr(io.StringIO()):
            assert tagger([str(word) for word in words]) == 0, words

    return taken(command)


def picture_rows(lot: Path, cards: int, folder: Path) -> list[Row]:
    """A first export, one that finds all done, and smaller pictures. Ratios are of processor
    time."""
    first = run("sheet", lot, "--to", folder / "first.pdf")
    alone, turned = peer(lot, decode_encode), peer(lot, decode_turn_encode)
    aim, name = AIM * cards / 1000, f"{cards:,} cards"

    def row(what: str, took: Took, beside: Took, other: str, limit: float = 0.0) -> Row:
        met = f"{RATIO} x: {'met' if took.worked <= RATIO * beside.worked else 'missed'}"
        if limit:
            met = f"{time_text(limit)}: {'met' if took.passed <= limit else 'missed'}; {met}"
        return Row(
            what, took.text, f"{beside.text}  {other}", ratio_text(took.worked, beside.worked), met
        )

    made = partial(run, "export", lot, "--images")
    full = made(folder / "full")
    again = made(folder / "full")
    return [
        Row(f"{name} measured the first time, and sheets", first.text),
        row(f"pictures of {name}, full size", full, alone, "Pillow decode + encode", aim),
        row("", full, turned, "decode + turn by a degree + encode"),
        Row(
            "the same again, nothing changed",
            again.text,
            aim=_met(again.passed, 2.0 * cards / 1000 + 0.5),
        ),
        row(
            "the same, sRGB and joined",
            made(folder / "joined", "--side-by-side", "--srgb"),
            turned,
            "with the turn",
        ),
        row(
            "the same, at most 500 pixels",
            made(folder / "small", "--max-size", 500),
            turned,
            "with the turn",
        ),
    ]


def _met(value: float, aim: float) -> str:
    return f"{time_text(aim)}: {'met' if value <= aim else 'missed'}"


def paper_rows(folder: Path, cards: int) -> list[Row]:
    """Contact sheets and the page of a lot that is measured already."""
    lot = folder / "paper"
    draw(lot, cards)
    page, sheet = folder / "page.html", folder / "sheet.pdf"
    run("page", lot, "--to", page)
    took = run("page", lot, "--to", page)
    size, aim = os.path.getsize(page), PAGE_AIM * cards / PAGE_CARDS
    met = f"{bytes_text(aim)}: {'met' if size <= aim else 'missed'}"
    sheets = run("sheet", lot, "--to", sheet)
    return [
        Row(f"page of {cards} cards: time, size", f"{took.text}, {bytes_text(size)}", aim=met),
        Row(
            f"sheets of {cards} cards, PDF: time, size",
            f"{sheets.text}, {bytes_text(os.path.getsize(sheet))}",
        ),
    ]


def main() -> None:
    """Measure and print."""
    quick = "--quick" in sys.argv
    cards, paper = (60, 40) if quick else (1000, PAGE_CARDS)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        os.environ.update(own_folders(folder))
        draw(folder / "lot", cards)
        rows = [*picture_rows(folder / "lot", cards, folder), *paper_rows(folder, paper)]
    print(table_text(rows))
    print(f"load: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")


if __name__ == "__main__":
    main()

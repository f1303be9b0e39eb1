"""The page and the contact sheets of a lot: how long they take, how large they are, and when a
browser shows the first picture (W3C, Element Timing API: `renderTime`, from the start of the
navigation)."""

from __future__ import annotations

import argparse
import os
import random
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

from support.card_sets import card_set
from support.folders import own_folders
from support.scanned import CARD, MM, Scanner, fed, jpeg

from bench.common.aims import Measure, below, table_text
from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Row
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
UNIQUE, DPI, TIMES = 60, 300, 5
PATIENCE = 30  # seconds for a browser
SCANNER = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)
WATCH = """<script>new PerformanceObserver(list=>{for(const one of list.getEntries())
console.log("first picture at "+one.renderTime)})
.observe({type:"element",buffered:true})</script>"""


def make_lot(folder: Path, cards: int) -> None:
    """Cards with natural pictures, scanned at 300 dpi, all tagged. After 60 cards they come
    again."""
    rng = random.Random("page")
    folder.mkdir()
    size = (round(CARD[0] / MM * DPI), round(CARD[1] / MM * DPI))
    sides = [
        [
            fed(side.resize(size), rng, dpi=DPI, scanner=SCANNER, skew=1.5).picture
            for side in (art.front, art.back)
        ]
        for art in card_set("page", min(UNIQUE, cards), "held")
    ]
    names = [f"scan_{number:04d}.jpg" for number in range(1, 2 * cards + 1)]
    for number, name in enumerate(names):
        card, side = divmod(number, 2)
        (folder / name).write_bytes(jpeg(sides[card % UNIQUE][side], DPI, 84 + card // UNIQUE))
    session = Session(LotFile(folder, folder.name))
    rows = tuple(
        Row("1987 Harbor Light", str(number), f"Name {number}") for number in range(1, cards + 1)
    )
    session.candidates.matcher = Matcher(Index(Checklist(rows)))
    session.take_in(names)
    for number in range(1, cards + 1):
        session.take(session.candidates.of(f"#{number}")[0])
    session.close()


def run(*arguments: object) -> float:
    """Seconds that the program takes."""
    began = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "tagger", *map(str, arguments)],
        check=True,
        stderr=subprocess.DEVNULL,
    )
    return time.perf_counter() - began


def first_picture(browser: str, page: Path, home: Path) -> float | None:
    """Milliseconds until the first picture is painted, in a window of 1280 x 900 pixels. The page
    is a copy that may also run the script that watches."""
    text = re.sub(
        r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", page.read_text(encoding="utf-8")
    )
    watched = home / "watched.html"
    text = text.replace("<img ", '<img elementtiming="first" ', 1).replace(
        "<style>", f"{WATCH}<style>", 1
    )
    watched.write_text(text, encoding="utf-8")
    command = [
        browser,
        "--headless",
        "--no-sandbox",
        f"--user-data-dir={home / 'browser'}",
        "--window-size=1280,900",
    ]
    # with a port it stays open
    command += [
        "--enable-logging=stderr",
        "--remote-debugging-port=0",
        watched.as_uri(),
    ]
    with subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
    ) as shown:
        stop = threading.Timer(PATIENCE, shown.kill)
        stop.start()
        assert shown.stderr
        found = next(
            (at for line in shown.stderr if (at := re.search(r"first picture at ([\d.]+)", line))),
            None,
        )
        stop.cancel()
        shown.terminate()
    return float(found[1]) if found else None


def main() -> None:
    """Draw, measure, print."""
    parser = argparse.ArgumentParser(
        description="Measures the page and the contact sheets of a lot."
    )
    parser.add_argument("--quick", action="store_true", help="60 cards instead of 400")
    cards = 60 if parser.parse_args().quick else 400
    with tempfile.TemporaryDirectory() as top:
        home = Path(top)
        os.environ.update(own_folders(home))
        lot, page, sheet = home / "lot", home / "lot.html", home / "lot.pdf"
        make_lot(lot, cards)
        lines = [
            below("page, scans not yet measured", run("page", lot, "--to", page), None, "s"),
            below("page", run("page", lot, "--to", page), None, "s"),
            below("page, size", page.stat().st_size / 1e6, 30.0, "MB"),
            below("contact sheets, PDF", run("sheet", lot, "--to", sheet), None, "s"),
            below("contact sheets, size", sheet.stat().st_size / 1e6, None, "MB"),
            *_first(page, home),
        ]
    print(f"a lot of {cards} cards, {2 * cards} scans at {DPI} dpi")
    print(table_text(lines))


def _first(page: Path, home: Path) -> list[Measure]:
    what = "first picture painted, median"
    browser = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    if browser is None:
        return [Measure(what, f"no browser found: {', '.join(BROWSERS)}")]
    seen = [each for _ in range(TIMES) if (each := first_picture(browser, page, home)) is not None]
    if len(seen) < TIMES // 2:
        return [Measure(what, "the browser did not say")]
    return [
        below(what, statistics.median(seen), 1000.0, "ms"),
        below("slowest", max(seen), None, "ms"),
    ]


if __name__ == "__main__":
    main()

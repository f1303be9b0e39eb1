"""The demo without hands: half the lot is tagged, the line drops, the rest is tagged, and the
export is held against the truth row by row. Exit status 0 only where every row is right."""

from __future__ import annotations

import csv
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

from support.folders import own_folders
from support.terminal import Terminal
from typist import Typist

HERE = Path(__file__).resolve().parent
DRAWN = HERE / "drawn" / "unattended"
TAGGER = [sys.executable, "-m", "tagger"]


def main() -> int:
    """Draw, tag, drop the line, go on, export, compare."""
    shutil.rmtree(DRAWN, ignore_errors=True)
    os.environ.update(own_folders(DRAWN / "xdg"))
    print("drawing the lot ...", flush=True)
    subprocess.run([*TAGGER, "demo", str(DRAWN)], check=True, stdout=subprocess.DEVNULL)
    truth = read_table(DRAWN / "truth.csv")
    lists = [
        f"--checklist={path}"
        for path in sorted((DRAWN / "checklists").glob("*.*"))
        if path.suffix in (".csv", ".txt")
    ]
    half = len(truth) // 2

    print(f"tagging cards 1 to {half} ...", flush=True)
    started = time.monotonic()
    with Terminal([*TAGGER, "open", str(DRAWN / "lot"), *lists]) as terminal:
        typist = Typist(terminal)
        for position, card in enumerate(truth[:half], start=1):
            typist.tag(card, position)
        terminal.wait_for(rf"card {half + 1} of {len(truth)}")
        terminal.drop_line()
    print("the line dropped; opening the lot again ...", flush=True)
    with Terminal([*TAGGER, "open", str(DRAWN / "lot")]) as terminal:
        typist.terminal = terminal
        terminal.wait_for(rf"card {half + 1} of {len(truth)} .* {half} tagged")
        print(f"it stands at card {half + 1}; tagging the rest ...", flush=True)
        for position, card in enumerate(truth[half:], start=half + 1):
            typist.tag(card, position)
        terminal.wait_for(r"End of the lot: every card is done")
        terminal.send("\x18")
        terminal.wait_exit()
    seconds = time.monotonic() - started

    export = DRAWN / "export.csv"
    subprocess.run([*TAGGER, "export", str(DRAWN / "lot"), "--to", str(export)], check=True)
    wrong = differences(truth, read_table(export))
    for line in wrong[:10]:
        print(line)
    print()
    for what, figure in (
        ("cards", f"{len(truth)}"),
        ("seconds", f"{seconds:.1f}"),
        ("keystrokes a card", f"{typist.keys / len(truth):.2f}"),
        ("wrong tags", f"{len(wrong)}"),
    ):
        print(f"{what:<20}{figure:>8}")
    return 1 if wrong else 0


def read_table(path: Path) -> list[dict[str, str]]:
    """A CSV file's rows by column."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def differences(truth: list[dict[str, str]], exported: list[dict[str, str]]) -> list[str]:
    """A line for each row that is not as it should be."""
    wrong = [
        f"card {row['position']}: "
        + ", ".join(f"{k} is {got.get(k)!r}, not {row[k]!r}" for k in row if got.get(k) != row[k])
        for row, got in zip(truth, exported, strict=False)
        # a table has columns of its own beside those of the truth, as a stock number
        if any(got.get(name) != value for name, value in row.items())
    ]
    if len(truth) != len(exported):
        wrong.append(f"{len(exported)} rows were exported, not {len(truth)}")
    return wrong


if __name__ == "__main__":
    sys.exit(main())

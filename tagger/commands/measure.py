"""`tagger measure`: size, skew and centering of single scans."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from tagger.commands.common import DONE, EYE, Command, json_argument
from tagger.services.centering import CAUTION, measured
from tagger.services.console import out, print_json


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("files", metavar="FILE", type=Path, nargs="+", help="a scan of one card")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    told = [measured(path) for path in given.files]
    if given.json:
        print_json({"scans": told, "caution": CAUTION})
    else:
        for one in told:
            _say(one)
        out(CAUTION)
    return DONE if all(one["problem"] is None for one in told) else EYE


def _say(one: dict[str, Any]) -> None:
    out(one["file"])
    if one["width"] is not None:
        out(
            f"  {one['width']} x {one['height']} mm at {one['dpi']} dots per inch, {one['skew']} "
            "degrees crooked"
        )
    if one["left_right"] is not None:
        out(f"  left/right {one['left_right']}, top/bottom {one['top_bottom']}")
    if one["problem"] is not None:
        out(f"  {one['problem']}")


COMMAND = Command(
    "measure",
    "measure a card's size, skew and centering on its scan",
    ("tagger measure scans/box12/scan_0001.jpg", "tagger measure scans/box12/*.jpg --json"),
    _arguments,
    _run,
)

"""`tagger measure`: size, skew and centering of single scans."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import Any

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, json_argument
from tagger.services.console import out, out_lines, print_json
from tagger.services.scans.centering import CAUTION, measure_scan


def _arguments(parser: argparse.ArgumentParser) -> None:
    options.path(parser, "files", "FILE", "a scan of one card", nargs="+")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    scans = [measure_scan(path) for path in given.files]
    if given.json:
        print_json({"scans": scans, "caution": CAUTION})
    else:
        for scan in scans:
            out_lines(_as_text(scan))
        # With the figures each time, since they could be taken for a grade.
        out(CAUTION)
    return attention_if(any(scan["problem"] is not None for scan in scans))


def _as_text(scan: dict[str, Any]) -> Iterator[str]:
    yield scan["file"]
    if scan["width"] is not None:
        yield (
            f"  {scan['width']} x {scan['height']} mm at {scan['dpi']} dots per inch, "
            f"skewed by {abs(scan['skew'])} degrees"
        )
    if scan["left_right"] is not None:
        yield f"  left/right {scan['left_right']}, top/bottom {scan['top_bottom']}"
    if scan["problem"] is not None:
        yield f"  {scan['problem']}"


HELP = "measure a card's size, skew and centering on its scan"
EXAMPLES = ("tagger measure scans/box12/scan_0001.jpg", "tagger measure scans/box12/*.jpg --json")
COMMAND = Command("measure", HELP, EXAMPLES, _arguments, _run)

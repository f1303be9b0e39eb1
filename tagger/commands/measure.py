"""`tagger measure`: size, skew and centering of single scans."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from tagger.commands.common import DONE, EYE, Command, json_argument, out, print_json
from tagger.errors import PictureError
from tagger.imaging.scan.pictures import read_whole

CAUTION = "An estimate from a scan and no professional grade."
_NONE = ", so there is no centering to measure"
_WHY_NOT = {
    "full bleed": f"no even border goes all round{_NONE}",
    "uneven": f"the borders are of several colours{_NONE}",
    "unclear": "the card's own edges are not sure enough to measure from",
}


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


def measured(path: Path) -> dict[str, Any]:
    """One scan: `width` and `height` in mm as it stands, `skew` in degrees clockwise, `dpi`, `left_right` and
    `top_bottom` shares as 55/45 (left and top first); None where it cannot be said, with the reason in `problem`."""
    return {"file": str(path), **_measured(path.parent, path.name)}


def centering_sentence(folder: Path, scan: str, turn: int = 0) -> str:
    """What is measured on one scan of a lot, for the dealer, who turned it clockwise by `turn` degrees."""
    one = _measured(folder, scan, turn)
    size = f"{one['width']} x {one['height']} mm, {abs(one['skew'])} degrees crooked." if one["width"] else ""
    if one["problem"] is not None:
        return f"No centering: {one['problem'].removesuffix(_NONE).rstrip('.')}. {size}".strip()
    # The caution stands where a line of 80 cells still shows it.
    return (
        f"Centering about {one['left_right']} left/right, {one['top_bottom']} top/bottom: no professional grade; {size}"
    )


def _measured(folder: Path, scan: str, turned: int = 0) -> dict[str, Any]:
    from tagger.imaging.card.card_edges import Edges
    from tagger.imaging.card.centering import Centering, measure_centering
    from tagger.imaging.card.deskew import upright_turn
    from tagger.imaging.survey.faults import place_card

    answer: dict[str, Any] = dict.fromkeys(("width", "height", "skew", "dpi", "left_right", "top_bottom", "problem"))
    try:
        whole = read_whole(folder, scan)
    except PictureError as error:
        return {**answer, "problem": error.message}
    edges, dpi = place_card(whole.upright, whole.dpi)
    answer["dpi"] = round(dpi) if dpi else None
    if not isinstance(edges, Edges):
        return {**answer, "problem": f"the card's edges are not found: {edges.reason}"}
    turn = turned or upright_turn(edges)
    short, long = sorted((edges.width, edges.height))
    answer |= {"width": round(short, 1), "height": round(long, 1), "skew": round(edges.angle, 2)}
    found = measure_centering(whole.upright, edges, turn=turn)
    if not isinstance(found, Centering):
        return {**answer, "problem": _WHY_NOT[found.reason]}
    return {**answer, "left_right": _shares(found.across[0]), "top_bottom": _shares(found.down[0])}


def _shares(first: float) -> str:
    return f"{round(first)}/{100 - round(first)}"


def _say(one: dict[str, Any]) -> None:
    out(one["file"])
    if one["width"] is not None:
        out(f"  {one['width']} x {one['height']} mm at {one['dpi']} dots per inch, {one['skew']} degrees crooked")
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

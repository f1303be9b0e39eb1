"""Size, skew and centering of a card on one scan, for `tagger measure` and the desk: an
estimate."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tagger.errors import PictureError
from tagger.imaging.scan.pictures import read_whole

CAUTION = "This is an estimate from a scan, not a professional grade."
_NONE = ", so centering cannot be measured"
_WHY_NOT = {
    "full bleed": f"the card has no even border all around{_NONE}",
    "uneven": f"the borders have different colours{_NONE}",
    "unclear": "the card's edges are not clear enough to measure from",
}


def measure_scan(path: Path) -> dict[str, Any]:
    """One scan: `width` and `height` in mm as it stands, `skew` in degrees clockwise, `dpi`,
    `left_right` and `top_bottom` shares as 55/45 (left and top first); None where it cannot be
    said, with the reason in `problem`."""
    return {"file": str(path), **_measure(path.parent, path.name)}


def centering_sentence(folder: Path, scan: str, turn: int = 0) -> str:
    """What is measured on one scan of a lot, for the dealer, who turned it clockwise by `turn`
    degrees."""
    one = _measure(folder, scan, turn)
    size = ""
    if one["width"]:
        size = f"{one['width']} x {one['height']} mm, skewed by {abs(one['skew'])} degrees."
    if one["problem"] is not None:
        return f"No centering: {one['problem'].removesuffix(_NONE).rstrip('.')}. {size}".strip()
    # The caution stands where a line of 80 cells still shows it.
    return (
        f"Centering about {one['left_right']} left/right, {one['top_bottom']} top/bottom: not a "
        f"professional grade; {size}"
    )


def _measure(folder: Path, scan: str, turned: int = 0) -> dict[str, Any]:
    # The desk imports this module, and numpy only in the process that measures.
    from tagger.imaging.card.around.padding import without_padding
    from tagger.imaging.card.card_edges import Edges
    from tagger.imaging.card.centering import Centering, measure_centering
    from tagger.imaging.card.deskew import upright_turn
    from tagger.imaging.survey.faults import place_card

    answer: dict[str, Any] = dict.fromkeys(
        ("width", "height", "skew", "dpi", "left_right", "top_bottom", "problem")
    )
    try:
        whole = read_whole(folder, scan)
    except PictureError as error:
        return {**answer, "problem": error.message}
    seen = without_padding(whole.upright)[0]
    edges, dpi = place_card(seen, whole.dpi)
    answer["dpi"] = round(dpi) if dpi else None
    if not isinstance(edges, Edges):
        return {**answer, "problem": f"the card's edges cannot be found: {edges.reason}"}
    # What the dealer said of the scan goes before what its shape says.
    turn = turned or upright_turn(edges)
    short, long = sorted((edges.width, edges.height))
    answer |= {"width": round(short, 1), "height": round(long, 1), "skew": round(edges.angle, 2)}
    found = measure_centering(seen, edges, turn=turn)
    if not isinstance(found, Centering):
        return {**answer, "problem": _WHY_NOT[found.reason]}
    return {**answer, "left_right": _shares(found.across[0]), "top_bottom": _shares(found.down[0])}


def _shares(first: float) -> str:
    return f"{round(first)}/{100 - round(first)}"

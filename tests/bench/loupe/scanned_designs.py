"""Cards of a new design as they come from a scanner, and where their numbers are as the desk shows
them."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from PIL import Image
from support.backs.numbered import Maker, NumberedSide, cards_of
from support.backs.pictured import pictured
from support.backs.stamped import stamped
from support.backs.tables import tables
from support.backs.written import written
from support.fronts.captioned import captioned
from support.fronts.columned import columned
from support.fronts.framed import framed
from support.fronts.full_art import full_art
from support.fronts.plated import plated
from support.fronts.sticker import sticker
from support.scanned import Scan, Scanner, fed, jpeg

from tagger.core.audit.measured import Measured
from tagger.core.audit.poses import MARGIN, PoseRule
from tagger.core.model.arrangement import Fixes
from tagger.demo.sets.checklists import rows
from tagger.demo.sets.printing import printed_back
from tagger.imaging.reading.small_print import LONG
from tagger.imaging.scan.pictures import read_picture
from tagger.imaging.survey.measure_lot import measure_scan

MAKERS: dict[str, Maker] = {
    "written": written,
    "tables": tables,
    "pictured": pictured,
    "stamped": stamped,
    "framed": framed,
    "plated": plated,
    "sticker": sticker,
    "full art": full_art,
    "captioned": captioned,
    "columned": columned,
}
TUNED = ("written", "tables", "pictured")
"""Makers whose designs the weights were fitted on; of these, other designs are measured."""
HELD = ("stamped", "demo")
"""Makers of which nothing was tuned on."""
FRONTS_TUNED = ("framed", "full art", "plated", "sticker")
FRONTS_HELD = ("captioned", "columned")
"""The same for makers of fronts that bear the number."""
CARDS = 4  # of a design: three that are compared, and the next one
CARD = (63.5, 88.9)  # mm

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class SeenSide:
    """A side as the desk shows it, its long side LONG pixels, and where its number is there: left,
    top, right, lower as fractions."""

    picture: Image.Image
    number: Box


def designs(maker: str, seed: str, count: int, folder: Path) -> Iterator[list[SeenSide]]:
    """So many designs of a maker, each as CARDS sides, fed crooked onto some scanner's bed."""
    for at in range(count):
        rng = random.Random(f"{maker} {seed} {at}")
        bed = rng.choice(("black", "black", "grey", "white"))
        scanner, skew = Scanner.any(rng, bed), rng.choice((0.6, 1.2, 2.0))
        yield [
            _seen(fed(back.picture, rng, bed, scanner=scanner, skew=skew), back, folder)
            for back in _backs(maker, f"{seed} {at}")
        ]


def _backs(maker: str, seed: str) -> list[NumberedSide]:
    if maker != "demo":
        return cards_of(MAKERS[maker], seed, CARDS)
    rng = random.Random(seed)
    listed = rows()
    kinds = sorted({(row.set, row.number.startswith("RC-")) for row in listed})
    kind = kinds[int(seed.split()[-1]) % len(kinds)]
    own = [row for row in listed if (row.set, row.number.startswith("RC-")) == kind]
    at = rng.randrange(max(1, len(own) - 2 * CARDS))
    drawn = []
    for row in own[at : at + 2 * CARDS : rng.choice((1, 2))][:CARDS]:
        picture, box = printed_back(row, "")
        drawn.append(NumberedSide(picture, row.number, box))
    return drawn


def _seen(scan: Scan, back: NumberedSide, folder: Path) -> SeenSide:
    path = folder / "back.jpg"
    path.write_bytes(jpeg(scan.picture, scan.dpi))
    measured = measure_scan(folder, path.name)
    pose = PoseRule(Fixes(), MARGIN).pose(path.name, measured)
    picture = read_picture(folder, path.name, (LONG, LONG), pose=pose)
    place = _in_margin if measured.corners is not None else _on_page(scan)
    return SeenSide(picture, _box(back, place, measured))


def _box(
    back: NumberedSide, place: Callable[[float, float], tuple[float, float]], measured: Measured
) -> Box:
    width, height = back.picture.size
    left, top, right, lower = back.box
    ends = [
        place(x / width, y / height) for x, y in ((left, top), (right, top), (right, lower),
                                                  (left, lower))
    ]  # fmt: skip
    xs, ys = zip(*ends, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _in_margin(x: float, y: float) -> tuple[float, float]:
    """From fractions of the card to those of what is shown with the margin."""
    return (
        (x * CARD[0] + MARGIN) / (CARD[0] + 2 * MARGIN),
        (y * CARD[1] + MARGIN) / (CARD[1] + 2 * MARGIN),
    )


def _on_page(scan: Scan) -> Callable[[float, float], tuple[float, float]]:
    """The same where the whole scan is shown."""
    a, b, _, d = scan.corners[0]

    def place(x: float, y: float) -> tuple[float, float]:
        left = a[0] + (b[0] - a[0]) * x + (d[0] - a[0]) * y
        top = a[1] + (b[1] - a[1]) * x + (d[1] - a[1]) * y
        return left / scan.picture.width, top / scan.picture.height

    return place

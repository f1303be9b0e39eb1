"""Fronts of 1974 Penny Ferry: a white border, a painted-looking picture, plain capitals."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PIL import Image, ImageEnhance, ImageFilter, ImageOps

from tagger.demo.art.brush import Colour, mix
from tagger.demo.art.sheet import Sheet, fine_size
from tagger.demo.sets.harbors import harbor
from tagger.demo.sets.marks import ferry_mark
from tagger.demo.sets.pictures import people, portrait
from tagger.demo.sets.scenery import cloth, stands

if TYPE_CHECKING:
    from tagger.demo.sets.scenario import ListedCard

CREAM: Colour = (244, 238, 220)


def _aged(picture: Image.Image) -> Image.Image:
    """The picture in the dull inks of old printing: fewer tones, less colour, a warm tint."""
    dull = ImageEnhance.Color(picture).enhance(0.92)
    dull = dull.point([min(255, 22 + round(v * 0.87)) for v in range(256)] * 3)
    # Sixteen tones a colour; smoothed first, or the steps between them would be speckled.
    few = ImageOps.posterize(dull.filter(ImageFilter.BoxBlur(3)), 4).point(
        [min(255, v + 7) for v in range(256)] * 3
    )
    return Image.blend(
        Image.blend(dull, few, 0.42), Image.new("RGB", dull.size, (240, 190, 120)), 0.12
    )


def ferry_front(row: ListedCard, parallel: str, serial: str) -> Image.Image:
    """1974: the picture over a plain name line; Tidewash cards have the lines of the front in blue
    too."""
    team = people(row)[0][1]
    # One dark ink from the club's colour, as a cheap press had; the parallel is known by its blue.
    ink = (24, 62, 138) if parallel == "Tidewash" else mix(team.main, (44, 36, 40), 0.35)
    sheet = Sheet(CREAM)
    box = (48.0, 48.0, 702.0, 846.0)
    size = fine_size(box)
    picture = portrait(
        row,
        size,
        poses=("bust", "folded", "bust", "shouldered"),
        scenes=(cloth, cloth, harbor, stands),
        close=1.12,
    )
    sheet.put(_aged(picture), (box[0], box[1]))
    sheet.frame((box[0] - 5, box[1] - 5, box[2] + 5, box[3] + 5), ink, 4)
    band = mix(team.main, (226, 214, 190), 0.12)
    sheet.shape([(48, 800), (470, 800), (500, 823), (470, 846), (48, 846)], band)
    sheet.text(
        (66, 835),
        row.team.upper(),
        33,
        CREAM if sum(band) < 480 else (40, 34, 34),
        weight=0.035,
        tracking=0.04,
        room=392,
    )
    sheet.text(
        (52, 934), row.subject.upper(), 66, (40, 34, 38), weight=0.035, tracking=0.02, room=540
    )
    sheet.line([(52, 960), (572, 960)], ink, 3)
    sheet.text((54, 1002), "QUAYBALL  1974", 28, ink, weight=0.02, tracking=0.2)
    ferry_mark(sheet, (648, 948), 96, ink, CREAM)
    return sheet.finished()

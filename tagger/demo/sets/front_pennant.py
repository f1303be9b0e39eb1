"""Fronts of 1985 Harbor Light: a string of signal pennants, a wave of club colour under the
name."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.art.brush import Colour, Point, curve, lighter, mix
from tagger.demo.art.sheet import Sheet, fine_size
from tagger.demo.sets.harbors import harbor
from tagger.demo.sets.marks import harbor_mark, on
from tagger.demo.sets.pictures import people, portrait
from tagger.demo.sets.scenery import shed

if TYPE_CHECKING:
    from tagger.demo.people.clubs import Team
    from tagger.demo.sets.scenario import ListedCard


def pennant_front(row: ListedCard, parallel: str, serial: str) -> Image.Image:
    """The front; this set has no parallels."""
    team = people(row)[0][1]
    sheet = Sheet((250, 249, 244))
    box = (34.0, 34.0, 716.0, 1016.0)
    picture = portrait(row, fine_size(box), scenes=(harbor, shed, harbor), close=0.9)
    sheet.put(picture, (box[0], box[1]))
    _pennants(sheet, team)
    ground = mix(team.main, (20, 40, 80), 0.2)
    _wave(sheet, ground, team.trim)
    _name(sheet, row, team, ground)
    harbor_mark(sheet, (624, 924), 78, "'85", (250, 248, 240), (196, 46, 42))
    sheet.frame(box, (30, 44, 74), 4)
    return sheet.finished()


def _pennants(sheet: Sheet, team: Team) -> None:
    """Pennants on a cord that hangs through between the upper corners."""
    cord = [(38 + 674 * i / 20, 92 + 58 * math.sin(math.pi * i / 20)) for i in range(21)]
    flags = (team.main, (250, 248, 240), team.trim, (206, 52, 46), team.second, (30, 74, 140))
    for i in range(1, 19, 2):
        at = i // 2
        _pennant(sheet, cord[i : i + 2], flags[at % len(flags)], flags[(at + 2) % len(flags)])
    # Last, so that it runs over the upper edge of every pennant.
    sheet.line(cord, (242, 236, 220), 5)


def _pennant(sheet: Sheet, hung: Sequence[Point], flag: Colour, mark: Colour) -> None:
    (x0, y0), (x1, y1) = hung
    tip = ((x0 + x1) / 2 + 4, max(y0, y1) + 66)
    sheet.shadow([(x0 + 5, y0 + 6), (x1 + 26, y1 + 6), (tip[0] + 8, tip[1] + 6)], 0.35, 4)
    sheet.shape([(x0 - 12, y0), (x1 + 10, y1), tip], flag)
    middle = (x0 + x1) / 2
    sheet.shape([(middle - 9, y0 + 10), (middle + 13, y0 + 10), (middle + 3, y0 + 42)], mark)


def _wave(sheet: Sheet, ground: Colour, trim: Colour) -> None:
    # The highest first: each covers all of the one before but its crest.
    for lift, colour in ((30, lighter(ground, 0.7)), (14, trim), (0, ground)):
        crest = [
            (34 + 682 * i / 16, 846 - lift + 20 * math.sin(i * 0.62 + lift * 0.03))
            for i in range(17)
        ]
        sheet.shape([(34, 1016), *curve(crest, closed=False), (716, 1016)], colour)


def _name(sheet: Sheet, row: ListedCard, team: Team, ground: Colour) -> None:
    ink = on(ground, (255, 253, 246), (24, 26, 36))
    second = on(ground, team.trim, team.second, (255, 240, 190))
    first, _, last = row.subject.partition(" ")
    sheet.text((64, 904), first.upper(), 40, second, weight=0.03, tracking=0.08)
    sheet.text((60, 972), last.upper(), 72, ink, weight=0.05, width=0.9, room=466)
    sheet.text((66, 1004), row.team, 25, ink, weight=0.01)

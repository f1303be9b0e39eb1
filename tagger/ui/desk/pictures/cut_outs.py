"""The print of cards, cut out of their scans: number and name of each, as large as there is
room."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from PIL import Image

from tagger.core.model.scan_ref import ScanRef
from tagger.core.session.loupes.print_places import shown_box, turned_box
from tagger.errors import PictureError
from tagger.preview.grey import inked
from tagger.preview.pictures import Crop, Drawn, Pictures, drawn
from tagger.ui import theme
from tagger.ui.desk.layout import ASPECT
from tagger.ui.desk.pictures.seen import scans_of

if TYPE_CHECKING:
    from tagger.core.audit.poses import Poses
    from tagger.core.model.pose import Pose
    from tagger.core.reading.printed import Spot
    from tagger.core.session.proofs.page import ProofLine
    from tagger.core.session.session import Session
    from tagger.preview.pictures import Box, Key, Source, View
    from tagger.preview.render_settings import RenderSettings

# pixels of height that a line of print is looked at with: letters have about two thirds of them
FINE = 32
LONGEST = 60  # times as long as high a line of print is at most
HELD = 160  # that are held: those of two pages on the largest screen


def cut_out_pictures(
    source: Source, manner: RenderSettings, ready: Callable[[ScanRef], None]
) -> Pictures:
    """Cut-outs of these scans, drawn in the background, with a line below each that parts it from
    the next one."""
    drawing, ink = manner.print, theme.PLAIN.bgcolor
    grid = (drawing.across, drawing.down)
    assert ink is not None

    def draw(ref: ScanRef, seen: View) -> Drawn:
        letters = inked(source.load(ref, seen, grid), manner.depth)
        rows = math.ceil(letters.height / drawing.down)
        picture = Image.new("RGB", (letters.width, rows * drawing.down), tuple(ink.get_truecolor()))
        picture.paste(letters, (0, 0))
        return drawn(picture, drawing, manner.depth)

    return Pictures(draw, ready, source.stamp, limit=HELD)


class CutOut(NamedTuple):
    """The pictures of a line: of its number and of its name."""

    number: Drawn | PictureError | None
    name: Drawn | PictureError | None

    @property
    def whole(self) -> bool:
        """Whether both are there, or never come."""
        return self.number is not None and self.name is not None

    @property
    def failed(self) -> bool:
        """Whether one of them cannot be shown."""
        return isinstance(self.number, PictureError) or isinstance(self.name, PictureError)


class CutOuts:
    """Drawn in the background, those of the page that is seen first."""

    def __init__(self, session: Session, poses: Poses, pictures: Pictures) -> None:
        self._session, self._poses, self._pictures = session, poses, pictures

    def of(self, line: ProofLine, boxes: tuple[Box, Box]) -> CutOut:
        """The pictures of a line as far as they are there, `boxes` their room in pixels."""
        return CutOut(*(self._pictures.get(*key) for key in self._keys(line, boxes)))

    def want(self, lines: Iterable[ProofLine], boxes: tuple[Box, Box]) -> None:
        """Draw the pictures of these lines, the first first."""
        self._pictures.want([key for line in lines for key in self._keys(line, boxes)])

    def close(self) -> None:
        """Stop drawing."""
        self._pictures.close()

    def _keys(self, line: ProofLine, boxes: tuple[Box, Box]) -> tuple[Key, Key]:
        number, name = boxes
        return self._key(line, line.number_at, number), self._key(line, line.name_at, name)

    def _key(self, line: ProofLine, spot: Spot, box: Box) -> Key:
        scan = scans_of(line.card)[spot.side]
        # read on a side that the card has no more: shown as missing
        name = scan or ""
        mending = self._session.view.arrangement.mending
        pose = self._poses.of(name, mending, line.tags.set)
        return ScanRef(None, name), self._crop(spot, name, pose, box)

    def _crop(self, spot: Spot, scan: str, pose: Pose, room: Box) -> Crop:
        known = self._poses.measured(scan)
        left, top, right, bottom = turned_box(shown_box(spot.box, pose, known), spot.turn)
        # Print that runs up or down is turned to be read.
        pose = replace(pose, turn=(pose.turn + spot.turn) % 360)
        wide, high = ASPECT, 1.0
        if pose.corners is None and known is not None and min(known.size) > 0:
            wide, high = known.size
        aspect = wide / high if pose.turn in (0, 180) else high / wide
        # Square pixels; damaged places have no height.
        down = max(bottom - top, 0.001)
        across = max(right - left, 0.001)
        shape = min(LONGEST, across * aspect / down)
        x, y = _held((left + right) / 2, across), _held((top + bottom) / 2, down)
        fine = max(1, round(FINE * shape)), FINE
        return Crop((x, y, across), fine, pose=pose, room=room)


def _held(middle: float, length: float) -> float:
    return min(max(middle, length / 2), 1 - length / 2)

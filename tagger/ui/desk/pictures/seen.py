"""What each view shows of a card: which scan, and what of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.pose import Pose
from tagger.core.model.scan_ref import ScanRef
from tagger.preview.pictures import Crop, Drawn, View, WholePicture
from tagger.ui.desk.layout import ASPECT

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Card
    from tagger.core.session.loupes.loupe import Loupe
    from tagger.ui.widgets.side_view import SideView

Posing = Callable[[str | None], Pose]
"""How a scan is to be seen."""


class ViewPart(NamedTuple):
    """What one view shows of a card: its title, what stands before the scan's name, and what is
    seen of the scan; `ref` is None where the card has none."""

    view: SideView
    title: str
    before: str
    ref: ScanRef | None
    seen: View


class Known(NamedTuple):
    """A known card: in a few words, its front, and how that is to be seen; None for a scan of the
    lot itself."""

    told: str
    ref: ScanRef
    pose: Pose | None


def ref_of(scan: str | None) -> ScanRef | None:
    return None if scan is None else ScanRef(None, scan)


def scans_of(card: Card | None) -> dict[str, str | None]:
    """The scans of both sides of a card."""
    if card is None:
        return {"front": None, "back": None}
    return {"front": card.front, "back": card.back}


def whole(view: SideView, side: str, scan: str | None, pose: Posing) -> ViewPart:
    return ViewPart(view, side, "", ref_of(scan), WholePicture(view.box(), pose(scan)))


def known_front(view: SideView, known: Known, pose: Posing) -> ViewPart:
    seen = WholePicture(view.box(), known.pose or pose(known.ref.scan))
    return ViewPart(view, f"{known.told}?", "", known.ref, seen)


def crop(
    view: SideView,
    title: str,
    loupe: Loupe,
    scans: dict[str, str | None],
    pose: Posing,
    grey: bool,
) -> ViewPart:
    """What a loupe shows of a card."""
    box, scan = view.box(), scans[loupe.side]
    seen = Crop((loupe.x, loupe.y, loupe.across(box[0])), box, grey, pose(scan))
    return ViewPart(view, title, f"{loupe.side}, ", ref_of(scan), seen)


def aspect_of(picture: Drawn) -> float:
    """Width over height of what is drawn; a cell is half as wide as high."""
    if not picture.rows:
        return ASPECT
    return picture.rows[0].width / (len(picture.rows) * 2)

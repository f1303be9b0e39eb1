"""What is seen of a card: its sides and the loupe, each decoded in the background and ahead of the
dealer."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import NamedTuple

from PIL import Image
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widget import Widget

from tagger.core.audit.poses import Poses
from tagger.core.model.arrangement import Card
from tagger.core.model.pose import PLAIN, Pose
from tagger.core.model.text import printable
from tagger.core.session.loupe import LARGEST, NAME, Loupe, LoupeInUse, LoupeMemory, Pane
from tagger.core.session.session import Session
from tagger.errors import PictureError
from tagger.imaging.scan.scans import ScanReader
from tagger.preview.grey import legible
from tagger.preview.pictures import Crop, Drawn, Pictures, Source, View, WholePicture, drawn
from tagger.preview.render_settings import RenderSettings
from tagger.ui.desk.layout import ASPECT, DeskLayout
from tagger.ui.desk.panel import shown_sides
from tagger.ui.widgets.side_view import SideView

NO_SCAN = "no scan of this side"


class _Part(NamedTuple):
    """What one view shows of a card: its title, what stands before the scan's name, and what is
    seen of the scan."""

    view: SideView
    title: str
    before: str
    name: str | None
    seen: View


class Known(NamedTuple):
    """A known card: in a few words, its front's name, see `elsewhere`, and how it is to stand; None
    for a scan of the lot itself."""

    told: str
    name: str
    stand: Pose | None


def elsewhere(name: str) -> tuple[str, str]:
    """The folder, empty for the lot's own, and the scan of a name; the two have a NUL between them,
    which no path has."""
    folder, _, scan = name.rpartition("\0")
    return folder, scan


def naming(folder: str, scan: str) -> str:
    """The name of a scan that lies in another folder; see `elsewhere`."""
    return f"{folder}\0{scan}"


class Previews:
    """The views of the card in front. Each loupe has two, of which one is displayed: below the
    sides, and in the panel.

    `ready` is called from a background thread, with a scan's name, when a picture of it has come.
    """

    def __init__(
        self,
        source: Source,
        manner: RenderSettings,
        memories: tuple[LoupeMemory, LoupeMemory],
        ready: Callable[[str], None],
        stands: Poses | None = None,
    ) -> None:
        self.stands = stands or Poses()
        drawing = manner.drawing
        grid = (drawing.across, drawing.down)
        self._pictures = Pictures(
            lambda name, seen: drawn(source.load(name, seen, grid), drawing, manner.depth),
            ready,
            source.stamp,
        )
        self._sides = {side: SideView(side, manner) for side in ("front", "back")}
        self._loupes = {"loupe": LoupeInUse(memories[0]), "name": LoupeInUse(memories[1], NAME)}
        self._places = {
            place: {title: SideView(f"{title}_{place}", manner) for title in self._loupes}
            for place in ("below", "beside")
        }
        self.closely = SideView("closely", manner)
        self.beside = SideView("beside", manner)
        """The front of a card of the overview, beside the list."""
        self.listed: Card | None = None
        """That card; none while there is no picture beside the list."""
        self.known: Known | None = None
        """A known card that the card in front looks like."""
        self.comparing = False
        """Whether its front is shown, beside the front or where only one side fits instead of
        it."""
        self._look: Loupe | None = None
        self.names = False
        self._failed: list[str] = []
        self._aspect = ASPECT
        self._left: Widget | None = None
        self._card = 0

    def compose(self, panel: Widget) -> ComposeResult:
        """The sides with the loupes' place below them, then the panel with the loupes' place in
        it."""
        with Vertical(id="left") as self._left:
            with Horizontal(id="sides"):
                yield from self._sides.values()
            yield from self._places["below"].values()
        with Vertical(id="right"):
            yield panel
            yield from self._places["beside"].values()

    def arrange(self, layout: DeskLayout) -> None:
        """Give each view its room."""
        for side, view in self._sides.items():
            view.display = layout.face in ("both", side)
            view.styles.width = layout.preview
        if self._left is not None:
            self._left.styles.width = layout.preview * (2 if layout.face == "both" else 1)
        for place, views in self._places.items():
            for title, rows in (("loupe", layout.loupe_rows), ("name", layout.name_rows)):
                views[title].display = layout.below == (place == "below") and rows > 0
                views[title].styles.height = rows

    def show(self, session: Session) -> bool:
        """Show the card in front as far as its pictures are there, and wish for the others.

        Returns whether all of the card's pictures are there.
        """
        whole = True
        self._failed = []
        card = self.listed or session.card
        if card is not None and card.id != self._card:
            self._card, self.known, self.comparing = card.id, None, False
            self.stands.hold(scan for scan in (card.front, card.back) if scan is not None)
        parts = self._parts(card, session)
        for part in parts:
            if part.name is None:
                part.view.show(part.title, "" if session.at_end else part.before + NO_SCAN, None)
                continue
            picture = self._pictures.get(part.name, part.seen)
            if isinstance(picture, Drawn) and isinstance(part.seen, WholePicture):
                self._aspect = _aspect(picture)
            elif isinstance(picture, PictureError):
                self._failed.append(part.name)
            part.view.show(part.title, part.before + printable(elsewhere(part.name)[1]), picture)
            whole = whole and picture is not None
        self._pictures.want([(part.name, part.seen) for part in parts if part.name is not None])
        return whole

    def look_ahead(self, session: Session) -> None:
        """Wish for the pictures of the cards around the one in front, the likeliest first."""
        if self.listed is not None:
            return
        here = session.desk.position
        parts = []
        for position in (here, here + 1, here - 1, here + 2, here - 2):
            if 1 <= position <= session.cards:
                parts += self._parts(session.card_at(position), session)
        self._pictures.want([(part.name, part.seen) for part in parts if part.name is not None])

    def _parts(self, card: Card | None, session: Session) -> list[_Part]:
        names, mending = dict(shown_sides(card)), session.arrangement.mending
        own = (card.mark.tags.set if card else "") or _set(session)

        def stand(scan: str | None) -> Pose:
            return self.stands.of(scan, mending, own) if scan is not None else PLAIN

        if self.listed is not None:
            front = names["front"]
            return [
                _Part(
                    self.beside, "front", "", front, WholePicture(self.beside.box(), stand(front))
                )
            ]
        if self._look is not None:
            return [_part(self.closely, "closely", self._look, names, stand, grey=False)]
        shown = [(side, view) for side, view in self._sides.items() if view.display]
        parts = [
            _Part(view, side, "", names[side], WholePicture(view.box(), stand(names[side])))
            for side, view in shown
        ]
        known = self.known if self.comparing and card is not None and card == session.card else None
        if known is not None and parts:
            view = parts[-1].view
            seen = WholePicture(view.box(), known.stand or stand(known.name))
            parts[-1] = _Part(view, f"{known.told}?", "", known.name, seen)
        for title, view in self._shown_loupes():
            parts.append(
                _part(view, title, self._loupes[title].at(_set(session)), names, stand, grey=True)
            )
        return parts

    def _shown_loupes(self) -> list[tuple[str, SideView]]:
        return [
            (title, view)
            for views in self._places.values()
            for title, view in views.items()
            if view.display
        ]

    def look_closely(self, session: Session, on: bool) -> None:
        """Show one side over the whole screen, at first that of the loupe and all its width; or no
        longer."""
        loupe = self._loupes["loupe"].at(_set(session))
        self._look = Loupe(loupe.side, 0.5, loupe.y, LARGEST) if on else None

    def turn_loupe(self, session: Session, turned: Callable[[Loupe, Pane], Loupe]) -> None:
        """Hold the close look otherwise, or else the second loupe where it is shown, or else the
        first; a loupe's place is for this card and the next of its set."""
        if self._look is not None:
            self._look = turned(self._look, Pane(*self.closely.box(), self._aspect))
            return
        for title, view in self._shown_loupes()[-1:]:
            at, loupe = _set(session), self._loupes[title]
            loupe.put(at, turned(loupe.at(at), Pane(*view.box(), self._aspect)))

    def save(self) -> None:
        """Keep where the loupes are."""
        for loupe in self._loupes.values():
            loupe.save()

    def forget(self, scans: frozenset[str]) -> None:
        """The files of these scans are others now: they are drawn anew when they are wanted
        next."""
        self.stands.forget(scans)
        self._pictures.forget(scans)

    def side_in_loupe(self, session: Session) -> str | None:
        """The scan that the loupe, or the close look, is held over."""
        loupe = self._look or self._loupes["loupe"].at(_set(session))
        return dict(shown_sides(session.card))[loupe.side]

    def close(self) -> None:
        """Stop drawing, and keep where the loupes are."""
        self._pictures.close()
        self.save()

    def finer(self, rows: int) -> bool:
        """Show so many more rows of each view in the finest colours; returns whether there are
        still others."""
        loupes = [view for _, view in self._shown_loupes()]
        if self.listed is not None:
            return self.beside.finer(rows)
        views = [self.closely] if self._look is not None else [*self._sides.values(), *loupes]
        return sum(view.finer(rows) for view in views if view.display) > 0

    @property
    def failed(self) -> bool:
        """Whether a picture of the card in front could not be drawn."""
        return bool(self._failed)

    def retry(self) -> bool:
        """Try the pictures that failed again, where their files have changed; returns whether there
        was one."""
        return self._pictures.retry(self._failed)


def _part(
    view: SideView,
    title: str,
    loupe: Loupe,
    names: dict[str, str | None],
    stand: Callable[[str | None], Pose],
    grey: bool,
) -> _Part:
    """What a loupe shows of a card."""
    box = view.box()
    seen = Crop((loupe.x, loupe.y, loupe.across(box[0])), box, grey, stand(names[loupe.side]))
    return _Part(view, title, f"{loupe.side}, ", names[loupe.side], seen)


def _set(session: Session) -> str:
    """The set by which the loupe's place is remembered."""
    return session.desk.carried.get("set")


def _aspect(picture: Drawn) -> float:
    """Width over height of what is drawn; a cell is half as wide as high."""
    return picture.rows[0].width / (len(picture.rows) * 2) if picture.rows else ASPECT


class FolderSource:
    """The scans of a folder as they are seen on the desk."""

    def __init__(self, scans: ScanReader, of: Callable[[str], ScanReader] | None = None) -> None:
        """`of` gives the scans of another folder, for the front of a known card."""
        self._scans, self._of = scans, of

    def load(self, name: str, seen: View, grid: tuple[int, int]) -> Image.Image:
        """A scan as it is seen. Raises PictureError."""
        scans, scan = self._find(name)
        if isinstance(seen, WholePicture):
            return scans.whole(scan, seen.box, grid, seen.pose)
        part = scans.part(scan, seen.region, seen.box, grid, seen.pose)
        return legible(part) if seen.grey else part

    def stamp(self, name: str) -> Hashable:
        """What changes when the scan's file does."""
        scans, scan = self._find(name)
        return scans.stamp(scan)

    def _find(self, name: str) -> tuple[ScanReader, str]:
        folder, scan = elsewhere(name)
        if folder and self._of is None:
            raise PictureError(f"{printable(scan)} lies in another folder.")
        return (self._of(folder) if folder and self._of is not None else self._scans), scan

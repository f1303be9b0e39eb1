"""What is seen of a card: its sides and the loupes, each decoded in the background and ahead of the
dealer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widget import Widget

from tagger.core.model.pose import PLAIN
from tagger.core.model.scan_ref import ScanRef
from tagger.core.model.text import printable
from tagger.core.session.loupes.loupe import LARGEST, Loupe, LoupeMemory, Pane, Proposed
from tagger.core.session.loupes.loupe_places import NumberPlaces, next_of, proposed
from tagger.core.session.loupes.print_places import loupe_over
from tagger.errors import PictureError
from tagger.preview.pictures import Drawn, Pictures, Source, WholePicture, drawn
from tagger.ui.desk.layout import ASPECT, DeskLayout
from tagger.ui.desk.pictures.loupes import Loupes
from tagger.ui.desk.pictures.printed import PrintedPlaces
from tagger.ui.desk.pictures.seen import (
    Known,
    Posing,
    ViewPart,
    aspect_of,
    crop,
    known_front,
    scans_of,
    whole,
)
from tagger.ui.widgets.side_view import SideView

if TYPE_CHECKING:
    from tagger.core.audit.number_place import NumberPlace
    from tagger.core.audit.poses import Poses
    from tagger.core.model.arrangement import Card
    from tagger.core.session.session import Session
    from tagger.preview.render_settings import RenderSettings

NO_SCAN = "no scan of this side"
BY_PRINT = -1  # the design of a card that only reading knows
# The next card is the likeliest one to be seen next, then the one before, then those beyond.
AHEAD = (0, 1, -1, 2, -2)


def pictures_of(
    source: Source, manner: RenderSettings, ready: Callable[[ScanRef], None]
) -> Pictures:
    """Pictures of these scans, drawn in this manner in the background."""
    drawing = manner.drawing
    grid = (drawing.across, drawing.down)
    return Pictures(
        lambda ref, seen: drawn(source.load(ref, seen, grid), drawing, manner.depth),
        ready,
        source.stamp,
    )


class Previews:
    """The views of the card in front. `ready` is called from a background thread when a picture of
    a scan has come."""

    def __init__(
        self,
        source: Source,
        manner: RenderSettings,
        memories: tuple[LoupeMemory, LoupeMemory],
        ready: Callable[[ScanRef], None],
        poses: Poses,
    ) -> None:
        self.poses = poses
        self._pictures = pictures_of(source, manner, ready)
        self.source, self.manner = source, manner
        self._sides = {side: SideView(side, manner) for side in ("front", "back")}
        self.loupes = Loupes(manner, memories)
        self.closely = SideView("closely", manner)
        self.both = False
        """Whether both sides are seen: then a known card has room beside the front."""
        self.beside = SideView("beside", manner)
        """The front of a card of the overview, beside the list."""
        self.listed: Card | None = None
        """That card; none while there is no picture beside the list."""
        self.known: Known | None = None
        """A known card that the card in front looks like."""
        self.comparing = False
        """Whether its front is shown, beside the front or where only one side fits instead of
        it."""
        self._places = NumberPlaces()
        self.printed = PrintedPlaces(poses)
        self._look: Loupe | None = None
        self._failed: list[ScanRef] = []
        self._aspect = ASPECT
        self._left: Widget | None = None
        self._card = 0

    def compose(self, panel: Widget) -> ComposeResult:
        """The sides with the loupes' place below them, then the panel with the loupes' place in
        it."""
        with Vertical(id="left") as self._left:
            with Horizontal(id="sides"):
                yield from self._sides.values()
            yield from self.loupes.below.values()
        with Vertical(id="right"):
            yield panel
            yield from self.loupes.beside.values()

    def arrange(self, layout: DeskLayout) -> None:
        """Give each view its room."""
        if (both := layout.face == "both") is not self.both:
            # Where one side fits, a known card would stand there alone, as if it were this one.
            self.both, self.comparing = both, both and self.known is not None
        shown = 0
        for side, view in self._sides.items():
            view.display = layout.face in ("both", side)
            view.styles.width = layout.preview
            shown += view.display
        if self._left is not None:
            self._left.styles.width = layout.preview * shown
        self.loupes.arrange(layout)

    def show(self, session: Session) -> bool:
        """Show the card in front as far as its pictures are there, and wish for the others.

        Returns whether all of the card's pictures are there.
        """
        card = self.listed or session.view.card
        if card is not None and card.id != self._card:
            self._come_to(card)
        self._failed = []
        parts = self._parts(card, session)
        nothing = "" if session.view.at_end else NO_SCAN
        shown = [self._show(part, nothing) for part in parts]
        self._frame(card, session)
        # All in one: an earlier wish that was not begun yet is dropped by the next.
        self._want(parts)
        return all(shown)

    def _come_to(self, card: Card) -> None:
        # The answer what the last card looks like says nothing of this one.
        self._card, self.known, self.comparing = card.id, None, False
        self.poses.hold(scan for scan in (card.front, card.back) if scan is not None)

    def _show(self, part: ViewPart, nothing: str) -> bool:
        """Show one part as far as its picture is there; returns whether it is, or never comes."""
        if part.ref is None:
            # Behind the last card there is no side to be named either.
            part.view.show(part.title if nothing else "", nothing and part.before + nothing, None)
            return True
        picture = self._pictures.get(part.ref, part.seen)
        if isinstance(picture, PictureError):
            self._failed.append(part.ref)
        elif isinstance(picture, Drawn) and isinstance(part.seen, WholePicture):
            # The loupe's pixels are square only by the scan's own shape.
            self._aspect = aspect_of(picture)
        part.view.show(part.title, part.before + printable(part.ref.scan), picture)
        return picture is not None

    def _want(self, parts: Iterable[ViewPart]) -> None:
        self._pictures.want([(part.ref, part.seen) for part in parts if part.ref is not None])

    def look_ahead(self, session: Session) -> None:
        """Wish for the pictures of the cards around the one in front, the likeliest first."""
        if self.listed is not None:
            return
        positions = (session.view.cursor.position + by for by in AHEAD)
        cards = [session.view.card_at(at) for at in positions if 1 <= at <= session.view.cards]
        self._want(part for card in cards for part in self._parts(card, session))

    def _parts(self, card: Card | None, session: Session) -> list[ViewPart]:
        """What is to be seen of a card in the views that are displayed now."""
        scans, pose = scans_of(card), self._posing(card, session)
        if self.listed is not None:
            return [whole(self.beside, "front", scans["front"], pose)]
        if self._look is not None:
            return [crop(self.closely, "zoom", self._look, scans, pose, grey=False)]
        parts = [whole(view, side, scans[side], pose) for side, view in self._displayed()]
        if (view := self._view_of_known(card, session)) is not None:
            assert self.known is not None
            parts[-1] = known_front(view, self.known, pose)
        loupes = self.loupes.shown(loupe_set(session), self._proposed(card, session))
        return parts + [
            crop(view, title, loupe, scans, pose, grey=True) for title, view, loupe in loupes
        ]

    def _displayed(self) -> list[tuple[str, SideView]]:
        return [(side, view) for side, view in self._sides.items() if view.display]

    def _view_of_known(self, card: Card | None, session: Session) -> SideView | None:
        """Where the card that this one looks like is shown: instead of the last side, so that it
        stands beside the front, or where one side fits instead of it."""
        views = [view for _, view in self._displayed()]
        # behind the last card nothing is beside another one
        compares = self.comparing and card is not None and card == session.view.card
        return views[-1] if views and compares and self.known is not None else None

    def _posing(self, card: Card | None, session: Session) -> Posing:
        """How the scans of a card are to be seen."""
        # Levels are set by set: an untagged card is most likely of the carried one.
        mending = session.view.arrangement.mending
        own = "" if card is None else card.mark.tags.set
        own = own or session.view.carried.get("set")
        return lambda scan: PLAIN if scan is None else self.poses.of(scan, mending, own)

    def look_closely(self, session: Session) -> None:
        """Show one side over the whole screen, at first that of the loupe and all its width."""
        loupe = self._loupe(session)
        # At the loupe's height: who looks closer has seen something there.
        self._look = Loupe(loupe.side, 0.5, loupe.y, LARGEST)

    def look_no_longer(self) -> None:
        """Show the sides again."""
        self._look = None

    def turn_loupe(self, session: Session, turned: Callable[[Loupe, Pane], Loupe]) -> None:
        """Hold the close look otherwise, or else a loupe."""
        if self._look is not None:
            self._look = turned(self._look, Pane(*self.closely.box(), self._aspect))
        else:
            by_itself = self._proposed(session.view.card, session)
            self.loupes.turn(loupe_set(session), turned, self._aspect, by_itself)

    def loupe_to_number(self, session: Session) -> bool:
        """Put the loupe on the likeliest place of the number, or where it is there on the next
        one; returns whether one is known."""
        found = self._found(session.view.card, session)
        if found is None:
            return False
        there = next_of(self._loupe(session), found[1])
        self.loupes.put(loupe_set(session), there, proposed(found))
        return True

    def learn_places(self, places: Mapping[str, NumberPlace], session: Session) -> bool:
        """Learn where cards may have their numbers; returns whether the card in front is one."""
        self._places.learn(places)
        card = session.view.card
        return card is not None and (card.back in places or card.front in places)

    def _loupe(self, session: Session) -> Loupe:
        return self.loupes.at(loupe_set(session), self._proposed(session.view.card, session))

    def _proposed(self, card: Card | None, session: Session) -> Proposed | None:
        return proposed(self._found(card, session))

    def _found(self, card: Card | None, session: Session) -> tuple[int, list[Loupe]] | None:
        """The loupe over each place where the number of a card may be, and the design of that."""
        pane = self.loupes.pane(self._aspect)
        if pane is None or card is None:
            return None
        posing = self._posing(card, session)
        found = self._places.loupes(scans_of(card), posing, self.poses.measured, pane)
        at = self.printed.number(card, loupe_set(session), posing)
        if at is None:
            return found
        design, others = found or (BY_PRINT, [])
        return design, [loupe_over(at, pane), *others]

    def _frame(self, card: Card | None, session: Session) -> None:
        """Show on the sides where the loupes are, and where the print was read."""
        held = self.loupes.frames(loupe_set(session), self._proposed(card, session), self._aspect)
        held += self.printed.frames(card, self._posing(card, session))
        # what is read on this card is nowhere on the one that it looks like
        known = self._view_of_known(card, session)
        for side, view in self._sides.items():
            view.frame([box for of, box in held if of == side and view is not known])

    def side_in_loupe(self, session: Session) -> str | None:
        """The scan that the loupe, or the close look, is held over."""
        loupe = self._look or self._loupe(session)
        return scans_of(session.view.card)[loupe.side]

    def save(self) -> None:
        """Keep where the loupes are."""
        self.loupes.save()

    def forget(self, scans: frozenset[str]) -> None:
        """The files of these scans are others now: they are drawn anew when they are wanted
        next."""
        self.poses.forget(scans)
        self._pictures.forget({ScanRef(None, scan) for scan in scans})

    def shows(self, ref: ScanRef, session: Session) -> bool:
        """Whether a scan is of the card in front, or of the known one that it looks like."""
        if self.known is not None and ref == self.known.ref:
            return True
        card = self.listed or session.view.card
        return card is not None and ref.lot is None and ref.scan in (card.front, card.back)

    def close(self) -> None:
        """Stop drawing, and keep where the loupes are."""
        self._pictures.close()
        self.save()

    def finer(self, rows: int) -> bool:
        """Show so many more rows of each view in the finest colours; returns whether there are
        still others."""
        # All of them, not up to the first: they become finer at the same time.
        return sum([view.finer(rows) for view in self._seen() if view.display]) > 0

    def _seen(self) -> Sequence[SideView]:
        if self.listed is not None:
            return [self.beside]
        if self._look is not None:
            return [self.closely]
        return [*self._sides.values(), *self.loupes.views()]

    @property
    def failed(self) -> bool:
        """Whether a picture of the card in front could not be drawn."""
        return bool(self._failed)

    def retry(self) -> bool:
        """Try the pictures that failed again, where their files have changed; returns whether there
        was one."""
        return self._pictures.retry(self._failed)


def loupe_set(session: Session) -> str:
    """The set by which the loupe's place is remembered: that of the card in front, of one without
    tags most likely the carried one."""
    card = session.view.card
    own = "" if card is None else card.mark.tags.set
    return own or session.view.carried.get("set")

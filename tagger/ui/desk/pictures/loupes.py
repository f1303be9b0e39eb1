"""The loupes on the screen: where each is held, and the views that show it. Each has two views, of
which one is displayed: below the sides, and in the panel."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tagger.core.session.loupes.loupe import (
    NAME,
    Frame,
    Loupe,
    LoupeInUse,
    LoupeMemory,
    Pane,
    Proposed,
)
from tagger.ui.widgets.side_view import SideView

if TYPE_CHECKING:
    from tagger.preview.render_settings import RenderSettings
    from tagger.ui.desk.layout import DeskLayout


class Loupes:
    """The loupe, and a second one for the name that is shown where `names` asks for it. A loupe's
    place is for this card and the next of its set."""

    def __init__(self, manner: RenderSettings, memories: tuple[LoupeMemory, LoupeMemory]) -> None:
        self._held = {"loupe": LoupeInUse(memories[0]), "name": LoupeInUse(memories[1], NAME)}
        self.below = {title: SideView(f"{title}_below", manner) for title in self._held}
        self.beside = {title: SideView(f"{title}_beside", manner) for title in self._held}
        self.names = False

    def arrange(self, layout: DeskLayout) -> None:
        """Give each view its room."""
        rows = {"loupe": layout.loupe_rows, "name": layout.name_rows}
        for views, wanted in ((self.below, layout.below), (self.beside, not layout.below)):
            for title, view in views.items():
                # Not taken out of the screen: where a view comes back, its picture is there.
                view.display = wanted and rows[title] > 0
                view.styles.height = rows[title]

    def shown(self, set_name: str, proposed: Proposed | None) -> list[tuple[str, SideView, Loupe]]:
        """Each loupe that is seen, by its title, as it is held over a card of this set; where the
        first one would be by itself is `proposed`."""
        return [
            (title, view, self._held[title].at(set_name, _for(title, proposed)))
            for title, view in self._seen()
        ]

    def pane(self, aspect: float) -> Pane | None:
        """The room of the first loupe, None where it is not seen."""
        return next((Pane(*view.box(), aspect) for _, view in self._seen()), None)

    def _seen(self) -> list[tuple[str, SideView]]:
        views = [*self.below.items(), *self.beside.items()]
        return [(title, view) for title, view in views if view.display]

    def frames(
        self, set_name: str, proposed: Proposed | None, aspect: float
    ) -> list[tuple[str, Frame]]:
        """What each loupe that is seen shows, by the side that it is of."""
        return [
            (loupe.side, loupe.frame(Pane(*view.box(), aspect)))
            for _, view, loupe in self.shown(set_name, proposed)
        ]

    def views(self) -> list[SideView]:
        """The views that are displayed."""
        return [view for _, view in self._seen()]

    def at(self, set_name: str, proposed: Proposed | None) -> Loupe:
        """The first loupe, as it is held over a card of this set."""
        return self._held["loupe"].at(set_name, proposed)

    def put(self, set_name: str, loupe: Loupe, proposed: Proposed | None) -> None:
        """Hold the first loupe there."""
        self._held["loupe"].put(set_name, loupe, proposed)

    def turn(
        self,
        set_name: str,
        turned: Callable[[Loupe, Pane], Loupe],
        aspect: float,
        proposed: Proposed | None,
    ) -> None:
        """Hold a loupe otherwise: the second one where it is seen, since who asked for it reads the
        name; else the first. `aspect` is the scan's width over its height."""
        for title, view in self._seen()[-1:]:
            held, own = self._held[title], _for(title, proposed)
            pane = Pane(*view.box(), aspect)
            held.put(set_name, turned(held.at(set_name, own), pane), own)

    def save(self) -> None:
        """Keep where the loupes are."""
        for held in self._held.values():
            held.save()


def _for(title: str, proposed: Proposed | None) -> Proposed | None:
    """What is proposed is the number's place, which the second loupe is not for."""
    return proposed if title == "loupe" else None

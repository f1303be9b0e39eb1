"""What is seen of the card in front: which side, where the loupes are held, how it is centred."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING

from tagger.errors import Refused
from tagger.ui.desk.actions import Handler, Outcome
from tagger.ui.desk.layout import lay_out, one_at_a_time
from tagger.ui.keys import Action

if TYPE_CHECKING:
    from tagger.core.session.loupes.loupe import Loupe, Pane
    from tagger.ui.desk.parts import DeskParts

STEP = 1 / 2  # of the loupe's window, that a key moves it by
CLOSER = 0.8  # the window after a zoom, as a part of the window before

TURNS: Mapping[Action, Callable[[Loupe, Pane], Loupe]] = {
    Action.LOUPE_LEFT: lambda loupe, pane: loupe.moved(-STEP, 0, pane),
    Action.LOUPE_RIGHT: lambda loupe, pane: loupe.moved(STEP, 0, pane),
    Action.LOUPE_UP: lambda loupe, pane: loupe.moved(0, -STEP, pane),
    Action.LOUPE_DOWN: lambda loupe, pane: loupe.moved(0, STEP, pane),
    Action.LOUPE_IN: lambda loupe, pane: loupe.zoomed(CLOSER, pane),
    Action.LOUPE_OUT: lambda loupe, pane: loupe.zoomed(1 / CLOSER, pane),
    Action.LOUPE_SIDE: lambda loupe, _: loupe.flipped(),
    Action.LOUPE_CORNER: lambda loupe, pane: loupe.in_next_corner(pane),
}


class Looking:
    """The actions for it, and who has how much of the screen. Hint and message stay: the dealer
    looks to find out about them."""

    def __init__(self, parts: DeskParts) -> None:
        self._parts = parts
        self._face = "both"
        self.handlers: Mapping[Action, Handler] = {
            Action.FLIP: self._flip,
            Action.LOUPE_NAME: self._second_loupe,
            Action.LOUPE_NUMBER: self._to_number,
            Action.CENTERING: self._centering,
            **{action: partial(self._turn, turned) for action, turned in TURNS.items()},
        }

    def arrange(self) -> None:
        """Lay the desk out for the size of the screen, and draw it so."""
        parts = self._parts
        parts.previews.arrange(lay_out(*parts.size, self._face, parts.previews.loupes.names))
        # A view knows its size, and with it which picture fits, only once it has been laid out.
        parts.screen.call_after_refresh(parts.painting.now)

    def _turn(self, turned: Callable[[Loupe, Pane], Loupe]) -> Outcome:
        self._parts.previews.turn_loupe(self._parts.session, turned)
        return Outcome(None)

    def _to_number(self) -> Outcome:
        if not self._parts.previews.loupe_to_number(self._parts.session):
            raise Refused("Nothing is known yet of where this back has its number.")
        return Outcome(None)

    def _second_loupe(self) -> Outcome:
        loupes = self._parts.previews.loupes
        loupes.names = not loupes.names
        self.arrange()
        return Outcome(None)

    def _flip(self) -> Outcome:
        """The other side; a known card that is shown goes first, where only one side fits it comes
        between."""
        previews, size = self._parts.previews, self._parts.size
        single = one_at_a_time(*size)
        # The side that is seen, and not the one asked for: on a small screen both do not fit.
        face = lay_out(*size, self._face).face
        if self._compares_next(single, face):
            previews.comparing = single
            return Outcome()
        previews.comparing = False
        turns = ("front", "back") if single else ("both", "front", "back")
        self._face = turns[(turns.index(face) + 1) % len(turns)]
        self.arrange()
        return Outcome()

    def _compares_next(self, single: bool, face: str) -> bool:
        """Whether the key is for a known card: beside the front it goes, instead of it it comes."""
        previews = self._parts.previews
        if previews.known is None or self._parts.recognition.alike is None:
            return False
        if previews.comparing is single:
            return False
        return not single or face == "front"

    def _centering(self) -> Outcome:
        scan = self._parts.previews.side_in_loupe(self._parts.session)
        if scan is None:
            raise Refused("There is no scan to measure here.")
        self._parts.background.centering(scan)
        return Outcome("Measuring the side in the loupe.")

"""The desk's keys for looking closer. Hint and message stay: the dealer looks to find out about
them."""

from __future__ import annotations

from collections.abc import Callable

from textual.screen import Screen

from tagger.core.session.loupe import Loupe, Pane
from tagger.core.session.session import Session
from tagger.ui.desk.previews import Previews

# of the loupe's window, that a key moves it by; the window is low and the card high
ACROSS, DOWN = (
    1 / 8,
    1 / 4,
)
CLOSER = 0.8  # the window after a zoom, as a part of the window before
_ARROWS = {"left": "loupe_left", "right": "loupe_right", "up": "loupe_up", "down": "loupe_down"}
_STAYS = (
    "loupe_in",
    "loupe_out",
    "loupe_side",
    "next_card",
    "previous_card",
    "redraw",
    *_ARROWS.values(),
)

Done = tuple[None, bool]


class LoupeKeys(Screen[None]):
    """The part of the desk that has these keys."""

    _previews: Previews
    _session: Session
    _arrange: Callable[[], None]
    _do: Callable[[str], None]

    def _do_loupe_left(self) -> Done:
        return self._turn_loupe(lambda loupe, pane: loupe.moved(-ACROSS, 0, pane))

    def _do_loupe_right(self) -> Done:
        return self._turn_loupe(lambda loupe, pane: loupe.moved(ACROSS, 0, pane))

    def _do_loupe_up(self) -> Done:
        return self._turn_loupe(lambda loupe, pane: loupe.moved(0, -DOWN, pane))

    def _do_loupe_down(self) -> Done:
        return self._turn_loupe(lambda loupe, pane: loupe.moved(0, DOWN, pane))

    def _do_loupe_in(self) -> Done:
        return self._turn_loupe(lambda loupe, pane: loupe.zoomed(CLOSER, pane))

    def _do_loupe_out(self) -> Done:
        return self._turn_loupe(lambda loupe, pane: loupe.zoomed(1 / CLOSER, pane))

    def _do_loupe_side(self) -> Done:
        return self._turn_loupe(lambda loupe, _: loupe.flipped())

    def _turn_loupe(self, turned: Callable[[Loupe, Pane], Loupe]) -> Done:
        self._previews.turn_loupe(self._session, turned)
        return None, False

    def _do_loupe_name(self) -> Done:
        self._previews.names = not self._previews.names
        self._arrange()
        return None, False

    def _do_look(self) -> Done:
        self._look_closely(True)
        return None, False

    def _look_closely(self, on: bool) -> None:
        self._previews.look_closely(self._session, on)
        self.set_class(on, "-closely")
        self._arrange()

    def _turn_closely(self, key: str, id: str) -> bool:
        """Move in the close look or close it; any other key closes it and does its own work."""
        if key in _ARROWS:
            self._do(_ARROWS[key])
            return True
        if id in _STAYS:
            return False
        self._look_closely(False)
        return id in ("look", "take")

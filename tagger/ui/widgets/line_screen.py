"""A screen of boxes of lines: one line at each edge, a body between them, and a manual that takes
the body's place."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual.screen import Screen
from textual.timer import Timer

from tagger.ui.terminal.textual_private import always_fires


class LineScreen(Screen[None]):
    """Shows `#body` between its boxes; with the class `-manual`, `#manual` instead."""

    DEFAULT_CSS = """
    LineScreen { layout: vertical; background: #11161a; color: #d9d4c5; overflow: hidden; }
    LineScreen > LineBox { height: 1; }
    LineScreen > #body { height: 1fr; }
    LineScreen > #manual { display: none; height: 1fr; }
    LineScreen.-manual > #manual { display: block; }
    LineScreen.-manual > #body { display: none; }
    """

    def set_timer(
        self,
        delay: float,
        callback: Callable[[], Any] | None = None,
        *,
        name: str | None = None,
        pause: bool = False,
    ) -> Timer:
        """A timer that fires once, however busy the machine is. One that is lost would leave the
        screen as it is for good, while keys go on doing what nobody sees."""
        return always_fires(super().set_timer(delay, callback, name=name, pause=pause))

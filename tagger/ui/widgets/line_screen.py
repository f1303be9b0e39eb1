"""A screen of boxes of lines: one line at each edge, a body between them, and a manual that takes
the body's place."""

from __future__ import annotations

from textual.screen import Screen


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

"""What goes on behind the open lot: scans that arrive, and the audit. The desk only knows this shape of it."""

from __future__ import annotations

from typing import Protocol


class Watcher(Protocol):
    """Works in threads and processes of its own, and tells by the functions it was given; never raises."""

    def audit(self, lot: object) -> None:
        """Look through the lot as it is now; an audit that is not finished begins anew with what is known."""

    def split(self, front: str, back: str | None, position: int) -> None:
        """Find the cards of a sheet."""

    def centering(self, scan: str, turn: int) -> None:
        """Measure how a side is centred."""

    def look(self) -> float:
        """Look once for scans that came; seconds until the next look."""

    def close(self) -> None:
        """End all of it."""

"""Where the print of a card was read, as the card is shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tagger.core.session.loupes.print_places import around, shown_box
from tagger.ui.desk.pictures.seen import Posing, scans_of

if TYPE_CHECKING:
    from tagger.core.audit.poses import Poses
    from tagger.core.model.arrangement import Card
    from tagger.core.reading.printed import Evidence, Spot
    from tagger.core.session.loupes.loupe import Frame


class PrintedPlaces:
    """`evidence_of` gives what was read of a card, as far as that may be shown."""

    def __init__(self, poses: Poses) -> None:
        self._poses = poses
        self.evidence_of: Callable[[Card], Evidence | None] = lambda card: None
        self._last: dict[str, Spot] = {}  # where the number was on the last card, by the set

    def number(self, card: Card, set_name: str, posing: Posing) -> Spot | None:
        """Where the number of a card was read, else where it was on the last card of its set."""
        evidence = self.evidence_of(card)
        if evidence is not None and evidence.number_at is not None:
            self._last[set_name] = self.shown(evidence.number_at, card, posing)
        return self._last.get(set_name)

    def frames(self, card: Card | None, posing: Posing) -> list[tuple[str, Frame]]:
        """What is framed of a card, by the side that it is on."""
        evidence = None if card is None else self.evidence_of(card)
        if card is None or evidence is None:
            return []
        found = filter(None, (evidence.number_at, evidence.name_at))
        shown = (self.shown(spot, card, posing) for spot in found)
        return [(spot.side, around(spot.box)) for spot in shown]

    def shown(self, spot: Spot, card: Card, posing: Posing) -> Spot:
        """A place on a scan as it is shown."""
        scan = scans_of(card)[spot.side]
        if scan is None:
            return spot
        box = shown_box(spot.box, posing(scan), self._poses.measured(scan))
        return spot._replace(box=box)

"""The hub, of `tagger hub status`: as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from tagger.core.model.counted import counted
from tagger.core.stock.asked import DONE, OPEN, OVER, REFUSED
from tagger.services.hub.ages import age

if TYPE_CHECKING:
    from tagger.services.hub.status import HubStatus, StationStatus
    from tagger.store.hub.wishes import Asked

_MOST = 20  # answered wishes that are told; those that are open are told all
_SAID = {
    OPEN: "waiting",
    DONE: "confirmed",
    REFUSED: "refused",
    OVER: "over, the card is free again",
}


def as_json(status: HubStatus) -> dict[str, object]:
    """The document of --json."""
    return {
        "hub": status.hub or "",
        "reachable": status.hub is not None and not status.problem,
        "problem": status.problem,
        "stations": [
            {
                "name": one.name, "lots": one.lots, "cards": one.cards,
                "seconds": int(one.seconds), "own": one.own,
            }
            for one in status.stations
        ],
        "behind": status.behind,
        "asked": [
            {
                "by": one.wish.station, "of": one.owner, "lot": one.lot_name, "card": one.what,
                "order": one.wish.details.get("order", ""), "state": one.state, "why": one.why,
                "at": one.at,
            }
            for one in status.asked
        ],
    }  # fmt: skip


def as_text(status: HubStatus) -> Iterator[str]:
    """A line for the hub, each station, each lot that is behind, each wish."""
    if status.hub is not None:
        state = "cannot be asked; as it was pulled" if status.problem else "is there"
        yield f"The hub {status.hub} {state}."
    yield from map(_station, status.stations)
    if status.behind:
        yield f"Not published as they are now: {', '.join(status.behind)}."
    waiting = [one for one in status.asked if one.state == OPEN]
    rest = [one for one in status.asked if one.state != OPEN]
    yield from map(_line, (*waiting, *rest[:_MOST]))


def _station(one: StationStatus) -> str:
    cards = f", {counted(one.cards, 'card')}" if one.cards else ""
    here = " (this machine)" if one.own else ""
    return f"{one.name}{here}: {counted(one.lots, 'lot')}{cards}, published {age(one.seconds)}"


def _line(asked: Asked) -> str:
    order = asked.wish.details.get("order", "")
    why = f": {asked.why}" if asked.why else ""
    told = (
        f"{asked.at}  {asked.wish.station} asked {asked.owner or 'a station that is gone'}",
        asked.what,
        f"order {order}" if order else "",
    )
    return f"{', '.join(filter(None, told))}  ({_SAID[asked.state]}{why})"

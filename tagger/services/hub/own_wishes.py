"""What became of sales that this station asked of others, told once."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.core.stock.asked import DONE, OPEN, REFUSED
from tagger.errors import Refused
from tagger.store.hub.wishes import ask, became_of, lots_there
from tagger.store.machine.own_wishes import forget_wishes, waiting_wishes

if TYPE_CHECKING:
    from tagger.core.stock.asked import Wish
    from tagger.services.hub.hub import Hub
    from tagger.store.hub.connection import Connection


@dataclass
class Answers:
    """Sentences: on sales that were confirmed, and on those that came to nothing."""

    good: list[str] = field(default_factory=list)
    bad: list[str] = field(default_factory=list)


def own_answers(line: Connection, hub: Hub) -> Answers:
    """What became of what this station asked; what a hub that was made again does not know is asked
    once more."""
    told, waiting = Answers(), waiting_wishes()
    if not waiting:
        return told
    known = became_of(line, [wish.id for wish in waiting])
    there = lots_there(line, {wish.lot for wish in waiting})
    done: list[str] = []
    for wish in waiting:
        state, why = known.get(wish.id, ("", ""))
        # where its lot is not published again yet, it still waits
        if state == OPEN or (not state and wish.lot not in there):
            continue
        if not state and _asked_again(line, hub, wish, told):
            continue
        done.append(wish.id)
        _tell(wish, state, why, told)
    forget_wishes(done)
    return told


def _asked_again(line: Connection, hub: Hub, wish: Wish, told: Answers) -> bool:
    """Whether a wish waits again at a hub that does not know it."""
    try:
        with line.transaction():
            ask(line, hub.station, wish)
    except Refused as error:
        told.bad.append(f"{_what(wish)} cannot be sold after all: {error.message}")
        return False
    return True


def _tell(wish: Wish, state: str, why: str, told: Answers) -> None:
    if state == DONE:
        told.good.append(f"Confirmed: {_what(wish)} is sold.")
    elif state == REFUSED:
        told.bad.append(f"Refused: {_what(wish)} is not sold, for {why}.")
    elif state:
        told.bad.append(f"Over: the sale of {_what(wish)} was undone at its station.")


def _what(wish: Wish) -> str:
    seen, order = wish.seen, wish.details.get("order", "")
    name = " ".join(filter(None, (seen.get("set"), seen.get("number"), seen.get("subject"))))
    return printable(f"{name} (order {order})" if order else name, 120)

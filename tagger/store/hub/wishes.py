"""Sales of cards that lie at another station: asked for at the hub, where a card has one wish at
most, and answered by the station that has the card."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from tagger.core.model.text import printable
from tagger.core.stock.asked import OPEN, Wish
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.store.hub.connection import Connection
    from tagger.store.hub.stations import StationId

_LONGEST = 200  # characters of what is noted, as the command that sells has it


class Asked(NamedTuple):
    """A wish as the hub tells it: by whom, of which card, and what became of it. `at` is the hub's
    time in words."""

    wish: Wish
    owner: str
    lot_name: str
    what: str
    state: str
    why: str
    at: str


# The card must be there as it was seen; where anyone asked before, nothing is put in.
_ASK = """
    INSERT INTO tagger.asked (id, lot, card, station, seen, wish, state)
    SELECT %(id)s, card.lot, card.id, %(station)s, %(seen)s, %(wish)s, %(state)s
    FROM tagger.card
    WHERE card.lot = %(lot)s AND card.id = %(card)s
        AND card.doc @> %(seen)s AND NOT card.rest ? 'gone'
    ON CONFLICT (lot, card) WHERE state IN ('open', 'done') DO NOTHING
    RETURNING id
"""
_WHOSE = """
    SELECT station.name, to_char(asked.at, 'YYYY-MM-DD HH24:MI'), asked.id::text
    FROM tagger.asked JOIN tagger.station ON station.id = asked.station
    WHERE asked.lot = %s AND asked.card = %s AND asked.state IN ('open', 'done')
"""
_TOLD = """
    SELECT asked.id::text, asked.lot, asked.card, by.name, asked.seen, asked.wish,
        coalesce(owner.name, ''), coalesce(lot.state ->> 'name', ''), asked.state, asked.why,
        to_char(asked.at, 'YYYY-MM-DD HH24:MI')
    FROM tagger.asked
    JOIN tagger.station AS by ON by.id = asked.station
    LEFT JOIN tagger.lot ON lot.id = asked.lot
    LEFT JOIN tagger.station AS owner ON owner.id = lot.station
"""


def ask(line: Connection, station: StationId, wish: Wish, state: str = OPEN) -> None:
    """Put in a wish of this station, within a transaction of the caller's. Raises Refused where
    another one was there before, or the card is not as it was seen."""
    given = {
        "id": wish.id, "lot": wish.lot, "card": wish.card, "station": station.id, "state": state,
        "seen": json.dumps(dict(wish.seen)), "wish": json.dumps(dict(wish.details)),
    }  # fmt: skip
    if line.execute(_ASK, given).fetchone() is None:
        _refuse(line, wish, station.name)


def _refuse(line: Connection, wish: Wish, own: str) -> None:
    row = line.execute(_WHOSE, (wish.lot, wish.card)).fetchone()
    what = printable(
        " ".join(filter(None, (wish.seen.get("number"), wish.seen.get("subject")))), 60
    )
    if row is not None and row[2] == wish.id:
        return  # the same wish, sent once more
    if row is not None:
        by = "this station" if row[0] == own else printable(row[0], 40)
        raise Refused(f"{what} is already sold by {by} (since {row[1]}); nothing was changed.")
    raise Refused(
        f"{what} is not at the hub any more as it was pulled here (sold, or other tags); pull "
        "again: tagger hub pull."
    )


def claim(line: Connection, station: StationId, wish: Wish) -> None:
    """Note the sale of an own card, so that nobody else asks for it; a card that the hub does not
    have, or has otherwise, is nobody else's to ask for. Raises Refused where another station asked
    before."""
    given = (wish.lot, wish.card)
    row = line.execute(
        "SELECT rest ? 'gone' FROM tagger.card WHERE lot = %s AND id = %s", given
    ).fetchone()
    if row is None or row[0]:
        return
    line.execute(
        "INSERT INTO tagger.asked (id, lot, card, station, seen, wish, state) "
        "VALUES (%s, %s, %s, %s, %s, %s, 'done') "
        "ON CONFLICT (lot, card) WHERE state IN ('open', 'done') DO NOTHING",
        (
            wish.id, wish.lot, wish.card, station.id, json.dumps(dict(wish.seen)),
            json.dumps(dict(wish.details)),
        ),
    )  # fmt: skip
    whose = line.execute(_WHOSE, given).fetchone()
    # a sale of ours that was undone before it was published is ours still
    if whose is not None and whose[0] != station.name:
        _refuse(line, wish, station.name)


def withdraw(line: Connection, station: StationId, lot: str, card: int) -> bool:
    """Take an open wish of this station back; whether there was one."""
    done = line.execute(
        "UPDATE tagger.asked SET state = 'over', why = 'withdrawn', answered = now() "
        "WHERE lot = %s AND card = %s AND station = %s AND state = 'open'",
        (lot, card, station.id),
    )
    return done.rowcount > 0


def became_of(line: Connection, ids: Iterable[str]) -> dict[str, tuple[str, str]]:
    """(state, why) of some wishes, as far as the hub knows them."""
    rows = line.execute(
        "SELECT id::text, state, why FROM tagger.asked WHERE id = ANY(%s::uuid[])", (list(ids),)
    )
    return {str(id): (str(state), printable(why, 200)) for id, state, why in rows}


def lots_there(line: Connection, lots: Iterable[str]) -> set[str]:
    """Those of some lots that the hub has."""
    rows = line.execute("SELECT id FROM tagger.lot WHERE id = ANY(%s)", (list(lots),))
    return {str(row[0]) for row in rows}


def wishes_of(line: Connection, station: StationId) -> list[Wish]:
    """What others ask of this station's cards and nobody answered yet, the oldest first."""
    rows = line.execute(
        f"{_TOLD} WHERE asked.state = 'open' AND lot.station = %s ORDER BY asked.at, asked.id",
        (station.id,),
    )
    return [_asked(row).wish for row in rows]


def told_wishes(line: Connection, since_days: int = 30) -> list[Asked]:
    """All wishes that are open, and those that were answered lately, the newest first."""
    rows = line.execute(
        f"{_TOLD} WHERE asked.state = 'open' OR asked.answered > now() - make_interval(days => %s) "
        "ORDER BY asked.at DESC, asked.id",
        (since_days,),
    )
    return [_asked(row) for row in rows]


def answered(line: Connection, answers: Iterable[tuple[str, str, str]]) -> None:
    """Note (wish, state, why) of wishes that were open."""
    for id, state, why in answers:
        line.execute(
            "UPDATE tagger.asked SET state = %s, why = %s, answered = now() "
            "WHERE id = %s AND state = %s",
            (state, why, id, OPEN),
        )


def _asked(row: tuple[Any, ...]) -> Asked:
    id, lot, card, by, seen, wish, owner, name, state, why, at = row
    known = {str(name): str(value) for name, value in _document(seen).items()}
    what = " ".join(filter(None, (known.get("set"), known.get("number"), known.get("subject"))))
    return Asked(
        Wish(id, lot, card, printable(by, 40), known, _noted(wish)),
        printable(owner, 40), printable(name, 60), printable(what, 80), state,
        printable(why, 200), at,
    )  # fmt: skip


def _noted(said: object) -> Mapping[str, str]:
    """What is noted of a sale, as the command that sells would have it."""
    noted = _document(said).items()
    return {str(name): " ".join(str(value).split())[:_LONGEST] for name, value in noted}


def _document(said: object) -> Mapping[str, object]:
    """What a row says, nothing where it is not a document: any program may have written it."""
    return said if isinstance(said, dict) else {}

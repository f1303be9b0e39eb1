"""Sales as the hub sees them: of a card that lies at another station they are asked for there, and
an own one is noted there, so that no card is sold twice."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.stock.asked import Wish, is_sale, seen_of, wished
from tagger.errors import HubDown, HubError, Refused, TaggerError
from tagger.services.console import tell
from tagger.services.hub.hub import Hub, hub_of, named_hub
from tagger.store.hub.journal_place import journal_place
from tagger.store.hub.pulling import pull
from tagger.store.hub.wishes import ask, claim, withdraw
from tagger.store.machine.own_wishes import forget_wishes, remember_wishes, waiting_wishes
from tagger.store.machine.paths import is_pulled
from tagger.store.machine.pulled import read_pulled

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.model.tags import Marking
    from tagger.store.hub.connection import Connection
    from tagger.store.machine.paths import LotPlace


class Sales(NamedTuple):
    """Wishes for cards of other stations, and sales of own ones."""

    asked: list[Wish]
    own: list[Wish]


@contextlib.contextmanager
def sales_told(
    changes: Iterable[tuple[LotPlace, Sequence[Marking]]], settings: Settings
) -> Iterator[None]:
    """The hub knows of the sales among some changes once all within is done, or of none. The
    changes of own lots are made within. Raises Refused where another station has the word on a
    card; HubError where cards of others cannot be asked for: nothing was asked then."""
    hub = hub_of(settings)
    sales = _sales(changes, hub)
    if hub is None or not (sales.asked or sales.own):
        yield
        return
    done = False
    try:
        with hub.station_line() as line:
            with line.transaction():
                _put(line, hub, sales)
                yield
                done = True
            remember_wishes(sales.asked)
            _pull_again(line, hub, sales)
    except HubError as error:
        if sales.asked:
            raise _unsold(error, sales) from None
        if not done:
            yield
        tell(f"{error.message} The hub knows of the sale with the next tagger hub publish.")


def _put(line: Connection, hub: Hub, sales: Sales) -> None:
    for wish in sales.asked:
        ask(line, hub.station, wish)
    for wish in sales.own:
        claim(line, hub.station, wish)


def _pull_again(line: Connection, hub: Hub, sales: Sales) -> None:
    """Show here what is reserved now. It is asked for already, so nothing of it may fail."""
    with contextlib.suppress(TaggerError):
        for lot in {wish.lot for wish in sales.asked}:
            pull(line, hub.station, only=lot)


def _unsold(error: HubError, sales: Sales) -> HubError:
    what = " ".join(filter(None, (sales.asked[0].seen["number"], sales.asked[0].seen["subject"])))
    said = (
        f"Nothing was sold: {what} is at another station, and only the hub can say that it is "
        f"still there. {error.message}"
    )
    return HubDown(said) if isinstance(error, HubDown) else HubError(said)


def _sales(changes: Iterable[tuple[LotPlace, Sequence[Marking]]], hub: Hub | None) -> Sales:
    """The sales among some changes. Raises Refused where a card of another station would be changed
    otherwise, or there is no hub to ask."""
    found = Sales([], [])
    for place, marks in changes:
        if not is_pulled(place):
            if hub is not None:
                found.own.extend(_wishes(journal_place(place.home).id, marks, hub))
            continue
        if not all(is_sale(mark.before, mark.after) for mark in marks):
            raise Refused(
                f"{place.name} is another station's lot: only sales can be asked for from here. "
                "Nothing was changed."
            )
        if hub is None:
            raise Refused(
                f"{place.name} is another station's lot, and no hub is named in the settings; "
                "nothing was changed."
            )
        found.asked.extend(_wishes(place.home.name, marks, hub))
    return found


def _wishes(lot: str, marks: Iterable[Marking], hub: Hub) -> Iterator[Wish]:
    from uuid import uuid4

    for mark in marks:
        if lot and is_sale(mark.before, mark.after):
            seen, details = seen_of(mark.before.tags), wished(mark.before, mark.after)
            yield Wish(str(uuid4()), lot, mark.id, hub.station.name, seen, details)


def withdraw_wishes(place: LotPlace, cards: Sequence[int], settings: Settings) -> str:
    """Withdraw what this station asked of a lot of another one, as far as nobody entered it yet; a
    sentence. Raises Refused where nothing waits; HubDown, HubError, UsageError."""
    hub = named_hub(settings)
    with hub.station_line() as line:
        lot = place.home.name
        done = sum(withdraw(line, hub.station, lot, card) for card in cards)
        if not done:
            raise Refused(
                f"{place.name} is another station's lot, and no sale of this card waits there; "
                "nothing was changed."
            )
        mine = [one for one in waiting_wishes() if one.lot == lot and one.card in cards]
        forget_wishes([wish.id for wish in mine])
        with contextlib.suppress(TaggerError):
            pull(line, hub.station, only=lot)
    return f"{place.name}: withdrawn, so the card can be sold again."


def asked_of(places: Iterable[LotPlace]) -> str:
    """What was asked for of other stations, as a sentence; empty where nothing was."""
    pulled = read_pulled()
    names = {
        pulled.stations[pulled.lots[place.home.name].station].name
        for place in places
        if is_pulled(place) and place.home.name in pulled.lots
    }
    if not names:
        return ""
    return (
        f"Asked {' and '.join(sorted(names))}: reserved for you from now on, and sold once the "
        "station has confirmed it; tagger hub status shows that."
    )

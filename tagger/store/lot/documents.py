"""Values of the trade as JSON documents and back. Empty fields are left out of a document."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from typing import Any

from tagger.core.lot.carried import CARRIED_FIELDS, Carried, CarriedRun, Cursor
from tagger.core.lot.sitting import Sitting
from tagger.core.model.arrangement import Arrangement, Fixes, Pair, PlacedDivider
from tagger.core.model.scan_ref import ScanStamp
from tagger.core.model.side_order import SideOrder
from tagger.core.model.stock_number import HIGHEST
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.model.trade import NO_TRADE, Purchase, Trade

Document = dict[str, Any]

_TEXTS = ("set", "number", "subject", "team", "parallel", "serial", "condition", "place", "note")
# another program may have put a `price` of its own into the documents of an older lot
_PRICE = "own_price"
_BESIDE_TAGS = ("reason", "gone", "unsure", "confirmed", "running")
_TRADE = "trade"
_ONLY_TEXT = {str}
_STATES = {state.value: state for state in State}
_MENDED = ("left_out", "levels", "accepted", "joined", "restored")
# seconds since 1970 of a sitting, the year 2096; the clock of some machines goes no farther than
# 2106
LATEST = 4e9
CARD_FIELDS = frozenset(
    {"front", "back", "state", "listed", "extra", _PRICE, _TRADE, *_BESIDE_TAGS, *_TEXTS}
)


def mark_document(mark: Mark) -> Document:
    """A mark as one flat document."""
    tags = mark.tags
    document: Document = {"state": str(mark.state), **_filled(tags, _TEXTS)}
    if tags.price:
        document[_PRICE] = tags.price
    # Nearly every card is on a list, so that only the exception is written.
    if not tags.listed:
        document["listed"] = False
    if tags.extra:
        document["extra"] = [list(pair) for pair in tags.extra]
    if mark.trade is not NO_TRADE and (trade := _filled(mark.trade, Trade._fields)):
        document[_TRADE] = trade
    return {**document, **_filled(mark, _BESIDE_TAGS)}


def _filled(of: object, names: Iterable[str]) -> Document:
    """The fields with these names that are not empty."""
    return {name: value for name in names if (value := getattr(of, name))}


def read_mark(document: Mapping[str, Any]) -> Mark:
    """A mark from its document. Raises ValueError where a field has the wrong kind of value."""
    get = document.get
    texts = tuple(get(name, "") for name in _TEXTS)
    # asked once for all nine: a mark is read for each card of a journal that is replayed
    if {*map(type, texts)} != _ONLY_TEXT:
        texts = tuple(_text(text, name) for name, text in zip(_TEXTS, texts, strict=True))
    extra = tuple((_text(name, "extra"), _text(value, "extra")) for name, value in get("extra", ()))
    price = _text(get(_PRICE, ""), _PRICE)
    tags = Tags(*texts, bool(get("listed", True)), extra, price)  # type: ignore[call-arg]
    reason, gone = _text(get("reason", ""), "reason"), _text(get("gone", ""), "gone")
    said = get("state", "untagged")
    # Calling the enumeration costs several look-ups; that is left to what has to raise.
    state = _STATES.get(said) if isinstance(said, str) else None
    return Mark(
        state or State(said),
        tags,
        reason,
        gone,
        bool(get("unsure", False)),
        bool(get("confirmed", False)),
        _running(get("running", 0)),
        _trade(get(_TRADE)),
    )


def _running(value: object) -> int:
    # another hand may have written it
    if not isinstance(value, int) or not 0 <= value <= HIGHEST:
        raise ValueError("running is not a number of a card")
    return value


def _trade(document: Mapping[str, Any] | None) -> Trade:
    if not document:
        return NO_TRADE
    return Trade(**{name: _text(document.get(name, ""), name) for name in Trade._fields})


def purchase_document(purchase: Purchase) -> Document:
    """What a lot was bought for."""
    return _filled(purchase, Purchase._fields)


def read_purchase(document: Mapping[str, Any]) -> Purchase:
    """What a lot was bought for, from its document. Raises ValueError where a field is not text."""
    return Purchase(**{name: _text(document.get(name, ""), name) for name in Purchase._fields})


def cursor_document(cursor: Cursor) -> Document:
    """Position and carried tags, and the stretch where one is at work."""
    document: Document = {"position": cursor.position, "carried": _listed(cursor.carried.pairs)}
    if cursor.carried.divider:
        document["divider"] = cursor.carried.divider
    if stretch := cursor.carried.stretch:
        before = _listed(stretch.before)
        document["stretch"] = {
            "left": stretch.left,
            "fields": list(stretch.fields),
            "before": before,
        }
    return document


def _listed(pairs: Sequence[tuple[str, str]]) -> list[list[str]]:
    return [list(pair) for pair in pairs]


def read_cursor(document: Mapping[str, Any]) -> Cursor:
    """Position and carried tags from their document. Raises ValueError where a field has the wrong
    kind of value."""
    pairs = _pairs(document.get("carried", ()))
    divider = _text(document.get("divider", ""), "divider")
    return Cursor(
        int(document.get("position", 1)),
        Carried(pairs, _stretch(document.get("stretch")), divider),
    )


def _stretch(document: Mapping[str, Any] | None) -> CarriedRun | None:
    if document is None:
        return None
    fields = tuple(_text(name, "stretch") for name in document["fields"])
    left = int(document["left"])
    # another hand may have written it: work at a stretch of nothing would never end
    if left < 1 or not fields or not set(fields) <= set(CARRIED_FIELDS):
        raise ValueError("a next= range has no cards left, or fields that are not carried")
    return CarriedRun(left, fields, _pairs(document["before"]))


def _divider(said: Iterable[object]) -> PlacedDivider:
    placed = PlacedDivider(*(_text(one, "divider") for one in said))
    if not placed.scans:
        raise ValueError("a divider has no scan")
    return placed


def _pairs(listed: Iterable[tuple[object, object]]) -> tuple[tuple[str, str], ...]:
    return tuple((_text(name, "carried"), _text(value, "carried")) for name, value in listed)


def sitting_document(sitting: Sitting) -> Document:
    """One sitting."""
    return asdict(sitting)


def read_sitting(document: Mapping[str, Any]) -> Sitting:
    """One sitting, from its document. Raises ValueError or TypeError where a number is none."""
    at, seconds, away = (float(document[name]) for name in ("at", "seconds", "away"))
    if not (0 <= at <= LATEST and 0 <= seconds <= LATEST and 0 <= away <= LATEST):
        raise ValueError("a sitting has an impossible time")
    return Sitting(at, seconds, away, *(int(document[name]) for name in ("cards", "aside", "keys")))


def arrangement_document(arrangement: Arrangement) -> Document:
    """Which scans make which card."""
    document: Document = {
        "sides": str(arrangement.sides),
        "pairs": [list(pair) for pair in arrangement.pairs],
    }
    # a lot that the feeder got right is kept as it was before there were mends
    if mending := mending_document(arrangement.mending):
        document["mending"] = mending
    return document


def read_arrangement(document: Mapping[str, Any]) -> Arrangement:
    """Which scans make which card, from its document."""
    pairs = tuple(
        Pair(int(id), read_side(front), read_side(back)) for id, front, back in document["pairs"]
    )
    return Arrangement(
        SideOrder(document["sides"]), pairs, read_mending(document.get("mending", {}))
    )


def mending_document(mending: Fixes) -> Document:
    """What was put right, empty where nothing was."""
    document: Document = {name: list(value) for name, value in _filled(mending, _MENDED).items()}
    if mending.turns:
        document["turns"] = dict(mending.turns)
    if mending.stretches:
        document["stretches"] = [[scan, str(sides)] for scan, sides in mending.stretches]
    if mending.held:
        document["held"] = True
    if mending.dividers:
        document["dividers"] = [list(divider) for divider in mending.dividers]
    return document


def read_mending(document: Mapping[str, Any]) -> Fixes:
    """What was put right, from its document. Raises ValueError where a turn is none."""
    lists = {
        name: tuple(_text(value, name) for value in document.get(name, ())) for name in _MENDED
    }
    turns = tuple((str(scan), int(turn)) for scan, turn in document.get("turns", {}).items())
    if any(turn not in (90, 180, 270) for _, turn in turns):
        raise ValueError("a turn is 90, 180 or 270 degrees")
    begins = tuple(
        (_text(scan, "scan"), SideOrder(sides)) for scan, sides in document.get("stretches", ())
    )
    dividers = tuple(map(_divider, document.get("dividers", ())))
    # A lot that was kept before a kind of fix was known has no field for it.
    held = bool(document.get("held", False))
    return Fixes(**lists, turns=turns, stretches=begins, held=held, dividers=dividers)


def stamp_list(stamp: ScanStamp | None) -> list[Any] | None:
    """What a scan's file was, as the journal has it; None for nothing."""
    return None if stamp is None else list(stamp)


def read_stamp(listed: Sequence[Any] | None) -> ScanStamp | None:
    """What a scan's file was, from its list. Raises ValueError or TypeError where it is none."""
    if listed is None:
        return None
    size, time, digest = listed
    return ScanStamp(int(size), int(time), _text(digest, "digest"))


def stamp_document(scan: str, stamp: ScanStamp) -> Document:
    """What a scan's file was, as a document of `lot.json`."""
    return {"scan": scan, **stamp._asdict()}


def read_stamp_document(document: Mapping[str, Any]) -> tuple[str, ScanStamp]:
    """The scan and what its file was. Raises ValueError, KeyError or TypeError where it is none."""
    scan, size, time, digest = (document[name] for name in ("scan", "size", "time", "digest"))
    return _text(scan, "scan"), ScanStamp(int(size), int(time), _text(digest, "digest"))


def read_side(value: object) -> str | None:
    """The scan of a side of a card, None where there is none. Raises ValueError."""
    if value is None:
        return None
    return _text(value, "scan")


def _text(value: object, field: str) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{field} is not text")
    return value

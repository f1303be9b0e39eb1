"""What is to be mended, as it is typed: `missing back`, `70 swap`, `90 turn back 180 to 118`."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from tagger.core.feeding.order import feeding_key
from tagger.core.feeding.sequence import ALTERNATING, stretches
from tagger.core.fixes.cards import index_of
from tagger.core.fixes.display import Brighten, Turn
from tagger.core.fixes.feeding import MissingSide, NoScan, Reorder, SkipScan, SwapSides
from tagger.core.fixes.fix import Fix
from tagger.core.fixes.scans import Rescan, RestoreScan
from tagger.core.model.arrangement import Arrangement, SideOrder
from tagger.core.model.text import named, printable
from tagger.errors import Refused

WORDS = (
    ("drop back", "a scan too many: it is left out, and what was fed after it moves up"),
    ("missing back", "a side that was never scanned: from there on all scans move on by one"),
    ("without back", "this scan is no use: its card has no back, and nothing moves"),
    (
        "swap",
        "front and back of this card change places; 'swap on' from here to the end, 'swap to 95'",
    ),
    (
        "turn back 180",
        "turned clockwise by 90, 180 or 270 degrees; also 'on', 'to 118', or both sides: 'turn "
        "180'",
    ),
    ("order back, front", "another side order from here on; 'to 95' ends it"),
    (
        "rescan back",
        "the newest scan is this card's back; or a named one: 'rescan back scan_0242.jpg'",
    ),
    ("split", "a sheet of several cards becomes that many cards"),
    ("bring scan_0081.jpg", "a scan that was left out is taken in again"),
    (
        "levels on",
        "dark scans are brightened, all of the lot; 'levels on set' only this card's set; 'levels "
        "off'",
    ),
    ("join ../box13", "the cards of a folder beside this one come behind these, with their tags"),
)
SIDES = ("front", "back")
SetOf = Callable[[int], str]
_ORDERS = {re.sub(r"[^a-z]+", " ", str(order)): order for order in SideOrder}


@dataclass(frozen=True)
class FixRequest:
    """What was asked for: mends, or the card whose sheet is to be split, or the folder that is to
    be joined."""

    mends: tuple[Fix, ...] = ()
    split: int | None = None
    join: str = ""


def read_mend(text: str, here: int, lot: Arrangement, set_of: SetOf = lambda _: "") -> FixRequest:
    """What the words ask for. `here` is the card (from 1) that is meant where none is named;
    `set_of` a card gives its set.

    Raises Refused where they are not understood, with what can be said.
    """
    words = text.split()
    if words and words[0].isdecimal() and len(words[0]) < 10:
        here = int(words.pop(0))
    if not words:
        raise Refused(f"Say what to mend: {_known()}.")
    verb, rest = words[0].casefold(), words[1:]
    if verb not in _READERS:
        near = [known for known in _READERS if len(verb) > 1 and known.startswith(verb)]
        if len(near) != 1:
            raise Refused(f"'{printable(verb, 40)}' is no way to mend: {_known()}.")
        verb = near[0]
    return _READERS[verb](rest, here, lot, set_of)


def _known() -> str:
    return ", ".join(_READERS)


def _side(rest: list[str], verb: str) -> str:
    said = rest[0].casefold() if rest else ""
    side = next((side for side in SIDES if said and side.startswith(said)), "")
    if not side:
        raise Refused(f"Say which side: '{verb} front' or '{verb} back'.")
    return side


def _only_side(rest: list[str], verb: str) -> str:
    side = _side(rest, verb)
    if len(rest) > 1:
        raise Refused(f"'{printable(' '.join(rest[1:]), 40)}' is too much: say '{verb} {side}'.")
    return side


def _scan_at(lot: Arrangement, here: int, side: str) -> str:
    scan: str | None = getattr(lot.pairs[index_of(lot, here)], side)
    if scan is None:
        raise Refused(f"Card {here} has no {side}.")
    return scan


def _drop(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    return FixRequest((SkipScan(_scan_at(lot, here, _only_side(rest, "drop"))),))


def _without(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    return FixRequest((NoScan(_scan_at(lot, here, _only_side(rest, "without"))),))


def _missing(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    index_of(lot, here)
    return FixRequest((MissingSide(here, _only_side(rest, "missing")),))


def _last(rest: list[str], here: int, lot: Arrangement) -> tuple[int | None, list[str]]:
    """The last card of a span (None: to the end), and the words before it: `on`, `to 95`, else the
    card itself."""
    if rest and rest[-1].casefold() == "on":
        return None, rest[:-1]
    if len(rest) > 1 and rest[-2].casefold() == "to":
        if not rest[-1].isdecimal() or not here <= int(rest[-1][:9]) <= len(lot.pairs):
            raise Refused(
                f"'to {printable(rest[-1], 20)}' is no card from {here} to {len(lot.pairs)}."
            )
        return int(rest[-1]), rest[:-2]
    return here, rest


def _swap(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    last, left = _last(rest, here, lot)
    if left:
        raise Refused("Say 'swap', 'swap on' or 'swap to 95'.")
    pair = lot.pairs[index_of(lot, here)]
    if last == here:
        if pair.front is None or pair.back is None:
            raise Refused(f"Card {here} has one side only; 'missing' and 'drop' move scans.")
        return FixRequest((SwapSides(pair.front, pair.back),))
    sides = next(part.sides for part in stretches(lot) if part.first < here <= part.past)
    if sides not in ALTERNATING:
        raise Refused(f"Sides are read as {sides}; 'order' reads a stretch in another way.")
    other = SideOrder.ALTERNATE if sides is SideOrder.BACK_FIRST else SideOrder.BACK_FIRST
    return FixRequest((Reorder(here, last, other),))


def _turn(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    last, left = _last(rest, here, lot)
    degrees, sides = 180, list(SIDES)
    for word in left:
        if word.isdecimal():
            if word not in ("90", "180", "270"):
                raise Refused("A scan can be turned by 90, 180 or 270 degrees, clockwise.")
            degrees = int(word)
        else:
            sides = [_side([word], "turn")] if word.casefold() != "both" else sides
    first, past = index_of(lot, here), len(lot.pairs) if last is None else last
    scans = [getattr(pair, side) for pair in lot.pairs[first:past] for side in sides]
    there = tuple(scan for scan in scans if scan is not None)
    if not there:
        raise Refused(f"Card {here} has no {' or '.join(sides)}.")
    return FixRequest((Turn(there, degrees),))


def _order(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    last, left = (
        _last(rest, here, lot) if rest and (rest[-1] == "on" or "to" in rest) else (None, rest)
    )
    said = " ".join(re.sub(r"[^a-z]+", " ", " ".join(left).casefold()).split())
    found = [order for name, order in _ORDERS.items() if said and name.startswith(said)]
    exact = _ORDERS.get(said)
    if exact is None and len(found) != 1:
        raise Refused(f"Say which side order: {'; '.join(SideOrder)}.")
    index_of(lot, here)
    return FixRequest((Reorder(here, last, exact or found[0]),))


def _rescan(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    side = _side(rest, "rescan")
    index_of(lot, here)
    return FixRequest((Rescan(here, side, " ".join(rest[1:]) or _newest(lot, here)),))


def _newest(lot: Arrangement, here: int) -> str:
    """The scan that was fed last, if it is alone on its card and could be meant."""
    names = [name for pair in lot.pairs for name in pair[1:] if name is not None]
    newest = max(names, key=feeding_key)
    pair = next(pair for pair in lot.pairs if newest in pair[1:])
    if None not in pair[1:] or lot.pairs[here - 1] is pair:
        raise Refused(
            f"{named(newest)} is the newest scan, and has its own card; name the scan that is "
            "meant."
        )
    return newest


def _split(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    index_of(lot, here)
    if rest:
        raise Refused("Say 'split', with the position of another card before it.")
    return FixRequest(split=here)


def _bring(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    if not rest:
        left = ", ".join(named(scan) for scan in lot.mending.left_out[-5:])
        raise Refused(f"Name the scan to bring back: {left}." if left else "No scan was left out.")
    return FixRequest((RestoreScan(" ".join(rest)),))


def _levels(rest: list[str], here: int, lot: Arrangement, set_of: SetOf) -> FixRequest:
    said = [word.casefold() for word in rest]
    if said not in (["on"], ["off"], ["on", "set"], ["off", "set"]):
        raise Refused("Say 'levels on', 'levels off', or 'levels on set' for this card's set.")
    index_of(lot, here)
    set_name = set_of(here) if len(said) == 2 else "*"
    if not set_name:
        raise Refused("This card has no set yet; 'levels on' is for the whole lot.")
    if said == ["off"]:
        return FixRequest(
            tuple(Brighten(name, False) for name in lot.mending.levels) or (Brighten("*", False),)
        )
    return FixRequest((Brighten(set_name, said[0] == "on"),))


def _join(rest: list[str], here: int, lot: Arrangement, _: SetOf) -> FixRequest:
    if not rest:
        raise Refused("Name the folder to join: it lies beside this lot's own, '../box13'.")
    return FixRequest(join=" ".join(rest))


_READERS: dict[str, Callable[[list[str], int, Arrangement, SetOf], FixRequest]] = {
    "drop": _drop,
    "missing": _missing,
    "without": _without,
    "swap": _swap,
    "turn": _turn,
    "order": _order,
    "rescan": _rescan,
    "split": _split,
    "bring": _bring,
    "levels": _levels,
    "join": _join,
}

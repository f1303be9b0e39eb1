"""What is to be fixed, as it is typed: `missing back`, `70 swap`, `90 turn back 180 to 118`."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.core.feeding.order import feeding_key
from tagger.core.feeding.scan_sides import SIDES, scan_on
from tagger.core.feeding.sequence import ALTERNATING
from tagger.core.fixes.cards import index_of, segment_of
from tagger.core.fixes.display import Brighten, Turn
from tagger.core.fixes.feeding import MissingSide, NoScan, Reorder, SkipScan, SwapSides
from tagger.core.fixes.scans import Rescan, RestoreScan
from tagger.core.model.side_order import SideOrder
from tagger.core.model.text import named, printable
from tagger.errors import Misread, Refused

if TYPE_CHECKING:
    from tagger.core.fixes.fix import Fix
    from tagger.core.model.arrangement import Arrangement, Pair

WORDS = (
    ("drop back", "skips this scan, one too many; later scans move up"),
    (
        "missing back",
        "inserts an empty back: this side was never scanned; later scans shift by one",
    ),
    ("no back", "ignores this scan: the card has no back, and nothing moves"),
    (
        "swap",
        "swaps front and back; 'swap on' from here to the end, 'swap to 95' up to card 95",
    ),
    (
        "turn back 180",
        "rotates 90, 180 or 270 degrees clockwise; also 'on', 'to 118', or both sides: 'turn 180'",
    ),
    ("order back, front", "uses another side order from here on; 'to 95' ends it"),
    (
        "rescan back",
        "makes the newest scan this card's back; or name one: 'rescan back scan_0242.jpg'",
    ),
    ("split", "makes a sheet of several cards that many cards"),
    ("restore scan_0081.jpg", "restores a scan that was skipped"),
    (
        "brighten on",
        "brightens dark scans of the whole lot; 'brighten on set' only this card's set; 'brighten "
        "off'",
    ),
    (
        "same",
        "keeps the tags: the same card was scanned again under its old file names; also 'on', 'to "
        "95'",
    ),
    ("another", "removes the tags: another card has these file names now; also 'on', 'to 95'"),
    ("join ../box13", "appends the cards of a folder beside this one, with their tags"),
)
SetOf = Callable[[int], str]
_ORDERS = {re.sub(r"[^a-z]+", " ", str(order)): order for order in SideOrder}
DEGREES = ("90", "180", "270")


@dataclass(frozen=True)
class FixRequest:
    """What was asked for: fixes, or the card whose sheet is to be split, or the folder that is to
    be joined, or the answer (`same`, `another`) for the cards at these positions."""

    fixes: tuple[Fix, ...] = ()
    split: int | None = None
    join: str = ""
    answer: str = ""
    positions: Sequence[int] = ()


@dataclass(frozen=True)
class _Typed:
    """What was typed: the verb, the words behind it, and the card (from 1) that is meant.
    `set_of` a card gives its set."""

    verb: str
    rest: tuple[str, ...]
    here: int
    arrangement: Arrangement
    set_of: SetOf

    @property
    def index(self) -> int:
        """The card's index. Raises Refused where there is no such card."""
        return index_of(self.arrangement, self.here)

    @property
    def pair(self) -> Pair:
        """The card. Raises Refused where there is none."""
        return self.arrangement.pairs[self.index]

    @property
    def only_side(self) -> str:
        """The one side that is named. Raises Refused where there is none, or something else."""
        side = _side(self.rest[:1], self.verb)
        if len(self.rest) > 1:
            much = printable(" ".join(self.rest[1:]), 40)
            raise Misread(f"Unexpected '{much}'; type '{self.verb} {side}'.")
        return side

    @property
    def scan(self) -> str:
        """The card's scan of the side that is named. Raises Refused where it has none."""
        side = self.only_side
        scan = scan_on(self.pair.sides, side)
        if scan is None:
            raise Refused(f"Card {self.here} has no {side}.")
        return scan

    def span(self) -> tuple[int | None, list[str]]:
        """The last card that is meant (None: to the end), and the words before it: `on`, `to 95`,
        else the card itself."""
        rest = list(self.rest)
        if rest and rest[-1].casefold() == "on":
            return None, rest[:-1]
        if len(rest) < 2 or rest[-2].casefold() != "to":
            return self.here, rest
        return self._last(rest[-1]), rest[:-2]

    def _last(self, typed: str) -> int:
        """The card that ends a span. Raises Refused where it is none, or lies before it."""
        cards = len(self.arrangement.pairs)
        # Cut before it is read: Python refuses to read a number of thousands of digits.
        if not typed.isdecimal() or not self.here <= int(typed[:9]) <= cards:
            raise Misread(
                f"Unknown card in 'to {printable(typed, 20)}'; type one from {self.here} to "
                f"{cards}."
            )
        return int(typed)


def read_fix(
    text: str, here: int, arrangement: Arrangement, set_of: SetOf = lambda _: ""
) -> FixRequest:
    """What the words ask for. `here` is the card (from 1) that is meant where none is named;
    `set_of` a card gives its set.

    Raises Misread where they are not understood, with what can be said, and Refused where the card
    has not what they name.
    """
    words = text.split()
    # A longer number is no position; of thousands of digits Python would not even read it.
    if words and words[0].isdecimal() and len(words[0]) < 10:
        here = int(words.pop(0))
    if not words:
        raise Misread(f"Type a fix: {_known()}.")
    verb = _verb(words[0].casefold())
    return _READERS[verb](_Typed(verb, tuple(words[1:]), here, arrangement, set_of))


def _verb(typed: str) -> str:
    """The verb that is meant: it may be cut short as long as it is clear."""
    # In full first: one verb may be the beginning of another.
    if typed in _READERS:
        return typed
    near = [known for known in _READERS if len(typed) > 1 and known.startswith(typed)]
    if len(near) > 1:
        raise Misread(f"'{typed}' could be {' or '.join(near)}; type more of it.")
    if not near:
        raise Misread(f"Unknown fix '{printable(typed, 40)}'. Use one of: {_known()}.")
    return near[0]


def _known() -> str:
    return ", ".join(_READERS)


def _side(words: Sequence[str], verb: str) -> str:
    """The side that the first of the words names, if only by its first letters."""
    typed = words[0].casefold() if words else ""
    side = next((side for side in SIDES if typed and side.startswith(typed)), "")
    if not side:
        raise Misread(f"Name the side: '{verb} front' or '{verb} back'.")
    return side


def _drop(typed: _Typed) -> FixRequest:
    return FixRequest((SkipScan(typed.scan),))


def _no_scan(typed: _Typed) -> FixRequest:
    return FixRequest((NoScan(typed.scan),))


def _missing(typed: _Typed) -> FixRequest:
    # By its index, which refuses a card that the lot does not have.
    return FixRequest((MissingSide(typed.index + 1, typed.only_side),))


def _swap(typed: _Typed) -> FixRequest:
    last, left = typed.span()
    if left:
        raise Misread("Type 'swap', 'swap on' or 'swap to 95'.")
    pair = typed.pair
    if last == typed.here:
        if pair.front is None or pair.back is None:
            raise Refused(
                f"Card {typed.here} has only one side to swap; 'missing' and 'drop' move scans."
            )
        return FixRequest((SwapSides(pair.front, pair.back),))
    sides = segment_of(typed.arrangement, typed.index).sides
    # Only where sides alternate is "the other way round" one order: stacks have no opposite.
    if sides not in ALTERNATING:
        raise Refused(
            f"The side order here is {sides}, which has no opposite; use 'order' instead."
        )
    (other,) = set(ALTERNATING) - {sides}
    return FixRequest((Reorder(typed.here, last, other),))


def _turn(typed: _Typed) -> FixRequest:
    last, left = typed.span()
    degrees, sides = _turn_words(left)
    pairs = typed.arrangement.pairs[typed.index : last]
    scans = [scan_on(pair.sides, side) for pair in pairs for side in sides]
    there = tuple(scan for scan in scans if scan is not None)
    if not there:
        raise Refused(f"Card {typed.here} has no {' or '.join(sides)}.")
    return FixRequest((Turn(there, degrees),))


def _turn_words(words: Sequence[str]) -> tuple[int, Sequence[str]]:
    """By how many degrees, and which sides: half round and both where nothing is said."""
    degrees = 180
    sides: Sequence[str] = SIDES
    for word in words:
        if word.isdecimal():
            if word not in DEGREES:
                raise Misread("A scan can be rotated 90, 180 or 270 degrees clockwise.")
            degrees = int(word)
        elif word.casefold() != "both":
            sides = (_side([word], "turn"),)
    return degrees, sides


def _order(typed: _Typed) -> FixRequest:
    last: int | None = None
    left: Sequence[str] = typed.rest
    # Unlike a turn or a swap it holds from here on where nothing is said.
    if left and (left[-1] == "on" or "to" in left):
        last, left = typed.span()
    return FixRequest((Reorder(typed.index + 1, last, _side_order(left)),))


def _side_order(words: Sequence[str]) -> SideOrder:
    """The side order that the words name. Raises Refused where they name none, or several."""
    # Commas and case do not count, and as much as is clear is enough.
    said = " ".join(re.sub(r"[^a-z]+", " ", " ".join(words).casefold()).split())
    # "all fronts then all backs" is also how its reverse begins.
    exact = _ORDERS.get(said)
    if exact is not None:
        return exact
    found = [order for name, order in _ORDERS.items() if said and name.startswith(said)]
    if len(found) != 1:
        raise Misread(f"Name the side order: {'; '.join(SideOrder)}.")
    return found[0]


def _rescan(typed: _Typed) -> FixRequest:
    side = _side(typed.rest[:1], "rescan")
    # Names of scans may hold spaces, so all that is left is the name.
    name = " ".join(typed.rest[1:])
    return FixRequest((Rescan(typed.index + 1, side, name or _newest(typed)),))


def _newest(typed: _Typed) -> str:
    """The scan that was fed last, if it is alone on its card and could be meant."""
    newest = max(typed.arrangement.scans, key=feeding_key)
    pair = typed.arrangement.card_with(newest)
    # What was scanned again was fed alone: one that shares a card belongs there.
    if pair is None or None not in pair.sides or pair.id == typed.pair.id:
        raise Refused(
            f"The newest scan, {named(newest)}, already has a card; name the scan you mean."
        )
    return newest


def _split(typed: _Typed) -> FixRequest:
    position = typed.index + 1
    if typed.rest:
        raise Misread("Type 'split' alone, or with a card's position before it: '90 split'.")
    return FixRequest(split=position)


def _restore(typed: _Typed) -> FixRequest:
    if typed.rest:
        return FixRequest((RestoreScan(" ".join(typed.rest)),))
    left = ", ".join(named(scan) for scan in typed.arrangement.mending.left_out[-5:])
    if not left:
        raise Refused("No scan was skipped.")
    raise Misread(f"Name the scan to restore: {left}.")


def _brighten(typed: _Typed) -> FixRequest:
    said = [word.casefold() for word in typed.rest]
    if said not in (["on"], ["off"], ["on", "set"], ["off", "set"]):
        raise Misread(
            "Type 'brighten on', 'brighten off', or 'brighten on set' for this card's set."
        )
    set_name = _brightened(typed, of_set=len(said) == 2)
    if said == ["off"]:
        # Sets that were brightened one by one are switched off with the lot.
        names = typed.arrangement.mending.levels or ("*",)
        return FixRequest(tuple(Brighten(name, False) for name in names))
    return FixRequest((Brighten(set_name, said[0] == "on"),))


def _brightened(typed: _Typed, of_set: bool) -> str:
    """Which scans are meant: those of the card's set by its name, or `*` for all. Raises Refused
    where the card has no set."""
    # By set as a rule: shiny sets scan dark, and the others of the lot do not.
    set_name = typed.set_of(typed.index + 1) if of_set else "*"
    if not set_name:
        raise Refused("This card has no set yet; 'brighten on' is for the whole lot.")
    return set_name


def _answer(typed: _Typed) -> FixRequest:
    last, left = typed.span()
    if left:
        raise Misread(f"Type '{typed.verb}', '{typed.verb} on' or '{typed.verb} to 95'.")
    cards = range(typed.index + 1, (last or len(typed.arrangement.pairs)) + 1)
    return FixRequest(answer=typed.verb, positions=cards)


def _join(typed: _Typed) -> FixRequest:
    if not typed.rest:
        raise Misread("Name the folder to join, one beside this lot's: 'join ../box13'.")
    # Only its name: rules read no files, whoever asked for this does.
    return FixRequest(join=" ".join(typed.rest))


_READERS: dict[str, Callable[[_Typed], FixRequest]] = {
    "drop": _drop,
    "missing": _missing,
    "no": _no_scan,
    "swap": _swap,
    "turn": _turn,
    "order": _order,
    "rescan": _rescan,
    "split": _split,
    "restore": _restore,
    "brighten": _brighten,
    "same": _answer,
    "another": _answer,
    "join": _join,
}

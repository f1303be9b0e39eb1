"""Feeding order, and which scan is which side of which card."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby

from tagger.core.model.side_order import SideOrder
from tagger.core.model.text import natural

Sides = tuple[str | None, str | None]

# A part of a file is named as by W3C Media Fragments URI 1.0, 4.2.2 (xywh, in pixels), and RFC
# 8118, 3 (page, from 1).
_BOX = r"xywh=(?P<box>[0-9]{1,9},[0-9]{1,9},[0-9]{1,9},[0-9]{1,9})"
_PAGE = re.compile(rf"^(?P<file>.+\.tiff?)#page=(?P<page>[0-9]{{1,9}})(?:&{_BOX})?$", re.IGNORECASE)
_PART = re.compile(rf"^(?P<file>.+\.(?:tiff?|jpe?g|jpe|png|webp|bmp))#{_BOX}$", re.IGNORECASE)
Box = tuple[int, int, int, int]
# A date and a time of day, with or without marks between: 2031-05-02 12-30-59, 20310502_123059.
_TIME = re.compile(
    r"(19|20)[0-9]{2}[-_.]?[0-9]{2}[-_.]?[0-9]{2}[ "
    r"T_.-]*[0-2][0-9][-_.]?[0-5][0-9]([-_.]?[0-5][0-9])?"
)
# Right behind a number one letter is a side, `scan12b`; behind a letter it would be part of a word.
_NAMED_END = re.compile(
    r"^(?P<stem>.+?)(?:[ _.-]+(?P<word>front|back|[fba])|(?<=[0-9])(?P<letter>[fba]))$",
    re.IGNORECASE,
)
_SIDE_WORDS = {"front": "front", "f": "front", "a": "front", "back": "back", "b": "back"}
_NAMED_START = re.compile(r"^(?P<word>front|back)s?[ _.-]+(?P<stem>.+)$", re.IGNORECASE)


def scan_name(file: str, page: int | None = None) -> str:
    """The name of a scan: the file's, with `#page=N` (from 1) for one page of a TIFF that holds
    several."""
    if page is None:
        return file
    return f"{file}#page={page}"


def part_name(name: str, box: Box) -> str:
    """The name of a part of a scan, one card of a sheet: `box` is left, upper, width and height in
    pixels of the scan as it is shown upright."""
    return f"{name}{'&' if '#page=' in name else '#'}xywh={','.join(str(number) for number in box)}"


def split_scan(name: str) -> tuple[str, int]:
    """A scan's file name and page, counted from 0."""
    if "#" not in name:
        return name, 0  # nearly all of them, and a large lot has thousands
    if page := _PAGE.match(name):
        return page["file"], int(page["page"]) - 1
    if part := _PART.match(name):
        return part["file"], 0
    return name, 0


def scan_box(name: str) -> Box | None:
    """The part of its picture that a scan is (left, upper, width, height in pixels); None where it
    is all of it."""
    if "#" not in name:
        return None
    match = _PAGE.match(name) or _PART.match(name)
    box = match["box"] if match else None
    if box is None:
        return None
    left, upper, width, height = (int(number) for number in box.split(","))
    return left, upper, width, height


def _stem(name: str) -> str:
    file, _ = split_scan(name)
    return file.rpartition(".")[0] or file


_Key = tuple[tuple[str | int, ...], tuple[str | int, ...], tuple[str | int, ...], str, int, Box]


def feeding_key(name: str) -> _Key:
    """Sorts scans into feeding order: those of the lot's own folder first, then those of joined
    folders."""
    file, page = split_scan(name)
    folder, _, own = file.rpartition("/")
    # The name without its ending first: `7-b.jpg` would else come before `7.jpg`, since a hyphen
    # sorts before a point.
    return (
        natural(folder),
        natural(_stem(own)),
        natural(own),
        file,
        page,
        scan_box(name) or (0, 0, 0, 0),
    )


def feeding_order(names: Iterable[str]) -> list[str]:
    """Scans in the order in which they were fed: natural order of the names, pages of one file in
    turn."""
    # Natural order: scan_10 comes after scan_9, whatever the letters say.
    return sorted(names, key=feeding_key)


def scanner_run(name: str) -> str:
    """What the scans of one run of the scanner share: the name without its counting number."""
    file, _ = split_scan(name)
    if file != name:
        return file
    return re.sub(r"[0-9]+\D*$", "", _TIME.sub("", _stem(name))).rstrip(" _.-(").casefold()


def run_number(name: str) -> tuple[str, int] | None:
    """(run of the scanner, counting number) of a scan; None where its name tells a time, or has no
    number."""
    file, page = split_scan(name)
    if file != name:
        return file, page + 1
    stem = _stem(name)
    digits = re.findall(r"[0-9]+", stem)
    # More digits than a counter has are a hash or an identity, and say nothing of what came before.
    if not digits or len(digits[-1]) >= 16 or _TIME.search(stem):
        return None
    return scanner_run(name), int(digits[-1])


def named_side(name: str) -> tuple[str, str] | None:
    """(stem, `front` or `back`) where the file's name says its side: `_f`/`_b`, `-front`/`-back`,
    `a`/`b`."""
    stem = _stem(name)
    # The end goes first: that is where scanning programs put the side (common practice, no source).
    match = _NAMED_END.match(stem) or _NAMED_START.match(stem)
    if match is None:
        return None
    word = match["word"] or match.groupdict().get("letter") or ""
    return match["stem"].casefold(), _SIDE_WORDS[word.lower()]


def recognise(names: Sequence[str]) -> SideOrder:
    """The side order that the file names themselves tell: by name where most of them come as front
    and back."""
    seen: dict[str, set[str]] = {}
    for stem, side in filter(None, map(named_side, names)):
        seen.setdefault(stem, set()).add(side)
    both = sum(len(sides) == 2 for sides in seen.values())
    # A few names that happen to end in a letter must not make a rule for all the others.
    if both and both * 4 >= len(names):
        return SideOrder.NAMED
    return SideOrder.ALTERNATE


def pair_up(
    names: Sequence[str], sides: SideOrder, run: Callable[[str], object] = scanner_run
) -> list[Sides]:
    """Cards as (front, back) in feeding order; a side that no scan shows is None.

    Pictures of different runs of the scanner (another name before the number) never share a card in
    the alternating orders; `run` tells which one a scan is of. With an odd number in the two-stack
    orders the last front stays without a back."""
    ordered = feeding_order(names)
    match sides:
        case SideOrder.FRONT_ONLY:
            return [(name, None) for name in ordered]
        case SideOrder.NAMED:
            return _pair_named(ordered)
        case SideOrder.FRONTS_THEN_BACKS | SideOrder.FRONTS_THEN_BACKS_REVERSED:
            return _pair_stacks(ordered, sides is SideOrder.FRONTS_THEN_BACKS_REVERSED)
        case SideOrder.BACK_FIRST:
            return [(second, first) for first, second in _pair_in_turn(ordered, run)]
        case SideOrder.ALTERNATE:
            return _pair_in_turn(ordered, run)


def _pair_in_turn(ordered: Iterable[str], run_of: Callable[[str], object]) -> list[Sides]:
    # A run of the scanner that ends with half a card must not shift the run behind it.
    return [card for _, run in groupby(ordered, key=run_of) for card in _in_pairs(run)]


def _in_pairs(run: Iterable[str]) -> Iterator[Sides]:
    """Two scans after each other as one card; the last one may be alone."""
    scans: list[str | None] = list(run)
    if len(scans) % 2:
        scans.append(None)
    return zip(scans[::2], scans[1::2], strict=True)


def _pair_stacks(ordered: list[str], reverse: bool) -> list[Sides]:
    # The feeder takes fronts first: an odd scan is a front whose back is still to come.
    half = (len(ordered) + 1) // 2
    fronts = ordered[:half]
    backs: list[str | None] = list(ordered[half:])
    if reverse:
        backs.reverse()
    if len(backs) < len(fronts):
        backs.append(None)
    return list(zip(fronts, backs, strict=True))


def _pair_named(ordered: list[str]) -> list[Sides]:
    """Cards by what stands before the side in their names; a name that says no side is a front."""
    cards: dict[tuple[str, str], dict[str, str]] = {}
    for name in ordered:
        named = named_side(name)
        stem, side = named or (name, "front")
        key = ("named" if named else "plain", stem)
        # a second scan of the same side, such as 7_f.jpg beside 7_f.png
        if side in cards.get(key, ()):
            key = ("again", name)
        cards.setdefault(key, {})[side] = name
    in_order = sorted(cards.items(), key=lambda card: natural(card[0][1]))
    return [(card.get("front"), card.get("back")) for _, card in in_order]

"""Scans that have other names by now: each tagged card goes with its scans."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.model.arrangement import Arrangement, Fixes, Pair
from tagger.core.model.tags import Mark, State

if TYPE_CHECKING:
    from tagger.core.feeding.order import Sides


def followed(
    arrangement: Arrangement, marks: Mapping[int, Mark], renamed: Mapping[str, str]
) -> dict[str, str]:
    """Those of the renamed scans whose cards can follow them: under the new name lies no scan that
    is left out, and none of a marked card that does not follow its own."""
    left = dict(renamed)
    held = {
        scan
        for pair in arrangement.pairs
        if _is_marked(marks, pair)
        for scan in pair.scans
    }  # fmt: skip
    out = set(arrangement.mending.left_out)
    # Again and again: a scan that cannot follow keeps its old name, which another one may have
    # wanted.
    while stuck := [was for was, now in left.items() if _is_taken(now, left, held) or now in out]:
        for was in stuck:
            del left[was]
    return left


def _is_taken(name: str, renamed: Mapping[str, str], held: Collection[str]) -> bool:
    return name in held and name not in renamed


def with_names(
    arrangement: Arrangement,
    marks: Mapping[int, Mark],
    renamed: Mapping[str, str],
    there: Collection[str],
) -> Arrangement:
    """The arrangement with the names that scans have now. An untagged card whose scans are gone, or
    lie on a tagged card now, goes: what is in the folder makes cards anew."""
    pairs = tuple(_named_now(arrangement, marks, renamed, there))
    return replace(arrangement, pairs=pairs, mending=_fixes(arrangement.mending, renamed))


def _named_now(
    arrangement: Arrangement,
    marks: Mapping[int, Mark],
    renamed: Mapping[str, str],
    there: Collection[str],
) -> Iterator[Pair]:
    moved_to = set(renamed.values())
    for pair in arrangement.pairs:
        if _is_marked(marks, pair):
            yield Pair(pair.id, *(renamed.get(scan or "", scan) for scan in pair.sides))
            continue
        front, back = _left_of(pair, moved_to, there)
        if front or back:
            yield Pair(pair.id, front, back)


def _left_of(pair: Pair, moved_to: Collection[str], there: Collection[str]) -> Sides:
    front, back = (scan if scan in there and scan not in moved_to else None for scan in pair.sides)
    return front, back


def _fixes(fixes: Fixes, renamed: Mapping[str, str]) -> Fixes:
    """What was put right, under the names of now; what was said of a scan that had such a name is
    said no more."""
    # Names may go round in a circle: one that is renamed itself takes what was said of it along.
    overtaken = {name for name in renamed.values() if name not in renamed}
    return replace(
        fixes,
        turns=tuple(
            (renamed.get(scan, scan), turn) for scan, turn in fixes.turns if scan not in overtaken
        ),
        stretches=tuple(
            (renamed.get(scan, scan), sides)
            for scan, sides in fixes.stretches
            if scan not in overtaken
        ),
        restored=tuple(renamed.get(scan, scan) for scan in fixes.restored if scan not in overtaken),
    )


def _is_marked(marks: Mapping[int, Mark], pair: Pair) -> bool:
    return marks.get(pair.id, Mark()).state is not State.UNTAGGED

"""What the scans of a card were when it was tagged, so that other pictures under the same names are
noticed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.model.scan_ref import ScanStamp, StampChange, Stamped

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Arrangement, Pair
    from tagger.core.model.tags import Mark, Marking


def names_anew(marking: Marking) -> bool:
    """Whether a card is said to be another one than before, or is tagged for the first time."""
    before, after = marking.before, marking.after
    return after.named and (not before.named or _which(before) != _which(after))


def _which(mark: Mark) -> tuple[str, str, str]:
    return mark.tags.set, mark.tags.number, mark.tags.subject


def newly_tagged(lot: LotView, markings: Iterable[Marking]) -> Iterator[str]:
    """The scans of the cards that had no tags before these markings."""
    pairs = lot.arrangement.pairs
    for id, before, after in markings:
        if not after.named or before.named:
            continue
        position = lot.arrangement.position_of(id)
        if position is not None:
            yield from pairs[position - 1].scans


def newly_placed(
    lot: LotView, before: Arrangement, after: Arrangement, markings: Iterable[Marking] = ()
) -> Iterator[str]:
    """The scans of tagged cards that have other scans after than before, as far as nothing is known
    of their files. `markings` are made with the change."""
    if before is after:
        return
    had, marks = set(before.pairs), {id: mark for id, _, mark in markings}
    for pair in after.pairs:
        if pair not in had and (marks.get(pair.id) or lot.mark(pair.id)).named:
            yield from (scan for scan in pair.scans if scan not in lot.stamps)


def named_pairs(lot: LotView) -> Iterator[tuple[int, Pair]]:
    """(position from 1, pair) of each card whose mark says which card it is."""
    for position, pair in enumerate(lot.arrangement.pairs, start=1):
        if lot.mark(pair.id).named:
            yield position, pair


def other_scans(lot: LotView, pair: Pair, now: Mapping[str, ScanStamp]) -> tuple[str, ...]:
    """The scans of a card whose files are others than when it was tagged. `now` has the files that
    are not as they were, as they are."""
    return tuple(scan for scan in pair.scans if _is_other(lot, scan, now))


def _is_other(lot: LotView, scan: str, now: Mapping[str, ScanStamp]) -> bool:
    there, was = now.get(scan), lot.stamps.get(scan)
    # A lot of before files were stamped knows nothing of them, and asks nothing.
    return there is not None and was is not None and not was.is_as(there)


def asked_cards(lot: LotView, now: Mapping[str, ScanStamp]) -> list[int]:
    """The positions of the cards of which it is asked whether they are still the same: see
    `other_scans`."""
    # by what changed and not by the cards: seldom anything did
    pairs = {lot.arrangement.card_with(scan) for scan in now if _is_other(lot, scan, now)}
    asked = (
        lot.arrangement.position_of(pair.id)
        for pair in pairs
        if pair is not None and lot.mark(pair.id).named
    )
    return sorted(position for position in asked if position is not None)


def replaced_words(positions: Sequence[int]) -> str:
    """That the scans of these cards are other files, as a clause; empty where there are none."""
    if not positions:
        return ""
    if len(positions) == 1:
        return f"the scans of card {positions[0]} were replaced since it was tagged"
    cards = f"{len(positions)} cards, starting with card {positions[0]},"
    return f"the scans of {cards} were replaced since they were tagged"


def not_digested(lot: LotView) -> list[str]:
    """The scans of such cards whose files were not read yet, or not even looked at."""
    stamps = lot.stamps
    scans = (scan for _, pair in named_pairs(lot) for scan in pair.scans)
    return [scan for scan in scans if (was := stamps.get(scan)) is None or not was.digest]


def digests_found(lot: LotView, found: Mapping[str, ScanStamp]) -> Stamped:
    """What was found of files of the scans of tagged cards, as far as it adds to what is known: a
    digest of the same file, or another time of it."""
    return tuple((scan, now) for scan, now in found.items() if _adds(lot.stamps.get(scan), now))


def _adds(was: ScanStamp | None, now: ScanStamp) -> bool:
    # a file that is another one is asked about, and never just noted
    return was is None or (was != now and bool(now.digest) and was.is_as(now))


def renamed_stamps(lot: LotView, renamed: Mapping[str, str]) -> Iterable[StampChange]:
    """What is known of files, under the names that they have now."""
    # Names may have changed places: one that is another scan's name now is not gone.
    gone = {scan: None for scan in renamed if scan not in renamed.values()}
    there = {now: lot.stamps.get(was) for was, now in renamed.items()}
    for scan, after in {**gone, **there}.items():
        yield StampChange(scan, lot.stamps.get(scan), after)

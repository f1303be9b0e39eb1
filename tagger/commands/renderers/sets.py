"""The sets of `tagger sets`, as text, JSON and rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tagger.core.model.counted import counted
from tagger.core.reports.completion import SetCount, Share, Want, spans

if TYPE_CHECKING:
    from tagger.services.holdings import HeldSets

LONGEST = 1900  # characters of a line of numbers
COLUMNS = ("set", "parallel", "print run", "have", "of", "percent", "duplicates")


def as_json(held: HeldSets, wants: Sequence[Want] | None) -> dict[str, object]:
    """The document of --json; with the cards that are missing where `wants` has them."""
    missing = {} if wants is None else {"wants": [want._asdict() for want in wants]}
    return {
        "lots": held.lots,
        "sets": [_set_document(count) for count in held.counts],
        "empty_sets": held.without_cards,
        "unlisted": held.holdings.unlisted,
        **missing,
        "problems": list(held.problems),
        "skipped": list(held.skipped),
    }


def _set_document(count: SetCount) -> dict[str, object]:
    parallels = [
        {"parallel": share.parallel, "print_run": share.run, **_share_document(share)}
        for share in count.parallels
    ]
    return {
        "set": count.set,
        "copies": count.copies,
        **_share_document(count.base),
        "parallels": parallels,
    }


def _share_document(share: Share) -> dict[str, object]:
    return {
        "have": share.have,
        "of": share.cards,
        "percent": share.percent,
        "duplicates": share.doubles,
    }


def as_rows(held: HeldSets) -> list[tuple[str | int, ...]]:
    """The rows of a list of shares, by COLUMNS."""
    return [
        (
            count.set,
            share.parallel,
            share.run or "",
            share.have,
            share.cards,
            str(share.percent),
            share.doubles,
        )
        for count in held.counts
        for share in (count.base, *count.parallels)
    ]


def as_text(held: HeldSets) -> Iterator[str]:
    """How much there is of each set; where the sets were named, card by card."""
    for set_id, count in zip(held.ids, held.counts, strict=True):
        yield f"{count.set}: {_share_text(count.base)}"
        for share in count.parallels:
            # A set may have dozens of parallels; in the summary those without a card are noise.
            if share.have or held.named:
                run = f" /{share.run}" if share.run else ""
                yield f"  {share.parallel}{run}: {_share_text(share)}"
        if held.named:
            yield from _cards_text(held, set_id)
    yield from _rest_text(held)


def wants_as_text(held: HeldSets, wants: Sequence[Want], listed: bool) -> Iterator[str]:
    """How many cards are missing, and with `listed` each of them."""
    for want in wants if listed else ():
        parts = (want.series, want.team, want.parallel)
        more = "".join(f", {part}" for part in parts if part)
        yield f"{want.set}  #{want.number} {want.subject}{more}"
    missing = counted(len(wants), "card is", "cards are")
    yield f"{missing} missing in {counted(len(held.ids), 'set')}."
    yield from _rest_text(held)


def _rest_text(held: HeldSets) -> Iterator[str]:
    if held.without_cards:
        yield f"{counted(held.without_cards, 'other set')}: no cards yet."
    if held.holdings.unlisted:
        yield (
            f"{counted(held.holdings.unlisted, 'tagged card is', 'tagged cards are')} not in a "
            "checklist, or in a parallel that the checklist does not have."
        )


def _cards_text(held: HeldSets, set_id: int) -> Iterator[str]:
    missing: dict[str, list[str]] = {}
    for want in held.holdings.wants(set_id):
        missing.setdefault(want.series, []).append(want.number or want.subject)
    # cards of one number are told apart by their series
    for series, numbers in missing.items():
        of_series = f" of {series}" if series else ""
        yield f"  missing base cards{of_series}: {_cut(spans(numbers))}"
    for card, copies in held.holdings.doubles(set_id):
        called = ", ".join(filter(None, (card.subject, card.series, card.parallel or "base")))
        yield f"  {copies} copies: #{card.number} {called}"


def _cut(numbers: str) -> str:
    """Numbers with commas between, as many as a line has room for."""
    # A line of the answer is cut at 2,000 characters, where half a number would stand.
    if len(numbers) <= LONGEST:
        return numbers
    return numbers[:LONGEST].rpartition(",")[0] + " … (--wants lists all)"


def _share_text(share: Share) -> str:
    doubles = f", {counted(share.doubles, 'duplicate')}" if share.doubles else ""
    return f"{share.have} of {share.cards} ({share.percent}%){doubles}"

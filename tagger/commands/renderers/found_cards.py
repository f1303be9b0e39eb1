"""The cards that were found, of `tagger find`: as text and as JSON."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from itertools import groupby

from tagger.core.index.location_builder import Name, name_of
from tagger.core.model.counted import counted
from tagger.core.model.money import price_text, told_price
from tagger.core.model.scan_ref import LotRef
from tagger.core.model.tags import State
from tagger.core.reports.card_search import SearchHit, SearchResults, lies
from tagger.store.machine.paths import LotPlace, is_pulled

_TAGS = (
    "set", "number", "subject", "team", "parallel", "serial", "condition", "place", "note",
)  # fmt: skip


def as_json(words: str, found: SearchResults, skipped: Sequence[str]) -> dict[str, object]:
    """The document of --json."""
    return {
        "words": words,
        "cards": [_document(card) for card in found.cards],
        "sold_or_pulled": found.gone,
        "truncated": found.more,
        "skipped": list(skipped),
    }


def _document(card: SearchHit) -> dict[str, object]:
    place = LotPlace.of(LotRef.read(card.lot))
    # A folder's name may have bytes that are not UTF-8.
    folder = os.fspath(place.folder).encode("utf-8", "backslashreplace").decode()
    return {
        "lot": place.name,
        "folder": "" if is_pulled(place) else folder,
        "position": card.position,
        "cards": card.cards,
        "depth": card.from_front,
        "previous_card": card.before,
        "next_card": card.after,
        "front": card.front,
        "back": card.back,
        "state": card.mark.standing,
        "stock_number": card.stock_number,
        **{name: getattr(card.mark.tags, name) for name in _TAGS},
        "price": price_text(card.mark.tags),
    }


def as_text(found: SearchResults) -> Iterator[str]:
    """Each card with the places of its copies below it. Those that left their place are only
    counted beside others, and told where there are none."""
    # Not sorted first: `find` gives copies of one card one after the other.
    for kind, copies in groupby(found.cards or found.every, key=_kind):
        yield _shown(kind)
        for card in copies:
            yield f"  {_copy(card)}"
    if found.gone and found.cards:
        yield f"{counted(found.gone, 'more was', 'more were')} sold or pulled."
    if found.more:
        yield "More cards match; add a word, or raise --limit."


def _kind(card: SearchHit) -> Name:
    return name_of(card.mark.tags)


def _shown(name: Name) -> str:
    before = f"#{name.number} " if name.number else ""
    behind = "".join(f", {part}" for part in (name.series, name.team) if part)
    return f"{name.set}  {before}{name.subject}{behind}"


def _copy(card: SearchHit) -> str:
    tags = card.mark.tags
    state = "set aside" if card.mark.state is State.SET_ASIDE else ""
    costs = told_price(tags)
    price = f"price {costs}" if costs else ""
    parts = (tags.variant, tags.condition, price, state, card.stock_number)
    what = ", ".join(part for part in parts if part)
    scans = " ".join(scan for scan in (card.front, card.back) if scan)
    return f"{LotPlace.of(LotRef.read(card.lot)).name}: {lies(card)}  ({what})  {scans}"

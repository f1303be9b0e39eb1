"""Whether a list was read as its maker means it: each card with every fact, and nothing besides."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from support.hobby.world import ANY, Card, Made, Said
from tagger.core.model.money import list_price, parse_price
from tagger.core.model.tags import is_base, series_of
from tagger.errors import LotError
from tagger.store.read_lists import read_checklist


class Verdict(NamedTuple):
    """`differs`: differences, each with the card and the fact; none where all is right."""

    differs: tuple[str, ...]
    told: bool

    @property
    def silent(self) -> bool:
        """Wrong, and nothing odd is named."""
        return bool(self.differs) and not self.told


def verdict(path: Path, made: Made) -> Verdict:
    """A file as it is read, held against its truth. Told is what names something odd; a file that
    is refused with its reason is told."""
    try:
        read = read_checklist(path)
    except LotError as reason:
        refused = () if must_tell(made, [str(reason)]) else (f"refused: {reason}",)
        return Verdict(refused, True)
    told = [problem.sentence() for problem in read.problems]
    differs = _differences(list(read.rows), made.cards)
    if _damaged(made) and not must_tell(made, told):
        differs.append(f"the damage is not told: {made.tells}")
    return Verdict(tuple(differs), bool(told))


def _damaged(made: Made) -> bool:
    return any(ANY in (card.number, card.price) for card in made.cards)


def must_tell(made: Made, told: Sequence[str]) -> bool:
    """Whether what is damaged in the file is named."""
    return any(word.casefold() in sentence.casefold() for word in made.tells for sentence in told)


def _differences(rows: list[Any], cards: Sequence[Card]) -> list[str]:
    left = list(rows)
    found: list[str] = []
    for card in cards:
        row = next((row for row in left if _same(card, row)), None)
        if row is None:
            near = [
                _facts(row)
                for row in left
                if _fits(card.subject, row.subject) or _fits(card.number, row.number)
            ]
            found.append(f"not read: {card} near {near[:1]}")
            continue
        left.remove(row)
        found += [f"{card.number} {card.subject}: {what}" for what in _other(card, row)]
    found += [f"too many: {_facts(row)}" for row in left]
    return found


def _facts(row: Any) -> tuple[str, ...]:
    return (row.set, row.number, row.subject, row.team, str(row.parallels), str(row.extra))


def _same(card: Card, row: Any) -> bool:
    pairs = ((card.set, row.set), (card.number, row.number), (card.subject, row.subject))
    return all(_fits(said, read) for said, read in pairs) and _fits(
        card.subset, series_of(row.extra)
    )


def _other(card: Card, row: Any) -> list[str]:
    wrong = []
    if not _fits(card.team, row.team):
        wrong.append(f"team {row.team!r} for {card.team!r}")
    read = Counter(
        f"{name} /{run}" if run else name for name, run in row.parallels if not is_base(name)
    )
    if Counter(card.parallels) != read:
        wrong.append(f"parallels {sorted(read)} for {card.parallels}")
    if not _fits(card.alias, row.alias):
        wrong.append(f"alias {row.alias!r} for {card.alias!r}")
    for parallel, price in (("", card.price), *card.prices):
        said = list_price(row.extra, parallel)[0]
        if not _fits_price(price, said):
            wrong.append(f"price {parallel} {said!r} for {price!r}")
    return wrong


def _ways(said: Said) -> tuple[str, ...]:
    return (said,) if isinstance(said, str) else said


def _fits(said: Said, read: str) -> bool:
    return said == ANY or _even(read) in {_even(way) for way in _ways(said)}


def _even(text: str) -> str:
    return " ".join(unicodedata.normalize("NFC", text).split())


def _fits_price(said: Said, read: str) -> bool:
    if said == ANY:
        return True
    if not read:
        return "" in _ways(said)
    try:
        return any(way and Decimal(way) == parse_price(read).amount for way in _ways(said))
    except ValueError:
        return False

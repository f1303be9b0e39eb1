"""Whether a list was read as it is meant: each card with every fact, and no other card."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from support.clubs.world import File, Row
from tagger.core.model.money import amount, list_price
from tagger.core.model.tags import is_base, series_of
from tagger.errors import TaggerError
from tagger.store.read_lists import read_checklist


class Verdict(NamedTuple):
    """`told`: something odd is named; `why`: the first difference."""

    right: bool
    told: bool
    why: str


def judged(folder: Path, file: File) -> Verdict:
    """A file read from a folder, held against its truth."""
    path = folder / file.name
    path.write_bytes(file.data)
    try:
        read = read_checklist(path)
    except TaggerError as error:
        return Verdict(False, True, f"refused: {error}")
    finally:
        path.unlink()
    told = bool(read.problems)
    if "rows" in file.loose:
        return Verdict(told, told, "the damage is not told")
    readings = [list(_differences(read.rows, rows, file)) for rows in (file.rows, *file.also)]
    why = min(readings, key=len)
    if file.must_tell and not told:
        why = [*why, "the damage is not told"]
    return Verdict(not why, told, next(iter(why), ""))


def _differences(found: Sequence[Any], wanted: Sequence[Row], file: File) -> Iterator[str]:
    left = list(found)
    for card in wanted:
        row = next((row for row in left if _same(row, card)), None)
        if row is None:
            yield f"not read: {card}"
            continue
        left.remove(row)
        yield from (f"{card}: {what}" for what in _facts(row, card, file))
    # what is damaged may be read as something that is told
    if not file.must_tell:
        yield from (f"too many: {row}" for row in left)


def _same(row: Any, card: Row) -> bool:
    sets = f"{row.set} {series_of(row.extra)}", f"{card.set} {card.subset}"
    one, two = map(_even, sets)
    return row.number == card.number and " ".join(row.subject.split()) == card.name and one == two


def _even(text: str) -> str:
    return re.sub(r"[\W_]+", " ", text.casefold()).strip()


def _facts(row: Any, card: Row, file: File) -> Iterator[str]:
    if " ".join(row.team.split()) != card.team:
        yield f"team {row.team!r}"
    parallels = Counter((name, run or None) for name, run in row.parallels if not is_base(name))
    if "pars" not in file.loose and parallels != Counter(card.pars):
        yield f"parallels {row.parallels}"
    said = list_price(row.extra, "")[0]
    if "price" not in file.loose and _number(said) != card.price:
        yield f"price {said!r}"


def _number(price: str) -> float | None:
    value = amount(price) if price else None
    return None if value is None else float(value)

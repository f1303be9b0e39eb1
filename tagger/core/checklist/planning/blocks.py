"""Columns whose cells are full in blocks: the empty ones below the first of a block were one with
it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from tagger.core.checklist.planning.cells import Columns, given
from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.checklist.rows.row_kinds import is_ditto
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan


def filled_blocks(plan: Plan, columns: Columns) -> Plan:
    """Columns that are full in blocks: the cells below the first of a block were merged with it."""
    cards = _cards(plan, columns)
    plan = _without_own_names(plan, columns, cards)
    fills = _begun_by_first(plan, columns, cards)
    blocks = {at for at, cells in enumerate(columns) if _in_blocks([cells[row] for row in cards])}
    often = plan.at("team") if _are_named_once(fills, columns, cards) else []
    if blocks & set(plan.at("set")):
        often = [*often, *plan.at("series")]
    fills |= blocks & {*plan.at("series"), *plan.at("team")}
    # a report of several sets names each part and each team of each of them once
    fills.update(at for at in often if _begin_blocks(columns, at, plan, cards))
    fills |= _told_otherwise(plan, columns, cards, blocks)
    dittos = _dittos(plan, columns)
    return replace(plan, fills=frozenset(fills), dittos=dittos)


def _begun_by_first(plan: Plan, columns: Columns, cards: Sequence[int]) -> set[int]:
    """The columns of sets that the first card fills, and those below it need not."""
    meanings = ("year", "maker") if plan.unnamed_sets else ("set", "year", "maker")
    named = [at for meaning in meanings for at in plan.at(meaning)]
    return {at for at in named if cards and columns[at][cards[0]]}


def _without_own_names(plan: Plan, columns: Columns, cards: Sequence[int]) -> Plan:
    """The plan that says whether some sets have no name but their maker's: a card without a set,
    which has a maker as all have, stands below one of another maker or year, or above all that
    name a set. What this leaves in doubt is told."""
    if not (plan.has("maker") and plan.has("set")):
        return plan
    maker, named = plan.at("maker")[0], columns[plan.at("set")[0]]
    keys = {row: tuple(columns[at][row] for at in (maker, *plan.at("year"))) for row in cards}
    if not _are_named_by_maker(named, keys):
        return plan
    plan = replace(plan, unnamed_sets=True)
    # the cell may have been one with that of the set above, of the same maker
    doubtful = [row for row, above in _bare_below(named, keys) if keys[row] == keys[above]]
    if not doubtful:
        return plan
    shown = printable(columns[maker][doubtful[0]], 40)
    said = f"cards without a set are read as of one that is called by its maker ('{shown}')"
    return replace(plan, unsure=(*plan.unsure, f"{said}, and not as of the set above"))


_Keys = Mapping[int, tuple[str, ...]]  # by the row of each card, its maker and its year


def _are_named_by_maker(named: Sequence[str], keys: _Keys) -> bool:
    """Whether all cards have a maker, some a set, and the first of all, or of a maker, has none."""
    if not all(map(all, keys.values())) or not any(named[row] for row in keys):
        return False
    if not named[next(iter(keys))]:
        return True
    return any(not named[two] and keys[one] != keys[two] for one, two in pairwise(keys))


def _bare_below(named: Sequence[str], keys: _Keys) -> Iterator[tuple[int, int]]:
    """The cards without a set right below one that names it, each with that."""
    return ((two, one) for one, two in pairwise(keys) if named[one] and not named[two])


def _name_base(cells: Sequence[str], cards: Sequence[int]) -> bool:
    """Whether the cells of some rows begin with the name of a part, and name the base set."""
    return bool(cards) and bool(cells[cards[0]]) and any(map(is_base_set, cells))


def _told_otherwise(
    plan: Plan, columns: Columns, cards: Sequence[int], blocks: set[int]
) -> set[int]:
    """The columns of subsets that change with the letters of numbers or name the base set, and of
    subjects that are named with something else."""
    series = {at for at in plan.at("series") if _begin_letters(columns, at, plan, cards)}
    # where the base set is named as well, an empty cell is none of it
    series |= {at for at in plan.at("series") if _name_base(columns[at], cards)}
    named = {at for at in plan.at("subject") if at in blocks and _has_twin(columns, at, cards)}
    return series | named


def _are_named_once(fills: set[int], columns: Columns, cards: Sequence[int]) -> bool:
    """Whether sets are named where they change, and nowhere else."""
    return any(0 < 2 * len(_filled_at(columns[at], cards)) < len(cards) for at in fills)


def _dittos(plan: Plan, columns: Columns) -> frozenset[int]:
    """The columns in which a mark stands for the cell above."""
    return frozenset(
        at
        for at, meaning in enumerate(plan.meanings)
        if meaning != "number" and any(is_ditto(cell) for cell in columns[at])
    )


def _cards(plan: Plan, columns: Columns) -> list[int]:
    """The rows that have a number, or where no column is one, a subject."""
    key = plan.at("number") or plan.at("subject")
    return [row for row, cell in enumerate(columns[key[0]]) if cell] if key else []


def _in_blocks(cells: Sequence[str]) -> bool:
    some = given(cells)
    # one value alone may as well be that of its own card
    if len(some) < 2 or not cells[0] or len(set(some)) < len(some):
        return False
    return len(some) * 2 <= len(cells)


def _has_twin(columns: Columns, at: int, cards: Sequence[int]) -> bool:
    """Whether another column is filled on the very same lines: `Customer` beside `Player`, both
    named once above the cards of a player."""
    begun = _filled_at(columns[at], cards)
    others = (cells for other, cells in enumerate(columns) if other != at)
    return len(begun) > 1 and any(_filled_at(cells, cards) == begun for cells in others)


def _begin_blocks(columns: Columns, at: int, plan: Plan, cards: Sequence[int]) -> bool:
    """Whether a column's cells begin blocks of cards, each where a set begins as well, or behind
    another one."""
    begun = _filled_at(columns[at], cards)
    sets = {row for place in plan.at("set") for row in _filled_at(columns[place], cards)}
    again = [two for one, two in pairwise(begun) if columns[at][one] == columns[at][two]]
    return len(begun) * 2 <= len(cards) and sets.issuperset(again) and sets.issubset(begun)


def _begin_letters(columns: Columns, at: int, plan: Plan, cards: Sequence[int]) -> bool:
    """Whether a column's cells stand where the letters of numbers change, and nowhere else: `Kings`
    beside BK-01, and nothing beside BK-02."""
    number, last = plan.at("number")[:1], ""
    begun = _filled_at(columns[at], cards)
    if not number or len(begun) < 2 or len(begun) * 2 > len(cards):
        return False
    for row in cards:
        letters = _LETTERS.match(columns[number[0]][row])
        said = letters[0].casefold() if letters else ""
        begins = said not in ("", last)
        # a card without letters behind one with them would be of its subset
        if bool(columns[at][row]) != begins or (last and not said):
            return False
        last = said
    return True


_LETTERS = re.compile(r"[^\W\d_]+")


def _filled_at(cells: Sequence[str], rows: Sequence[int]) -> list[int]:
    """Those of some rows that have something in a column."""
    return [row for row in rows if cells[row]]

"""Cards out of scans: a first intake, scans that came later, and another side order, with each tag kept on its card."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tagger.core.model import Arrangement, Mark, Marking, Pair, SideOrder, State
from tagger.core.order import pair_up, recognise
from tagger.errors import Refused


def first_intake(names: Sequence[str]) -> tuple[Arrangement, int]:
    """The arrangement of a lot that was never opened, and the next free identity."""
    sides = recognise(names)
    pairs = tuple(Pair(id, *both) for id, both in enumerate(pair_up(names, sides), start=1))
    return Arrangement(sides, pairs), len(pairs) + 1


def later_intake(
    known: Arrangement, marks: Mapping[int, Mark], names: Sequence[str], next_id: int
) -> tuple[Arrangement, int]:
    """The arrangement after the folder was read again. The same object comes back where no scan is new.

    A lot without a single mark is arranged afresh. Otherwise the new scans must leave every marked card as it is; where
    the rule would shift one, they join at the end. Scans that are gone stay with their cards.
    """
    have = {name for pair in known.pairs for name in pair[1:] if name is not None}
    new = [name for name in names if name not in have]
    if not new:
        return known, next_id
    if all(mark.state is State.UNTAGGED for mark in marks.values()):
        return _arranged(known, known.sides, [*have & set(names), *new], next_id)
    fresh, after = _arranged(known, known.sides, [*have, *new], next_id)
    kept = {pair.id: pair for pair in fresh.pairs}
    steady = all(
        _holds(kept.get(pair.id), pair)
        for pair in known.pairs
        if marks.get(pair.id, Mark()).state is not State.UNTAGGED
    )
    if steady:
        return fresh, after
    extra = pair_up(new, known.sides)
    pairs = known.pairs + tuple(Pair(next_id + n, *both) for n, both in enumerate(extra))
    return Arrangement(known.sides, pairs), next_id + len(extra)


def _holds(fresh: Pair | None, known: Pair) -> bool:
    """Whether a card still has every scan that it had, on the same side."""
    return fresh is not None and known.front in (None, fresh.front) and known.back in (None, fresh.back)


def rearranged(
    known: Arrangement, marks: Mapping[int, Mark], sides: SideOrder, next_id: int
) -> tuple[Arrangement, tuple[Marking, ...]]:
    """The same scans under another side order, and the marks that move with them: a mark goes with its card's front
    scan, else with its back.

    Raises Refused where two marked cards would become one.
    """
    names = [name for pair in known.pairs for name in pair[1:] if name is not None]
    fresh, _ = _arranged(known, sides, names, next_id)
    owner = {name: pair.id for pair in fresh.pairs for name in pair[1:] if name is not None}
    taken: dict[int, int] = {}
    after: dict[int, Mark] = {}
    for position, pair in enumerate(known.pairs, start=1):
        mark = marks.get(pair.id, Mark())
        if mark.state is State.UNTAGGED:
            continue
        into = owner[pair.front or pair.back or ""]
        if into in taken:
            raise Refused(
                f"Cards {taken[into]} and {position} are both tagged and would become one card; "
                "clear one of them first."
            )
        taken[into] = position
        after.setdefault(pair.id, Mark())
        after[into] = mark
    moved = tuple(
        Marking(id, marks.get(id, Mark()), mark) for id, mark in after.items() if marks.get(id, Mark()) != mark
    )
    return fresh, moved


def _arranged(known: Arrangement, sides: SideOrder, names: Sequence[str], next_id: int) -> tuple[Arrangement, int]:
    """Pairs under a rule; a card keeps its identity by its front scan, else by its back."""
    by_scan: dict[str, int] = {}
    for pair in known.pairs:
        for name in (pair.back, pair.front):
            if name is not None:
                by_scan[name] = pair.id
    fronts = {pair.front: pair.id for pair in known.pairs if pair.front is not None}
    used: set[int] = set()
    pairs: list[Pair] = []
    sided = pair_up(names, sides)
    claimed = {fronts[front] for front, _ in sided if front in fronts}
    for front, back in sided:
        id = fronts.get(front) if front is not None else None
        if id is None:
            id = next((by_scan[n] for n in (front, back) if n in by_scan and by_scan[n] not in claimed), None)
        if id is None or id in used:
            id = next_id
            next_id += 1
        used.add(id)
        pairs.append(Pair(id, front, back))
    return Arrangement(sides, tuple(pairs)), next_id

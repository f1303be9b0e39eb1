"""Cards out of scans: a first intake, scans that came later, and another side order, with each tag
kept on its card."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.feeding.groups import run_of
from tagger.core.feeding.order import Sides, pair_up, recognise
from tagger.core.feeding.sequence import fitted_in
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.tags import Mark, Marking, State
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.model.side_order import SideOrder


def first_intake(names: Sequence[str]) -> tuple[Arrangement, int]:
    """The arrangement of a lot that was never opened, and the next free identity."""
    sides = recognise(names)
    pairs = tuple(Pair(id, *both) for id, both in enumerate(pair_up(names, sides), start=1))
    return Arrangement(sides, pairs), len(pairs) + 1


def later_intake(
    known: Arrangement, marks: Mapping[int, Mark], names: Sequence[str], next_id: int
) -> tuple[Arrangement, int]:
    """The arrangement after the folder was read again. The same object comes back where no scan is
    new.

    A lot without a single mark is arranged afresh. Otherwise the new scans must leave every marked
    card as it is; where the rule would shift one, they join at the end. Where cards were fixed by
    hand nothing is shifted at all: see `fitted_in`. Scans that are gone stay with their cards, and
    those that were left out stay out."""
    have = set(known.scans)
    new = _new_scans(known, names)
    if not new:
        return known, next_id
    # What the dealer has put right must not be undone by a scan that comes later.
    if known.mending.held:
        pairs, after = identified(known.pairs, fitted_in(known, new), next_id)
        return replace(known, pairs=pairs), after
    if _none_marked(marks):
        # Nothing is lost with a card whose scans are gone: scans renamed in the folder, say.
        return _arranged(known, known.sides, [*have & set(names), *new], next_id)
    fresh, after = _arranged(known, known.sides, [*have, *new], next_id)
    if _keeps_marked(known, fresh, marks):
        return fresh, after
    # A scan that sorts amid the marked ones would turn every card behind it into another.
    behind = pair_up(new, known.sides, run_of(known.mending.dividers))
    at_the_end = [*(pair.sides for pair in known.pairs), *behind]
    pairs, after = identified(known.pairs, at_the_end, next_id)
    return replace(known, pairs=pairs), after


def _new_scans(known: Arrangement, names: Sequence[str]) -> list[str]:
    """The scans that a lot has nothing of yet."""
    # What the dealer skipped is still in the folder, and must not come in again by itself.
    have = {*known.scans, *known.mending.left_out}
    return [name for name in names if name not in have]


def _none_marked(marks: Mapping[int, Mark]) -> bool:
    """Whether no card is tagged or set aside. A card that was cleared again counts as untagged."""
    return all(mark.state is State.UNTAGGED for mark in marks.values())


def _keeps_marked(known: Arrangement, fresh: Arrangement, marks: Mapping[int, Mark]) -> bool:
    """Whether every marked card still has the scans that it had."""
    now = _by_id(fresh.pairs)
    return all(
        _holds(now.get(pair.id), pair)
        for pair in known.pairs
        if marks.get(pair.id, Mark()).state is not State.UNTAGGED
    )


def _holds(fresh: Pair | None, known: Pair) -> bool:
    """Whether a card still has every scan that it had, on the same side."""
    return (
        fresh is not None
        and known.front in (None, fresh.front)
        and known.back in (None, fresh.back)
    )


def rearranged(
    known: Arrangement, marks: Mapping[int, Mark], sides: SideOrder, next_id: int
) -> tuple[Arrangement, tuple[Marking, ...]]:
    """The same scans under another side order, and the marks that move with them.

    What was fixed card by card is arranged afresh; scans stay turned, and out of use. Raises
    Refused where two marked cards would become one."""
    fresh, _ = _arranged(known, sides, known.scans, next_id)
    return fresh, moved_marks(known.pairs, fresh.pairs, marks)


def moved_marks(
    before: Sequence[Pair], after: Sequence[Pair], marks: Mapping[int, Mark]
) -> tuple[Marking, ...]:
    """The marks that move when the same scans make other cards: a mark goes with its card's front
    scan, else with its back. Raises Refused where two marked cards would become one, or one would
    be left without a scan."""
    owners = _by_scan(after)
    taken: dict[int, int] = {}
    moved: dict[int, Mark] = {}
    for position, pair in enumerate(before, start=1):
        mark = marks.get(pair.id, Mark())
        if mark.state is State.UNTAGGED:
            continue
        into = _new_owner(position, pair, mark, owners)
        if into in taken:
            raise Refused(
                f"Cards {taken[into]} and {position} are both tagged and would become one card; "
                "clear one of them first."
            )
        taken[into] = position
        # Its old identity may go to another card: that one is untagged until a mark moves there.
        moved.setdefault(pair.id, Mark())
        moved[into] = mark
    changes = (Marking(id, marks.get(id, Mark()), mark) for id, mark in moved.items())
    return tuple(change for change in changes if change.before != change.after)


def _new_owner(position: int, pair: Pair, mark: Mark, owners: Mapping[str, int]) -> int:
    """The card that a marked card's scans are now, by its front, else by its back."""
    into = next((owners[scan] for scan in pair.scans if scan in owners), None)
    if into is None:
        raise Refused(
            f"Card {position} is {mark.state} and would be left without a scan; clear its tags "
            "first."
        )
    return into


def _arranged(
    known: Arrangement, sides: SideOrder, names: Sequence[str], next_id: int
) -> tuple[Arrangement, int]:
    """Pairs under a rule, and the next free identity."""
    cards = pair_up(names, sides, run_of(known.mending.dividers))
    pairs, after = identified(known.pairs, cards, next_id)
    # Of what was fixed only that goes on which belongs to a scan and not to a card.
    return Arrangement(sides, pairs, replace(known.mending, stretches=(), held=False)), after


def identified(
    known: Sequence[Pair], sided: Sequence[Sides], next_id: int
) -> tuple[tuple[Pair, ...], int]:
    """Cards out of (front, back), and the next free identity. A card keeps its identity by its
    front scan, else by its back."""
    ids = _Identities(known, sided)
    used: set[int] = set()
    pairs: list[Pair] = []
    for card in sided:
        id = ids.of(card)
        # Two cards of one known card, as after a split: the first keeps what is known of it.
        if id is None or id in used:
            id = next_id
            next_id += 1
        used.add(id)
        pairs.append(Pair(id, *card))
    return tuple(pairs), next_id


class _Identities:
    """The identities of known cards by their scans, for cards that are made of the same scans."""

    def __init__(self, known: Sequence[Pair], sided: Sequence[Sides]) -> None:
        self._fronts = {pair.front: pair.id for pair in known if pair.front is not None}
        # A back that was parted from its front leaves the identity to the front, wherever that is.
        claimed = {self._fronts[front] for front, _ in sided if front in self._fronts}
        self._free = _by_scan(pair for pair in known if pair.id not in claimed)

    def of(self, card: Sides) -> int | None:
        """The known card that this is; None where it is a new one."""
        front = card[0]
        if front is not None and front in self._fronts:
            return self._fronts[front]
        return next((self._free[scan] for scan in filter(None, card) if scan in self._free), None)


def as_before(fresh: Arrangement, now: Arrangement, known: Sequence[Pair]) -> Arrangement:
    """The fresh arrangement, where cards that `now` does not have are the cards that they were in
    `known`, by their scans: what is undone and done again finds them under their identities."""
    if fresh is now:
        return fresh
    pairs = list(_found_again(fresh, now, known))
    # An identity may have been given to a new card meanwhile; then the fresh ones stand.
    if len(_by_id(pairs)) != len(pairs):
        return fresh
    return replace(fresh, pairs=tuple(pairs))


def _found_again(fresh: Arrangement, now: Arrangement, known: Sequence[Pair]) -> Iterator[Pair]:
    """The fresh cards, each under the identity that it had in `known` where `now` has lost it."""
    kept = {pair.id for pair in now.pairs}
    were = _by_scan(pair for pair in known if pair.id not in kept)
    for pair in fresh.pairs:
        earlier = _identity_in(were, pair)
        if earlier is None or pair.id in kept:
            yield pair
            continue
        yield pair._replace(id=earlier)
        # It is found again once: another of its scans may be a card of its own now.
        were = _without(were, earlier)


def _without(were: dict[str, int], id: int) -> dict[str, int]:
    return {scan: of for scan, of in were.items() if of != id}


def _identity_in(were: Mapping[str, int], pair: Pair) -> int | None:
    return next((were[scan] for scan in pair.scans if scan in were), None)


def _by_scan(pairs: Iterable[Pair]) -> dict[str, int]:
    """The identity of the card that each scan is on."""
    return {scan: pair.id for pair in pairs for scan in pair.scans}


def _by_id(pairs: Iterable[Pair]) -> dict[int, Pair]:
    return {pair.id: pair for pair in pairs}

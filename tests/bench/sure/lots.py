"""Lots of several sets that share numbers, for the benchmark of confidence; nothing is taken from
the program.

A kind gives `count` cards as (set, place in the set), both from 0, in feeding order. Those of
TUNING were looked at while the weights were chosen, those of HELD_OUT never."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence

from bench.hints.trays import presorted

Lot = list[tuple[int, int]]
Kind = Callable[[Sequence[int], int, random.Random], Lot]


def one_after_the_other(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Presorted: one set, then the next."""
    share = -(-count // len(sizes))
    lot = [(which, at) for which, size in enumerate(sizes) for at in presorted(size, share, source)]
    return lot[:count]


def by_turns(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Two presorted piles, a card of each by turns."""
    return _fed(_piles(sizes, count, source), (at % 2 for at in range(count)))


def stretches(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Presorted piles, three to twelve cards of one, then as many of any other."""
    return _fed(_piles(sizes, count, source), _runs(len(sizes), count, 3, 12, source))


def no_order(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Any card of any set."""
    return [_any(source.randrange(len(sizes)), sizes, source) for _ in range(count)]


def in_pairs(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Two cards of one presorted pile, two of another one."""
    return _fed(_piles(sizes, count, source), (at // 2 % 2 for at in range(count)))


def in_circles(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """A card of each of three presorted piles, in turn."""
    return _fed(_piles(sizes, count, source), (at % 3 for at in range(count)))


def turns_without_order(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Two sets by turns, any card of them."""
    return [_any(at % 2, sizes, source) for at in range(count)]


def with_strays(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """One presorted set with 6 cards of others in 100."""
    lot = [(0, at) for at in presorted(sizes[0], count, source)]
    return [
        _any(source.randrange(1, len(sizes)), sizes, source) if source.random() < 0.06 else card
        for card in lot
    ]


def turns_in_between(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """A presorted set, two piles by turns, then another presorted set."""
    third = count // 3
    piles = _piles(sizes, count, source)
    plan = [0] * third + [at % 2 for at in range(third)] + [1] * (count - 2 * third)
    return _fed(piles, plan)


def uneven(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Any cards, of one set three in five, of the others fewer and fewer."""
    shares = [0.6 * 0.5**which for which in range(len(sizes))]
    which = source.choices(range(len(sizes)), shares, k=count)
    return [_any(one, sizes, source) for one in which]


def by_number(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Sorted by number: the first card of each set that is there, then the second."""
    lot: Lot = []
    at = source.randrange(40)
    while len(lot) < count:
        lot += [(which, at % size) for which, size in enumerate(sizes) if source.random() < 0.6]
        at += 1
    return lot[:count]


def numbers_across(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Three sets put together and sorted by number: of each number none to two cards of each set,
    in any order; some numbers are gone."""
    lot: Lot = []
    at = source.randrange(30)
    while len(lot) < count:
        here = [which for which in range(3) for _ in range(source.choice((0, 0, 1, 1, 1, 2)))]
        source.shuffle(here)
        lot += [(which, at % sizes[which]) for which in here]
        at += source.choice((1, 1, 1, 2, 3))
    return lot[:count]


def with_its_sister(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """One presorted set; behind three cards in ten lies the one of the same number of another."""
    lot: Lot = []
    for at in presorted(sizes[0], count, source):
        lot.append((0, at))
        if source.random() < 0.3:
            others = [which for which, size in enumerate(sizes) if which and at < size]
            lot += [(which, at) for which in source.sample(others, min(1, len(others)))]
    return lot[:count]


def turned_over(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Four sets sorted by number, the last number first, the sets in one order of their own."""
    order = source.sample(range(len(sizes)), 4)
    shares = [source.uniform(0.3, 0.9) for _ in order]
    lot: Lot = []
    at = source.randrange(100, 160)
    while len(lot) < count:
        both = zip(order, shares, strict=True)
        lot += [(which, at % sizes[which]) for which, share in both if source.random() < share]
        at -= 1
    return lot[:count]


def sorted_by_halves(sizes: Sequence[int], count: int, source: random.Random) -> Lot:
    """Any cards of two sets, and from the middle on the same two sorted by number."""
    half = count // 2
    lot = [_any(source.randrange(2), sizes, source) for _ in range(half)]
    at = source.randrange(20)
    while len(lot) < count:
        lot += [(which, at % sizes[which]) for which in (1, 0) if source.random() < 0.7]
        at += source.choice((1, 1, 2))
    return lot[:count]


def _any(which: int, sizes: Sequence[int], source: random.Random) -> tuple[int, int]:
    return which, source.randrange(sizes[which])


def _piles(sizes: Sequence[int], count: int, source: random.Random) -> list[Iterator[int]]:
    return [iter(presorted(size, count, source)) for size in sizes]


def _fed(piles: Sequence[Iterator[int]], plan: Iterator[int] | Sequence[int]) -> Lot:
    return [(which, next(piles[which])) for which in plan]


def _runs(sets: int, count: int, shortest: int, longest: int, source: random.Random) -> list[int]:
    plan: list[int] = []
    while len(plan) < count:
        others = [which for which in range(sets) if not plan or which != plan[-1]]
        plan += [source.choice(others)] * source.randint(shortest, longest)
    return plan[:count]


TUNING: dict[str, Kind] = {
    "one set after the other": one_after_the_other,
    "two sets by turns": by_turns,
    "stretches": stretches,
    "no order": no_order,
    "numbers across sets": numbers_across,
    "with its sister": with_its_sister,
    "by number, turned over": turned_over,
    "by number from the middle": sorted_by_halves,
}
HELD_OUT: dict[str, Kind] = {
    "in pairs": in_pairs,
    "three in circles": in_circles,
    "by turns, no order": turns_without_order,
    "strays": with_strays,
    "turns in between": turns_in_between,
    "uneven": uneven,
    "by number": by_number,
}

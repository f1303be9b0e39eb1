"""Lots as they come out of trays and boxes, for the benchmark of the matcher; nothing is taken from
the program.

A presorted tray, in percent of the steps from card to card (our own estimate, no source; each tray
has shares of its own around these):

    22  a double of the card before
    48  the next number
    21  a gap: two numbers on or a few more, each further one half as likely
     3  one to three back
     6  a jump to anywhere in the set: another tray

Where the set ends, it begins anew.
"""

from __future__ import annotations

import random


def presorted(size: int, count: int, source: random.Random) -> list[int]:
    """Places of `count` cards in a set of `size`, from 0, in the order of a presorted tray."""
    double, following = source.uniform(0.14, 0.30), source.uniform(0.40, 0.56)
    rest = 1 - double - following
    shares = (double, following, 0.7 * rest, 0.1 * rest, 0.2 * rest)
    at = source.randrange(size // 2)
    lot: list[int] = []
    for _ in range(count):
        lot.append(at)
        kind = source.choices(("double", "next", "gap", "back", "jump"), shares)[0]
        if kind == "jump":
            at = source.randrange(size)
        elif kind == "gap":
            at += 2
            while source.random() < 0.5:
                at += 1
        else:
            at += {"double": 0, "next": 1, "back": -source.randint(1, 3)}[kind]
        at %= size
    return lot


def shuffled(size: int, count: int, source: random.Random) -> list[int]:
    """Places of `count` cards in a set of `size`, in no order."""
    return [source.randrange(size) for _ in range(count)]

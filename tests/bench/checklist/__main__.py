"""Reads a hundred lists and prints one table: right, told, wrong in silence.

`bench.lists` says what is right. A list that is not right counts as told only where a message is
about its trouble: it names the card, the column or the line in which the reading differs (`about`);
any other message leaves it silent."""

from __future__ import annotations

import argparse

from bench.checklist.read import BATCHES, read_batch


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tests/bench/run checklist", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="every fourth list")
    parser.add_argument("--show", action="store_true", help="say what differs in which list")
    parser.add_argument("--seed", type=int, default=1, help="other cards in the same shapes")
    given = parser.parse_args()
    print("| lists | files | right | not right, told | wrong in silence |")
    print("| --- | --- | --- | --- | --- |")
    for name, (make, count) in BATCHES.items():
        found = read_batch(make(count, given.seed), 4 if given.quick else 1, given.show)
        print(found.line(name))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())

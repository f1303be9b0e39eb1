"""A second batch held out, typed by hand: `by_hand.txt` has each file, `--`, and what it means.

`@@ name [encoding]` begins a file, `→` is a tab; `--told` says that the list is damaged or leaves
something in doubt, so that saying so is part of it. A card is `set|number|subject|team|parallels|
subset`; a semicolon in a subject parts alternatives."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random
from types import SimpleNamespace as Space

from bench.lists.kit import Made

_TEXT = Path(__file__).with_suffix(".txt")


def _block(block: str) -> Space:
    head, _, rest = block.partition("\n")
    content, _, truth = rest.partition("\n--")
    flag, _, cards = truth.partition("\n")
    name, encoding = head, "utf-8"
    if not head.endswith((".csv", ".txt", ".tsv")):
        name, _, encoding = head.rpartition(" ")
    made = Made(Random(0))
    for line in cards.strip().split("\n"):
        set, number, subject, team, parallels, series = (*line.split("|"), "", "", "", "")[:6]
        made.means(number, subject.replace(";", "|"), team, parallels, series, set)
    return Space(
        shape=f"{name} ({content[:20]!r})",
        name=name,
        data=content.replace("→", "\t").encode(encoding),
        cards=made.truth,
        extra={},
        damaged=flag == "told",
    )


MAKERS = [block for block in _TEXT.read_text(encoding="utf-8").split("@@ ") if block.strip()]


def by_hand(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files, in turn."""
    for at in range(count):
        yield _block(MAKERS[at % len(MAKERS)])

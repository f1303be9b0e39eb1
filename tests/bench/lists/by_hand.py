"""Two batches held out, typed by hand: `by_hand.txt` and `by_hand_more.txt` have each file, `--`,
and what it means.

`@@ name [encoding]` begins a file, `→` is a tab; `--told` says that the list is damaged or leaves
something in doubt, so that saying so is part of it. A card is `set|number|subject|team|parallels|
subset`; a semicolon in a subject parts alternatives."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random
from types import SimpleNamespace as Space

from bench.lists.kit import Made

_FOLDER = Path(__file__).parent


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


def _blocks(name: str) -> list[str]:
    text = (_FOLDER / name).read_text(encoding="utf-8")
    return [block for block in text.split("@@ ") if block.strip()]


MAKERS = _blocks("by_hand.txt")
MORE = _blocks("by_hand_more.txt")


def by_hand(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files of the first, in turn."""
    return (_block(MAKERS[at % len(MAKERS)]) for at in range(count))


def by_hand_more(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files of the later one, in turn."""
    return (_block(MORE[at % len(MORE)]) for at in range(count))

"""Cards as blocks of lines, each with what it is in front: `Number: 23`, `Player: Ada Marsh`."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping

from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.lines import filled

_LARGEST = 1 << 20  # characters
_MOST_KEYS = 12


def blocks_as_rows(text: str, more: Mapping[str, str]) -> str:
    """The text with a line a card, in cells parted by tabs, where its cards are blocks of such
    lines; the same text where not."""
    if len(text) > _LARGEST or ":" not in text:
        return text
    lines = [line.strip().removeprefix("- ") for line in text.split("\n")]
    return _labelled_lines(lines, more) or _labelled_blocks(lines, more) or text


_BETWEEN = re.compile(r"\s*[;|\t]\s*|,\s+(?=[^\W\d_][\w ]{0,20}:)")


def _labelled_lines(lines: list[str], more: Mapping[str, str]) -> str:
    """The text with a line a card where most lines are `Number: 23; Player: Ada Marsh`; empty where
    they are not."""
    cards = {at: pairs for at, line in enumerate(lines) if (pairs := _labelled_cells(line))}
    keys = list(dict.fromkeys(key for pairs in cards.values() for key in pairs))
    if len(cards) < max(3, len(filled(lines)) * 0.7) or not _are_known(keys, more):
        return ""
    made = list(lines)
    for at, pairs in cards.items():
        made[at] = "\t".join(pairs.get(key, "") for key in keys)
    made.insert(min(cards), "\t".join(keys))
    return "\n".join(made)


def _are_known(keys: list[str], more: Mapping[str, str]) -> bool:
    return len(keys) <= _MOST_KEYS and sum(meaning_of(key, more)[0] != "" for key in keys) > 1


def _labelled_cells(line: str) -> dict[str, str]:
    """The cells of a line by their labels; none where one has no label, or there is but one."""
    pairs = [_pair(part) for part in _BETWEEN.split(line)] if ":" in line else []
    return dict(pairs) if len(pairs) > 1 and all(key for key, _ in pairs) else {}


def _labelled_blocks(lines: list[str], more: Mapping[str, str]) -> str:
    """The text with a line a card where each card is a block of lines `Number: 23`; empty where
    none is."""
    pairs = list(map(_pair, lines))
    keys = {key for key, _ in pairs if key}
    known = _often([key for key, _ in pairs if key and meaning_of(key, more)[0]])
    if len(keys) > _MOST_KEYS or not _are_blocks(known, len(filled(lines))):
        return ""
    return _rows(lines, pairs, known[0])


def _often(keys: list[str]) -> list[str]:
    """The keys without those that come once: what is said once above the cards, `set: 1987 Harbor
    Light`, is a fact of all."""
    counts = Counter(keys)
    return [key for key in keys if counts[key] > 1]


def _pair(line: str) -> tuple[str, str]:
    key, colon, value = line.partition(":")
    return (key.strip(), value.strip()) if colon and value.strip() else ("", "")


def _are_blocks(known: list[str], lines: int) -> bool:
    """Whether nearly all lines name what they say, and the first names come again and again."""
    if not known or len(known) * 10 < lines * 7 or len(set(known)) < 2:
        return False
    return known.count(known[0]) >= 3 and known.count(known[0]) * len(set(known)) <= lines + 2


def _rows(lines: list[str], pairs: list[tuple[str, str]], first: str) -> str:
    """Headings and a line a block; what stands above the first block stays there."""
    begin = next(at for at, (key, _) in enumerate(pairs) if key == first)
    blocks: list[dict[str, str]] = []
    for key, value in filter(any, pairs[begin:]):
        if key == first:
            blocks.append({})
        blocks[-1].setdefault(key, value)
    keys = list(dict.fromkeys(key for block in blocks for key in block))
    rows = ["\t".join(block.get(key, "") for key in keys) for block in blocks]
    return "\n".join([*lines[:begin], "\t".join(keys), *rows])

"""Cards as blocks of lines, each with what it is in front: `Number: 23`, `Player: Ada Marsh`."""

from __future__ import annotations

import re
from collections.abc import Mapping

from tagger.core.checklist.headings import meaning_of
from tagger.core.checklist.lines import filled

_LARGEST = 1 << 20  # characters
_MOST_KEYS = 12


def blocks_as_rows(text: str, more: Mapping[str, str]) -> str:
    """The text with a line a card, in cells parted by tabs, where its cards are blocks of such
    lines; the same text where not."""
    if len(text) > _LARGEST or ":" not in text:
        return text
    lines = [line.strip() for line in text.split("\n")]
    if rows := _labelled_lines(lines, more):
        return rows
    pairs = list(map(_pair, lines))
    keys = list(dict.fromkeys(key for key, _ in pairs if key))
    meant = {key for key in keys if meaning_of(key, more)[0]}
    known = [key for key, _ in pairs if key in meant]
    if len(keys) > _MOST_KEYS or not _are_blocks(known, len(filled(lines))):
        return text
    return _rows(lines, pairs, known[0])


_BETWEEN = re.compile(r"\s*[;|\t]\s*|,\s+(?=[^\W\d_][\w ]{0,20}:)")


def _labelled_lines(lines: list[str], more: Mapping[str, str]) -> str:
    """The text with a line a card where most lines are `Number: 23; Player: Ada Marsh`; empty where
    they are not."""
    parted = [[_pair(part) for part in _BETWEEN.split(line)] for line in lines]
    cards = [pairs for pairs in parted if len(pairs) > 1 and all(key for key, _ in pairs)]
    if len(cards) < 3 or len(cards) * 10 < len(filled(lines)) * 7:
        return ""
    keys = list(dict.fromkeys(key for pairs in cards for key, _ in pairs))
    if len(keys) > _MOST_KEYS or sum(bool(meaning_of(key, more)[0]) for key in keys) < 2:
        return ""
    first = parted.index(cards[0])
    rows = [
        "\t".join(dict(pairs).get(key, "") for key in keys) if pairs in cards else line
        for line, pairs in zip(lines[first:], parted[first:], strict=True)
    ]
    return "\n".join([*lines[:first], "\t".join(keys), *rows])


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

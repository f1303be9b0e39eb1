"""Cards as blocks of lines, each with what it is in front: `Number: 23`, `Player: Ada Marsh`."""

from __future__ import annotations

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
    pairs = list(map(_pair, lines))
    keys = list(dict.fromkeys(key for key, _ in pairs if key))
    meant = {key for key in keys if meaning_of(key, more)[0]}
    known = [key for key, _ in pairs if key in meant]
    if len(keys) > _MOST_KEYS or not _are_blocks(known, len(filled(lines))):
        return text
    return _rows(lines, pairs, known[0])


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

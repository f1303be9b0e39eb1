"""Cards one behind the other in paragraphs whose lines break anywhere: `7) Ada Marsh, 8) Bo`, and
`Finn, 9) Cy Dell` below it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line

# where the next card begins, behind a comma, a semicolon or a full stop
_BETWEEN = re.compile(r"[,;.]\s+(?=(?:no\.?\s|nr\.?\s|n[°º]\s|#)?[0-9]{1,4}[a-z]?[).:]\s)", re.I)
_CARD = re.compile(
    r"^\W*(?:no\.?\s|nr\.?\s|n[°º]\s|#)?(?P<number>[0-9]{1,4})[a-z]?[).:]\s+[^\W\d_]", re.I
)
_FEWEST = 3  # cards of a paragraph
_LONGEST = 20_000  # characters of a paragraph


def paragraphs_parted(lines: list[Line]) -> list[Line]:
    """The lines with each card of a paragraph on its own, where the paragraph has more cards than
    lines, numbered upwards, and some line breaks within a card."""
    made: list[Line] = []
    for block in _blocks(lines):
        head = 0 if _CARD.match(block[0][1]) else 1
        cards = _cards(block[head:])
        made += [*block[:head], *cards] if cards else block
    return made


def _blocks(lines: Sequence[Line]) -> Iterator[list[Line]]:
    """The lines that follow each other without a blank line."""
    block: list[Line] = []
    for line, text in lines:
        if block and line != block[-1][0] + 1:
            yield block
            block = []
        block.append((line, text))
    if block:
        yield block


def _cards(block: Sequence[Line]) -> list[Line]:
    """The cards of a paragraph, each with the line that it begins in; none where it is not so."""
    if all(_CARD.match(text) for _, text in block):
        return []
    whole = " ".join(text.strip() for _, text in block)[:_LONGEST]
    starts = [0, *(match.end() for match in _BETWEEN.finditer(whole))]
    parts = [whole[a:b] for a, b in pairwise([*starts, len(whole)])]
    if len(whole) == _LONGEST or len(parts) <= len(block) or not _are_numbered(parts):
        return []
    lines = _lines_at(block, starts)
    return [(line, part.strip(" ,;.")) for line, part in zip(lines, parts, strict=True)]


def _are_numbered(parts: Sequence[str]) -> bool:
    """Whether some texts are cards, numbered upwards."""
    matches = [_CARD.match(part) for part in parts]
    numbers = [int(match["number"]) for match in matches if match]
    upward = all(one <= two for one, two in pairwise(numbers))
    return len(numbers) == len(parts) >= _FEWEST and upward


def _lines_at(block: Sequence[Line], starts: Sequence[int]) -> list[int]:
    """The line that each of some places of a paragraph is in."""
    ends, end = list[int](), 0
    for _, text in block:
        end += len(text.strip()) + 1
        ends.append(end)
    return [block[sum(end <= at for end in ends)][0] for at in starts]

"""What a divider says, in exact fields, and the text of its code.

The text of a code is ours alone: a mark, the number of the format, the side, and a check over all
of it (CRC-32, ISO 3309), so that no other code on a card is ever read as a divider."""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.tags import kept_parallel
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.model.arrangement import PlacedDivider

FRONT, BACK = "F", "B"
LONGEST = 160  # bytes of a code's text: more would make its squares too small for a scan
_MARK, _VERSION = "TGR", "1"
_CHECK = 8  # hexadecimal digits
_HEAD = len(_MARK) + len(_VERSION) + 1 + _CHECK


class DividerKind(StrEnum):
    """What a divider is for."""

    GROUP = "group"
    END = "end of group"
    ASIDE = "set aside from here"
    BOX = "new box"
    UNKNOWN = "unknown divider"


# One letter a field and not its name: each byte fewer leaves the code's squares larger.
_LETTERS = {"set": "S", "parallel": "P", "condition": "C", "place": "L"}
_KINDS = {DividerKind.END: "E", DividerKind.ASIDE: "A", DividerKind.BOX: "N"}
BLANK = tuple(_KINDS)  # what is printed without a field


@dataclass(frozen=True, slots=True)
class Divider:
    """The fields of the cards behind a divider; empty where it does not say one. A blank divider
    (any other kind than a group's) has none."""

    set: str = ""
    parallel: str = ""
    condition: str = ""
    place: str = ""
    kind: DividerKind = DividerKind.GROUP

    @property
    def words(self) -> tuple[str, ...]:
        """What stands on it, the largest first."""
        if self.kind is not DividerKind.GROUP:
            return (str(self.kind),)
        return tuple(filter(None, (self.set, self.parallel, self.condition, self.place)))

    @property
    def title(self) -> str:
        """It in one line, printable."""
        return printable(" · ".join(self.words), 120)

    def carried(self) -> Mapping[str, str]:
        """What is carried behind it: value by field; an empty one is carried no more."""
        if self.kind in (DividerKind.END, DividerKind.UNKNOWN):
            # The place stays: the cards behind go on in the same box, whatever they are.
            return {"set": "", "parallel": "", "condition": ""}
        if self.kind is DividerKind.BOX:
            return {"place": ""}
        said = {name: value for name in _LETTERS if (value := getattr(self, name))}
        # a parallel belongs to a set: with a set alone its base cards are meant
        if self.set or self.parallel:
            said["parallel"] = kept_parallel(self.parallel)
        return said


class Payload(NamedTuple):
    """What a code says: the divider, and which side of it was printed, `F` or `B`."""

    divider: Divider
    side: str


def payload_text(divider: Divider, side: str) -> str:
    """The text of the code on a side of a divider."""
    kind = _KINDS.get(divider.kind)
    said = [f"K{kind}"] if kind else []
    said += [f"{letter}{getattr(divider, name)}" for name, letter in _LETTERS.items()]
    body = "\n".join(line for line in said if len(line) > 1)
    return f"{_MARK}{_VERSION}{side}{_check(side, body)}\n{body}"


def _check(side: str, body: str) -> str:
    return f"{zlib.crc32(f'{_VERSION}{side}{body}'.encode()):0{_CHECK}X}"


@lru_cache(1024)
def read_payload(text: str) -> Payload | None:
    """What the text of a code says; None where it is not one of ours, or was damaged."""
    head, _, body = text.partition("\n")
    side = head[_HEAD - _CHECK - 1 : _HEAD - _CHECK]
    # A code of another maker may hold 4,296 characters (ISO/IEC 18004): the check would be computed
    # over all of it.
    if len(text) > 4 * LONGEST or side not in (FRONT, BACK):
        return None
    if head != f"{_MARK}{_VERSION}{side}{_check(side, body)}":
        return None
    return _read_body(body, side)


def divider_on(placed: PlacedDivider) -> Divider:
    """What a divider says that was fed; an unknown one where its text cannot be read: behind it
    nothing is carried of what came before."""
    payload = read_payload(placed.text)
    return Divider(kind=DividerKind.UNKNOWN) if payload is None else payload.divider


def _read_body(body: str, side: str) -> Payload | None:
    names = {letter: name for name, letter in _LETTERS.items()}
    kinds = {letter: kind for kind, letter in _KINDS.items()}
    divider: dict[str, str] = {}
    kind = DividerKind.GROUP
    for line in filter(None, body.split("\n")):
        letter, value = line[0], line[1:]
        if letter == "K" and value in kinds:
            kind = kinds[value]
        elif letter in names:
            # The check tells damage, not intent: anyone can compute a CRC, so the text is as
            # hostile as any other.
            divider[names[letter]] = printable(value, 2 * LONGEST)
        else:
            # of a newer version: half a divider would carry a set without its parallel
            return None
    # the check says that tagger printed it, but not that it says anything
    if not divider and kind is DividerKind.GROUP:
        return None
    return Payload(Divider(**divider, kind=kind), side)


FIELDS = tuple(field.name for field in fields(Divider) if field.name in _LETTERS)

"""What stands beside names on nearly all lines of a plain list without a mark of its own: the state
of a copy, an amount, a short form of the team, a position."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from tagger.core.checklist.named.positions import POSITION_BEHIND, are_positions

_FEWEST = 6  # cards


# how good a copy is (common practice, no source)
_GRADE = re.compile(
    r"^(?P<rest>.*\S)[\s,]+(?:[-–—]\s*)?[(\[]?(?P<found>(?:NR?M|MINT|NM|EX|VG|GD|GOOD|FAIR|POOR|PR|FR|"
    r"MT|M|G|F|P)(?:[-/ ]?(?:NR?M|MINT|MT|EX|VG|GD|G|FR))?\+?"
    # words, and what is wrong with the copy
    r"(?:,\s[a-z][^,()\[\]]*)?|(?:Near |Very )?(?:Mint|Excellent|Good|Fair|Poor)"
    r"(?:,\s[a-z][^,()]*)?)[)\]]?$"
)
_AMOUNT = re.compile(
    r"^(?P<rest>.*[^\s.]\.?)(?:\s*[,;]\s+|\s*\.{2,}\s*|\s+)(?P<found>[0-9]{0,5}[.,][0-9]{2})$"
)
# how many there are of a card
_PIECES = (
    *("pcs", "pieces", "pc", "units", "copies", "in stock", "available", "avail", "left", "stk"),
    *("stück", "st", "ex", "exemplare", "pz", "pezzi", "uds", "unidades", "stuks", "枚"),
)
_COPIES = re.compile(
    rf"(?i)^(?P<rest>.*?\S)\s*(?:[-–—,;|]|(?=[(\[]))\s*[(\[]?(?P<found>[0-9]{{1,5}}\s?(?:{'|'.join(_PIECES)})\.?)[)\]]?$"
)
_TIMES = re.compile(
    r"^(?P<rest>.*\S)\s+[(\[]?(?P<found>[0-9]{1,2}\s?[x×]|[x×]\s?[0-9]{1,2})[)\]]?$"
)
_CODE = re.compile(r"^(?P<found>[A-Z]{2,4})[\s:.–-]+(?P<rest>(?=[^\s]*[a-zà-ÿ])\S+\s+\S.*)$")
_POSITION = re.compile(
    r"^(?P<name>[^,()\[\]]+?)(?:,\s+|\s+[-–—/|]\s+|\s+)(?P<position>[A-Z]{1,3}(?:[/-][A-Z]{1,3})?)"
    r"(?P<behind>\s*[(\[].+[)\]]|,\s+.+|\s+[-–—/|]\s+.+)$"
)


# `Frost Imp (RH) [Water]`
_LAST_HELD = re.compile(r"^(?P<rest>.*[)\]])\s*[(\[](?P<found>[^()\[\]0-9]+)[)\]]$")


class Split(NamedTuple):
    """How a text is split into what is left and what was beside it, and whether what was found
    beside the names of a list, of so many lines, is that on nearly all of these."""

    of: Callable[[str], tuple[str, str]]
    is_meant: Callable[[Sequence[str], int], bool]


def _by(pattern: re.Pattern[str]) -> Callable[[str], tuple[str, str]]:
    def split(rest: str) -> tuple[str, str]:
        match = pattern.match(rest)
        return (match["rest"].rstrip(" ,-–—"), match["found"]) if match else (rest, "")

    return split


def _position(rest: str) -> tuple[str, str]:
    """`Ada Marsh, G (Harbor Gulls)` without what stands between name and team, and that."""
    match = _POSITION.match(rest)
    return (f"{match['name']}{match['behind']}", match["position"]) if match else (rest, "")


def _position_last(rest: str) -> tuple[str, str]:
    match = POSITION_BEHIND.match(rest)
    return (match["name"], match["position"]) if match else (rest, "")


def _are_grades(found: Sequence[str], count: int) -> bool:
    # one letter could be anything
    longer = sum(len(grade) > 1 for grade in found)
    return len(found) > 2 and len(found) * 10 >= count * 6 and longer * 2 >= len(found)


def _are_most(found: Sequence[str], count: int) -> bool:
    return count >= _FEWEST and len(found) * 10 >= count * 8


def _are_amounts(found: Sequence[str], count: int) -> bool:
    return len(found) > 2 and len(found) * 10 >= count * 6


def _are_few(found: Sequence[str], count: int) -> bool:
    several = 1 < len(set(found)) <= len(found) // 2
    return several and _are_most(found, count)


def _are_kinds(found: Sequence[str], count: int) -> bool:
    """Whether what stands in second brackets is one of a few on most lines."""
    return count >= _FEWEST and len(found) * 10 >= count * 6 and len(set(found)) * 4 <= len(found)


def _are_positions(found: Sequence[str], count: int) -> bool:
    return (
        not set(found) & {"RC", "SP"}
        and len(set(found)) * 2 <= len(found)
        and (_are_most(found, count))
    )


SPLITS: Mapping[str, Split] = {
    "last brackets": Split(_by(_LAST_HELD), _are_kinds),
    "times": Split(_by(_TIMES), lambda found, _: len(found) > 1),
    "copies": Split(_by(_COPIES), _are_amounts),
    "grade": Split(_by(_GRADE), _are_grades),
    "amount": Split(_by(_AMOUNT), _are_amounts),
    "code": Split(_by(_CODE), _are_few),
    "position": Split(_position, _are_positions),
    "position last": Split(_position_last, are_positions),
}


def splits_of(rests: Sequence[str]) -> tuple[tuple[str, ...], list[str]]:
    """Which of SPLITS hold for nearly all of some texts behind numbers, and the texts split so."""
    names, left = list[str](), list(rests)
    for name, split in SPLITS.items():
        found = [one for rest in left if (one := split.of(rest)[1])]
        if found and split.is_meant(found, len(left)):
            names.append(name)
            left = [split.of(rest)[0] for rest in left]
    return tuple(names), left

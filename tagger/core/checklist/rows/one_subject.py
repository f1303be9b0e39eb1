"""Lists of one player's cards: the name stands in the title, and the lines have the sets with the
numbers, `Harbor Light #159 Gold /100`, below their years."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.raw.print_runs import split_run
from tagger.core.checklist.raw.purposes import one_collected
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.checklist.raw.years import YEAR
from tagger.core.checklist.rows.behind import split_marks
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line

_FEWEST = 5  # cards
_LONGEST = 120  # characters of a line with one
_MOST_WORDS = 4  # of a name, and of what stands behind a number
_CARD = re.compile(
    rf"^(?:[-–—•·*+]\s+)?(?:(?P<year>{YEAR.pattern})\s+)?(?P<set>[^\W\d_][^#]*?)[\s,:–—-]+"
    r"(?:#|no\.?\s|nr\.?\s|n[°º]\s?)\s*(?P<number>[A-Z0-9][\w/-]*)(?:[\s,:–—-]+(?P<rest>\S.*))?$",
    re.IGNORECASE,
)
_YEAR_ALONE = re.compile(rf"^(?P<year>{YEAR.pattern})\W*$")
_OF_LIST = re.compile(
    r"(?i)\s+(?:(?:master|complete|full|player|super|my|personal)\s+)*(?:cards?|list)\W*$"
)


class OneSubject(NamedTuple):
    """The lines with each set above its cards, what of the list is not used, and what is to be told
    of the first card: its line, and why."""

    lines: list[Line]
    left: list[Line]
    line: int
    told: str


def cards_of_one(filled: Sequence[Line]) -> OneSubject | None:
    """The cards of a list of one subject; None where it is no such list."""
    at = [place for place, (_, text) in enumerate(filled) if _card(text)]
    name = _name_in(filled[: at[0]]) if _are_most(filled, len(at)) else ""
    made = _made(filled, name) if name else []
    if not made:
        return None
    left = [one for place, one in enumerate(filled) if place not in at]
    left = [one for one in left if not _YEAR_ALONE.match(one[1])]
    told = f"no line has a name; each card is read as one of '{printable(name, 40)}' in the title"
    return OneSubject(made, left, filled[at[0]][0], told)


def _card(text: str) -> re.Match[str] | None:
    return _CARD.match(text) if len(text) < _LONGEST else None


def _are_most(filled: Sequence[Line], cards: int) -> bool:
    """Whether nearly all lines are cards, so many of them, and years above these."""
    years = sum(_YEAR_ALONE.match(text) is not None for _, text in filled)
    return cards >= _FEWEST and (cards + years) * 10 >= len(filled) * 8


def _name_in(above: Sequence[Line]) -> str:
    """The name in the title: of two words to four, without a digit."""
    said = one_collected(above[0][1]) if above else ""
    text = said or (title_name(above[0][1]) if above else "")
    name = _OF_LIST.sub("", text).strip(" -–—:")
    words = name.split()
    is_name = 1 < len(words) <= _MOST_WORDS and not any(map(str.isdigit, name))
    return name if is_name and all(word[:1].isupper() for word in words) else ""


def _names_nobody(card: re.Match[str]) -> bool:
    """Whether behind a number stands nothing but marks, or the words of a parallel."""
    rest = split_marks(f"x {card['rest']}")[0][2:] if card["rest"] else ""
    return not rest or is_finish(rest) or split_run(rest)[1] > 0


def _made(filled: Sequence[Line], name: str) -> list[Line]:
    """The cards below their sets; none where one has a name, or its year is said nowhere."""
    made: list[Line] = []
    year, above = "", ""
    for line, text in filled:
        if alone := _YEAR_ALONE.match(text):
            year = alone["year"]
        card = _card(text)
        if card is None:
            continue
        year_of = card["year"] or year
        if not year_of or not _names_nobody(card):
            return []
        called = f"{year_of} {card['set']}"
        if called != above:
            made.append((line, called))
            above = called
        made.append((line, f"{card['number']} {name}{_behind(card['rest'] or '')}"))
    return made


def _behind(rest: str) -> str:
    bare, marks = split_marks(f"x {rest}")
    parallel = bare[2:]
    listed = f" (also {parallel})" if parallel else ""
    return f"{listed} {' '.join(marks)}".rstrip()

"""Which lines of a plain list are headings of the cards below them, and which only say something of
these."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist.above.facts import labelled
from tagger.core.checklist.named.clubs import is_first_club
from tagger.core.checklist.raw.counts import count_said, says_count
from tagger.core.checklist.raw.notes import is_note, is_packing, is_share, is_total, names_list
from tagger.core.checklist.raw.odds import ODDS
from tagger.core.checklist.raw.prices import says_prices
from tagger.core.checklist.raw.years import YEAR, has_year, is_year
from tagger.core.checklist.rows.list_lines import (
    LIST_LINE,
    YEAR_NUMBER,
    is_numbered_as_year,
    may_name_set,
)
from tagger.core.checklist.titles import (
    has_range,
    is_release,
    listed_parallels,
    names_part,
    names_part_by_word,
    says_no_parallels,
)
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line

_MOST_ABOVE = 12  # lines above a first year
_MOST_BETWEEN = 4  # lines below a heading among which a card comes
_MORE_HEADING_WORDS = 7


def is_no_card(filled: Sequence[Line], at: int) -> bool:
    """Whether a line that begins with a number is a set's name, or a count of cards."""
    text = filled[at][1]
    if is_release(text):
        return True
    if _counts(text):
        return not _is_among_shares(filled, at)
    if is_first_club(text) and not any(_is_second(line) for _, line in filled[at + 1 : at + 2]):
        return True
    first = LIST_LINE.match(text)
    if first is None or not YEAR_NUMBER.match(first["number"]) or not may_name_set(filled, at):
        return False
    return not _is_near_years(filled, at, first["number"]) and _is_above_or_apart(filled, at)


_OF_ALL = re.compile(r"[0-9]{1,4}/(?P<all>[0-9]{1,4})\s")


def _is_among_shares(filled: Sequence[Line], at: int) -> bool:
    """Whether a card `031/048 Undertow` stands beside another one of as many."""
    match = _OF_ALL.match(filled[at][1])
    if match is None:
        return False
    near = [_OF_ALL.match(filled[n][1]) for n in (at - 1, at + 1) if 0 <= n < len(filled)]
    return any(one is not None and one["all"] == match["all"] for one in near)


def _is_second(text: str) -> bool:
    match = LIST_LINE.match(text)
    return match is not None and match["number"] == "2"


def _counts(text: str) -> bool:
    """Whether a line counts cards or packs: `220 cards`, `3 cards. Parallels: Gold /50`."""
    if is_total([text]) or is_packing(text) or is_share(text) or says_count(text):
        return True
    if says_prices(text):
        return True
    return ":" in text and count_said(text) > 0 and listed_parallels(text) is not None


def _is_near_years(filled: Sequence[Line], at: int, year: str) -> bool:
    """Whether a line beside one that begins with a year begins with another one, as numbers do."""
    near = [filled[n][1] for n in (at - 1, at + 1) if 0 <= n < len(filled)]
    return any(is_numbered_as_year(text, year) for text in near)


def _is_above_or_apart(filled: Sequence[Line], at: int) -> bool:
    """Whether a card follows soon, maybe below its own heading; or none does and none is above."""
    below = filled[at + 1 : at + 1 + _MOST_BETWEEN]
    return any(LIST_LINE.match(text) for _, text in below) or _stands_below(filled, at)


def _stands_below(filled: Sequence[Line], at: int) -> bool:
    """Whether no card follows a line that begins with a year, and it stands below none: the name of
    another page, say."""
    if not at or any(LIST_LINE.match(text) for _, text in filled[at + 1 :]):
        return False
    return LIST_LINE.match(filled[at - 1][1]) is None


def heads_cards(filled: Sequence[Line], at: int) -> bool:
    """Whether a line is the heading of the cards below it."""
    text = filled[at][1]
    bare = _ASIDE.sub("", text)
    text = bare if names_part_by_word(bare) else text
    if is_note(text) or says_prices(text) or _adds(text) or not _is_followed(filled, at):
        return False
    return _is_sure_part(text) or _looks_so(text)


def _adds(text: str) -> bool:
    """Whether a line in small letters goes on about what is above: `unnumbered, blank back`."""
    return text.islower() and "," in text and not has_range(text)


def describes(filled: Sequence[Line], at: int) -> bool:
    """Whether a line stands between a heading and its cards, and says something of these."""
    for above in range(at - 1, max(at - _MOST_BETWEEN, 0) - 1, -1):
        if LIST_LINE.match(filled[above][1]):
            return False
        if _begins(filled, above):
            return _says_more(filled[at][1]) and heads_cards(filled, above)
    return False


def _looks_so(text: str) -> bool:
    # `the rest is lost` is no heading
    begins = text[:1].isupper() or is_first_club(text) or _is_short_japanese(text)
    bare = _ASIDE.sub("", ODDS.sub("", text))
    return begins and len(bare.split()) < _MORE_HEADING_WORDS and "," not in bare


_ASIDE = re.compile(r"(?<=\S)\s*\([^()]*\)$")  # `Ships (1:12 packs, die-cut)`


def _is_short_japanese(text: str) -> bool:
    # letters without capitals, and without spaces between words
    return text[:1].isalpha() and text[:1] == text[:1].swapcase() and len(text) < _LONGEST


_LONGEST = 24  # characters of a heading in Japanese


def _is_followed(filled: Sequence[Line], at: int) -> bool:
    """Whether a card comes below a line, or below the lines that say more of it, or below the
    headings that come below a sure one."""
    for _, below in filled[at + 1 : at + 1 + _MOST_BETWEEN]:
        if LIST_LINE.match(below) is not None or listed_parallels(below) is not None:
            return True
        if _begins(filled, at) and _says_more(below):
            continue
        if not (_is_over(filled, at) and _may_stand_below(filled[at][1], below)):
            return False
    return False


def _may_stand_below(text: str, below: str) -> bool:
    """Whether a heading may stand right below one that is over others; any may below a year."""
    return _is_sure_part(below) or (is_year(text) and _looks_so(below))


def _is_over(filled: Sequence[Line], at: int) -> bool:
    """Whether a line may be over further headings: a sure one, or a name with its year behind it,
    apart from the cards above."""
    text = filled[at][1]
    return _is_sure_part(text) or (_begins(filled, at) and _YEAR_LAST.search(text) is not None)


_YEAR_LAST = re.compile(rf"[^\W\d_]\s+\(?{YEAR.pattern}\)?$")


def _begins(filled: Sequence[Line], at: int) -> bool:
    """Whether a line is the first one behind a blank line."""
    return at == 0 or filled[at][0] - filled[at - 1][0] > 1


def _says_more(text: str) -> bool:
    """Whether a line can only say something of the cards below, and is no heading of its own."""
    if says_no_parallels(text) or is_note(text) or is_total([text]) or names_list(text):
        return True
    return not (_looks_so(text) or _is_sure_part(text))


def _is_sure_part(text: str) -> bool:
    """Whether a line is surely the heading of a part or a set, if cards follow it."""
    is_labelled = labelled(text)[0] in ("team", "series", "set")  # `Team: Gulls`
    return is_labelled or names_part(text) or YEAR_NUMBER.match(text.partition(" ")[0]) is not None


def with_years_over(filled: list[Line]) -> list[Line]:
    """The lines with the year that stands above the names of sets in front of each of these, below
    a title that names none: `My needs`, `1987`, `Harbor Light`, cards, `Pond Mill`."""
    years = [at for at, (_, text) in enumerate(filled) if is_year(text.strip(" :"))]
    if not years or not _are_over_names(filled, years):
        return filled
    made, year = filled[: years[0]], ""
    for at in range(years[0], len(filled)):
        line, text = filled[at]
        if at in years:
            year = text.strip(" :")
            continue
        is_name = at - 1 in years or _names_set_of(filled, at)
        made.append((line, f"{year} {text}" if is_name else text))
    return made


def _are_over_names(filled: Sequence[Line], years: Sequence[int]) -> bool:
    """Whether a name that may be one of a set stands right below each year, and no line above the
    first of them names one."""
    above = filled[: years[0]]
    if len(above) > _MOST_ABOVE or not all(_names_no_set(text) for _, text in above):
        return False
    names = [text for at in years for _, text in filled[at + 1 : at + 2]]
    return len(names) == len(years) and all(_may_be_set(_OF_NAMES.sub("", text)) for text in names)


# words for parts that names of sets have as well: `Harbor Stars`
_OF_NAMES = re.compile(
    r"(?i)(?<=\w)\s+(?:stars|legends|highlights|leaders|traded|update|specials?|series)\b"
)


def _names_set_of(filled: Sequence[Line], at: int) -> bool:
    """Whether a line may name a set, and has a card right below it."""
    below = filled[at + 1 : at + 2]
    return _may_be_set(filled[at][1]) and any(LIST_LINE.match(text) for _, text in below)


def _may_be_set(text: str) -> bool:
    is_name = text[:1].isupper() and not text.rstrip().endswith((".", "!", "?"))
    return is_name and LIST_LINE.match(text) is None and not (names_part(text) or has_year(text))


def _names_no_set(text: str) -> bool:
    """Whether a line says what a list is for, or speaks to the reader: `Gulls team set needs`."""
    return is_note(text) or _KINDS_OF_LISTS.search(fold(text)) is not None or text[:1].islower()


# common practice, no source
_KINDS_OF_LISTS = re.compile(
    r"\b(?:my|our|meine?|mes|mis|mijn|needs?|wants?|wanted|want ?list|haves?|for (?:trade|sale)|"
    r"collection|collector|pc|inventory|stock|list|team sets?|sammlung|bestand|fehlliste|"
    r"suchliste|tauschliste|manquantes?|collezione|mancanti|coleccion|faltas|verzameling|"
    r"manco ?lijst)\b"
)

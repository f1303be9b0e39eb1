"""What a line of a table is: a card, more of the card above, a heading, a total, a note."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import Enum, auto
from typing import TYPE_CHECKING

from tagger.core.checklist.header import Record, header_at
from tagger.core.checklist.headings.meaning import ONE_PARALLEL, heading_key, meaning_of
from tagger.core.checklist.lines import filled
from tagger.core.checklist.numbers_read import is_odd
from tagger.core.checklist.plan import number_of_cell
from tagger.core.checklist.raw.counts import count_said
from tagger.core.checklist.raw.notes import (
    begins_total,
    is_comment,
    is_furniture,
    is_note,
    is_page_mark,
    is_share,
    is_total,
)
from tagger.core.checklist.raw.odds import is_odds
from tagger.core.checklist.raw.years import YEAR, has_year, is_year
from tagger.core.checklist.titles import names_part, says_of_part
from tagger.core.model.column_names import PRICE
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan


class RowKind(Enum):
    """What a line is."""

    CARD = auto()
    MORE = auto()  # parallels of the card above: number and subject were merged cells
    PART = auto()  # a heading inside the table
    VALUE = auto()  # a heading in the column that it is the value of
    TOTAL = auto()
    NOTE = auto()
    RULE = auto()  # `-----`
    NOTHING = auto()


# Marks for the cell above (common practice, no source).
_DITTOS = frozenset(
    ['"', "''", "``", "〃", "″", "“", "”", "„", "do.", "dto", "dto.", "ditto", "idem", "id.",
     "s.o.", '-"-', '–"–', '—"—', '- " -', '" "', '""', ",,", "same", "as above", "wie oben"]
)  # fmt: skip
_GAP = frozenset(".… ")  # rows that the list leaves out
_RULE = frozenset("-=_–—:+* ")


def kind_of(plan: Plan, cells: Sequence[str], rich: bool) -> RowKind:
    """What a line is by its cells, of which at least one is filled; `rich`: whether the cards of
    this table have more than a number and a subject."""
    number = cell_of(plan, cells, "number")
    subject = cell_of(plan, cells, "subject") or cell_of(plan, cells, "last")
    texts = filled(cells)
    if rule := _rule(texts, number):
        return rule
    if number and subject:
        return _with_both(plan, number, texts, rich and is_total([subject]))
    if is_version(plan, number, subject):
        return RowKind.MORE
    if is_total(texts) or begins_total(texts):
        return RowKind.TOTAL
    if not number and _are_counts(plan, cells, texts):
        return RowKind.NOTE
    if len(texts) == 1:
        return _lone(plan, cells, texts[0], rich)
    if number or subject:
        return _with_one(number, subject)
    return _of_the_card_above(plan, cells)


def is_version(plan: Plan, number: str, subject: str) -> bool:
    """Whether what stands where a subject does, without a number, is a parallel of the card
    above."""
    return bool(plan.versions) and not number and fold(subject) in plan.versions


def _with_one(number: str, subject: str) -> RowKind:
    """What a line is that has a number or a subject; `Printed on Monday`, or a set with its year,
    may stand for a number."""
    if not subject and has_year(number) and not is_year(number) and len(number.split()) > 1:
        return RowKind.PART
    return RowKind.CARD if subject or not is_note(number) else RowKind.NOTE


def _rule(texts: Sequence[str], number: str) -> RowKind | None:
    """What a line without a letter or a digit is, or one of the page alone; None for another."""
    letters = set("".join(texts))
    if letters <= _GAP:
        return RowKind.NOTHING
    if letters <= _RULE or _are_types(texts):
        return RowKind.RULE
    # nearly each line has a number
    return RowKind.NOTE if not number.isdigit() and is_furniture(" ".join(texts)) else None


# kinds of columns, as databases write them below the names (common practice, no source)
_TYPES = frozenset(
    ["text", "string", "str", "varchar", "char", "int", "integer", "number", "numeric", "decimal",
     "float", "double", "real", "money", "currency", "bool", "boolean", "date", "datetime"]
)  # fmt: skip


def _are_types(texts: Sequence[str]) -> bool:
    return len(texts) > 1 and all(text.strip().lower() in _TYPES for text in texts)


def _with_both(plan: Plan, number: str, texts: Sequence[str], is_sum: bool) -> RowKind:
    if is_odd(number) and is_page_mark(texts[-1]):
        return RowKind.RULE  # the head of a page
    if len(texts) == 2 and (pair := _of_pair(number, texts[1], is_sum)):
        return pair
    # `Total`, its count where numbers stand, and `cards` where subjects do
    if len(texts) == 3 and is_total([" ".join(texts)]):
        return RowKind.TOTAL
    # `Total` may stand where numbers do, with its count where subjects do
    is_sum = is_total(texts) or begins_total(texts)
    if is_sum and is_odd(number_of_cell(number, plan)):
        return RowKind.TOTAL
    return RowKind.NOTE if _is_count(number, texts) else RowKind.CARD


def _of_pair(number: str, other: str, is_sum: bool) -> RowKind | None:
    """What two cells of a line are that are no number and no name: `Night Games`, `odds 1:8`; nor
    has a total more than its count, where cards have teams and prices."""
    if is_odd(number) and is_odds(other):
        return RowKind.PART
    return RowKind.TOTAL if is_sum else None


def _is_count(number: str, texts: Sequence[str]) -> bool:
    """Whether a line is a word where numbers stand with nothing but its count: `Have`, `23`."""
    return len(texts) == 2 and len(number) > 2 and number.isalpha() and texts[-1].strip().isdigit()


_COUNT = re.compile(r"[$€£]?\s?[0-9][0-9.,' ]*\s?(?:[%$€£]|(?:of|von|de|/)\s?[0-9]+)?")
_LABELLED_COUNT = re.compile(rf"[^\W\d_][^:0-9]{{0,30}}[:=]\s*{_COUNT.pattern}")


def _are_counts(plan: Plan, cells: Sequence[str], texts: Sequence[str]) -> bool:
    """Whether a line without a number, where cards have one, has a word with nothing but counts
    beside or behind it: `Have`, `15`; `Album: 18 of 25`."""
    if not plan.has("number") or any(map(cells.__getitem__, _of_parallels(plan))):
        return False
    said = [text for text in texts if not _COUNT.fullmatch(text.strip())]
    if len(said) != 1 or cell_of(plan, cells, "team"):
        return False
    if len(texts) == 1:
        return _LABELLED_COUNT.fullmatch(said[0].strip()) is not None
    # a card that has no number has a team, where others have one, or a name of two words
    return plan.has("team") or len(said[0].split()) == 1


def is_ditto(cell: str) -> bool:
    """Whether a cell says that it is as the one above."""
    return len(cell) < 12 and cell.strip().lower() in _DITTOS


def cell_of(plan: Plan, cells: Sequence[str], meaning: str) -> str:
    """The text of the first column with a meaning, empty where none has it."""
    at = plan.at(meaning)
    return cells[at[0]].strip() if at and at[0] < len(cells) else ""


def _of_the_card_above(plan: Plan, cells: Sequence[str]) -> RowKind:
    is_more = any(cells[place].strip() for place in [*_of_parallels(plan), *plan.at(ONE_PARALLEL)])
    return RowKind.MORE if is_more else RowKind.NOTHING


def _of_parallels(plan: Plan) -> list[int]:
    return [*plan.at("parallels"), *plan.at("run")]


def _counts_lines(text: str) -> bool:
    """`Showing 1 to 20 of 20 entries`; `Harbor 1987/88` names a set."""
    return is_share(text) and any(map(str.isalpha, text)) and "/" not in text


_SAYS_NOTHING = (is_note, is_comment, _counts_lines, is_page_mark, says_of_part)


def _lone(plan: Plan, cells: Sequence[str], text: str, rich: bool) -> RowKind:
    """What a line with one filled cell is."""
    meaning = next(
        meaning for cell, meaning in zip(cells, plan.meanings, strict=True) if cell.strip()
    )
    if meaning in ("parallels", "run", ONE_PARALLEL):
        return RowKind.MORE
    # a date of the list may stand where numbers do, and has digits as they have
    if any(says(text) for says in _SAYS_NOTHING):
        return RowKind.NOTE
    is_counted = count_said(text) > 0  # `Inserts (8 cards)`
    if meaning == "number" and not (is_counted or is_odd(number_of_cell(text, plan))):
        return RowKind.CARD
    return _lone_text(plan, meaning, text, rich)


def _lone_text(plan: Plan, meaning: str, text: str, rich: bool) -> RowKind:
    if meaning in ("series", "team") or (meaning in ("set", "year", "maker") and _is_value(text)):
        return RowKind.VALUE
    # `B` parts a list by its letters
    if meaning in _NO_HEADING or len(text.strip()) == 1:
        return RowKind.NOTE
    if meaning in ("subject", "last"):
        return _lone_subject(plan, text, rich)
    if _BEGINS_SMALL.match(text) and not names_part(text):
        return RowKind.NOTE
    return RowKind.PART if any(map(str.isalpha, text)) else RowKind.NOTHING


# `— the next ones came out of a tin —`
_BEGINS_SMALL = re.compile(r"\W*[a-zà-ÿ][^\W\d]*(?:[\s,:;]+[^\W\d_][\w'’-]*){3,}\W*$")


_NO_HEADING = ("run", "alias", PRICE)  # what stands alone below these heads no cards


def _is_value(text: str) -> bool:
    return has_year(text) or not names_part(text)


def _lone_subject(plan: Plan, text: str, rich: bool) -> RowKind:
    # in a list without numbers each card is so
    if not plan.has("number"):
        return RowKind.CARD
    # `spent so far`, below cards with their versions
    if _BEGINS_SMALL.match(text) or (plan.versions and text.islower()):
        return RowKind.NOTE
    return RowKind.PART if rich or _is_head(plan, text) else RowKind.CARD


def _is_head(plan: Plan, text: str) -> bool:
    """Whether a text alone names a set or a part, or a team in capitals among names that are not
    so."""
    is_set = YEAR.match(text.strip()) is not None and len(text.split()) > 1
    return is_set or names_part(text) or (plan.cased and _is_in_capitals(text))


def _is_in_capitals(text: str) -> bool:
    """`HARBOR GULLS`; `A.B.` is a name cut short."""
    return text.isupper() and len(text.strip()) > 4


def headings_again(plan: Plan, cells: Sequence[str]) -> bool:
    """Whether a line is the column names once more, as at the top of each printed page."""
    # asked of each line that is read singly: one cell tells nearly all of them apart
    at = (plan.at("number") or plan.at("subject") or plan.at("last") or [0])[0]
    if at >= len(cells) or not _same_name(cells[at], plan.names[at]):
        return False
    pairs = [
        (heading_key(cell), heading_key(name))
        for cell, name in zip(cells, plan.names, strict=False)
        if cell.strip()
    ]
    # with more cells it is the beginning of another table
    more = len(filled(cells)) > len(pairs)
    return len(pairs) > 1 and not more and all(one == two for one, two in pairs)


def names_another(plan: Plan, cells: Sequence[str]) -> bool:
    """Whether a line has the column names of another table."""
    if not _may_be_names(plan, cells) or headings_again(plan, cells):
        return False
    header = header_at([Record(0, list(cells))], 0)
    return header is not None and header.known > 1 and header.known * 2 >= len(filled(cells))


def _may_be_names(plan: Plan, cells: Sequence[str]) -> bool:
    """Whether a line may have column names, by the one cell that tells nearly all cards."""
    if plan.has("number"):
        number = cell_of(plan, cells, "number")
        return bool(number) and not any(map(str.isdigit, number)) and len(filled(cells)) > 1
    at = plan.at("subject")
    return not at or (at[0] < len(cells) and meaning_of(cells[at[0]])[0] != "")


def _same_name(one: str, two: str) -> bool:
    return " ".join(one.split()).casefold() == two.casefold()

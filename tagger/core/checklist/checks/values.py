"""Values that do not look like what they were read as: names of sets, numbers, subjects, teams.

Only distinct values are looked at, and of a long list the first of them: a column that was read as
something else shows within a few."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.plan import LOOKED_AT
from tagger.core.checklist.raw.notes import is_not_issued
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Column, Rows

_MOST = 2000  # distinct values of a column

Found = tuple[int, str]
"""A row, and what is odd about it."""

# what stands beside names, and is left in them where a line is parted in another way
_SIGNS = r"[$€£]\s?[0-9]|[0-9]\s?[€£]|[=|<>{}\\~^→]|\s[–—-]\s.*\s[–—-]\s|^[:,;/)\]–—]|[,;:(\[]$"
_SET = re.compile(
    rf"{_SIGNS}|\s/\s?[0-9]{{1,4}}$|:\s+(?![^\W\d_a-z])|;\s|^[^\w\s'\"“‘„«(\[¿¡.*]|(?:\S+\s+){{4}}\S+\.$|[?!]\s|^[\d\W]+$"
    r"|(?i:\b(?:checklist|check list|kartenliste|want ?list|all players|(?<=[0-9] )base set)\b)"
)
_BESIDE = re.compile(
    r"(?<![^\W_])/\s?[0-9]{1,4}\b|#\s?[0-9]|[$€£]\s?[0-9]|[0-9]\s?[€£]|[0-9][.,][0-9]{2}$"
    r"|\s(?:RC|SP|SSP|UER|ERR|COR)\b|\b[x×][0-9]{1,2}$|[=|<>{}\\^→]|[^\W\d_]:[^\W\d_]"
)
_IN_NAME = re.compile(r"[()\[\]（）【】]|\s[–—-]\s|[:;]\s|\s{2,}|^[^\w'\"“‘„«¿¡.*]|[,(:\[–—-]$")
_NO_NUMBER = re.compile(r"^(?![A-Za-z]{1,5}\s[0-9]+$).*\s|[^\w\s./–*+#-]|.{20}")
_DIGITS = re.compile(r"^(?![^\W\d_]+\s[0-9]+$).*[0-9]")  # `Route 66` is a name
_TEAM_SIGNS = re.compile(r"[=|<>{}\\^]|\b(?:1[89]|20)[0-9]{2}\b|[0-9][.,][0-9]{2}\b")
_LONGEST_SET, _LONGEST_NAME = 9, 70  # words, characters


class _Look(NamedTuple):
    """How the values of a column must not look, from which share of them on; `fewest`: how many."""

    what: str
    test: Callable[[str], object]
    share: float
    fewest: int


def _is_no_set(value: str) -> bool:
    return _SET.search(value) is not None or len(value.split()) > _LONGEST_SET


def _is_no_name(value: str) -> bool:
    odd = _BESIDE.search(value) is not None or is_not_issued(value)
    return odd or len(value) > _LONGEST_NAME


def _holds_finish(value: str) -> bool:
    """Whether a part of a team's cell is a parallel: `Harbor Gulls / Gold`."""
    parts = re.split(r"\s*[/,;|]\s*|\s[–—-]\s", value)
    return len(parts) > 1 and any(len(part.split()) == 1 and is_finish(part) for part in parts)


def _is_no_team(value: str) -> bool:
    if _TEAM_SIGNS.search(value) or _holds_finish(value):
        return True
    return _IN_NAME.search(value) is not None or not any(map(str.isalpha, value))


def odd_values(rows: Rows) -> Iterator[Found]:
    """The first row of each kind of value that does not look like what it was read as."""
    for column, look in (
        (rows.sets, _Look("set", _is_no_set, 0, 1)),
        (rows.numbers, _Look("number", _NO_NUMBER.search, 0.25, 3)),
        (rows.subjects, _Look("subject", _is_no_name, 0, 1)),
        (rows.subjects, _Look("subject", _IN_NAME.search, 0.3, 3)),
        (rows.subjects, _Look("subject", _DIGITS.search, 0.5, 3)),
        (rows.teams, _Look("team", _is_no_team, 0.2, 1)),
    ):
        if found := _first_odd(column, look):
            yield found
    yield from _odd_parallels(rows)


_NO_PARALLEL = re.compile(
    r"(?<![0-9])[0-9]+[.,][0-9]{2}(?![0-9])|\b(?:1[89]|20)[0-9]{2}\s|[:=]\s?[0-9]|[0-9]/[0-9]"
    r"|[0-9]\s?[-–]\s?[0-9]"
)


def _odd_parallels(rows: Rows) -> Iterator[Found]:
    """Parallels that are called by an amount, by a set with its year, or by no word."""
    for id, some in enumerate(rows.parallels.values[:_MOST]):
        odd = [one.name for one in some if _is_no_parallel(one.name, one.run)]
        if odd and id in rows.parallels.of:
            said = f"'{printable(odd[0], 50)}' is read as a parallel; check whether it is one"
            yield rows.parallels.of.index(id), said
            return


def _is_no_parallel(name: str, run: int | None) -> bool:
    wordless = run is None and not any(map(str.isalpha, name))
    return wordless or _NO_PARALLEL.search(name) is not None


def _first_odd(column: Column[str], look: _Look) -> Found | None:
    some = [value for value in column.values[:_MOST] if value]
    strange = [value for value in some if look.test(value[:LOOKED_AT])]
    if len(strange) < look.fewest or len(strange) < look.share * len(some):
        return None
    return _told(column, strange, look.what)


def _told(column: Column[str], strange: Sequence[str], what: str) -> Found | None:
    places = set(map(column.values.index, strange[:20]))
    row = next((row for row, id in enumerate(column.of) if id in places), None)
    if row is None:  # doubles of it were left out
        return None
    return row, f"'{printable(column[row], 50)}' is read as a {what}; check whether it is one"

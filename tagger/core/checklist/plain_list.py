"""A plain list: `23 Ada Marsh, Harbor Gulls`, one card a line; its first line may name the set."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist.lines import MAX_LINE, Line, count_said, unreadable
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.checklist.plan import TEAM_STYLES, split_rookie, split_team
from tagger.core.checklist.rows.parts import Parts
from tagger.core.checklist.titles import is_note, is_total, names_part, title_name
from tagger.core.model.tags import Extra, Row
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Gathered
    from tagger.core.checklist.reading import TableReading

_LIST_LINE = re.compile(
    r"^\s*(?:[•·*‣▪]\s*|[-–—]\s+)?(?:no\.?\s+|nr\.?\s+)?#?\s*"
    r"(?P<number>[^\W_]*[0-9][^\s,;:]*?|[A-Z]{1,4}-[A-Z0-9]{1,5})"
    r"(?:\s*(?:\.+\)?|[):,;])\s*|\s+[-–—]\s+|\s+)(?P<rest>\S.*)$"
)
_YEAR = re.compile(r"^(1[89]|20)[0-9]{2}(-[0-9]{2,4})?$")
_RUN = re.compile(r"^(?P<rest>.*\S)\s+(?P<run>#?/\s?[0-9]{1,5})$")
_MORE_HEADING_WORDS = 7


def read_list(lines: Iterable[Line], stem: str, into: Gathered, reading: TableReading) -> None:
    """Read the lines of a plain list into `into`; `stem` is its set where no line names it."""
    # an empty line says nothing, and is no line that cannot be read
    filled = [(line, text.strip()) for line, text in lines if text.strip()]
    name = stem
    if filled and _is_title(filled):
        text = filled[0][1].lstrip("#")
        name = " ".join((title_name(text) or text).split())[:MAX_LINE]
        reading.title, reading.given, reading.given_line = name, count_said(text), filled[0][0]
        filled = filled[1:]
        if not filled:
            said = "no line of column names and no cards; see the checklist format"
            into.problem(reading.file, 1, said)
    _Lines(name, filled, into, reading).read()


class _Lines:
    """The lines below the title, as cards of one set."""

    def __init__(
        self, name: str, filled: list[Line], into: Gathered, reading: TableReading
    ) -> None:
        self._name, self._filled, self._into, self._reading = name, filled, into, reading
        self._parts = Parts(into, reading, own_set=False, own_series=False)
        self._style = _team_style(filled)

    def read(self) -> None:
        """Read all of them."""
        for at, (line, text) in enumerate(self._filled):
            match = _LIST_LINE.match(text)
            if reason := unreadable(text):
                self._problem(line, reason)
            elif match is not None and not self._is_heading(at):
                self._card(line, match)
            else:
                self._unnumbered(at)
        self._parts.end()

    def _is_heading(self, at: int) -> bool:
        """Whether a line that begins with a number is a set's name, or a count of cards."""
        text = self._filled[at][1]
        first = _LIST_LINE.match(text)
        if is_total([text]):
            return True
        if first is None or not _YEAR.match(first["number"]) or "," in text:
            return False
        # between cards that are numbered otherwise, and a card follows
        near = [self._filled[n][1] for n in (at - 1, at + 1) if 0 <= n < len(self._filled)]
        return not any(map(_is_numbered_as_year, near)) and bool(
            at + 1 < len(self._filled) and _LIST_LINE.match(self._filled[at + 1][1])
        )

    def _unnumbered(self, at: int) -> None:
        line, text = self._filled[at]
        if is_total([text]):
            self._parts.total(line, [text])
        elif self._is_part(at):
            self._parts.begin(line, text)
        else:
            shown = printable(text, 40)
            self._problem(line, f"no card number at the start of '{shown}'; the line is skipped")

    def _is_part(self, at: int) -> bool:
        """Whether a line is the heading of the cards below it."""
        text = self._filled[at][1]
        follows = at + 1 < len(self._filled) and _LIST_LINE.match(self._filled[at + 1][1])
        if not follows or is_note(text):
            return False
        if names_part(text) or _YEAR.match(text.split()[0]):
            return True
        # `the rest is lost` is no heading
        return text[:1].isupper() and len(text.split()) < _MORE_HEADING_WORDS and "," not in text

    def _card(self, line: int, match: re.Match[str]) -> None:
        rest, run = match["rest"].replace("\t", ","), ""
        if numbered := _RUN.match(rest):
            rest, run = numbered["rest"], numbered["run"]
        subject, team, mark = self._subject(rest)
        extra: Extra = (("rookie", mark),) if mark else ()
        row = Row(self._name, match["number"], subject, team, parse_parallels(run), extra)
        self._into.add(row, line)
        self._placed()

    def _placed(self) -> None:
        columns = self._into.rows.columns()
        ids = [column.of[-1] for column in columns]
        self._parts.placed(ids)
        for column, id in zip(columns, ids, strict=True):
            column.of[-1] = id

    def _subject(self, rest: str) -> tuple[str, str, str]:
        rest, last = split_rookie(rest)
        if self._style:
            subject, team = split_team(rest, self._style)
        else:
            subject, _, team = rest.partition(",")
        subject, first = split_rookie(" ".join(subject.split()))
        return subject, " ".join(team.split()), first or last

    def _problem(self, line: int, text: str) -> None:
        self._into.problem(self._reading.file, line, text)


def _team_style(filled: Sequence[Line]) -> str:
    """How most lines put the team behind the subject; empty for the usual comma."""
    matches = [match for _, text in filled[:400] if (match := _LIST_LINE.match(text))]
    rests = [split_rookie(match["rest"])[0] for match in matches]
    commas = sum(1 for rest in rests if "," in rest or "\t" in rest)
    if len(rests) < 3 or commas * 4 > len(rests):
        return ""
    most = (
        style
        for style, pattern in TEAM_STYLES.items()
        if len(list(filter(pattern.match, rests))) > 0.6 * len(rests)
    )
    return next(most, "")


def _is_title(filled: list[Line]) -> bool:
    """Whether the first filled line names the set: no card line, or one that starts with a year."""
    first = _LIST_LINE.match(filled[0][1])
    if unreadable(filled[0][1]):
        return False
    if first is None:
        return True
    if not _YEAR.match(first["number"]) or "," in filled[0][1]:
        return False
    # `1987 Harbor` above `1987 Ada Marsh` is a card numbered 1987, above `1 Ada Marsh` a set
    return not any(_is_numbered_as_year(text) for _, text in filled[1:2])


def _is_numbered_as_year(text: str) -> bool:
    match = _LIST_LINE.match(text)
    return match is not None and _YEAR.match(match["number"]) is not None

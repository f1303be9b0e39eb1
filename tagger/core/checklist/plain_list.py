"""A plain list: `23 Ada Marsh, Harbor Gulls`, one card a line; its first line may name the set."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import takewhile
from typing import TYPE_CHECKING

from tagger.core.checklist.above.facts import facts_of, set_of_facts
from tagger.core.checklist.lines import Line, unreadable
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.checklist.raw.notes import (
    is_comment,
    is_menu,
    is_note,
    is_of_product,
    is_packing,
    is_page_mark,
    is_total,
)
from tagger.core.checklist.raw.prices import split_price
from tagger.core.checklist.raw.print_runs import split_run
from tagger.core.checklist.raw.title_names import cards_said, is_by_team
from tagger.core.checklist.raw.typed_lines import usual_lines
from tagger.core.checklist.rows.behind import (
    SURE_STYLES,
    WHERE,
    Beside,
    beside,
    marks_kept,
    split_behind,
    team_behind_word,
    team_style,
)
from tagger.core.checklist.rows.list_lines import (
    LIST_LINE,
    YEAR_NUMBER,
    are_reversed,
    closed_up,
    is_numbered_as_year,
    is_team_first,
    is_title,
    named_by_title,
    of_reversed,
    one_a_line,
    rests_of,
    sets_above,
    split_listed,
    split_tail,
    tail_mark,
    title_among,
    unused,
    without_names,
)
from tagger.core.checklist.rows.parts import Parts
from tagger.core.checklist.titles import (
    listed_parallels,
    names_part,
    one_listed,
    quoted,
)
from tagger.core.model.column_names import PRICE
from tagger.core.model.tags import Row, is_base
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Gathered
    from tagger.core.checklist.reading import TableReading


_DECK = re.compile(r"^.*\S\s\([A-Z0-9]{2,6}\)\s[0-9]{1,4}[a-z]?(?:\s\*\w\*)?$")
_MORE_HEADING_WORDS = 7
_NUMBERS_ONLY = re.compile(r"[0-9]+[a-z]?(?:\s*[,;–-]\s*[0-9]+[a-z]?)+\W*")  # a want list
_NO_CARDS = "no line of column names and no cards; see the checklist format"
_MOST_BETWEEN = 4  # lines below a set's name among which a card comes
_MOST_FACTS = 3  # lines `Set: 1987 Harbor Light` above the cards


def read_list(lines: Iterable[Line], stem: str, into: Gathered, reading: TableReading) -> None:
    """Read the lines of a plain list into `into`; `stem` is its set where no line names it."""
    filled = one_a_line([(line, closed_up(text)) for line, text in lines if text.strip()])
    filled, names = without_names(filled)
    reading.notes.extend(unused(names))
    filled = usual_lines(sets_above(filled))
    name, filled = _named_by_facts(stem, filled)
    if name == stem:
        at = title_among(filled)
        reading.notes.extend(unused(filled[:at]))
        filled = filled[at:]
    if filled and name == stem and is_title(filled):
        text = filled[0][1].lstrip("#")
        name, filled = named_by_title(text, filled, stem)
        reading.title, reading.given, reading.given_line = name, cards_said(text), filled[0][0]
        reading.by_team = is_by_team(text)
        filled = _without_page_heads(filled)
        if not filled:
            into.problem(reading.file, 1, _NO_CARDS)
    _Lines(name, filled, into, reading).read()


def _named_by_facts(stem: str, filled: list[Line]) -> tuple[str, list[Line]]:
    """The set that lines such as `Set: 1987 Harbor Light` at the beginning name, and the lines
    below these."""
    said = [facts_of([text]) for _, text in filled[:_MOST_FACTS] if ":" in text]
    said = list(takewhile(bool, said))
    facts = {label: value for one in said for label, value in one.items()}
    return set_of_facts(facts, stem), filled[len(said) :]


def _without_page_heads(filled: list[Line]) -> list[Line]:
    """The lines below the title, without the title again at the top of each page, and without the
    numbers of the pages."""
    title = filled[0][1]
    return [one for one in filled[1:] if one[1] != title and not is_page_mark(one[1])]


class _Lines:
    """The lines below the title, as cards of one set."""

    def __init__(
        self, name: str, filled: list[Line], into: Gathered, reading: TableReading
    ) -> None:
        self._name, self._filled, self._into, self._reading = name, filled, into, reading
        self._parts = Parts(into, reading, own_set=False, own_series=False, called=name)
        rests = rests_of(filled)
        self._style = team_style(rests)
        self._tail = "" if self._style else tail_mark(rests)
        if self._tail:
            self._style = team_style([split_tail(rest, self._tail)[0] for rest in rests])
        self._team_first = is_team_first(self._style, filled)
        self._reversed = are_reversed(rests)
        self._begun = len(into.rows)
        self._starred = False  # whether numbers have the mark of a note below

    def read(self) -> None:
        """Read all of them."""
        decks = [line for line, text in self._filled if _DECK.match(text)]
        if len(decks) > 1 and len(decks) * 2 > len(self._filled):
            said = "the numbers in front look like counts, with set and number behind the names"
            self._problem(decks[0], f"{said}; export the list as CSV")
        self._tell_teams()
        for at, (line, text) in enumerate(self._filled):
            match = LIST_LINE.match(text)
            if reason := unreadable(text):
                self._problem(line, reason)
            elif match is not None and not self._is_heading(at):
                self._card(line, match)
            else:
                self._unnumbered(at)
        self._parts.end(last=True)
        self._parts.tell_teams()

    def _tell_teams(self) -> None:
        """Tell what is read as the team, where it stands as other things do too."""
        if self._style and self._style not in SURE_STYLES:
            told = f"what stands {WHERE[self._style]} is read apart from the names, as the team"
        elif self._team_first:
            told = "what stands before the names comes again, so it is read as the team"
        else:
            told = "" if self._style else team_behind_word(rests_of(self._filled))
        if told:
            self._problem(self._filled[0][0], told)
        if self._tail:
            shown = self._tail.strip().replace(",", "comma")
            said = f"what stands behind the second {shown} comes again, so it is kept as a note"
            self._problem(self._filled[0][0], said)

    def _is_heading(self, at: int) -> bool:
        """Whether a line that begins with a number is a set's name, or a count of cards."""
        text = self._filled[at][1]
        first = LIST_LINE.match(text)
        if is_total([text]) or is_packing(text):
            return True
        if first is None or not YEAR_NUMBER.match(first["number"]) or "," in text:
            return False
        # between cards that are numbered otherwise, and a card follows, maybe below its own heading
        near = [self._filled[n][1] for n in (at - 1, at + 1) if 0 <= n < len(self._filled)]
        below = self._filled[at + 1 : at + 1 + _MOST_BETWEEN]
        return not any(map(is_numbered_as_year, near)) and any(
            LIST_LINE.match(text) for _, text in below
        )

    def _unnumbered(self, at: int) -> None:
        line, text = self._filled[at]
        if self._parts.lists(line, text):
            return
        if self._is_of_the_card_above(text):
            self._add_parallel(one_listed(text))
        elif is_total([text]):
            self._parts.total(line, [text])
        elif self._is_remark(text):
            self._reading.notes.append(f"line {line}: {quoted([text])}, not a card")
        elif self._is_part(at):
            self._parts.begin(line, text)
        else:
            shown = printable(text, 40)
            self._problem(line, f"no card number at the start of '{shown}'; the line is skipped")

    def _is_remark(self, text: str) -> bool:
        """Whether a line says nothing of a card."""
        if is_comment(text) or is_menu(text) or is_of_product(text):
            return True
        # `Updated in March`, above the cards; `B` parts a list by its letters
        if len(text) == 1 or (is_note(text) and len(self._into.rows) == self._begun):
            return True
        return self._starred and text[:1] in "*†‡§"

    def _add_parallel(self, name: str) -> None:
        """Give the card above one more parallel."""
        rows = self._into.rows
        had = rows.parallels[len(rows) - 1]
        new = (p for p in parse_parallels(name) if p not in had and not is_base(p.name))
        rows.add_parallels(len(rows) - 1, tuple(new))

    def _is_of_the_card_above(self, text: str) -> bool:
        """Whether a line with a bullet is a parallel of the card above it."""
        name = one_listed(text)
        if not name or name == text or len(self._into.rows) == self._begun:
            return False
        return is_base(name) or is_finish(name) or split_run(name)[1] > 0

    def _is_part(self, at: int) -> bool:
        """Whether a line is the heading of the cards below it."""
        text = self._filled[at][1]
        if not self._is_followed(at) or is_note(text):
            return False
        if _is_sure_part(text):
            return True
        # `the rest is lost` is no heading
        return text[:1].isupper() and len(text.split()) < _MORE_HEADING_WORDS and "," not in text

    def _is_followed(self, at: int) -> bool:
        """Whether a card comes below a line, or below the headings that come below a sure one."""
        for below in self._filled[at + 1 : at + 1 + _MOST_BETWEEN]:
            if _goes_on(below):
                return True
            if not (_is_sure_part(self._filled[at][1]) and _is_sure_part(below[1])):
                return False
        return False

    def _card(self, line: int, match: re.Match[str]) -> None:
        if _NUMBERS_ONLY.fullmatch(match["rest"]):
            self._problem(line, "the line has only numbers; write one card a line, with its name")
        rest, price = split_price(match["rest"])
        rest, listed = split_listed(rest)
        rest, tail = split_tail(rest, self._tail)
        found = self._subject(rest)
        runs = parse_parallels(listed or (f"/{found.run}" if found.run else ""))
        self._starred = self._starred or bool(match["star"])
        extra = marks_kept((*found.marks, *filter(None, [match["star"]])))
        extra = (*extra, *(pair for pair in ((PRICE, price), ("note", tail)) if pair[1]))
        row = Row(self._name, match["number"], found.subject, found.team, runs, extra)
        self._into.add(row, line)
        self._placed()

    def _placed(self) -> None:
        columns = self._into.rows.columns()
        ids = [column.of[-1] for column in columns]
        self._parts.placed(ids)
        for column, id in zip(columns, ids, strict=True):
            column.of[-1] = id

    def _subject(self, rest: str) -> Beside:
        found = self._of_rest(rest)
        if self._team_first and found.team:
            found = found._replace(subject=found.team, team=found.subject)
        return found

    def _of_rest(self, rest: str) -> Beside:
        if self._reversed and "," in rest:
            return _tidied(of_reversed(rest))
        if self._style and "\t" not in rest:
            return _tidied(beside(rest, True, self._style, ""))
        found = split_behind(rest.strip())
        mark = "\t" if "\t" in found.subject else ","
        subject, _, team = found.subject.partition(mark)
        inner, outer = split_behind(subject.strip()), split_behind(team.strip())
        marks = (*inner.marks, *outer.marks, *found.marks)
        run = found.run or inner.run or outer.run
        return _tidied(Beside(inner.subject, outer.subject, marks, run))

    def _problem(self, line: int, text: str) -> None:
        self._into.problem(self._reading.file, line, text)


def _goes_on(below: Line) -> bool:
    """Whether the line below a heading is a card, or says which parallels the cards have."""
    return LIST_LINE.match(below[1]) is not None or listed_parallels(below[1]) is not None


def _is_sure_part(text: str) -> bool:
    """Whether a line is surely the heading of a part or a set, if cards follow it."""
    return names_part(text) or YEAR_NUMBER.match(text.split()[0]) is not None


def _tidied(found: Beside) -> Beside:
    subject, team = " ".join(found.subject.split()), " ".join(found.team.split())
    return found._replace(subject=subject, team=team)

"""A plain list: `23 Ada Marsh, Harbor Gulls`, one card a line; its first line may name the set."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import takewhile
from typing import TYPE_CHECKING

from tagger.core.checklist.above.facts import facts_of, labelled, set_of_facts
from tagger.core.checklist.above.years import years_left
from tagger.core.checklist.headings.meaning import heading_words
from tagger.core.checklist.lines import Line, no_typed_line
from tagger.core.checklist.named.clubs import is_club
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.checklist.raw.indented import with_indented
from tagger.core.checklist.raw.makers import with_years_said
from tagger.core.checklist.raw.notes import (
    is_comment,
    is_imprint,
    is_menu,
    is_not_issued,
    is_note,
    is_of_product,
    is_page_mark,
    is_share,
    is_total,
    names_list,
)
from tagger.core.checklist.raw.odds import is_odds
from tagger.core.checklist.raw.prices import says_prices
from tagger.core.checklist.raw.print_runs import split_run
from tagger.core.checklist.raw.title_names import cards_said, file_title, is_by_team
from tagger.core.checklist.raw.typed_lines import usual_lines
from tagger.core.checklist.raw.years import has_year, of_catalogue
from tagger.core.checklist.rows.after_list import (
    names_with_dashes,
    notes_behind_teams,
    positions_for_teams,
    teams_behind_subjects,
)
from tagger.core.checklist.rows.list_card import card_of, form_of, told_of
from tagger.core.checklist.rows.list_headings import (
    describes,
    heads_cards,
    is_no_card,
    with_years_over,
)
from tagger.core.checklist.rows.list_lines import (
    FOUND,
    LIST_LINE,
    closed_up,
    gaps_as_tabs,
    is_title,
    named_by_title,
    names_nothing,
    names_teams,
    one_a_line,
    sets_above,
    title_among,
    unused,
    without_names,
)
from tagger.core.checklist.rows.numbers_found import numbers_found
from tagger.core.checklist.rows.one_subject import cards_of_one
from tagger.core.checklist.rows.parts import Parts
from tagger.core.checklist.titles import (
    names_part,
    one_listed,
    quoted,
    says_no_parallels,
    says_parallels,
)
from tagger.core.model.tags import Row, is_base
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Gathered
    from tagger.core.checklist.reading import TableReading


_DECK = re.compile(r"^.*\S\s\([A-Z0-9]{2,6}\)\s[0-9]{1,4}[a-z]?(?:\s\*\w\*)?$")
_NUMBERS_ONLY = re.compile(r"[0-9]+[a-z]?(?:\s*[,;–-]\s*[0-9]+[a-z]?)+\W*")  # a want list
_NO_CARDS = "no line of column names and no cards; see the checklist format"
_REMARKS = (
    is_comment,
    is_menu,
    is_of_product,
    is_share,
    is_odds,
    is_imprint,
    says_no_parallels,
    says_prices,
)
_LOOKED_AT = 400  # lines by which it is decided how cards are written
_SEVERAL = 3  # clubs
_MOST_FACTS = 3  # lines `Set: 1987 Harbor Light` above the cards


def read_list(lines: Iterable[Line], stem: str, into: Gathered, reading: TableReading) -> None:
    """Read the lines of a plain list into `into`; `stem` is its set where no line names it."""
    typed = _typed(lines, into, reading.file)
    if not typed:
        into.problem(reading.file, 1, _NO_CARDS)
        return
    filled, names = without_names(one_a_line(_closed_up(with_indented(typed))))
    reading.notes.extend(unused(names))
    filled = _with_subject(filled, into, reading)
    filled = with_years_said([(line, of_catalogue(text)) for line, text in filled], names_nothing)
    found = numbers_found(with_years_over(usual_lines(sets_above(filled))))
    if found.told:
        into.problem(reading.file, found.line, found.told)
    name, filled = _named_by_facts(stem, gaps_as_tabs(found.lines))
    if name != stem:
        reading.title = name
    else:
        filled = _from_title(filled, stem, into, reading)
    if filled and name == stem and is_title(filled) and not _is_club_above(filled, stem):
        text = filled[0][1].lstrip("#")
        name, filled = named_by_title(text, filled, stem)
        reading.title, reading.given, reading.given_line = name, cards_said(text), filled[0][0]
        reading.by_team = is_by_team(text)
        filled = _without_page_heads(filled)
        if not filled:
            into.problem(reading.file, 1, _NO_CARDS)
    _Lines(name, filled, into, reading).read(names_teams(names))


_SUMS = "lines have a date and a number each; they are read as no cards"
_DATED_SUM = re.compile(
    r"(?:(?:19|20)[0-9]{2}[-/.](?:0?[1-9]|1[0-2])(?:[-/.][0-9]{1,2})?|"
    r"(?:[0-9]{1,2}[./])?[0-9]{1,2}[./](?:19|20)[0-9]{2})[\s,;:]+"
    r"[-+]?(?:[$€£¥]\s?)?[0-9][0-9.,' ]*(?:\s?(?:[$€£¥%]|EUR|USD|GBP|CHF))?"
)


def _are_sums(filled: Sequence[Line]) -> bool:
    """Whether each line has nothing but a day or a month and an amount: a table of sums."""
    return len(filled) > 1 and all(_DATED_SUM.fullmatch(text.strip()) for _, text in filled)


def _with_subject(filled: list[Line], into: Gathered, reading: TableReading) -> list[Line]:
    """The lines with the name in the title on each card, where none has one; told."""
    one = cards_of_one(filled)
    if one is None:
        return filled
    reading.notes.extend(unused(one.left))
    into.problem(reading.file, one.line, one.told)
    return one.lines


def _from_title(filled: list[Line], stem: str, into: Gathered, reading: TableReading) -> list[Line]:
    """The lines from the one on that names the set; those above it are told."""
    at = title_among(filled)
    left, filled = filled[:at], filled[at:]
    reading.notes.extend(unused(left))
    named = filled[0][1] if filled else stem
    for line, told in years_left(left, f"{named} {stem}"):
        into.problem(reading.file, line, told)
    return filled


def _is_club_above(filled: list[Line], stem: str) -> bool:
    """Whether the first line is a club's name, or a heading, and further ones stand between the
    cards."""
    if _is_heading_of_several(filled, stem):
        return True
    clubs = [text for _, text in filled if is_club(text) and LIST_LINE.match(text) is None]
    return is_club(filled[0][1]) and not has_year(filled[0][1]) and len(clubs) > 2


def _is_heading_of_several(filled: list[Line], stem: str) -> bool:
    """Whether the first line parts the cards as further ones do, and does not name the set: it has
    a card right below it and no word of the file's name, which has the year of the set; and numbers
    go on below the next headings."""
    called = file_title(stem)
    own = set(heading_words(filled[0][1])) & set(heading_words(called))
    if own or not has_year(called):
        return False
    heads = [at for at, (_, text) in enumerate(filled) if LIST_LINE.match(text) is None]
    return _are_alike(filled, heads) and _numbers_go_on(filled)


def _numbers_go_on(filled: list[Line]) -> bool:
    numbers = [match["number"] for _, text in filled if (match := LIST_LINE.match(text))]
    return len(set(numbers)) == len(numbers)


def _are_alike(filled: list[Line], heads: Sequence[int]) -> bool:
    """Whether some lines, several of them, are headings without a year right above a card each."""
    below = (filled[at + 1][1] for at in heads if at + 1 < len(filled))
    over = [LIST_LINE.match(text) is not None for text in below]
    texts = [filled[at][1] for at in heads]
    if any(map(has_year, texts)) or not all(over) or len(over) < len(heads):
        return False
    return len(heads) >= _SEVERAL and all(heads_cards(filled, at) for at in heads)


def _closed_up(filled: Iterable[Line]) -> list[Line]:
    return [(line, closed_up(text)) for line, text in filled]


def _typed(lines: Iterable[Line], into: Gathered, file: str) -> list[Line]:
    """The lines with something on them; those that cannot be typed ones are told."""
    kept: list[Line] = []
    for line, text in lines:
        if reason := no_typed_line(text):
            into.problem(file, line, reason)
        elif text.strip():
            kept.append((line, text))
    return kept


def _named_by_facts(stem: str, filled: list[Line]) -> tuple[str, list[Line]]:
    """The set that lines such as `Set: 1987 Harbor Light` at the beginning name, and the lines
    below these."""
    first = takewhile(lambda line: "\t" in line[1] or labelled(line[1])[0], filled[:_MOST_FACTS])
    said = {line: facts for line, text in first if (facts := facts_of(text.split("\t")))}
    facts = {label: value for one in said.values() for label, value in one.items()}
    # `Subset:` may stand above `Set:`
    return set_of_facts(facts, stem), [one for one in filled if one[0] not in said]


def _without_page_heads(filled: list[Line]) -> list[Line]:
    """The lines below the title, without the title again at the top of each page, and without the
    numbers of the pages."""
    title = filled[0][1]
    again = any(text == title for _, text in filled[1:])
    if again and any(
        is_no_card(filled, at) and filled[at][1] != title for at in range(len(filled))
    ):
        title = ""  # between other sets it is the heading of its own
    return [one for one in filled[1:] if one[1] != title and not is_page_mark(one[1])]


def _are_clubs_and_parts(filled: Sequence[Line]) -> bool:
    """Whether headings are several clubs, and further ones that say themselves that they are parts:
    `FC Harbor:`, `Special cards (T1-T6)`."""
    lone = [at for at, (_, text) in enumerate(filled) if LIST_LINE.match(text) is None]
    heads = {filled[at][1].rstrip(" :") for at in lone if heads_cards(filled, at)}
    clubs = {text for text in heads if is_club(text)}
    return len(clubs) >= _SEVERAL and all(map(names_part, heads - clubs))


class _Lines:
    """The lines below the title, as cards of one set."""

    def __init__(
        self, name: str, filled: list[Line], into: Gathered, reading: TableReading
    ) -> None:
        self._name, self._filled, self._into, self._reading = name, filled, into, reading
        self._parts = Parts(into, reading, own_set=False, own_series=False, called=name)
        self._parts.clubs = _are_clubs_and_parts(filled)
        self._begun = len(into.rows)
        self._told = False  # whether anything is odd
        self._starred = False  # whether numbers have the mark of a note below

    def read(self, teams_said: bool) -> None:
        """Read all of them. `teams_said`: whether a line above names a column of teams."""
        if _are_sums(self._filled):
            self._problem(self._filled[0][0], f"{len(self._filled)} {_SUMS}")
            return
        self._tell_decks()
        self._find_form(teams_said)
        last = self._last_card()
        for at, (line, text) in enumerate(self._filled[: last + 1]):
            match = LIST_LINE.match(text)
            if match is not None and not is_no_card(self._filled, at):
                self._card(line, match)
            else:
                self._unnumbered(at)
        self._read_below(last)
        self._parts.end(last=True)
        self._parts.tell_teams()
        if self._form.style == "dash":
            names_with_dashes(self._into.rows, self._begun, " - ")
        for change in (positions_for_teams, teams_behind_subjects, notes_behind_teams):
            change(self._into.rows, self._begun)
        if len(self._into.rows) == self._begun and self._filled and not self._told:
            self._problem(self._filled[0][0], _NO_CARDS)

    def _find_form(self, teams_said: bool) -> None:
        cards = [one for at, one in enumerate(self._filled[:_LOOKED_AT]) if self._is_card(at)]
        self._form = form_of(cards, teams_said)
        for told in told_of(self._form, cards):
            self._problem(self._filled[0][0], told)

    def _tell_decks(self) -> None:
        decks = [line for line, text in self._filled if _DECK.match(text)]
        if len(decks) > 1 and len(decks) * 2 > len(self._filled):
            said = "the numbers in front look like counts, with set and number behind the names"
            self._problem(decks[0], f"{said}; export the list as CSV")

    def _last_card(self) -> int:
        """Where the last card is; the last line where there is none."""
        cards = (at for at in range(len(self._filled) - 1, -1, -1) if self._is_card(at))
        return next(cards, len(self._filled) - 1)

    def _is_card(self, at: int) -> bool:
        return LIST_LINE.match(self._filled[at][1]) is not None and not is_no_card(self._filled, at)

    def _read_below(self, last: int) -> None:
        """Read what stands below the last card."""
        skipped = [at for at in range(last + 1, len(self._filled)) if not self._passes(at)]
        if len(skipped) < 2:
            for at in skipped:
                self._tell_skipped(at)
            return
        line, text = self._filled[skipped[0]]
        said = f"{len(skipped)} lines below the last card are skipped, from '{printable(text, 40)}'"
        self._problem(line, f"{said} on; they have no card number")

    def _unnumbered(self, at: int) -> None:
        if self._passes(at):
            return
        if heads_cards(self._filled, at):
            self._parts.begin(*self._filled[at])
        else:
            self._tell_skipped(at)

    def _tell_skipped(self, at: int) -> None:
        line, text = self._filled[at]
        shown = printable(text, 40)
        if says_parallels(text):
            self._tell_parallels(line, shown)
            return
        self._problem(line, f"no card number at the start of '{shown}'; the line is skipped")

    def _passes(self, at: int) -> bool:
        """Whether a line without a number says something else that is known."""
        line, text = self._filled[at]
        if self._parts.lists(line, text):
            return True
        if self._is_of_the_card_above(text):
            self._add_parallel(one_listed(text))
        elif is_total([text]):
            self._parts.total(line, [text])
        elif self._is_remark(text) or describes(self._filled, at):
            if says_parallels(text) and not self._parts.active:
                self._tell_parallels(line, printable(text, 40))
            self._reading.notes.append(f"line {line}: {quoted([text])}, not a card")
            self._parts.describes(text)
        else:
            return False
        return True

    def _tell_parallels(self, line: int, shown: str) -> None:
        said = "above the cards write 'Parallels: Gold /50, Silver'"
        self._problem(line, f"'{shown}' may say parallels and is not used; {said}")

    def _is_remark(self, text: str) -> bool:
        """Whether a line says nothing of a card."""
        if any(test(text) for test in _REMARKS):
            return True
        above = len(self._into.rows) == self._begun
        if len(text) == 1 or (above and (is_note(text) or names_list(text))):
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

    def _card(self, line: int, match: re.Match[str]) -> None:
        if _NUMBERS_ONLY.fullmatch(match["rest"]):
            self._problem(line, "the line has only numbers; write one card a line, with its name")
        elif not any(map(str.isalnum, match["rest"].strip(FOUND))) and match["rest"] != FOUND:
            told = f"no name behind number {match['number']}; the line is skipped"
            self._problem(line, told)
            return
        if is_not_issued(match["rest"]):
            told = (
                f"line {line}: number {printable(match['number'], 20)} was not issued, not a card"
            )
            self._reading.notes.append(told)
            return
        card = card_of(match["rest"].strip(FOUND), match["star"], self._form)
        self._starred = self._starred or bool(match["star"])
        row = Row(self._name, match["number"], *card)
        self._into.add(row, line)
        self._placed()

    def _placed(self) -> None:
        columns = self._into.rows.columns()
        ids = [column.of[-1] for column in columns]
        self._parts.placed(ids)
        for column, id in zip(columns, ids, strict=True):
            column.of[-1] = id

    def _problem(self, line: int, text: str) -> None:
        self._told = True
        self._into.problem(self._reading.file, line, text)

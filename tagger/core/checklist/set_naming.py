"""Which set the cards of each table of a text are of: by the name of its file, of its sheet, and
by the titles above its tables."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sized
from typing import TYPE_CHECKING

from tagger.core.checklist.above.years import year_lost
from tagger.core.checklist.headings.meaning import heading_words
from tagger.core.checklist.raw.counts import count_said
from tagger.core.checklist.raw.purposes import is_place
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.checklist.raw.years import has_year, is_year
from tagger.core.checklist.titles import Title, names_part, names_part_by_word, part_of, quoted
from tagger.core.model.text import fold, words

if TYPE_CHECKING:
    from tagger.core.checklist.reading import Naming


MOST = 0.75  # of the words of a title or of a file's name, which both then are called by


class SetNaming:
    """The names of the sets in one text, from table to table. `name` is the set of the table above,
    `of_sheet` the one that the sheet is called by, empty where it is none; `titled`: whether a
    title of its own named the set; `beside`: whether tables stand side by side; `above`: line and
    text of a heading that ended the table above. `rows`: what is read so far."""

    def __init__(self, naming: Naming, rows: Sized) -> None:
        self._naming, self._rows = naming, rows
        self.name, self.of_sheet = naming.stem, ""
        self.titled, self.beside = False, False
        self.above: tuple[int, str] = (0, "")
        self._sheet_is_part = naming.is_part  # whether a sheet's name is that of a part of its set
        self._part = ""  # behind the set in the title of a sheet
        if naming.sheet:
            self._begin_sheet(naming.sheet)

    def _begin_sheet(self, sheet: str) -> None:
        """Let the name of a sheet be the set, its year, or a part of the set."""
        if is_place(sheet) or self._naming.names_all:
            return
        if is_year(sheet) and not has_year(self.name):
            self.name = self.of_sheet = f"{sheet} {self.name}"
        elif self._is_set_of_sheet(sheet):
            self.name = self.of_sheet = sheet
        else:
            self.above = 0, sheet

    def _is_set_of_sheet(self, sheet: str) -> bool:
        if self._naming.is_set or has_year(sheet):
            return True
        if any(_are_alike(sheet, other) for other in self._naming.others):
            return True
        return not has_year(self.name) and self.is_set(sheet)

    def told_by(self, title: Title) -> Title:
        """What a table's title says beside the heading above it and the names of its sheet and
        file."""
        title = self._with_heading_above(title)
        # `Harbor Cup 86 Stickers` in `Harbor Cup 86.xlsx`
        name = f"{title.name} {title.given}"
        if title.given and f" {fold(name)} " in f" {fold(self._naming.stem)} ":
            title = title._replace(name=name, given=0)
        return self._without_sheet(title)

    def _with_heading_above(self, title: Title) -> Title:
        """The title, or where there is none the heading that ended the table above."""
        line, text = self.above
        if title.name or not text:
            return title
        title = title._replace(name=title_name(text), line=line)
        return title if title.given else title._replace(given=count_said(text), given_line=line)

    def _without_sheet(self, title: Title) -> Title:
        """A title without what the name of its sheet says, or a parallel behind another set."""
        name, sheet = title.name, self._naming.sheet
        if not (name and sheet):
            return title
        other = self._set_with_part(name)
        return title._replace(name=other) if other else self._without_words_of_sheet(title)

    def _without_words_of_sheet(self, title: Title) -> Title:
        """`1987 Harbor Light - inserts` on the sheet `Inserts`, and `Harbor binder` on the sheet
        `1987 Harbor`, without these words."""
        name, sheet = title.name, self._naming.sheet
        if has_year(self.of_sheet) and not has_year(name):
            shared = set(words(name)) & set(words(self.of_sheet))
            left = (*title.left, (title.line, name))
            return title._replace(name="", left=left) if shared else title
        behind = re.compile(rf"\s*[-–—:]\s*{re.escape(sheet)}$", re.IGNORECASE)
        if has_year(self.of_sheet) and behind.search(name):
            return title._replace(name=sheet)  # `My binder - 1987 Harbor`
        before = behind.sub("", name)
        self._sheet_is_part = self._sheet_is_part or before not in ("", name)
        return title._replace(name=before or name)

    def _set_with_part(self, name: str) -> str:
        """The set of a sheet before that stands before a parallel in a title: `1987 Harbor Light -
        Gold parallel`; empty for another title. The parallel is the part that follows."""
        for other in self._naming.others:
            match = re.match(rf"{re.escape(other)}\s*(?:\s[-–—]|:)\s+(?P<part>\S.*)$", name)
            if match is not None and part_of(match["part"]).parallel:
                self._part = match["part"]
                return other
        return ""

    def part_by_sheet(self) -> str:
        """The part that the name of the sheet says where a title names the set, or the title behind
        it; else nothing."""
        sheet = self._naming.sheet
        if self._part:
            return self._part
        return sheet if self._sheet_is_part and not sheet.isdigit() else ""

    def take(self, name: str) -> None:
        """Let a title's name be the set from here on."""
        self.name, self.titled = name, True

    def doubts(self, title: Title) -> Iterator[tuple[int, str]]:
        """What is in doubt of a title that is read as the name of a set, with its line."""
        # behind another sheet the stem is that one's set, and not the name of the file
        stem = "" if self._naming.others else self._naming.stem
        if not self.titled and (said := year_lost(title.name, stem)):
            yield title.line, said
        if self._is_own_sheet() and not self._is_surely_set(title.name):
            said = f"{quoted([title.name])} is read as a set of its own, beside those of the sheets"
            yield title.line, f"{said} before; if it is a part of one, write its set too"

    def is_set(self, name: str) -> bool:
        """Whether a title is the name of a set, and not of a part of the one above."""
        if _is_same_or_sibling(name, self.name) or self._is_surely_set(name):
            return True
        if names_part(name) and not (self._is_first() and self._may_be_first(name)):
            return False
        of_sheet = has_year(self.name) and (self.beside or name == self._naming.sheet)
        return not of_sheet and (self._is_own_sheet() or self._is_first())

    def _is_surely_set(self, name: str) -> bool:
        return has_year(name) or self._is_beside_sets(name)

    def _may_be_first(self, name: str) -> bool:
        """Whether a first title names the set, though it has a word for parts: its file is called
        so, or by nothing of it, and the title says more than that it is a part."""
        if self._is_called_as_file(name):
            return True
        said = [word for word in heading_words(name) if not names_part_by_word(word)]
        own = [word for word in said if len(word) > 2 and word.isalpha()]
        return len(own) > 1 and not has_year(self.name) and not set(said) & set(self._called)

    @property
    def _called(self) -> list[str]:
        """The words that the file is called by."""
        return heading_words(self._naming.stem)

    def _is_called_as_file(self, name: str) -> bool:
        """Whether a title has most words of the file's name, or that most words of the title,
        several of them: it names the set then, though it may say `Series One` as well."""
        called, said = set(self._called), set(heading_words(_SERIES.sub("", name)))
        shared = len(called & said)
        return shared > 1 and shared >= MOST * min(len(called), len(said))

    def _is_first(self) -> bool:
        """Whether nothing is read so far, or the set above has a title without a year."""
        first = not self._rows or self.titled
        return first and not (has_year(self.name) and self.titled)

    def _is_own_sheet(self) -> bool:
        """Whether the title is the first of a sheet behind those of several sets."""
        return len(self._naming.others) > 1 and not self.titled

    def _is_beside_sets(self, name: str) -> bool:
        """Whether a sheet's title has a word of all of several sets: `Harbor Promos` behind the
        sheets of two years of Harbor is a set beside them, and a part of neither."""
        others = [set(words(other)) for other in self._naming.others]
        if len(others) < 2:
            return False
        shared = set(words(name)).intersection(*others)
        return not all(map(names_part_by_word, shared))


def _are_alike(sheet: str, other: str) -> bool:
    """Whether a sheet is called as the set of one before is, but for its last word, and by no part:
    `Dragonmark Moor` behind `Dragonmark Ash`."""
    own, others = fold(sheet).split(), fold(other).split()
    alike = len(own) > 1 and own[:-1] == others[:-1]
    return alike and not (names_part(sheet) or names_part(other))


def _is_same_or_sibling(name: str, other: str) -> bool:
    """Whether two names are the same, or differ in a number at their end: `Harbor Series 1`,
    `Harbor Series 2`."""
    own, others = fold(name).split(), fold(other).split()
    if own == others:
        return True
    if len(own) < 2 or own[:-1] != others[:-1]:
        return False
    return all(map(_COUNTED.fullmatch, (own[-1], others[-1])))


_SERIES = re.compile(r"[\s:,–—-]*\b(?:series?|s[ée]rie)\s*[0-9]{1,2}$", re.IGNORECASE)
_COUNTED = re.compile(r"[0-9]{1,2}|[ivx]{1,4}|第[0-9一二三四五六七八九十]{1,3}[弾期部集章]?")

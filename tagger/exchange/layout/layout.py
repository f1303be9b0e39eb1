"""Layouts: a TOML file that says what an export looks like.

kind = ["set", "number", "subject", "parallel"]     # one row a kind; without it one row a card
further = ["Rarity"]                                # columns of checklists that not every lot has

[only]                                              # which cards
state = "tagged"
price = { from = 1, to = 20 }

[[column]]                                          # one for each column, in order
heading = "Title"
text = "{set} #{number} {subject}{ · parallel}"
at_most = 80
drop = ["team", "set"]
case = "title"
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from tagger.core.lot.fields import Field, layout_fields
from tagger.core.model.suggestions import meant
from tagger.core.model.tags import State
from tagger.core.model.text import fold, printable
from tagger.errors import UsageError
from tagger.exchange.layout.column import CASES, LayoutColumn
from tagger.exchange.layout.row_filter import CHOICES, RowFilter, held
from tagger.exchange.layout.template import Template, parse_template
from tagger.exchange.layout.toml_lines import Path, TomlLines

LARGEST = 1 << 20  # bytes; no layout has more
_TOP = ("column", "kind", "only", "further")
_IN_COLUMN = ("heading", "text", "at_most", "drop", "case")
_IN_ONLY = (*CHOICES, "price")
_LONGEST = 1_000_000  # characters that `at_most` can be


@dataclass(frozen=True)
class Layout:
    """What an export looks like. `file` is the layout's name, printable; `kind` has the fields that
    cards of one row share, empty for a row a card."""

    file: str
    columns: tuple[LayoutColumn, ...]
    kind: tuple[str, ...] = ()
    only: RowFilter = field(default_factory=lambda: RowFilter({}))
    further: tuple[str, ...] = ()
    kind_line: int = 0

    def has(self, field: str) -> bool:
        """Whether a field is used."""
        names = [name for column in self.columns for name in column.template.fields]
        return field in map(str.casefold, (*names, *self.kind))

    def fields(self, further: Iterable[str]) -> Mapping[str, Field]:
        """The fields that are used, by the name that the layout gives them, in a lot whose cards
        have these further columns. Raises UsageError where one is no field."""
        known = {
            field.name.casefold(): field
            for field in layout_fields(dict.fromkeys((*further, *self.further)))
        }
        used = [(name, column.line) for column in self.columns for name in column.template.fields]
        used += [(name, self.kind_line) for name in self.kind]
        for name, line in used:
            if name.casefold() not in known:
                raise UsageError(
                    f"{self.file}, line {line}: {_no_field(name, [f.name for f in known.values()])}"
                )
        return {name: known[name.casefold()] for name, _ in used}


def _no_field(name: str, known: Sequence[str]) -> str:
    shown = printable(name, 60)
    if " " in name or "." in name:
        last = name.split()[-1]
        if last.casefold() in map(str.casefold, known):
            before = printable(name[: -len(last)], 60)
            return (
                f"'{shown}' is no field; text with letters needs marks around the field: "
                f"{{{before}<{last}>}}."
            )
    return (
        f"'{shown}' is no field{meant(name, known)} A further column of a checklist that no card "
        "of the lot has yet is "
        f'named first: further = ["{shown}"].'
    )


def read_layout(data: bytes, file: str) -> Layout:
    """A layout from its file's bytes; `file` names it, printable. Raises UsageError naming file,
    line and entry."""
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
        given = tomllib.loads(text)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise UsageError(f"{file}, line {line}: the file is not UTF-8; save it as UTF-8.") from None
    except tomllib.TOMLDecodeError as error:
        said, at, place = printable(str(error)).rpartition(" (at ")
        found = re.match(r"line ([0-9]+)", place)
        line = int(found[1]) if found else text.count("\n") + 1
        raise UsageError(
            f"{file}, line {line}: this is no TOML: {said if at else place}."
        ) from None
    except RecursionError:
        raise UsageError(f"{file}, line 1: this is no layout, it is nested too deeply.") from None
    return _LayoutReader(file, TomlLines(text)).layout(given)


class _LayoutReader:
    """Makes a layout of what TOML has; knows where to point."""

    def __init__(self, file: str, lines: TomlLines) -> None:
        self._file, self._lines = file, lines

    def wrong(self, path: Path, said: str) -> UsageError:
        return UsageError(f"{self._file}, line {self._lines.of(path)}: {said}")

    def layout(self, given: Mapping[str, Any]) -> Layout:
        self._names((), given, _TOP)
        columns = given.get("column")
        if (
            not isinstance(columns, list)
            or not columns
            or not all(isinstance(one, dict) for one in columns)
        ):
            raise self.wrong(
                ("column",), "a layout needs its columns, each below a line [[column]]."
            )
        made: list[LayoutColumn] = []
        for at, one in enumerate(columns):
            column = self._column(("column", at), one)
            if column.heading.casefold() in (other.heading.casefold() for other in made):
                raise self.wrong(
                    ("column", at, "heading"),
                    f"there are two columns '{printable(column.heading)}'.",
                )
            made.append(column)
        kind = self._texts(("kind",), given["kind"]) if "kind" in given else ()
        further = self._texts(("further",), given["further"]) if "further" in given else ()
        return Layout(
            self._file,
            tuple(made),
            kind,
            self._only(given.get("only", {})),
            further,
            self._lines.of(("kind",)),
        )

    def _names(self, path: Path, given: Mapping[str, Any], known: Sequence[str]) -> None:
        for name in given:
            if name not in known:
                what = f"no entry of [{path[0]}]" if path else "no entry of a layout"
                raise self.wrong(
                    (*path, name), f"'{printable(name, 60)}' is {what}{meant(name, known)}"
                )

    def _column(self, path: Path, given: Mapping[str, Any]) -> LayoutColumn:
        self._names(path, given, _IN_COLUMN)
        if "text" not in given:
            raise self.wrong(path, 'a column needs its text, such as text = "{number}".')
        at = (*path, "text")
        template = self._template(at, self._text(at, given["text"]))
        if "heading" not in given and not template.alone:
            raise self.wrong(
                path, 'a column of composed text needs a heading, such as heading = "Title".'
            )
        heading = self._text((*path, "heading"), given.get("heading", template.alone)).strip()
        if not heading:
            raise self.wrong((*path, "heading"), "a heading must not be empty.")
        at_most = given.get("at_most")
        whole = (
            isinstance(at_most, int) and not isinstance(at_most, bool) and 0 < at_most <= _LONGEST
        )
        if at_most is not None and not whole:
            raise self.wrong(
                (*path, "at_most"), f"at_most is a number of characters from 1 to {_LONGEST:,}."
            )
        drop = self._texts((*path, "drop"), given["drop"]) if "drop" in given else ()
        if drop and at_most is None:
            raise self.wrong((*path, "drop"), "drop is of use with at_most only.")
        used = {name.casefold(): name for name in template.fields}
        for name in drop:
            if name.casefold() not in used:
                near = meant(name, [*used.values(), *([] if len(used) > 1 else ["no other"])])
                raise self.wrong(
                    (*path, "drop"),
                    f"'{printable(name, 60)}' is no field of this column's text{near}",
                )
        case = given.get("case", "as is")
        if case not in CASES:
            said = printable(str(case), 60)
            raise self.wrong((*path, "case"), f"'{said}' is no case{meant(str(case), CASES)}")
        return LayoutColumn(
            heading,
            template,
            at_most,
            tuple(used[name.casefold()] for name in drop),
            case,
            self._lines.of(at),
        )

    def _template(self, path: Path, text: str) -> Template:
        try:
            return parse_template(text)
        except ValueError as error:
            raise self.wrong(path, f"{printable(str(error))}.") from None

    def _only(self, given: object) -> RowFilter:
        if not isinstance(given, dict):
            raise self.wrong(
                ("only",), "only is a table: a line [only], and below it which cards are meant."
            )
        self._names(("only",), given, _IN_ONLY)
        values: dict[str, frozenset[str]] = {}
        for name in CHOICES:
            if name not in given:
                continue
            said = self._texts(("only", name), given[name])
            if name == "state":
                for state in said:
                    if fold(state) not in tuple(State):
                        raise self.wrong(
                            ("only", name),
                            f"'{printable(state)}' is no state{meant(state, tuple(State))}",
                        )
            values[name] = frozenset(held(name, one) for one in said)
        price = given.get("price", {})
        if not isinstance(price, dict) or ("price" in given and not price):
            raise self.wrong(
                ("only", "price"), "price is given as { from = 1, to = 20 }, one of them or both."
            )
        self._names_of_price(price)
        return RowFilter(values, *(self._amount(price, end) for end in ("from", "to")))

    def _names_of_price(self, price: Mapping[str, Any]) -> None:
        for name in price:
            if name not in ("from", "to"):
                raise self.wrong(
                    ("only", "price"),
                    f"'{printable(name, 60)}' is no end of a price; there are from and to.",
                )

    def _amount(self, price: Mapping[str, Any], end: str) -> Decimal | None:
        value = price.get(end)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e15:
            raise self.wrong(("only", "price", end), f"{end} is an amount, such as {end} = 1.50.")
        return Decimal(str(value))

    def _text(self, path: Path, value: object) -> str:
        if not isinstance(value, str):
            raise self.wrong(
                path, f'{path[-1]} is a text in quotation marks, such as {path[-1]} = "…".'
            )
        return value

    def _texts(self, path: Path, value: object) -> tuple[str, ...]:
        if isinstance(value, str):
            return (value,)
        if isinstance(value, list) and value and all(isinstance(item, str) for item in value):
            return tuple(dict.fromkeys(value))
        raise self.wrong(
            path, f'{path[-1]} is a text or a list of texts, such as {path[-1]} = ["…", "…"].'
        )

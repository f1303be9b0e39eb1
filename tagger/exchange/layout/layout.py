"""Layouts: a TOML file that says what an export looks like.

kind = ["set", "number", "subject", "parallel"]     # one row a kind; without it one row a card
further = ["Rarity"]                                # columns of checklists that not every lot has

[only]                                              # which cards
state = "tagged"
price = { from = 1, to = 20 }

[[column]]                                          # one for each column, in order
heading = "Title"
text = "{set} #{number} {subject}{ · parallel}"
at_most = 72
drop = ["team", "set"]
case = "title"
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from tagger.core.lot.fields import Field, layout_fields
from tagger.core.model.suggestions import meant
from tagger.core.model.tags import STANDINGS
from tagger.core.model.text import fold, printable
from tagger.errors import UsageError
from tagger.exchange.layout.column import CASES, LayoutColumn
from tagger.exchange.layout.row_filter import CHOICES, RowFilter, held
from tagger.exchange.layout.template import Template, parse_template
from tagger.toml.document import TomlDocument, TomlTable

LARGEST = 1 << 20  # bytes; no layout has more
_TOP = ("column", "kind", "only", "further")
_IN_COLUMN = ("heading", "text", "at_most", "drop", "case")
_IN_ONLY = (*CHOICES, "price", "new")
_ENDS = ("from", "to")  # of a range of prices
_LONGEST = 1_000_000  # characters that `at_most` can be
_LARGEST_PRICE = 10**15


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
            # With those that the layout names itself: it may be older than the first card that has
            # them.
            for field in layout_fields(dict.fromkeys((*further, *self.further)))
        }
        used = self._used()
        for name, line in used:
            if name.casefold() not in known:
                raise UsageError(
                    f"{self.file}, line {line}: {_no_field(name, [f.name for f in known.values()])}"
                )
        return {name: known[name.casefold()] for name, _ in used}

    def _used(self) -> list[tuple[str, int]]:
        """The names of fields, each with the line that has it."""
        of_columns = [
            (name, column.line) for column in self.columns for name in column.template.fields
        ]
        return of_columns + [(name, self.kind_line) for name in self.kind]


def _no_field(name: str, known: Sequence[str]) -> str:
    shown = printable(name, 60)
    # `{No. number}`: a likely slip, for which a similar name would be no help.
    if last := _field_at_end(name, known):
        before = printable(name[: -len(last)], 60)
        return (
            f"'{shown}' is not a field; text with letters needs marks around the field: "
            f"{{{before}<{last}>}}."
        )
    return (
        f"'{shown}' is not a field{meant(name, known)} A further column of a checklist that no "
        "card of the lot has yet is "
        f'named first: further = ["{shown}"].'
    )


def _field_at_end(name: str, known: Sequence[str]) -> str:
    """The field that the last words of a name are, empty where they are none."""
    ours = {field.casefold() for field in known}
    words = name.split()
    # the longest end that is a field: `to print run` ends in `print run`, and no field is `run`
    ends = (" ".join(words[at:]) for at in range(1, len(words)))
    return next((end for end in ends if end.casefold() in ours and name.endswith(end)), "")


def read_layout(data: bytes, file: str) -> Layout:
    """A layout from its file's bytes; `file` names it, printable. Raises UsageError naming file,
    line and entry."""
    given = TomlDocument(data, file).top
    given.check_names(_TOP, "entry of a layout")
    columns = given.tables("column")
    if columns is None:
        raise given.wrong("column", "a layout needs columns, each below a line [[column]].")
    return Layout(
        file,
        _columns(columns),
        _once(given.texts("kind")),
        _only(given.table("only")),
        _once(given.texts("further")),
        given.line_of("kind"),
    )


def _once(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts))


def _columns(given: Sequence[TomlTable]) -> tuple[LayoutColumn, ...]:
    made: dict[str, LayoutColumn] = {}
    for one in given:
        column = _column(one)
        key = column.heading.casefold()
        # What comes back is read by its headings, and these without their case.
        if key in made:
            raise one.wrong(
                "heading", f"two columns are called '{printable(column.heading)}'; rename one."
            )
        made[key] = column
    return tuple(made.values())


def _column(given: TomlTable) -> LayoutColumn:
    given.check_names(_IN_COLUMN, "entry of a column")
    if "text" not in given:
        raise given.wrong("", 'a column needs a text, such as text = "{number}".')
    template = _template(given)
    at_most = _at_most(given)
    return LayoutColumn(
        _heading(given, template),
        template,
        at_most,
        _drop(given, template, at_most),
        _case(given),
        given.line_of("text"),
    )


def _template(given: TomlTable) -> Template:
    try:
        return parse_template(given.text("text"))
    except ValueError as error:
        raise given.wrong("text", f"{printable(str(error))}.") from None


def _heading(given: TomlTable, template: Template) -> str:
    if "heading" not in given and not template.alone:
        raise given.wrong(
            "", 'a column of composed text needs a heading, such as heading = "Title".'
        )
    # A column that is one field may go without: the field's name says what is in it.
    heading = template.alone
    if "heading" in given:
        heading = given.text("heading")
    if not heading.strip():
        raise given.wrong("heading", "a heading must not be empty.")
    return heading.strip()


def _at_most(given: TomlTable) -> int | None:
    if "at_most" not in given:
        return None
    count = given.whole("at_most")
    if count is None or not 0 < count <= _LONGEST:
        raise given.must("at_most", f"a number of characters from 1 to {_LONGEST:,}")
    return count


def _drop(given: TomlTable, template: Template, at_most: int | None) -> tuple[str, ...]:
    """The fields that go first, as the template spells them."""
    names = given.texts("drop")
    # Without a limit no text is too long, so nothing would ever be dropped.
    if names and at_most is None:
        raise given.wrong("drop", "drop works only together with at_most.")
    used = {name.casefold(): name for name in template.fields}
    known = [*used.values()]
    if len(known) < 2:
        # A sentence names at least two that there are.
        known.append("no other")
    for name in names:
        if name.casefold() not in used:
            raise _not_in_text(given, name, known)
    return _once(used[name.casefold()] for name in names)


def _not_in_text(given: TomlTable, name: str, known: Sequence[str]) -> UsageError:
    shown, near = printable(name, 60), meant(name, known)
    return given.wrong("drop", f"'{shown}' is not a field of this column's text{near}")


def _case(given: TomlTable) -> str:
    if "case" not in given:
        return CASES[0]
    case = given["case"]
    if case not in CASES:
        shown, near = printable(str(case), 60), meant(str(case), CASES)
        raise given.wrong("case", f"'{shown}' is not a case{near}")
    return str(case)


def _only(given: TomlTable) -> RowFilter:
    given.check_names(_IN_ONLY, "filter")
    values = {name: _wanted(given, name) for name in CHOICES if name in given}
    price = _price(given)
    new = given.flag("new") if "new" in given else None
    lowest, highest = (_amount(price, end) for end in _ENDS)
    return RowFilter(values, lowest, highest, new)


def _wanted(given: TomlTable, name: str) -> frozenset[str]:
    texts = given.texts(name)
    # A set or a condition may be one that no card has yet; the states are ours.
    wrong = [text for text in texts if name == "state" and fold(text) not in STANDINGS]
    if wrong:
        near = meant(wrong[0], STANDINGS)
        raise given.wrong(name, f"'{printable(wrong[0])}' is not a state{near}")
    return frozenset(held(name, text) for text in texts)


def _price(given: TomlTable) -> TomlTable:
    if "price" in given and not (isinstance(given["price"], dict) and given["price"]):
        raise given.wrong("price", "write the price as { from = 1, to = 20 }, one of them or both.")
    price = given.table("price")
    for name in price:
        if name not in _ENDS:
            shown = printable(name, 60)
            raise given.wrong("price", f"'{shown}' is not a limit of a price; use from and to.")
    return price


def _amount(price: TomlTable, end: str) -> Decimal | None:
    if end not in price:
        return None
    value = price.number(end)
    if value is None or abs(value) >= _LARGEST_PRICE:
        raise price.wrong(end, f"{end} is an amount, such as {end} = 1.50.")
    return value

"""The columns of a layout, each from its table `[[column]]`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.exchange.layout.column import CASES, LayoutColumn
from tagger.exchange.layout.template import Template, parse_template

if TYPE_CHECKING:
    from tagger.errors import UsageError
    from tagger.toml.document import TomlTable
    from tagger.toml.errors import TomlErrors

_IN_COLUMN = ("heading", "text", "at_most", "drop", "case")
_LONGEST = 1_000_000  # characters that `at_most` can be


def read_columns(given: TomlTable, errors: TomlErrors) -> list[LayoutColumn]:
    """The columns of a layout; what is wrong with one is put into `errors`. Raises UsageError where
    there are none."""
    columns = given.tables("column")
    if columns is None:
        raise given.wrong("column", "a layout needs columns, each below a line [[column]].")
    made: dict[str, LayoutColumn] = {}
    for one in columns:
        errors.of_names(one, _IN_COLUMN, "entry of a column")
        with errors.kept():
            column = _column(one, errors)
            _check_heading(one, column, made)
            made[column.heading.casefold()] = column
    return [*made.values()]


def _check_heading(
    given: TomlTable, column: LayoutColumn, others: Mapping[str, LayoutColumn]
) -> None:
    # What comes back is read by its headings, and these without their case.
    if column.heading.casefold() in others:
        raise given.wrong(
            "heading", f"two columns are called '{printable(column.heading)}'; rename one."
        )


def _column(given: TomlTable, errors: TomlErrors) -> LayoutColumn:
    """One column; what is wrong beside its text and its heading is put into `errors`."""
    if "text" not in given:
        raise given.wrong("", 'a column needs a text, such as text = "{number}".')
    case, at_most, drop = CASES[0], None, tuple[str, ...]()
    with errors.kept():
        case = _case(given)
    template = _template(given)
    with errors.kept():
        at_most = given.count("at_most", "characters", _LONGEST)
        drop = _drop(given, template, at_most)
    heading = _heading(given, template)
    return LayoutColumn(heading, template, at_most, drop, case, given.line_of("text"))


def _template(given: TomlTable) -> Template:
    try:
        return parse_template(given.text("text"))
    except ValueError as error:
        raise given.wrong("text", f"{printable(str(error))}.") from None


def _heading(given: TomlTable, template: Template) -> str:
    if "heading" not in given and not template.single:
        raise given.wrong(
            "", 'a column of composed text needs a heading, such as heading = "Title".'
        )
    # A column that is one field may go without: the field's name says what is in it.
    heading = template.single
    if "heading" in given:
        heading = given.text("heading")
    if not heading.strip():
        raise given.wrong("heading", "a heading must not be empty.")
    return heading.strip()


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
    return tuple(dict.fromkeys(used[name.casefold()] for name in names))


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

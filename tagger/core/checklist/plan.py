"""How the columns of one table are read, decided from its first lines before any card is made."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import cached_property

from tagger.core.checklist.numbers_read import is_float, of_date, tidy_number, without_total

SURVEYED = 5000  # lines of a table that are looked at first
UNNAMED = re.compile(r"column [0-9]+")  # as `Tables` calls columns without a heading
LOOKED_AT = 400  # characters of a cell that tell what its column means


@dataclass(frozen=True)
class Plan:
    """The columns by heading and meaning; `fills`: those whose empty cells are those of merged
    ones; `dittos`: those with marks for the cell above; `team`: how the team stands behind the
    subject, empty where it has a column or none is given; `behind`: whether marks such as `RC`, or
    print runs, stand there; `joined`: how a number stands before it; `floats`: whether numbers came
    as `23.0`; `starred`: whether marks of notes stand behind numbers; `with_maker`: whether the
    maker is part of the set's name, `unnamed_sets`: whether it is all of some of them;
    `priced`: the columns with the prices of one parallel each;
    `owned`: the columns of parallels whose ticks say what the owner has;
    `stocked`: those whose counts say how many copies the owner has;
    `graded`: the column of conditions behind some of which a finish stands, -1 for none;
    `bare_runs`: whether a `1` in such columns is a print run; `set_first`: whether the set stands
    before the number in its cell; `counted`: whether the count of all cards stands behind each
    number; `summed`: the further columns of amounts, whose totals count no cards;
    `dated`: how numbers that became dates were written, as `{month}-{day}`;
    `thousands`: the columns of prices whose commas or points part thousands;
    `subject`: whom all cards show, where no column says so, empty for none;
    `versions`: the parallels, folded, that stand where subjects do below their cards;
    `noted_runs`: the column of notes in which some cards have their print runs, -1 for none;
    `copies`: the column with the serial numbers of single copies (`12/99`), which say the print
    runs of their parallels, and `city`: that with the first words of the teams, -1 for none;
    `base_runs`: whether the print runs are those of the cards themselves, beside lists of their
    parallels; `cased`: whether names have small letters, so that a text in capitals alone is no
    name."""

    names: tuple[str, ...]
    meanings: tuple[str, ...]
    fills: frozenset[int] = frozenset()
    team: str = ""
    behind: bool = False
    joined: str = ""
    dittos: frozenset[int] = frozenset()
    floats: bool = False
    starred: bool = False
    with_maker: bool = False
    unnamed_sets: bool = False
    priced: frozenset[int] = frozenset()
    owned: frozenset[int] = frozenset()
    stocked: frozenset[int] = frozenset()
    graded: int = -1
    bare_runs: bool = False
    set_first: bool = False
    counted: bool = False
    summed: frozenset[int] = frozenset()
    dated: str = ""
    thousands: frozenset[int] = frozenset()
    subject: str = ""
    versions: frozenset[str] = frozenset()
    noted_runs: int = -1
    copies: int = -1
    city: int = -1
    base_runs: bool = False
    cased: bool = False
    notes: tuple[str, ...] = field(default=())
    unsure: tuple[str, ...] = field(default=())

    def at(self, meaning: str) -> list[int]:
        """The columns that have a meaning."""
        return self._places.get(meaning, [])

    @cached_property
    def _places(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for place, meaning in enumerate(self.meanings):
            found.setdefault(meaning, []).append(place)
        return found

    def has(self, meaning: str) -> bool:
        """Whether a column has a meaning."""
        return meaning in self._places

    @property
    def subject_columns(self) -> list[int]:
        """The columns that the subject is made of."""
        return self.at("subject") or [*self.at("first"), *self.at("last")]

    @property
    def has_number(self) -> bool:
        """Whether a column holds the number, by itself or before the subject."""
        return self.has("number") or bool(self.joined)

    @property
    def has_subject(self) -> bool:
        """Whether a column, or two, hold the subject."""
        return self.has("subject") or self.has("last")


_SET_FIRST = re.compile(
    r"^(?P<set>.*[^\W\d_].*?)[\s,;:–—-]+(?:#|№|n[o°º]\.?\s|nr\.?\s|card\s)\s*(?P<number>[^\s#]+)$",
    re.IGNORECASE,
)


def set_before_number(text: str) -> tuple[str, str]:
    """The set and the number of a cell `1987 Harbor Light #23`; no set where none stands there."""
    match = _SET_FIRST.match(" ".join(text.split()))
    return (match["set"], match["number"]) if match else ("", text)


def number_of_cell(text: str, plan: Plan) -> str:
    """A card's number as its cell has it."""
    if plan.set_first:
        text = set_before_number(text)[1]
    if plan.counted:
        text = without_total(text)
    number, floats = tidy_number(text), plan.floats
    if plan.dated and (turned := of_date(number, plan.dated)) != number:
        return turned
    if floats and is_float(number):
        return number.split(".")[0]
    return number


def without_makers(plan: Plan) -> Plan:
    """The plan of a table whose title names the set: its cards have makers, as cars have."""
    if plan.has("year"):
        return plan
    return replace(plan, meanings=tuple("" if one == "maker" else one for one in plan.meanings))

"""What the headings and cells of a table leave in doubt, said before any card is used."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import (
    ONE_PARALLEL,
    heading_key,
    heading_words,
    meaning_of,
    shown_meaning,
)
from tagger.core.checklist.headings.paid import says_paid
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.money_words import MONEY, says_money
from tagger.core.checklist.parallels import NOT_THERE, is_plain
from tagger.core.checklist.planning.cells import Columns, given, meant, share, unknown
from tagger.core.checklist.planning.guesses import NEVER
from tagger.core.checklist.planning.lost import (
    aliases_again,
    broken_names,
    headings_left,
    name_ends,
    only_kept,
    prices_left,
    says_sum,
    teams_left,
    unnamed_texts,
)
from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.checklist.raw.prices import is_amount, is_money, is_plain_amount, price_said
from tagger.core.checklist.raw.print_runs import is_dated_once, run_number, run_said
from tagger.core.checklist.titles import is_part_of_set
from tagger.core.model.column_names import PRICE
from tagger.core.model.money import amount
from tagger.core.model.tags import is_base
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

_YEAR = re.compile(r"(?:1[89]|20)[0-9]{2}(?:\.0|\s*[-/–]\s*[0-9]{2,4})?")
_YEAR_WITHIN = re.compile(r"(?<![0-9])(?:1[89]|20)[0-9]{2}(?![0-9])")
_SHORT = re.compile(r"'?[0-9]{2}(?:[-/][0-9]{2})?")  # `87/88`
_WANTED = ("set", "subject", "number", "team", "parallels", "series", "run")
_DATES = frozenset(["born", "birth", "birthday", "debut", "date", "died", "drafted", "added"])


def year_column(plan: Plan, columns: Columns) -> Plan:
    """A column called so that holds no years is only kept: `EV`, `Ar`."""
    for at in plan.at("year"):
        cells = given(columns[at])
        # one year may stand for all rows below it, and a note below these
        if cells and not any(_YEAR_WITHIN.search(one) or _SHORT.fullmatch(one) for one in cells):
            # `Ár` is a price in Hungarian, and `EV` an estimated value
            worth = share(cells, is_amount) >= 0.8 and not plan.has(PRICE)
            plan = meant(plan, at, PRICE if worth else "")
    return plan


_ISSUED = frozenset(
    ["date", "dates", "dated", "issued", "issue date", "date of issue", "release", "released",
     "release date", "datum", "erschienen", "ausgabejahr", "fecha", "data", "date de sortie"]
)  # fmt: skip


def date_column(plan: Plan, columns: Columns) -> Plan:
    """A column `Date` of years has those of the sets."""
    for at, name in unknown(plan, columns):
        if plan.has("year") or fold(name).strip(" .:") not in _ISSUED:
            continue
        if share(columns[at], _YEAR.fullmatch) == 1:
            note = f"'{printable(name, 40)}' holds years, so it is the year"
            plan = replace(meant(plan, at, "year"), notes=(*plan.notes, note))
    return plan


def priced(plan: Plan, columns: Columns) -> Plan:
    """The plan with the price, where one column has money in each cell, with the sign of it, and
    no other has."""
    if plan.has(PRICE):
        return plan
    if graded := _of_grades(plan, columns):
        names = ", ".join(f"'{printable(plan.names[at], 20)}'" for at in graded[1:])
        said = f"'{printable(plan.names[graded[0]], 20)}' is read as the price"
        said = f"{said}; {names} only kept" if names else said
        return replace(meant(plan, graded[0], PRICE), unsure=(*plan.unsure, said))
    found = [at for at, name in unknown(plan, columns) if _may_be_price(name, columns[at])]
    if len(found) != 1 or is_base(plan.names[found[0]]):
        return plan
    said = f"'{plan.names[found[0]]}' has amounts of money, so it is read as the price"
    return replace(meant(plan, found[0], PRICE), unsure=(*plan.unsure, said))


# what the columns of a price guide are called (common practice, no source)
_OF_GUIDE = frozenset(
    ["mint", "mt", "nm", "nmmt", "nrmt", "exmt", "ex", "vgex", "vg", "good", "gd", "g", "fair",
     "poor"]
)  # fmt: skip
_LOW_HIGH = frozenset(["low", "lo", "mid", "avg", "high", "hi", "min", "max", "bas", "haut"])


def _of_grades(plan: Plan, columns: Columns) -> list[int]:
    """The columns of amounts, side by side, that a price guide has for the states of a card, or for
    the least and the most that is paid; one alone where it is surely money."""
    for words in (_OF_GUIDE, _LOW_HIGH):
        found = [
            at
            for at, name in unknown(plan, columns)
            if heading_key(MONEY.sub("", name)) in words
            and share(columns[at], lambda cell: is_plain_amount(cell) or is_money(cell)) == 1
        ]
        if len(found) > 1 and found[-1] - found[0] == len(found) - 1:
            return found
        if len(found) == 1 and any(map(_has_cents, columns[found[0]])):
            return found
    return []


def _has_cents(cell: str) -> bool:
    return not cell.isdecimal() and (is_plain_amount(cell) or is_money(cell))


def _may_be_price(name: str, cells: Sequence[str]) -> bool:
    if says_paid(name) or is_finish(name) or says_sum(name):
        return False
    in_heading = says_money(name) and share(cells, is_plain_amount) == 1
    return in_heading or share(cells, is_money) == 1


def doubts(plan: Plan, columns: Columns) -> Plan:
    """The plan that says what is in doubt."""
    said = [told for check in _CHECKS for told in check(plan, columns)]
    return replace(plan, unsure=(*plan.unsure, *said))


def _finishes(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns of words that parallels are called by."""
    if plan.has("parallels"):
        return
    for at, name in unknown(plan, columns):
        named = share(columns[at], lambda cell: is_finish(cell) and not cell[:1].isdigit())
        if named >= 0.8 and not is_finish(name):
            yield only_kept(name, "may hold the parallels", "parallels")


_MOST_FINISHES = 20


def finishes_of_some(plan: Plan, columns: Columns) -> Plan:
    """The plan in which a column has the parallels whose cells are all words for them, and are
    empty for some cards; told."""
    for at, name in unknown(plan, columns):
        some = given(columns[at])
        all_are = 1 < len(set(some)) <= _MOST_FINISHES and all(map(_names_finish, some))
        if not plan.has("parallels") and all_are and len(some) < len(columns[at]):
            said = f"'{printable(name, 40)}' is not known as a heading; by its cells it is the"
            return replace(meant(plan, at, "parallels"), unsure=(*plan.unsure, f"{said} parallels"))
    return plan


def _names_finish(cell: str) -> bool:
    # `name in white` is a remark
    return is_finish(cell) and cell[:1].isalpha() and (not cell.islower() or " " not in cell)


def _runs_beside(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns of whole numbers where there is a parallel, and of nothing where there is none."""
    if plan.has("run") or not plan.has("parallels"):
        return
    parallels = columns[plan.at("parallels")[0]]
    for at, name in unknown(plan, columns):
        counts = share(columns[at], run_number) == 1 and set(given(columns[at])) != {"1"}
        if NEVER.isdisjoint(heading_words(name)) and counts and _are_beside(columns[at], parallels):
            yield only_kept(name, "may hold the print runs", "run")


def _are_beside(cells: Sequence[str], others: Sequence[str]) -> bool:
    """Whether cells are filled only where others are, and not everywhere."""
    pairs = {(bool(one), bool(other)) for one, other in zip(cells, others, strict=True)}
    return (True, False) not in pairs and (False, False) in pairs


def _years_unused(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns of a few years, where nothing else says the year of the sets."""
    sets = [cell for at in plan.at("set") for cell in given(columns[at])]
    if plan.has("year") or not sets or any(map(_YEAR_WITHIN.search, sets)):
        return
    for at, name in unknown(plan, columns):
        if _are_few_years(given(columns[at])) and _DATES.isdisjoint(heading_words(name)):
            yield only_kept(name, "holds years, and the sets have none", "year")
            return


def _are_few_years(cells: Sequence[str]) -> bool:
    few = len(set(cells)) == 1 or len(set(cells)) * 4 <= len(cells)
    return few and share(cells, _YEAR.fullmatch) >= 0.9


def _half_known(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns whose headings have a word for what no other column holds."""
    wanted = [one for one in _WANTED if not plan.has(one)]
    if plan.has_subject and "subject" in wanted:
        wanted.remove("subject")
    for at, name in unknown(plan, columns):
        has_text = any(map(str.isalpha, "".join(columns[at])))
        if has_text and (found := _word_for(name, wanted)):
            yield only_kept(name, f"may hold the {shown_meaning(found)}", shown_meaning(found))


def _word_for(name: str, wanted: Sequence[str]) -> str:
    """The first of some meanings that a word of a heading has; empty where it is the only word."""
    words = heading_words(name)
    meant = {meaning_of(word)[0] for word in words if word.isalpha()}
    return next((one for one in wanted if len(words) > 1 and one in meant), "")


def _no_prices(plan: Plan, columns: Columns) -> Iterator[str]:
    """Cells of a column of prices that have no amount."""
    for at in plan.at(PRICE):
        said = map(price_said, given(columns[at]))
        strange = [one for one in said if any(map(str.isdigit, one)) and amount(one) is None]
        if strange:
            name, cell = printable(plan.names[at], 40), printable(strange[0], 30)
            cells = "1 cell has" if len(strange) == 1 else f"{len(strange)} cells have"
            yield f"'{name}': {cells} no price that can be counted ('{cell}')"


def _dated_runs(plan: Plan, columns: Columns) -> Iterator[str]:
    """Print runs of one copy that a spreadsheet turned into a date."""
    for at, name in enumerate(plan.names):
        if plan.meanings[at] not in ("run", ONE_PARALLEL):
            continue
        if dates := [cell for cell in given(columns[at]) if is_dated_once(cell)]:
            shown, cell = printable(name, 40), printable(dates[0], 20)
            yield (
                f"'{shown}': {len(dates)} cells are a date ('{cell}'), read as 1/1; format the "
                "column as text and enter them again"
            )


def _no_runs(plan: Plan, columns: Columns) -> Iterator[str]:
    """Cells of a column of print runs that are none."""
    for at in plan.at("run"):
        strange = [cell for cell in given(columns[at]) if not all(map(_is_run, cell.split("\v")))]
        if strange:
            name, cell = printable(plan.names[at], 40), printable(strange[0], 30)
            yield f"'{name}': {len(strange)} cells are not print runs and are not kept ('{cell}')"


def _in_headings(plan: Plan, columns: Columns) -> Iterator[str]:
    """Headings that say a print run of all cards."""
    for at, name in enumerate(plan.names):
        if not plan.meanings[at] and not given(columns[at]) and run_said(fold(name)):
            yield f"'{printable(name, 40)}' may be the print run of all cards; it is not used"


def _parts(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns of words that parts of a set are called by."""
    if plan.has("series"):
        return
    for at, name in unknown(plan, columns):
        if _may_be_parts(given(columns[at])):
            yield only_kept(name, "may hold the subset", "subset")


def _may_be_parts(cells: Sequence[str]) -> bool:
    some = set(cells)
    # what each card has another of parts nothing
    comes_again = 1 < len(some) < 40 and len(some) * 10 <= len(cells) * 9
    return comes_again and sum(map(_is_part, some)) * 2 >= len(some)


_KINDS = frozenset(
    ["type", "types", "card type", "kind", "typ", "kartentyp", "art", "tipo", "genre", "soort",
     "categorie", "category", "kategorie", "categoria", "種類", "種別", "カード種類", "カテゴリ"]
)  # fmt: skip
_FOLDED_KINDS = frozenset(map(fold, _KINDS))


def kinds_of_cards(plan: Plan, columns: Columns) -> Plan:
    """The plan in which `Type` is the subset, where it says of some cards that they are of the base
    set, says nothing of the first and of most, or has one for each of the letters that numbers
    begin with."""
    for at, name in unknown(plan, columns):
        if plan.has("series") or fold(name).strip(" .:") not in _FOLDED_KINDS:
            continue
        if _are_copies(given(columns[at])):
            return _of_copies(plan, at)
        if _are_subsets(columns[at], columns[plan.at("number")[0]] if plan.has("number") else ()):
            said = f"'{printable(name, 40)}' is read as the subset"
            plan = replace(meant(plan, at, "series"), unsure=(*plan.unsure, said))
    return plan


def _are_subsets(cells: Sequence[str], numbers: Sequence[str]) -> bool:
    """Whether the kinds of cards are parts of the set."""
    if any(map(is_base_set, cells)):
        return True
    if any(map(is_finish, cells)):
        return False
    of_few = not cells[0] and 2 * len(given(cells)) < len(cells) and _comes_again(given(cells))
    return of_few or _go_with_letters(cells, numbers)


_LETTERS = re.compile(r"[^\W\d_]*")


def _go_with_letters(cells: Sequence[str], numbers: Sequence[str]) -> bool:
    """Whether each kind has letters of its own in front of its numbers: `DI-4`, `TI-2`."""
    letters = [match[0] for number in numbers if (match := _LETTERS.match(number))]
    pairs = set(zip(cells, letters, strict=False))
    kinds, prefixes = ({pair[at] for pair in pairs} for at in (0, 1))
    return (
        all(cells)
        and 1 < len(pairs) == len(kinds) == len(prefixes)
        and len(pairs) * 3 <= len(cells)
    )


def _of_copies(plan: Plan, at: int) -> Plan:
    """The plan in which a column has the parallels, if no other has."""
    if plan.has("parallels"):
        return plan
    said = f"'{printable(plan.names[at], 40)}' is read as the parallels"
    return replace(meant(plan, at, "parallels"), unsure=(*plan.unsure, said))


def _are_copies(cells: Sequence[str]) -> bool:
    """Whether cells are `Normal` and words that parallels are called by, and nothing else."""
    return any(map(is_plain, cells)) and all(is_plain(one) or is_finish(one) for one in cells)


def _comes_again(cells: Sequence[str]) -> bool:
    some = set(cells)
    return len(some) * 2 <= len(cells) and all(any(map(str.isalpha, cell)) for cell in some)


def _is_part(cell: str) -> bool:
    return any(map(str.isalpha, cell)) and is_part_of_set(cell)


def _is_run(cell: str) -> bool:
    return run_number(cell) > 0 or fold(cell.strip()) in NOT_THERE


_CHECKS = (
    *(prices_left, _no_prices, _dated_runs),
    *(headings_left, unnamed_texts, broken_names, name_ends),
    *(teams_left, aliases_again),
    *(_years_unused, _half_known, _no_runs, _finishes),
    *(_runs_beside, _in_headings, _parts),
)

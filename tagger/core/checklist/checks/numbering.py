"""Cards that agree in what should tell them apart, and columns that may have changed places."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.titles import names_part
from tagger.core.model.tags import series_of
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.checks.values import Found
    from tagger.core.checklist.columns import Rows

_MOST = 100_000  # rows; a longer list is not gone through once more
_FEWEST = 3
MAY_BE_TEAMS = "if they are teams"


def odd_numbering(rows: Rows) -> Iterator[Found]:
    """The first row of those that are odd beside others."""
    if 2 * _FEWEST <= len(rows) <= _MOST:
        yield from _numbers_shared(rows)
        yield from _names_again(rows)
        yield from _teams_of_one(rows)
        yield from _names_alike(rows)
        yield from _short_forms(rows)
        yield from _single_words(rows)
        yield from _set_for_each(rows)
        yield from _parallels_for_each(rows)
        yield from _teams_as_parts(rows)
        yield from _sets_of_one(rows)
        yield from _sets_as_parallels(rows)


def _numbers_shared(rows: Rows) -> Iterator[Found]:
    """Many cards of a set with the number of another one."""
    series = [series_of(extra) for extra in rows.extras.values]
    keys = [
        (set_id, number, series[extra])
        for set_id, number, extra in zip(rows.sets.of, rows.numbers.of, rows.extras.of, strict=True)
    ]
    times = Counter(keys)
    numbers = rows.numbers.values
    again = [
        row
        for row, key in enumerate(keys)
        if times[key] > 1 and any(map(str.isdigit, numbers[key[1]]))
    ]
    if len(again) >= max(_FEWEST, len(rows) / 10):
        shown = printable(rows.numbers[again[0]], 30)
        said = "something that tells them apart may be missing"
        yield again[0], f"{len(again)} cards share their numbers with others (#{shown}); {said}"


def _names_again(rows: Rows) -> Iterator[Found]:
    """Names that come again and again, beside teams that hardly do."""
    names, teams = _distinct(rows.subjects.of), _distinct(rows.teams.of)
    if names * 3 <= len(rows) and teams * 2 > len(rows) and teams > 2 * _FEWEST:
        said = "the names come again and again, and the teams do not; check which is which"
        yield 0, said


def _teams_of_one(rows: Rows) -> Iterator[Found]:
    """Teams that hardly come again in a list."""
    some = [row for row, id in enumerate(rows.teams.of) if _is_one_team(rows.teams.values[id])]
    if len(some) < 4 * _FEWEST or len(some) * 2 < len(rows):
        return
    if len({rows.teams.of[row] for row in some}) * 10 >= len(some) * 9:
        shown = printable(rows.teams[some[0]], 40)
        said = f"nearly each card has a team of its own ('{shown}')"
        yield some[0], f"{said}; check whether it is one"


def _is_one_team(team: str) -> bool:
    return bool(team) and " / " not in team


def _names_alike(rows: Rows) -> Iterator[Found]:
    """Names that end in the same words as many others, as those do with a team behind them."""
    words = [value.split() for value in dict.fromkeys(rows.subjects.values) if value]
    for ends, where in ((_ENDS, "end"), (_BEGINS, "begin")):
        some = [tuple(one[ends]) for one in words if len(one) > 2]
        if len(some) < 2 * _FEWEST or len(some) * 10 < len(words) * 6:
            continue
        if len(set(some)) * 2 <= len(some):
            shown = printable(" ".join(some[0]), 40)
            yield 0, f"many names {where} alike ('{shown}'); check whether all of it is the subject"


def _single_words(rows: Rows) -> Iterator[Found]:
    """Names and teams of one word each, as `Marsh, Ada` has where its comma parts a name."""
    pairs = [
        (rows.subjects.values[subject], rows.teams.values[team])
        for subject, team in zip(rows.subjects.of, rows.teams.of, strict=True)
        if rows.teams.values[team]
    ]
    # names in Japanese have no spaces, and no capitals
    single = [pair for pair in pairs if all(text.istitle() and " " not in text for text in pair)]
    if len(pairs) >= 2 * _FEWEST and len(single) * 10 >= len(pairs) * 8:
        subject, team = single[0]
        shown = printable(f"{subject} / {team}", 40)
        yield 0, f"names and teams are one word each ('{shown}'); check which is which"


def _short_forms(rows: Rows) -> Iterator[Found]:
    """Names that begin or end in one of a few words in capitals, as with a team in short."""
    words = [value.split() for value in dict.fromkeys(rows.subjects.values) if value]
    for place in (0, -1):
        some = [one[place] for one in words if len(one) > 2 and _is_short(one[place], one)]
        if len(some) < max(2 * _FEWEST, len(words) * 0.6):
            continue
        if len(set(some)) * 3 <= len(some):
            where = "begin" if place == 0 else "end"
            said = f"many names {where} with one of a few short forms ('{printable(some[0], 20)}')"
            yield 0, f"{said}; check whether all of it is the subject"


def _is_short(word: str, words: Sequence[str]) -> bool:
    return word.isupper() and 1 < len(word) < 5 and not all(map(str.isupper, words))


_ENDS, _BEGINS = slice(-2, None), slice(2)


def _set_for_each(rows: Rows) -> Iterator[Found]:
    """Nearly each card in a set of its own."""
    if _distinct(rows.sets.of) * 10 >= len(rows) * 8:
        shown = printable(rows.sets[0], 60)
        yield 0, f"nearly each card has a set of its own ('{shown}'); check whether it is one"


def _parallels_for_each(rows: Rows) -> Iterator[Found]:
    """Nearly each card in parallels of its own."""
    some = [row for row, id in enumerate(rows.parallels.of) if rows.parallels.values[id]]
    if len(some) < 2 * _FEWEST or len(some) * 2 < len(rows):
        return
    if _distinct([rows.parallels.of[row] for row in some]) * 10 >= len(some) * 9:
        shown = printable(rows.parallels[some[0]][0].name, 40)
        said = f"nearly each card has parallels of its own ('{shown}')"
        yield some[0], f"{said}; check whether these are parallels"


def _teams_as_parts(rows: Rows) -> Iterator[Found]:
    """Subsets that share no number, beside no team: these may be the teams."""
    series = [series_of(rows.extras.values[id]) for id in rows.extras.of]
    if (
        "" in series
        or len(set(series)) < _FEWEST
        or any(map(rows.teams.values.__getitem__, rows.teams.of))
    ):
        return
    by_set = len(set(zip(rows.sets.of, rows.numbers.of, strict=True)))
    if by_set == len(rows) and not any(map(names_part, set(series))):
        said = f"'{printable(series[0], 40)}' and others are read as subsets"
        yield 0, f"{said}; {MAY_BE_TEAMS}, name the column or the headings so"


def _sets_of_one(rows: Rows) -> Iterator[Found]:
    """A few sets of one card each beside sets of many."""
    sizes = Counter(rows.sets.of)
    alone = {id for id, count in sizes.items() if count == 1}
    if not 0 < len(alone) * 3 <= len(sizes) + 2 or max(sizes.values()) < 3 * _FEWEST:
        return
    row = next(row for row, id in enumerate(rows.sets.of) if id in alone)
    yield row, f"the set '{printable(rows.sets[row], 60)}' has this card alone"


def _sets_as_parallels(rows: Rows) -> Iterator[Found]:
    """A set that is called like another one, with the name of a parallel behind it."""
    names = {rows.sets.values[id]: id for id in dict.fromkeys(rows.sets.of)}
    for name, id in names.items():
        words = name.split()
        over = next((" ".join(words[:-n]) for n in (1, 2) if " ".join(words[:-n]) in names), "")
        if over and all(map(is_finish, words[len(over.split()) :])):
            said = f"the set '{printable(name, 60)}' may be a parallel of '{printable(over, 60)}'"
            yield rows.sets.of.index(id), said
            return


def _distinct(ids: Sequence[int]) -> int:
    return len(set(ids))

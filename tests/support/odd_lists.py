"""Small checklists in which much is alike, with hints and lots for them: all drawn from a seed."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

from support import drawn
from tagger.core.lot.carried import Carried
from tagger.core.matching.priors.context import Context
from tagger.core.matching.priors.steps import StepModel
from tagger.core.model.tags import Parallel, Row, Tags
from tagger.core.model.text import initials, words

_SETS = (
    "1987 Harbor Light", "1985 Harbor Light", "1985 Mill Pond", "1991-92 Gold Coast",
    "Squall Line", "1974 Marsh Ferry",
)  # fmt: skip
_FIRST = ("Ada", "Bo", "Cyr", "Gil", "Ivo", "Mara", "Anvo", "Joséro", "Łukasz", "Al")
_LAST = (
    "Marsh", "Marlow", "Marsden", "Gold", "Golder", "Gray", "Mint", "Exley", "Ex",
    "O'Neil", "McKay", "St. Clair",
    "Saint-Lo", "de la Cruz", "Núñar", "Tarn", "Torn", "Tern", "Lund", "Lunden", "Wirth",
    "Silverman", "Vos",
    "Marsh Jr.",
)  # fmt: skip
_ALIASES = {"雲田 磯郎": "Kumoda Isoro", "Ольва Морозун": "Olva Morozun"}
_TEAMS = ("Harbor Gulls", "Sand Foxes", "Mill Otters", "Gold Herons", "")
_PARALLELS = (
    (),
    (Parallel("Gold", 99), Parallel("Silver")),
    (Parallel("Gold", 50), Parallel("Gold Wave", 25), Parallel("Gray")),
    (Parallel("Base"), Parallel("Silver", 25), Parallel("Mint", 10)),
    (Parallel("Red Wave", 99), Parallel("/5", 5)),
)
_ODD = ("117a", "117", "RC-7", "RC-10", "U1", "1-12", "007", "23b", "T23", "1987")


def small_list(source: random.Random) -> tuple[Row, ...]:
    """One to six sets that share numbers, names and years, each of up to 43 cards with two makes of
    parallels."""
    subjects = [
        f"{source.choice(_FIRST)} {source.choice(_LAST)}" for _ in range(source.randint(5, 40))
    ]
    subjects += [*_ALIASES, f"{subjects[0]} / {subjects[1]}"]
    rows: dict[tuple[str, str, str], Row] = {}
    for set_name in source.sample(_SETS, source.randint(1, len(_SETS))):
        usual, other = source.sample(_PARALLELS, 2)
        start = source.choice((1, 1, 20, 100))
        numbers = [str(start + at) for at in range(source.randint(3, 40))] + source.sample(_ODD, 3)
        for number in numbers:
            subject = source.choice(subjects)
            parallels = other if source.random() < 0.3 else usual
            row = Row(
                set_name,
                number,
                subject,
                source.choice(_TEAMS),
                parallels,
                (),
                _ALIASES.get(subject, ""),
            )
            rows[set_name, number.lstrip("0"), subject] = row
    return tuple(rows.values())


def crowded_list(source: random.Random) -> tuple[Row, ...]:
    """One set of 225 cards whose surnames differ by a letter or two, with many of one surname among
    them."""
    rows = []
    for number, name in enumerate(drawn.names(225, source.randrange(1000)), 1):
        subject = f"{name.split()[0]} Marsh" if source.random() < 0.2 else name
        parallels = (
            (Parallel("Gold", 99), Parallel("Silver"))
            if source.random() < 0.5
            else (Parallel("Green", 25),)
        )
        rows.append(
            Row("1987 Harbor Light", str(number), subject, source.choice(_TEAMS), parallels)
        )
    return tuple(rows)


def long_list(source: random.Random) -> tuple[Row, ...]:
    """Thirty sets of 150 cards: more than are looked at closely."""
    rows = []
    names = drawn.names(1500, 7)
    for at in range(30):
        name = (
            f"{1960 + at} "
            f"{source.choice(('Harbor Light', 'Mill Pond', 'Squall Line', 'Penny Ferry'))}"
        )
        for number in range(1, 151):
            row = Row(
                name,
                str(number),
                source.choice(names),
                source.choice(_TEAMS),
                source.choice(_PARALLELS),
            )
            rows.append(row)
    return tuple(rows)


def slip(source: random.Random, word: str) -> str:
    """A word with one letter missing, wrong or too many, or two changed over."""
    if len(word) < 2:
        return word
    at, letter = source.randrange(len(word) - 1), source.choice("aeirnst")
    return source.choice(
        (
            word[:at] + word[at + 1 :],
            word[:at] + word[at + 1] + word[at] + word[at + 2 :],
            word[:at] + letter + word[at + 1 :],
            word[:at] + letter + word[at:],
        )
    )


def _pieces(source: random.Random, row: Row) -> dict[str, Callable[[], str]]:
    name = source.choice(words(row.subject))
    parallel = source.choice(row.parallels) if row.parallels else Parallel("Gold", 99)
    colour, run = parallel.name.lower(), parallel.run or 99
    of_set = source.choice(words(row.set))
    number, team = row.number, (row.team.lower().split() or ["gulls"])[-1]
    return {
        "number": lambda: source.choice(
            (number, number, number.lower(), number[:1], f"#{number}", f"number={number}")
        ),
        "name": lambda: source.choice(
            (
                name,
                name,
                name[:3],
                name[:2],
                name[:1],
                f"name={name}",
                name.upper(),
                initials(row.subject),
            )
        ),
        "slip": lambda: slip(source, slip(source, name) if source.random() < 0.3 else name),
        "team": lambda: source.choice((team, team[:4], f"team={team}", "gold")),
        "set": lambda: source.choice(
            (of_set, of_set[:3], of_set[-2:], f"set={of_set}", "hl", "mp")
        ),
        "parallel": lambda: source.choice(
            (
                colour,
                colour[:1],
                colour[:2],
                "base",
                f"parallel={colour.split()[0]}",
                "gold",
                "silver",
                "wave",
            )
        ),
        "serial": lambda: source.choice(
            (
                f"{source.randint(1, run)}/{run}",
                f"/{run}",
                f"{run + 1}/{run}",
                "12/99",
                f"serial={run}",
            )
        ),
        "digits": lambda: str(
            source.choice((source.randint(1, 120), source.randint(1, 9), 85, 87))
        ),
        "short": lambda: source.choice(("mt", "nm", "vg", "pr", "fr", "gd")),
        "condition": lambda: source.choice(
            ("nm", "ex", "mint", "near mint", "vg", "condition=ex", "exc", "good")
        ),
        "noise": lambda: source.choice(
            ("zzq", "a", "g", "2", "23", "x1", "r 7", "rc 7", "117 a", "mar23", "23g", "'")
        ),
    }


def a_hint(source: random.Random, rows: Sequence[Row], kinds: Sequence[str]) -> str:
    """A hint for one of the rows, of these kinds of words in any order."""
    pieces = _pieces(source, source.choice(rows))
    return " ".join(pieces[kind]() for kind in source.sample(kinds, len(kinds)))


def a_lot(source: random.Random, rows: Sequence[Row]) -> Context:
    """A lot in which nothing is known yet, or a set is carried, or there is a card before, or sets
    were met."""
    sets = list(dict.fromkeys(row.set for row in rows))
    kind = source.choice(("nothing", "carried", "before", "met", "all", "unlisted"))
    carried, before, seen, steps = Carried(), None, frozenset[str](), StepModel()
    if kind == "unlisted":
        carried = carried.put("set", "1999 Nowhere")
    if kind in ("carried", "before", "all"):
        row = source.choice(rows)
        carried = carried.put("set", row.set)
        if kind != "carried":
            before, seen = (
                Tags(set=row.set, number=row.number, subject=row.subject),
                frozenset({row.set}),
            )
    if kind in ("met", "all"):
        seen |= frozenset(source.sample(sets, source.randint(1, len(sets))))
    if kind == "before" and source.random() < 0.5:
        carried = carried.put("parallel", source.choice(("Gold", "Silver", "Purple")))
    if kind == "all":
        for _ in range(30):
            steps.learn(source.choice((1, -1, 0, 40)))
        if source.random() < 0.5:
            carried = carried.put("parallel", source.choice(("Gold", "Silver", "Purple")))
        if source.random() < 0.3:
            carried = carried.put("condition", "Good")
    return Context(carried, before, seen, steps)

"""Checklists drawn for the benchmark of the matcher: invented people, makers, sets and parallels,
the truth known.

Nothing is taken from the program. The figures are our own picture of the hobby, not a source:

- people: surnames and given names put together from syllables. How often a name is used falls with
  its rank (a Zipf law): at 100,000 rows 1 in 130 people has the commonest surname, so that a set of
  400 has three of them, and half the people have one that fewer than 1 in 2,500 have. A few names
  have an accent, an apostrophe, a hyphen or a generation.
- careers: a person plays 1 to 17 years, and sets of a year show those who play then, so that names
  come back from set to set as they do in the hobby.
- sets: 200 to 600 cards numbered from 1. Two sets in five have further cards, 15 in 100, whose
  numbers have a letter: `117a` (another picture of the one on 117) or `RC-7` (a series within the
  set, of people of the set).
- parallels: one set in five has none; the others two to six, most with a print run; some cards have
  one more.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable, Sequence
from typing import NamedTuple

YEARS = range(1960, 2020)
LONGEST = 17  # years that a person plays


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


_ONSET = (
    *_words("b c d f g h j k l m n p r s t v w") * 3,
    *_words("br ch cl dr fl gr kr pr qu sh st th tr"),
)
_VOWEL = ("a", "a", "a", "e", "e", "e", "i", "i", "o", "o", "u", "ai", "ea", "oo", "ie")
_CODA = ("", "", "", "", "n", "r", "l", "s", "m", "nd", "rk", "ll", "st")
_END = _words(
    "sen ley ton berg er ard ova ick ell etti ano ez gren by dale worth ski ux in ett ow ham"
)
_GIVEN_END = _words("a o y e in an us ie el is on ert")
_PLACES = _words(
    "Harbor Northway Tidewater Quarry Meadow Lantern Windmill Copper Saltmarsh Orchard Granite "
    "Ferry Juniper Kestrel "
    "Lowland Thistle Beacon Cobble Drover Ember Foundry Glacier Hollow Marigold Nettle Paddock "
    "Rookery Summit"
)
_THINGS = _words(
    "Light Line Gate Row Press Issue Seal Crown Field Works House Bridge Court Edge Stock Signal "
    "Choice Mark"
)
_ANIMALS = _words("Gulls Foxes Otters Herons Stoats Larks Hares Terns Owls Kites")
_COLOURS = _words(
    "Gold Silver Blue Red Green Orange Purple Black Copper Bronze Pearl Ruby Emerald Violet White "
    "Teal"
)
_FINISHES = ("Ripplet", "Frostmoor", "Leafglow", "Sparkmist")
_RUNS = (None, None, 5, 10, 25, 50, 75, 99, 150, 199, 299, 499)
_SERIES = ("RC", "LH", "SS", "TF", "U", "T", "GM", "AS", "K")

Parallel = tuple[str, int | None]  # name, print run


class Person(NamedTuple):
    """Someone on cards. `plain` is the surname as it is typed: small letters, no marks; `rank`
    counts from the commonest surname."""

    name: str
    given: str
    plain: str
    rank: int


class Card(NamedTuple):
    """One line of a checklist."""

    number: str
    person: Person
    team: str
    parallels: tuple[Parallel, ...]


class CardSet(NamedTuple):
    """A set: its cards in the natural order of their numbers."""

    name: str
    cards: tuple[Card, ...]


class World:
    """All sets of a made-up hobby, `rows` cards or a few more; the same for the same seed."""

    def __init__(self, rows: int, seed: int) -> None:
        self._source = random.Random(f"{seed} {rows}")
        self._active = _careers(_people(max(9000, rows // 16), self._source), self._source)
        self.sets: list[CardSet] = []
        per_year = -(-rows // (400 * len(YEARS)))
        names = [f"{place} {thing}" for place in _PLACES for thing in _THINGS] + list(_PLACES)
        known = {
            year: iter(self._source.sample(names, min(len(names), 4 * per_year + 4)))
            for year in YEARS
        }
        self.rows = 0
        for year in itertools.cycle(YEARS):
            if self.rows >= rows:
                break
            self.sets.append(
                CardSet(f"{year} {next(known[year])}", self._cards(self._active[year]))
            )
            self.rows += len(self.sets[-1].cards)

    def csv(self) -> bytes:
        """The checklist as a file."""
        lines = ["set,number,subject,team,parallels"]
        for name, cards in self.sets:
            for card in cards:
                parallels = "; ".join(
                    f"{what} /{run}" if run else what for what, run in card.parallels
                )
                lines.append(f"{name},{card.number},{card.person.name},{card.team},{parallels}")
        return ("\n".join(lines) + "\n").encode()

    def texts(self) -> list[str]:
        """Each row as one text, for a search through all of them."""
        return [
            f"{name} {card.number} {card.person.name}".lower()
            for name, cards in self.sets
            for card in cards
        ]

    def _cards(self, active: Sequence[Person]) -> tuple[Card, ...]:
        source = self._source
        count = min(source.randint(200, 600), len(active))
        people = source.sample(active, count)
        teams = [f"{place} {source.choice(_ANIMALS)}" for place in source.sample(_PLACES, 20)]
        parallels = _parallels(source)
        more = (*parallels, ("Sepia", 20)) if parallels else ()
        cards: list[Card] = []
        lettered = round(count * 0.15 / 0.85) if source.random() < 0.4 else 0
        pictured = frozenset(source.sample(range(1, count + 1), lettered // 2))
        for number, person in enumerate(people, start=1):
            own = more if source.random() < 0.1 else parallels
            cards.append(Card(str(number), person, source.choice(teams), own))
            if number in pictured:
                cards.append(Card(f"{number}a", person, cards[-1].team, own))
        letters, mark = source.choice(_SERIES), source.choice(("-", ""))
        again = source.sample(people, lettered - lettered // 2)
        cards.extend(
            Card(f"{letters}{mark}{number}", person, source.choice(teams), parallels)
            for number, person in enumerate(again, start=1)
        )
        return tuple(cards)


def _parallels(source: random.Random) -> tuple[Parallel, ...]:
    if source.random() < 0.2:
        return ()
    names = source.sample(_COLOURS, source.randint(2, 6))
    if len(names) > 2 and source.random() < 0.4:
        names[1] = f"{source.choice((names[0], names[1]))} {source.choice(_FINISHES)}"
    runs = source.sample([run for run in _RUNS if run], len(names))
    return tuple(
        (name, run if source.random() < 0.75 else None)
        for name, run in zip(names, runs, strict=True)
    )


def _careers(people: Sequence[Person], source: random.Random) -> dict[int, list[Person]]:
    """Who plays in a year."""
    active: dict[int, list[Person]] = {year: [] for year in YEARS}
    for person in people:
        first = source.randrange(YEARS.start - LONGEST, YEARS.stop)
        for year in range(first, first + min(LONGEST, 1 + int(source.expovariate(1 / 6)))):
            if year in active:
                active[year].append(person)
    return active


def _people(count: int, source: random.Random) -> list[Person]:
    surnames = _names(min(20_000, max(6000, count)), _surname, source)
    given = _names(300, _given, source)
    weights = list(
        itertools.accumulate((rank + 15) ** -0.95 for rank in range(1, len(surnames) + 1))
    )
    given_weights = list(itertools.accumulate(1 / (rank + 8) for rank in range(1, len(given) + 1)))
    found: dict[str, Person] = {}
    ranks = range(len(surnames))
    while len(found) < count:
        rank = source.choices(ranks, cum_weights=weights)[0]
        first = source.choices(given, cum_weights=given_weights)[0]
        shown, plain = _written(surnames[rank], source)
        person = Person(f"{first} {shown}", first.lower(), plain, rank)
        found.setdefault(person.name, person)
    return list(found.values())


def _names(count: int, make: Callable[[random.Random], str], source: random.Random) -> list[str]:
    found: dict[str, None] = {}
    while len(found) < count:
        name = make(source)
        if 3 <= len(name) <= 11:
            found[name.title()] = None
    return list(found)


def _syllable(source: random.Random) -> str:
    return source.choice(_ONSET) + source.choice(_VOWEL) + source.choice(_CODA)


def _surname(source: random.Random) -> str:
    head = _syllable(source) + (_syllable(source) if source.random() < 0.45 else "")
    return head + (source.choice(_END) if source.random() < 0.6 else "")


def _given(source: random.Random) -> str:
    return _syllable(source) + source.choice(("", *_GIVEN_END, *_GIVEN_END))


def _written(surname: str, source: random.Random) -> tuple[str, str]:
    """A surname as it is printed, and as it is typed."""
    chance, plain = source.random(), surname.lower()
    if chance < 0.015:
        return f"O'{surname}", f"o{plain}"
    if chance < 0.030:
        return f"{surname} Jr.", plain
    if chance < 0.040:
        other = _syllable(source)
        return f"{surname}-{other.title()}", f"{plain}{other}"
    if chance < 0.060:
        for letter, marked in (("e", "é"), ("o", "ö"), ("u", "ü"), ("n", "ñ")):
            if letter in surname[1:]:
                return surname[0] + surname[1:].replace(letter, marked, 1), plain
    return surname, plain

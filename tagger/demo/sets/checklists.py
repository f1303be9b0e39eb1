"""The checklists of the demo's sets: their rows, and the files they are written to."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from functools import lru_cache

from tagger.demo.people.clubs import TEAMS
from tagger.demo.people.names import generations
from tagger.demo.sets.scenario import (
    FERRY,
    HARBOR_85,
    HARBOR_87,
    KEEPERS,
    SQUALL,
    ListedCard,
    ListedParallel,
    set_named,
)

_GOLD = ListedParallel("Gold", 50)
_SILVER = ListedParallel("Silver")
_LAMP_RED = ListedParallel("Lamp Red", 10)
_NEON = ListedParallel("Neon", 99)
_MIDNIGHT = ListedParallel("Midnight", 25)
_TIDEWASH = ListedParallel("Tidewash")
_FOIL = ListedParallel("Foil", 25)

# Cards that have their place: (number, subject, club).
_FIXED_87 = (
    (22, "Ivo Lund", "Northquay Bells"),
    (23, "Ada Marsh", "Harbor Gulls"),
    (24, "Alma Marshall", "Saltmarsh Kites"),
    (60, "Nils Sørvik / Per Sørvik", "Low Ness Terns"),
    (71, "Tomás de la Roqueta", "Copper Bay Lamplighters"),
    (96, "Lee Gold", "Ember Point Owls"),
    (98, "Iñigo Peñarroya", "Glass River Ferrymen"),
    (103, "Wendell Pike Jr.", "Birch Ferry Foxes"),
    (110, "Checklist 1-110", ""),
    (123, "Abe Marsden", "Windle Cross Hares"),
    (124, "Adiel Marsh", "Tarn Hollow Otters"),
    (150, "Ada Marsh / Abe Marsden", "Harbor Gulls / Windle Cross Hares"),
    (181, "Jürgen Müllbrandt", "Milldam Herons"),
    (220, "Checklist 111-220", ""),
)
_FIXED_85 = (
    (12, "Ada Marsh", "Harbor Gulls"),
    (22, "Nils Sørvik", "Low Ness Terns"),
    (23, "Lee Gold", "Ember Point Owls"),
    (41, "Cormac O'Nealey Jr.", "Orchard Row Drovers"),
    (77, "Ivo Lund", "Northquay Bells"),
    (101, "Zofia Łazarek", "Stonewick Tinkers"),
)
_FIXED_92 = (
    (5, "Ada Marsh", "Port Vesper Larks"),
    (14, "Rory O'Nealey", "Glass River Ferrymen"),
    (27, "Tess Silver", "Milldam Herons"),
    (38, "Shane O'Nealy", "Orchard Row Drovers"),
    (55, "Abel Marsden", "Harbor Gulls"),
    (63, "Åse Østergade", "Northquay Bells"),
    (89, "Ida Gold / Gil Golder", "Ember Point Owls"),
    (131, "Per Sørvik", "Saltmarsh Kites"),
    (152, "Zuzanna Wołoszka", "Tarn Hollow Otters"),
)
_FIXED_74 = (
    (9, "Nora Gray", "Milldam Herons"),
    (17, "Hjalmar Sørvik", "Low Ness Terns"),
    (31, "Wendell Pike", "Birch Ferry Foxes"),
    (52, "Otis Silver", "Northquay Bells"),
    (66, "Cormac O'Nealey", "Orchard Row Drovers"),
    (88, "Roderick Marsh", "Harbor Gulls"),
    (117, "Rafael de la Roqueta", "Copper Bay Lamplighters"),
    (126, "Pip Mint", "Windle Cross Hares"),
)
_KEEPERS_SUBJECTS = (
    "Lee Gold", "Ada Marsh", "Ivo Lund", "Zofia Łazarek", "Per Sørvik", "Marta Peñarroya",
    "Adiel Marsh", "Bo Grey", "Tess Silver", "Abe Marsden", "Søren Østergade", "Noor Graye",
    "Aron Lundt", "Léa Beauçais", "Ana de la Vigna",
)  # fmt: skip


# Every club in turn, five places on, and moved on by one after each round: neighbours in the
# numbers are not neighbours in the clubs.
def _club(i: int) -> str:
    return TEAMS[(i * 5 + i // len(TEAMS) + 3) % len(TEAMS)].name


def _numbered(
    count: int, fixed: Iterable[tuple[int, str, str]], pool: Sequence[str]
) -> list[tuple[int, str, str]]:
    """(number, subject, club) from 1 to ``count``: the fixed cards in their place, the pool around
    them."""
    placed = {number: (subject, club) for number, subject, club in fixed}
    # Nobody who has a place, alone or in a pair, comes again from the pool.
    taken = {name for subject, _ in placed.values() for name in [subject, *subject.split(" / ")]}
    rest = iter([name for name in pool if name not in taken])
    return [
        (n, *(placed[n] if n in placed else (next(rest), _club(n)))) for n in range(1, count + 1)
    ]


def _stirred(names: Sequence[str], stride: int) -> list[str]:
    """The names in another order; the stride shares no divisor with their count, or the next one up
    is taken."""
    while any(stride % d == 0 and len(names) % d == 0 for d in range(2, stride + 1)):
        stride += 1
    return [names[(i * stride) % len(names)] for i in range(len(names))]


def _price(number: int, steps: Sequence[str]) -> str:
    return steps[(number * 7 + number // 9) % len(steps)]


_PRICES_87 = (
    "0.15", "0.15", "0.25", "0.15", "0.25", "0.50", "0.15", "0.25", "1.00", "0.15", "3.50",
)  # fmt: skip
_PRICES_KEEPERS = ("2.00", "2.50", "6.00")


def _rows_87() -> list[ListedCard]:
    cards = [
        _card_87(n, subject, club)
        for n, subject, club in _numbered(220, _FIXED_87, _stirred(generations()[1], 37))
    ]
    return [*cards, *_keepers(cards)]


def _card_87(n: int, subject: str, club: str) -> ListedCard:
    number = str(n)
    # A card without a club is a checklist: it has no parallels and one price.
    if not club:
        return ListedCard(HARBOR_87, number, subject, club, (), "0.10")
    parallels: tuple[ListedParallel, ...] = (_GOLD, _SILVER)
    if " / " in subject:
        parallels = (_SILVER,)
    elif n % 10 == 3:
        parallels = (_GOLD, _SILVER, _LAMP_RED)
    return ListedCard(HARBOR_87, number, subject, club, parallels, _price(n, _PRICES_87))


def _keepers(cards: Sequence[ListedCard]) -> list[ListedCard]:
    """The insert set: each subject in the club that the set itself has it in."""
    clubs: dict[str, str] = {}
    for card in cards:
        of_two = " / " in card.team
        for i, subject in enumerate(card.subject.split(" / ")):
            clubs.setdefault(subject, card.team.split(" / ")[i if of_two else 0])
    return [
        ListedCard(
            KEEPERS,
            f"LH-{n}",
            subject,
            clubs.get(subject, _club(n)),
            (_FOIL,),
            _price(n, _PRICES_KEEPERS),
        )
        for n, subject in enumerate(_KEEPERS_SUBJECTS, 1)
    ]


def _rows_85() -> list[ListedCard]:
    names = _stirred(generations()[1][60:] + generations()[1][:60], 11)
    return [
        ListedCard(HARBOR_85, str(n), subject, club)
        for n, subject, club in _numbered(110, _FIXED_85, names)
    ]


def _rows_92() -> list[ListedCard]:
    _, eighties, nineties = generations()
    names = _stirred([*nineties, *eighties[20:100]], 13)
    rows: list[ListedCard] = []
    for n, subject, club in _numbered(180, _FIXED_92, names):
        parallels: tuple[ListedParallel, ...] = (_NEON, _MIDNIGHT) if n % 4 else (_NEON,)
        rows.append(ListedCard(SQUALL, str(n), subject, club, () if n % 9 == 0 else parallels))
    clubs = {row.subject: row.team for row in rows}
    for n in range(1, 21):
        subject = nineties[n * 4]
        rows.append(ListedCard(SQUALL, f"RC-{n}", subject, clubs.get(subject, _club(n + 2))))
    return rows


def _rows_74() -> list[ListedCard]:
    prices = ("1.25", "1.25", "1.50", "2.00", "1.25", "4.00", "1.75")
    rows: list[ListedCard] = []
    for n, subject, club in _numbered(132, _FIXED_74, _stirred(generations()[0], 29)):
        parallels = (_TIDEWASH,) if n % 7 == 0 else ()
        rows.append(ListedCard(FERRY, str(n), subject, club, parallels, _price(n, prices)))
        if n == 117:
            # A number with a letter: an error card and its correction, as old sets have them.
            rows.append(ListedCard(FERRY, "117a", subject, club, (), "9.00"))
    return rows


@lru_cache(maxsize=1)
def rows() -> tuple[ListedCard, ...]:
    """Every row of every checklist, sets in the order of their years."""
    return (*_rows_74(), *_rows_85(), *_rows_87(), *_rows_92())


def _table(header: Sequence[str], lines: Iterable[Sequence[str]], delimiter: str) -> str:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(lines)
    return out.getvalue()


def _parallels(row: ListedCard) -> str:
    return "; ".join(parallel.written() for parallel in row.parallels)


def checklist_files() -> dict[str, str]:
    """File name -> text of each checklist, each in another form that the program reads."""
    comma = _table(
        ("set", "number", "subject", "team", "parallels", "price"),
        [(r.set, r.number, r.subject, r.team, _parallels(r), r.price) for r in _rows_87()],
        ",",
    )
    semicolon = _table(
        ("No", "Player", "Team", "Parallels"),
        [(r.number, r.subject, r.team, _parallels(r)) for r in _rows_92()],
        ";",
    )
    tab = _table(
        ("set", "card", "title", "team", "parallels", "price"),
        [(r.set, r.number, r.subject, r.team, _parallels(r), r.price) for r in _rows_74()],
        "\t",
    )
    plain = [HARBOR_85, *(f"{r.number} {r.subject}, {r.team}" for r in _rows_85())]
    return {
        set_named(HARBOR_87).file: comma,
        set_named(SQUALL).file: semicolon,
        set_named(FERRY).file: tab,
        set_named(HARBOR_85).file: "\n".join(plain) + "\n",
    }

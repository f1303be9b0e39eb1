"""Lists to work with: what each says is known, its shape is one that hobby spreadsheets have.

Those that are reported beside these are drawn by `held_out.py`, which shares no code with this."""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

_FIRST = (
    "Ada", "Bo", "Cyr", "Gil", "Ivo", "Mara", "Anvela", "Joséro", "Łukasz", "Al", "Edda", "Tove",
)  # fmt: skip
_LAST = (
    "Marsh", "Lund", "Dun", "Gold", "Wirth", "Tern", "Núñar", "O'Neil", "Vos", "Saint-Lo", "Tarn",
    "McKay", "Silverman", "Exley",
)  # fmt: skip
_TEAMS = ["Harbor Gulls", "Mill Otters", "Sand Foxes", "Gold Herons", "Ember Owls", "Quay Kites"]
_SETS = ["Harbor Light", "Mill Pond", "Squall Line", "Marsh Ferry", "Gold Coast"]
_PARALLELS = (("Gold", 50), ("Silver", None), ("Red Wave", 99), ("Black", 1), ("Blue Foil", 150))


@dataclass(frozen=True)
class Card:
    """A card that a list means."""

    set: str
    number: str
    subject: str
    team: str = ""
    parallels: tuple[tuple[str, int | None], ...] = ()
    series: str = ""


@dataclass
class Drawn:
    """A file and what it means."""

    shape: str
    name: str
    data: bytes
    cards: list[Card]
    extra: dict[tuple[str, str], str] = field(default_factory=dict)
    damaged: bool = False


def _cards(
    r: random.Random, count: int, year: int | None = None, parallels: bool = True
) -> list[Card]:
    name = f"{year or r.randint(1960, 2024)} {r.choice(_SETS)}"
    subjects = r.sample([f"{a} {b}" for a in _FIRST for b in _LAST], count)
    return [
        Card(
            name,
            str(at),
            subject,
            r.choice(_TEAMS),
            tuple(r.sample(_PARALLELS, r.choice((0, 0, 1, 2)))) if parallels else (),
        )
        for at, subject in enumerate(subjects, start=1)
    ]


def _run(parallel: tuple[str, int | None]) -> str:
    return f"{parallel[0]} /{parallel[1]}" if parallel[1] else parallel[0]


def _joined(card: Card, mark: str = "; ") -> str:
    return mark.join(map(_run, card.parallels))


def _csv(
    rows: Sequence[Sequence[str]], delimiter: str = ",", encoding: str = "utf-8", **more: str
) -> bytes:
    file = io.StringIO()
    csv.writer(file, delimiter=delimiter, lineterminator=more.get("end", "\r\n")).writerows(rows)
    return file.getvalue().encode(encoding)


Shape = Callable[[random.Random], Drawn]
SHAPES: dict[str, Shape] = {}


def _shape(make: Shape) -> Shape:
    SHAPES[make.__name__.strip("_")] = make
    return make


def _plain_rows(cards: Sequence[Card], heads: Sequence[str]) -> list[list[str]]:
    return [list(heads), *([c.set, c.number, c.subject, c.team, _joined(c)] for c in cards)]


@_shape
def _year_beside_set(r: random.Random) -> Drawn:
    cards = [*_cards(r, 9, 1987), *_cards(r, 8, 1988)]
    rows = [["Year", "Set", "No.", "Player", "Team", "Parallels"]]
    rows += [[*c.set.split(" ", 1), c.number, c.subject, c.team, _joined(c)] for c in cards]
    return Drawn("", "years.csv", _csv(rows), cards)


@_shape
def _merged_sets(r: random.Random) -> Drawn:
    cards = [*_cards(r, 30), *_cards(r, 12, 1955)]
    rows = [["Set", "#", "Name", "Club"]]
    before = ""
    for c in cards:
        rows.append(["" if c.set == before else c.set, c.number, c.subject, c.team])
        before = c.set
    cards = [Card(c.set, c.number, c.subject, c.team) for c in cards]
    return Drawn("", "merged.csv", _csv(rows, r.choice(",;\t")), cards)


@_shape
def _merged_years(r: random.Random) -> Drawn:
    cards = [*_cards(r, 20, 1971), *_cards(r, 12, 1972)]
    rows, before = [["Jahr", "Serie", "Nr.", "Spieler", "Verein", "Varianten"]], ""
    for c in cards:
        own = c.set.split(" ", 1) if c.set != before else ["", ""]
        rows.append([*own, c.number, c.subject, c.team, _joined(c, " | ")])
        before = c.set
    return Drawn("", "jahre.csv", _csv(rows, ";", "utf-8-sig"), cards)


@_shape
def _variation_rows(r: random.Random) -> Drawn:
    cards = _cards(r, 14)
    rows = [["Set Name", "Card #", "Player Name", "Team", "Variation", "Print Run"]]
    for c in cards:
        rows.append([c.set, c.number, c.subject, c.team, "", ""])
        rows += [
            [c.set, c.number, c.subject, c.team, p, f"/{n}" if n else ""] for p, n in c.parallels
        ]
    return Drawn("", "variations.csv", _csv(rows), cards)


@_shape
def _merged_variations(r: random.Random) -> Drawn:
    cards = _cards(r, 14)
    rows = [["Card #", "Player", "Team", "Version", "Numbered"]]
    for c in cards:
        some = list(c.parallels) or [("", None)]
        rows.append([c.number, c.subject, c.team, some[0][0], str(some[0][1] or "")])
        rows += [["", "", "", p, str(n or "")] for p, n in some[1:]]
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards)


@_shape
def _title_and_notes(r: random.Random) -> Drawn:
    cards = _cards(r, 22)
    rows = [
        [f"{cards[0].set} (22 cards)"],
        [],
        ["Last updated: March, by the club"],
        ["Number", "Player", "Team", "Parallels"],
        *([c.number, c.subject, c.team, _joined(c)] for c in cards),
        [],
        ["Total", "22"],
        ["Prices are only estimates and may change at any time."],
    ]
    return Drawn("", "list.csv", _csv(rows), cards)


@_shape
def _wide_title(r: random.Random) -> Drawn:
    cards = _cards(r, 12)
    rows = [
        [f"{cards[0].set} Checklist", "", "", ""],
        ["", "", "", ""],
        ["No", "Subject", "Team", "Parallel"],
        *([c.number, c.subject, c.team, _joined(c)] for c in cards),
        ["", "", "", ""],
        ["", "Total: 12 cards", "", ""],
    ]
    return Drawn("", "wide.csv", _csv(rows, ";"), cards)


@_shape
def _crosses(r: random.Random) -> Drawn:
    heads = ["Gold /50", "Silver", "Red Wave /99"]
    cards = []
    rows = [["Nr", "Name", "Team", *heads, "Have"]]
    cross = r.choice(["x", "X", "✓", "yes"])
    for c in _cards(r, 20):
        has = [r.random() < 0.5 for _ in heads]
        if len(cards) == 0:
            has = [True] * 3
        some = tuple(
            p
            for p, h in zip((("Gold", 50), ("Silver", None), ("Red Wave", 99)), has, strict=False)
            if h
        )
        cards.append(Card(c.set, c.number, c.subject, c.team, some))
        rows.append(
            [c.number, c.subject, c.team, *(cross if h else "" for h in has), r.choice(["x", ""])]
        )
    return Drawn("", f"{cards[0].set}.csv", _csv(rows, r.choice(",\t")), cards)


@_shape
def _runs_in_columns(r: random.Random) -> Drawn:
    cards, rows = [], [["#", "Player", "Base", "Gold", "Ruby"]]
    for c in _cards(r, 16):
        gold, ruby = r.choice(["/50", "", "50"]), r.choice(["/10", "1/1", "-"])
        if not cards:
            gold, ruby = "/50", "/10"
        some = [("Gold", 50)] if gold else []
        some += {"/10": [("Ruby", 10)], "1/1": [("Ruby", 1)], "-": []}[ruby]
        cards.append(Card(c.set, c.number, c.subject, "", tuple(some)))
        rows.append([c.number, c.subject, "x", gold, ruby])
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards)


@_shape
def _two_row_header(r: random.Random) -> Drawn:
    cards = []
    rows = [
        ["Card", "Player", "Team", "Parallels", "", ""],
        ["No.", "", "", "Gold", "Silver", "Lamp"],
    ]
    for c in _cards(r, 18):
        has = [r.random() < 0.6 for _ in range(3)] if cards else [True] * 3
        some = tuple((p, None) for p, h in zip(("Gold", "Silver", "Lamp"), has, strict=False) if h)
        cards.append(Card(c.set, c.number, c.subject, c.team, some))
        rows.append([c.number, c.subject, c.team, *("x" if h else "" for h in has)])
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards)


@_shape
def _sections(r: random.Random) -> Drawn:
    cards = _cards(r, 30)
    rows = [["No.", "Player", "Team"]]
    found = []
    for at, c in enumerate(cards):
        if at == 0:
            rows.append(["Base 1–20", "", ""])
        if at == 20:
            rows.append(["Rookies 21–30", "", ""])
        rows.append([c.number, c.subject, c.team])
        found.append(Card(c.set, c.number, c.subject, c.team, (), "Rookies" if at >= 20 else ""))
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), found)


@_shape
def _subset_shares_numbers(r: random.Random) -> Drawn:
    base, more = _cards(r, 15), _cards(r, 10)
    rows = [["Set", "Subset", "Number", "Subject", "Team"]]
    found = [Card(c.set, c.number, c.subject, c.team, (), "Base") for c in base]
    found += [Card(base[0].set, c.number, c.subject, c.team, (), "Night Lights") for c in more]
    rows += [[c.set, c.series, c.number, c.subject, c.team] for c in found]
    return Drawn("", "shared.csv", _csv(rows, ";"), found)


@_shape
def _merged_subsets(r: random.Random) -> Drawn:
    base, more = _cards(r, 15), _cards(r, 10)
    rows, before = [["Insert", "Card Number", "Athlete", "Club"]], ""
    found = [Card(base[0].set, c.number, c.subject, c.team, (), "Base Set") for c in base]
    found += [Card(base[0].set, c.number, c.subject, c.team, (), "Deck Hands") for c in more]
    for c in found:
        rows.append(["" if c.series == before else c.series, c.number, c.subject, c.team])
        before = c.series
    return Drawn("", f"{base[0].set}.csv", _csv(rows), found)


@_shape
def _side_by_side(r: random.Random) -> Drawn:
    cards = _cards(r, 20, parallels=False)
    rows = [["No.", "Player", "Team", "", "No.", "Player", "Team"]]
    for a, b in zip(cards[:10], cards[10:], strict=False):
        rows.append([a.number, a.subject, a.team, "", b.number, b.subject, b.team])
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards)


@_shape
def _two_side_by_side(r: random.Random) -> Drawn:
    one, two = _cards(r, 12, 1984, False), _cards(r, 8, 1986, False)
    rows = [
        [one[0].set, "", "", "", two[0].set, "", ""],
        ["#", "Name", "Team", "", "#", "Name", "Team"],
    ]
    for at, a in enumerate(one):
        b = [two[at].number, two[at].subject, two[at].team] if at < len(two) else [""] * 3
        rows.append([a.number, a.subject, a.team, "", *b])
    return Drawn("", "pair.csv", _csv(rows), [*one, *two])


@_shape
def _one_below_the_other(r: random.Random) -> Drawn:
    one, two = _cards(r, 12, 1984), _cards(r, 8, 1986)
    rows = []
    for cards in (one, two):
        rows += [[cards[0].set], ["#", "Name", "Team", "Parallels"]]
        rows += [[c.number, c.subject, c.team, _joined(c)] for c in cards]
        rows += [[], []]
    return Drawn("", "below.csv", _csv(rows), [*one, *two])


@_shape
def _page_headers(r: random.Random) -> Drawn:
    cards = _cards(r, 30)
    rows = []
    for at, c in enumerate(cards):
        if at % 10 == 0:
            rows.append(["Set", "No.", "Player", "Team", "Parallels"])
        rows.append([c.set, c.number, c.subject, c.team, _joined(c)])
    return Drawn("", "pages.csv", _csv(rows), cards)


@_shape
def _encodings(r: random.Random) -> Drawn:
    cards = [c for c in _cards(r, 40) if "Ł" not in c.subject][:20]
    encoding = r.choice(["utf-16", "cp1252", "utf-8-sig", "utf-16-le", "utf-8"])
    rows = _plain_rows(cards, ["Set", "Card #", "Player", "Team", "Parallels"])
    return Drawn("", "letters.csv", _csv(rows, r.choice(";\t|,"), encoding), cards)


@_shape
def _leading_zeros(r: random.Random) -> Drawn:
    cards = [Card(c.set, f"{int(c.number):03d}", c.subject, c.team) for c in _cards(r, 20)]
    rows = [["Number", "Player", "Team"], *([f'="{c.number}"', c.subject, c.team] for c in cards)]
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards)


@_shape
def _floats(r: random.Random) -> Drawn:
    cards = _cards(r, 20)
    rows = [["", "number", "player", "team", "print run"]]
    found = []
    for at, c in enumerate(cards):
        rows.append([str(at), f"{c.number}.0", c.subject, c.team, ""])
        found.append(Card(c.set, c.number, c.subject, c.team))
    rows = [row[1:4] for row in rows]
    return Drawn("", f"{cards[0].set}.csv", _csv(rows, end="\n"), found)


@_shape
def _dates(r: random.Random) -> Drawn:
    cards, rows = [], [["No.", "Player"]]
    for at, c in enumerate(_cards(r, 12)):
        number = r.choice(["2-Jan", "Jan-02", "02.01.2024", "2024-01-02"]) if at == 4 else c.number
        cards.append(Card(c.set, number, c.subject))
        rows.append([number, c.subject])
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards, damaged=True)


@_shape
def _team_in_brackets(r: random.Random) -> Drawn:
    cards = _cards(r, 20, parallels=False)
    rows = [["Card No.", "Player"], *([c.number, f"{c.subject} ({c.team})"] for c in cards)]
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards)


@_shape
def _rookie_marks(r: random.Random) -> Drawn:
    cards = _cards(r, 20)
    rows = [["#", "Player", "Team", "Parallels"]]
    rows += [[c.number, c.subject + r.choice(["", " RC"]), c.team, _joined(c)] for c in cards]
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards)


@_shape
def _web_page(r: random.Random) -> Drawn:
    cards = _cards(r, 25, parallels=False)
    lines = [f"{cards[0].set} Checklist", "25 cards", ""]
    lines += [f"{c.number} {c.subject} - {c.team}{r.choice(['', ' RC'])}" for c in cards]
    return Drawn("", "web.txt", "\n".join(lines).encode(), cards)


@_shape
def _web_sections(r: random.Random) -> Drawn:
    cards = _cards(r, 25, parallels=False)
    lines, found = [cards[0].set, "", "Base Set"], []
    for at, c in enumerate(cards):
        if at == 18:
            lines += ["", "Harbor Nights Insert Set"]
        number = f"HN-{at - 17}" if at >= 18 else c.number
        lines.append(f"{number} {c.subject}, {c.team}")
        series = "Harbor Nights Insert Set" if at >= 18 else ""
        found.append(Card(c.set, number, c.subject, c.team, (), series))
    return Drawn("", "web.txt", "\n".join(lines).encode(), found)


@_shape
def _quoted_breaks(r: random.Random) -> Drawn:
    cards = _cards(r, 15)
    rows = [["Card\nNumber", "Player", "Team", "Parallels"]]
    rows += [[c.number, c.subject, c.team.replace(" ", "\n"), _joined(c, "\n")] for c in cards]
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards)


@_shape
def _prices(r: random.Random) -> Drawn:
    cards = _cards(r, 15)
    rows = [["Nr.", "Spieler", "Verein", "Parallelen", "Preis €"]]
    rows += [
        [c.number, c.subject, c.team, _joined(c, ", "), f"{at},50"] for at, c in enumerate(cards)
    ]
    extra = {(c.number, "price"): f"{at},50" for at, c in enumerate(cards)}
    return Drawn("", f"{cards[0].set}.csv", _csv(rows, ";"), cards, extra)


@_shape
def _first_and_last(r: random.Random) -> Drawn:
    cards = _cards(r, 15)
    rows = [["Card", "First Name", "Last Name", "Team", "Parallels"]]
    rows += [[c.number, *c.subject.split(" ", 1), c.team, _joined(c)] for c in cards]
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards)


@_shape
def _japanese(r: random.Random) -> Drawn:
    names = ["雲田 磯郎", "波木 灯子", "山瀬 汐", "海野 帆太", "岸本 凪"]
    cards = [
        Card("1991 Harbor Light", str(n), name, "港ガルズ", (("ゴールド", 50),))
        for n, name in enumerate(names, 1)
    ]
    rows = [["年", "セット", "番号", "選手名", "チーム", "パラレル", "ローマ字"]]
    rows += [
        ["1991", "Harbor Light", c.number, c.subject, c.team, _joined(c), "Kumoda Isoro"]
        for c in cards
    ]
    return Drawn("", "japan.csv", _csv(rows, ",", "utf-8-sig"), cards)


@_shape
def _languages(r: random.Random) -> Drawn:
    heads = r.choice(
        [
            ["Ensemble", "Numéro", "Joueur", "Équipe", "Parallèles"],
            ["Colección", "Número", "Jugador", "Equipo", "Paralelas"],
            ["Collezione", "Numero", "Giocatore", "Squadra", "Varianti"],
            ["Collectie", "Kaartnummer", "Speler", "Ploeg", "Parallellen"],
            ["Serie", "Karten-Nr.", "Spielername", "Mannschaft", "Ausführung"],
        ]
    )
    cards = _cards(r, 15)
    rows = [heads, *([c.set, c.number, c.subject, c.team, _joined(c)] for c in cards)]
    encoding = "cp1252" if all("Ł" not in c.subject for c in cards) else "utf-8"
    return Drawn("", "languages.csv", _csv(rows, ";", encoding), cards)


@_shape
def _prices_per_parallel(r: random.Random) -> Drawn:
    cards = _cards(r, 12)
    rows, extra = [["#", "Player", "Parallel", "Run", "Price"]], {}
    for c in cards:
        rows.append([c.number, c.subject, "", "", "0.25"])
        extra[c.number, "price"] = "0.25"
        for p, n in c.parallels:
            rows.append([c.number, c.subject, p, str(n or ""), f"{len(p)}.00"])
            extra[c.number, f"price {p}".lower()] = f"{len(p)}.00"
    cards = [Card(c.set, c.number, c.subject, "", c.parallels) for c in cards]
    return Drawn("", f"{cards[0].set}.csv", _csv(rows), cards, extra)


@_shape
def _no_header(r: random.Random) -> Drawn:
    cards = _cards(r, 15, parallels=False)
    rows = [[c.number, c.subject, c.team] for c in cards]
    return Drawn("", f"{cards[0].set}.csv", _csv(rows, r.choice(",;\t")), cards)


def drawn(count: int, seed: int = 1) -> Iterator[Drawn]:
    """So many files, the shapes in turn."""
    names = list(SHAPES)
    for at in range(count):
        shape = names[at % len(names)]
        found = SHAPES[shape](random.Random(f"{seed} {at} {shape}"))
        found.shape = shape
        yield found

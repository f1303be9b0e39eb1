"""The first lot, typed lists: printouts, pages of the web, posts."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

from support.clubs.world import File, World, of_money
from support.clubs.writers import text
from support.traders.kit import last_first, typed
from support.traders.stock import FIRST


@FIRST
def printed_with_running_heads(w: World) -> File:
    cards = w.cards(30, w.set())
    lines = [f"{cards[0].set} - Complete Checklist", ""]
    for at, c in enumerate(cards):
        if at and at % 10 == 0:
            lines += ["", f"04/03/2021          {at // 10}/3", "\f",
                      f"{cards[0].set} - Complete Checklist", ""]  # fmt: skip
        lines.append(f"{c.number:>4}  {c.name:<28}{c.team}")
    return File("print.txt", text([*lines, "", "04/03/2021          3/3"]), cards)


@FIRST
def rows_spanned_by_team(w: World) -> File:
    s, teams = w.set(), w.teams(4)
    cards = [replace(c, team=teams[at // 4]) for at, c in enumerate(w.cards(16, s))]
    rows = ""
    for at, c in enumerate(cards):
        team = f'<td rowspan="4">{c.team}</td>' if at % 4 == 0 else ""
        rows += f"<tr>{team}<td>{c.number}</td><td>{c.name}</td></tr>\n"
    page = (
        f"<h2>{s}</h2>\n<table>\n<tr><th>Team</th><th>No.</th><th>Player</th></tr>\n{rows}</table>"
    )
    return File("page.html.txt", page.encode(), cards)


@FIRST
def team_then_its_cards(w: World) -> File:
    s, teams = w.set(), w.teams(5)
    cards = [replace(c, team=teams[(int(c.number) - 1) // 3]) for c in w.cards(15, s, ascii=True)]
    lines = [s, ""]
    for team, some in groupby(cards, key=lambda c: c.team):
        lines.append(f"{team}: " + ", ".join(f"{c.number} {c.name}" for c in some))
    return File("teams.txt", text(lines), cards)


@FIRST
def team_below_the_name(w: World) -> File:
    cards = w.cards(14, w.set())
    lines = [cards[0].set, ""]
    for c in cards:
        lines += [f"{c.number}. {c.name}", f"    {c.team}"]
    return File("two.txt", text(lines), cards)


@FIRST
def outline_by_team(w: World) -> File:
    s, teams = w.set(), w.teams(4)
    cards = [replace(c, team=teams[(int(c.number) - 1) // 4]) for c in w.cards(16, s)]
    lines = [f"# {s} by team", ""]
    for team, some in groupby(cards, key=lambda c: c.team):
        lines += [f"- {team}", *(f"  - {c.number} {c.name}" for c in some)]
    return File("teams.md.txt", text(lines), cards)


@FIRST
def facts_as_yaml(w: World) -> File:
    cards = w.cards(10, w.set())
    lines = [f"set: {cards[0].set}", "cards:"]
    for c in cards:
        lines += [f"  - number: {c.number}", f"    player: {c.name}", f"    team: {c.team}"]
    return File("set.yaml.txt", text(lines), cards)


@FIRST
def elements_of_xml(w: World) -> File:
    cards = w.cards(10, w.set(), ascii=True)
    lines = ['<?xml version="1.0"?>', f'<set name="{cards[0].set}">']
    lines += [f'  <card number="{c.number}" player="{c.name}" team="{c.team}"/>' for c in cards]
    return File("set.xml.txt", text([*lines, "</set>"]), cards)


@FIRST
def rows_of_tex(w: World) -> File:
    cards = w.cards(12, w.set())
    return typed(
        "set.tex.txt",
        cards,
        lambda c: rf"{c.number} & {c.name} & {c.team} \\",
        [rf"\section{{{cards[0].set}}}", r"\begin{tabular}{rll}", r"No. & Player & Team \\ \hline"],
        [r"\end{tabular}"],
    )


@FIRST
def series_restart(w: World) -> File:
    s = w.set()
    one, two = w.cards(10, s, subset="Series I"), w.cards(10, s, subset="Series II")
    lines = [s, "", "Series I", *(f"{c.number} {c.name} ({c.team})" for c in one)]
    lines += ["", "Series II", *(f"{c.number} {c.name} ({c.team})" for c in two)]
    return File("series.txt", text(lines), one + two)


@FIRST
def index_of_names(w: World) -> File:
    cards = w.cards(14, w.set(), team=False, ascii=True)
    by_name = sorted(cards, key=lambda c: last_first(c.name))
    return typed(
        "index.txt",
        [replace(c, name=last_first(c.name)) for c in by_name],
        lambda c: f"{c.name} ... {c.number}",
        [f"{cards[0].set} - Index of players", ""],
        also=[by_name],
    )


@FIRST
def run_and_team_behind(w: World) -> File:
    cards = [replace(c, pars=(("/99", 99),)) for c in w.cards(12, w.set(), fmt="AU-{}")]
    return typed(
        "autos.txt",
        cards,
        lambda c: f"{c.number} {c.name} ({c.team}) - /99",
        [f"{cards[0].set}", ""],
    )


@FIRST
def parallels_at_the_end(w: World) -> File:
    one, two = w.cols(2)
    cards = [replace(c, pars=((one, 50), (two, 25))) for c in w.cards(12, w.set())]
    return typed(
        "with parallels.txt",
        cards,
        lambda c: f"{c.number} {c.name} - {c.team}",
        [cards[0].set, ""],
        ["", f"PARALLELS: {one} (50 copies), {two} (numbered to 25)"],
    )


@FIRST
def signs_of_circles(w: World) -> File:
    cards = w.cards(10, w.set())
    return typed(
        "circles.txt",
        cards,
        lambda c: f"{chr(0x245F + int(c.number))} {c.name} ({c.team})",
        [cards[0].set],
    )


@FIRST
def prose_before_and_behind(w: World) -> File:
    cards = w.cards(15, w.set())
    return typed(
        "letter.txt",
        cards,
        lambda c: f"{c.number}) {c.name}, {c.team}",
        ["Dear Odo,", "", "here is the list that you asked for at the show in Harrowgate.",
         f"The set is {cards[0].set}; I have doubles of most.", ""],
        ["", "Tell me which ones you need and I put them aside.", "", "Yours, Elke", "Tel. 555"],
    )  # fmt: skip


@FIRST
def columns_beside_in_print(w: World) -> File:
    cards = w.cards(24, w.set(), team=False, ascii=True)
    lines = [cards[0].set, ""]
    for at in range(8):
        lines.append("".join(f"{c.number:>3} {c.name:<25}" for c in cards[at::8]).rstrip())
    return File("newspaper.txt", text(lines), cards)


@FIRST
def prices_of_two_states(w: World) -> File:
    cards = w.cards(14, w.set(), team=False)
    return typed(
        "guide.txt",
        cards,
        lambda c: f"{c.number:>4} {c.name:<30}{of_money(w.price()):>8}{of_money(w.price()):>8}",
        [f"{cards[0].set}", f"{'':<35}{'EX':>8}{'NM':>8}"],
        loose={"price": 1},
    )


@FIRST
def spanish_inserts_below(w: World) -> File:
    s = w.set()
    base, more = w.cards(14, s), w.cards(6, s, fmt="E{}", subset="Estrellas del Puerto")
    lines = [f"Lista de cromos: {s}", "", *(f"{c.number}. {c.name} ({c.team})" for c in base)]
    lines += [
        "",
        "Insertos: Estrellas del Puerto",
        *(f"{c.number}. {c.name} ({c.team})" for c in more),
    ]
    return File("lista.txt", text(lines, enc="cp1252"), base + more)

"""The sixth lot: what hands that nobody had seen put into their sheets and typed lists."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, World
from support.clubs.writers import text
from support.traders.kit import Lot, tabled, typed

SIXTH = Lot()


@SIXTH
def counts_of_members_below(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["No", "Player", "Team", "Odo", "Elke"],
        lambda c: [c.number, c.name, c.team, w.r.choice(["", "x"]), w.r.choice(["", "xx"])],
        below=[["", "missing", "", 5, 7]],
    )


@SIXTH
def remarks_below_the_heads(w: World) -> File:
    plain, numbered = w.cols(2)
    pars = ((plain, None), (numbered, 75))
    cards = w.cards(12, w.set(), pars=pars)
    remark = replace(cards[0], number="", name="", team="")
    return tabled(
        "rainbow.xlsx",
        [remark, *cards],
        ["#", "Player", "Team", plain, numbered],
        lambda c: (
            [int(c.number), c.name, c.team, "x", 75] if c.number else ["", "", "", "unnumbered", ""]
        ),
        meant=cards,
        above=[[cards[0].set], []],
        write={"sheet": "Rainbow"},
    )


@SIXTH
def numbers_in_a_column_of_each_year(w: World) -> File:
    line = w.set(y=False)
    one, two = w.cards(10, f"1961 {line}"), w.cards(10, f"1962 {line}")
    again = [replace(c, set=two[0].set, number=str(20 - at)) for at, c in enumerate(one)]
    return tabled(
        "who when.csv",
        list(zip(one, again, strict=True)),  # type: ignore[arg-type]
        ["Player", "Team", "1961", "1962"],
        lambda pair: [pair[0].name, pair[0].team, pair[0].number, pair[1].number],  # type: ignore[index]
        above=[[line, "", "", ""]],
        meant=one + again,
    )


@SIXTH
def teams_behind_names_as_in_print(w: World) -> File:
    cards = w.cards(34, w.set(), ascii=True)
    return typed(
        "print.txt",
        cards,
        lambda c: f"{c.number} {c.name} {c.team}",
        [f"{cards[0].set} Checklist", "Page 1 of 1", "Card Player Team"],
        ["All of this is right at the time of writing."],
    )


@SIXTH
def tabs_until_it_looks_right(w: World) -> File:
    cards = w.cards(16, w.set())
    return typed(
        "tabs.txt",
        cards,
        lambda c: (
            f"{c.number}\t{c.name}\t\t{c.team}"
            if int(c.number) % 2
            else f"{c.number}\t\t{c.name}\t{c.team}"
        ),
        [cards[0].set],
    )


@SIXTH
def numbers_alone_after_each_set(w: World) -> File:
    one, two = w.set(1987), w.set(1988)
    wanted = {one: ["3", "7", "12", "13", "14"], two: ["1", "2", "9"]}
    cards = [
        replace(w.cards(1, name, team=False)[0], number=number, name="")
        for name, numbers in wanted.items()
        for number in numbers
    ]
    lines = ["WANT LIST (EX please)", "", f"{one}: 3, 7, 12-14", f"{two}: 1, 2 & 9"]
    return File("wants.txt", text(lines), cards)


@SIXTH
def a_heading_for_each_team(w: World) -> File:
    teams = w.teams(4)
    cards = [replace(c, team=teams[int(c.number) % 4]) for c in w.cards(16, w.set())]
    lines = [cards[0].set, ""]
    for team in teams:
        lines += [team, *(f"{c.number} {c.name}" for c in cards if c.team == team), ""]
    return File("teams.txt", text(lines), cards)

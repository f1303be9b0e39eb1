"""The second lot, typed lists: newsletters, groups of the web, letters of collectors."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, Row, World, with_each
from support.clubs.writers import text
from support.traders.counter import SECOND
from support.traders.kit import typed


@SECOND
def ranges_said_in_sections(w: World) -> File:
    s = w.set()
    base = w.cards(15, s)
    more = w.cards(5, s, start=16, subset="Rookies")
    lines = [f"{s} Base Set Checklist – 20 cards", "", "Commons (1–15)"]
    lines += [f"{c.number} {c.name}, {c.team}" for c in base]
    lines += ["", "Rookies (16–20)", *(f"{c.number} {c.name}, {c.team}" for c in more)]
    return File("sections.txt", text(lines), base + more)


@SECOND
def name_team_number(w: World) -> File:
    cards = w.cards(15, w.set())
    return typed(
        "order.txt", cards, lambda c: f"{c.name} – {c.team} – {c.number}", [cards[0].set, ""]
    )


@SECOND
def number_in_square_brackets(w: World) -> File:
    cards = sorted(w.cards(16, w.set(), ascii=True, team=False), key=lambda c: c.name)
    lines, letter = [f"{cards[0].set}: all players", ""], ""
    for c in cards:
        if c.name[0] != letter:
            letter = c.name[0]
            lines.append(letter)
        lines.append(f"{c.name} [{c.number}]")
    return File("letters.txt", text(lines), cards)


@SECOND
def same_list_as_another_set(w: World) -> File:
    one = w.cards(12, w.set(1998))
    two = with_each(one, set=f"{one[0].set} Chrome")
    lines = [one[0].set, *(f"{c.number}. {c.name} - {c.team}" for c in one)]
    lines += ["", two[0].set, *(f"{c.number}. {c.name} - {c.team}" for c in two)]
    return File("both.txt", text(lines), one + two)


@SECOND
def japanese_brackets(w: World) -> File:
    cards = w.cards(12, w.set())
    return typed(
        "jp.txt", cards, lambda c: f"No.{c.number} {c.name}（{c.team}）", [f"{cards[0].set} リスト"]
    )


def _rookie(card: Row) -> str:
    return "" if int(card.number) % 5 else " – Rookie"


@SECOND
def german_lines(w: World) -> File:
    cards = w.cards(14, w.set())
    return typed(
        "nr.txt",
        cards,
        lambda c: f"Nr. {c.number}: {c.name} ({c.team}){_rookie(c)}",
        [f"Kartenliste {cards[0].set}", "Stand: März 2020", ""],
        write={"enc": "cp1252"},
    )  # fmt: skip


@SECOND
def variations_by_letters(w: World) -> File:
    cards = []
    for c in w.cards(12, w.set()):
        marks = "ab" if int(c.number) % 4 == 0 else [""]
        cards += [replace(c, number=f"{c.number}{mark}") for mark in marks]
    return typed("var.txt", cards, lambda c: f"{c.number} {c.name} ({c.team})", [cards[0].set])


@SECOND
def padded_with_total(w: World) -> File:
    cards = w.cards(20, w.set(), fmt="{:03}")
    return typed(
        "padded.txt", cards, lambda c: f"{c.number}  {c.name.upper()}  ({c.team.upper()})",
        [cards[0].set.upper(), "=" * 30], ["=" * 30, "TOTAL: 20 CARDS"],
        meant=[replace(c, set=c.set.upper(), name=c.name.upper(), team=c.team.upper())
               for c in cards],
    )  # fmt: skip


@SECOND
def parallels_behind_each(w: World) -> File:
    one, two = w.cols(2)
    cards = [replace(c, pars=((one, 50), (two, 10))) for c in w.cards(12, w.set())]
    return typed(
        "each.txt",
        cards,
        lambda c: f"{c.number} {c.name}, {c.team} ({one} /50, {two} /10)",
        [cards[0].set, ""],
    )


@SECOND
def short_prints_in_front(w: World) -> File:
    cards = w.cards(16, w.set())
    return typed(
        "sp.txt",
        cards,
        lambda c: ("SP " if int(c.number) % 4 == 0 else "") + f"{c.number} {c.name}, {c.team}",
        [cards[0].set, ""],
    )


@SECOND
def headings_of_a_wiki(w: World) -> File:
    one, two = w.cards(10, w.set(1987)), w.cards(10, w.set(1989))
    lines = []
    for some in (one, two):
        lines += [f"== {some[0].set} ==", *(f"# {c.name} ({c.team})" for c in some), ""]
    return File("wiki page.txt", text(lines), one + two, must_tell=True, loose={"rows": 1})


@SECOND
def slashes_and_positions(w: World) -> File:
    cards = w.cards(14, w.set(), fmt="{:03}")
    return typed(
        "pos.txt",
        cards,
        lambda c: f"{c.number}: {c.name} / {c.team} / {w.r.choice(['P', 'C', 'OF'])}",
        [cards[0].set],
    )


@SECOND
def pairs_on_a_line_without_gap(w: World) -> File:
    cards = w.cards(16, w.set(), team=False, ascii=True)
    lines = [cards[0].set, ""]
    lines += [f"{a.number} {a.name} {b.number} {b.name}"
              for a, b in zip(cards[:8], cards[8:], strict=True)]  # fmt: skip
    return File("pairs.txt", text(lines), cards)


@SECOND
def labels_in_front_of_all(w: World) -> File:
    cards = w.cards(10, w.set())
    return typed(
        "labels.txt",
        cards,
        lambda c: f"Card: {c.number}; Player: {c.name}; Team: {c.team}",
        [f"Set: {cards[0].set}"],
    )

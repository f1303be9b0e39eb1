"""The fifth lot: posts, mails, pages and bulletins as they are copied, typed by other hands."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, World
from support.clubs.writers import text
from support.traders.kit import Lot, last_first, typed

FIFTH = Lot()


@FIFTH
def printed_pages(w: World) -> File:
    cards = w.cards(18, w.set())
    lines = []
    for page in (0, 1):
        lines += [f"{cards[0].set} Checklist", f"Page {page + 1} of 2", "Card Player Team"]
        lines += [f"{c.number} {c.name} {c.team}" for c in cards[page * 9 : page * 9 + 9]]
        lines.append("All information is accurate at the time of posting.")
    return File("pages.txt", text(lines), cards)


@FIFTH
def parallels_by_section(w: World) -> File:
    s, (one, two) = w.set(), w.cols(2)
    base = [replace(c, pars=((one, 50), (two, 10))) for c in w.cards(10, s)]
    more = w.cards(5, s, fmt="PH-{}", subset="Pharaohs")
    lines = [s, "", "Base", f"Parallels: {one} /50, {two} /10"]
    lines += [f"{c.number} {c.name} - {c.team}" for c in base]
    lines += ["", "Pharaohs", "No parallels.", *(f"{c.number} {c.name} - {c.team}" for c in more)]
    return File("sections.txt", text(lines), base + more)


@FIFTH
def ranges_before_headings(w: World) -> File:
    s = w.set()
    base = w.cards(12, s, team=False)
    more = w.cards(4, s, start=13, team=False, subset="Rookies")
    lines = [s, "", "1-12 Base", *(f"{c.number} {c.name}" for c in base)]
    lines += ["", "13-16 Rookies", *(f"{c.number} {c.name}" for c in more)]
    return File("ranges.txt", text(lines), base + more)


@FIFTH
def teams_as_sentences(w: World) -> File:
    cards = w.cards(12, w.set(), team=False)
    parts = [
        ", ".join(f"{c.number} {c.name}" for c in cards[at : at + 4]) for at in range(0, 12, 4)
    ]
    return File("paragraph.txt", text([cards[0].set, "", f"{', '.join(parts)}."]), cards)


@FIFTH
def index_by_surname(w: World) -> File:
    cards = sorted(w.cards(12, w.set(), ascii=True), key=lambda c: last_first(c.name))
    meant = [replace(c, name=last_first(c.name)) for c in cards]
    return typed(
        "index.txt", meant, lambda c: f"{c.name} ({c.number}) {c.team}", [cards[0].set, ""]
    )


@FIFTH
def stars_before_numbers(w: World) -> File:
    cards = w.cards(14, w.set(), team=False)
    return typed(
        "stars.txt",
        cards,
        lambda c: ("*" if int(c.number) % 5 == 0 else "") + f"{c.number} {c.name}",
        [cards[0].set, "(* = short print, ** = error exists)", ""],
    )


@FIFTH
def a_box_around_each_set(w: World) -> File:
    sets = [w.cards(6, w.set(year), team=False) for year in (1998, 1999)]
    lines = []
    for cards in sets:
        lines += ["*" * 30, f"*  {cards[0].set}  *", "*" * 30]
        lines += [f"{c.number} {c.name}" for c in cards]
    return File("boxes.txt", text(lines), [c for cards in sets for c in cards])


@FIFTH
def post_with_greeting(w: World) -> File:
    cards = w.cards(12, w.set())
    return typed(
        "post.txt",
        cards,
        lambda c: f"{c.number}. {c.name} - {c.team} (qty 2)",
        ["Hey all,", "", "here is the list you asked for:", "", f"--- {cards[0].set} ---"],
        ["", "PM me.", "Thanks!", "cardnut77"],
    )

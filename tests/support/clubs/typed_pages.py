"""Lists as people type them, post them and paste them from pages."""

from __future__ import annotations

import json
from dataclasses import replace

from support.clubs.world import File, World, shape, with_each
from support.clubs.writers import text


@shape
def json_lines(w: World) -> File:

    s = w.set()
    c = w.cards(20, s)
    return File(
        "dump.txt",
        "\n".join(
            json.dumps(
                {"set": s, "number": r.number, "player": r.name, "team": r.team}, ensure_ascii=False
            )
            for r in c
        ).encode(),
        c,
    )


@shape
def sp_markers_number(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "star.txt",
        text(
            [s]
            + [f"{r.number}{'*' if int(r.number) % 6 == 0 else ''} {r.name} - {r.team}" for r in c]
            + ["", "* short prints"]
        ),
        c,
    )


@shape
def comma_numbers_line(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "cn.txt", text([s, "No, Player, Team"] + [f"{r.number}, {r.name}, {r.team}" for r in c]), c
    )


@shape
def tab_pasted_with_links(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "paste.txt",
        text([s, "Card\tPlayer\tTeam\t"] + [f"{r.number}\t{r.name}\t{r.team}\tBuy now" for r in c]),
        c,
    )


@shape
def numbered_list_then_hash(w: World) -> File:
    s = w.set()
    c = w.cards(12, s, start=101)
    return File(
        "nl.txt",
        text([s] + [f"{i}. #{r.number} {r.name} ({r.team})" for i, r in enumerate(c, 1)]),
        c,
    )


@shape
def italian_sections(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(5, s, start=11, subset="Allenatori")
    return File(
        "ita.txt",
        text(
            [s, "", "Figurine"]
            + [f"{r.number}. {r.name} ({r.team})" for r in a]
            + ["", "Allenatori"]
            + [f"{r.number}. {r.name} ({r.team})" for r in b]
        ),
        a + b,
        also=[with_each(a, subset="Figurine") + b],
    )


@shape
def wrapped_names(w: World) -> File:
    "long names wrapped on a second line with deep indent"
    s = w.set()
    c = w.cards(10, s)
    L = [s]
    for r in c:
        L += [f"{r.number} {r.name},", f"      {r.team}"]
    return File("wrap.txt", text(L), c)


@shape
def emoji_post(w: World) -> File:
    s = w.set()
    c = w.cards(18, s)
    return File(
        "p.txt",
        text(
            [f"🔥 {s} 🔥", "Looking for these, PM me!", ""]
            + [f"✅ {r.number} - {r.name} ({r.team})" for r in c]
            + ["", "Thanks everyone"]
        ),
        c,
    )


@shape
def for_trade_sections(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(10, s, start=11)

    def f(r):
        return f"{r.number} {r.name}, {r.team}"

    return File(
        "ft.txt",
        text([s, "For trade:", *list(map(f, a)), "", "Wants:", *list(map(f, b))]),
        a + b,
    )


@shape
def reddit_table(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "rd.txt",
        text(
            [f"**{s}**", "", "Number|Player|Team", ":--|:--|:--"]
            + [f"{r.number}|{r.name}|{r.team}" for r in c]
        ),
        c,
    )


@shape
def parallels_and_lines(w: World) -> File:
    s = w.set()
    x, y, z = w.cols(3)
    c = w.cards(15, s, pars=((x, 299), (y, 50), (z, None)))
    return File(
        "pa.txt",
        text(
            [f"{s} Checklist", "15 cards.", f"PARALLELS - {x} (#/299), {y} (#/50), {z}", ""]
            + [f"{r.number} {r.name}, {r.team}" for r in c]
        ),
        c,
    )


@shape
def number_letter_suffix_text(w: World) -> File:
    s = w.set()
    c = []
    for r in w.cards(15, s):
        c.append(r)
        if int(r.number) % 5 == 0:
            c.append(replace(r, number=r.number + "b"))
    return File("sf.txt", text([s] + [f"{r.number} {r.name} ({r.team})" for r in c]), c)


@shape
def spanish_text(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "es.txt",
        text(
            [f"Colección {s}", "Lista de cromos", ""]
            + [f"{r.number}. {r.name} ({r.team})" for r in c]
        ),
        c,
        also=[with_each(c, set="Colección " + s)],
    )


@shape
def german_text_heading(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(5, s, start=11, subset="Trainer")
    return File(
        "de.txt",
        text(
            [s, "", "Basiskarten"]
            + [f"{r.number} {r.name} ({r.team})" for r in a]
            + ["", "Trainer"]
            + [f"{r.number} {r.name} ({r.team})" for r in b]
        ),
        a + b,
        also=[with_each(a, subset="Basiskarten") + b],
    )


@shape
def tabs_with_spaces(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "ts.txt",
        text(
            ["Set \t No \t Player \t Team "]
            + [f" {s} \t {r.number} \t {r.name} \t {r.team} " for r in c]
        ),
        c,
    )


@shape
def pipe_no_spaces_trailing(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "pp.txt",
        text(["SET|NUMBER|NAME|TEAM|"] + [f"{s}|{r.number}|{r.name}|{r.team}|" for r in c]),
        c,
    )


@shape
def caret(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "ca.txt",
        text(["Set^Number^Name^Team"] + [f"{s}^{r.number}^{r.name}^{r.team}" for r in c]),
        c,
    )


@shape
def vertical_blocks(w: World) -> File:
    s = w.set()
    c = w.cards(10, s)
    L = []
    for r in c:
        L += [f"Set: {s}", f"Card Number: {r.number}", f"Player: {r.name}", f"Team: {r.team}", ""]
    return File("vb.txt", text(L), c)


@shape
def long_dash_set_prefix(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File("ls.txt", text([f"{s} - #{r.number} - {r.name} - {r.team}" for r in c]), c)


@shape
def set_each_line_text(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File("se.txt", text([f"{s} #{r.number} {r.name}" for r in c]), with_each(c, team=""))


@shape
def name_then_number_tab(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File("nt.txt", text([s] + [f"{r.name}\t{r.team}\t{r.number}" for r in c]), c)

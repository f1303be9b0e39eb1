"""Lists as people type them, post them and paste them from pages."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, World, shape, with_each
from support.clubs.writers import table, text


@shape
def utf16_tab(w: World) -> File:
    s = w.set(y=False)
    c = w.cards(25, f"1994 {s}")
    return File(
        "export_all.txt",
        table(
            [["Year", "Brand", "Set", "Card #", "Description", "Team", "Notes"]]
            + [["1994", "Norland", s, r.number, r.name, r.team, ""] for r in c],
            "\t",
            "utf-16",
        ),
        c,
        also=[with_each(c, set=f"1994 Norland {s}")],
    )


@shape
def markdown_table(w: World) -> File:
    s = w.set()
    c = w.cards(18, s)
    L = [f"## {s}", "", "| # | Player | Team |", "|---|:------|-----:|"] + [
        f"| {r.number} | {r.name} | {r.team} |" for r in c
    ]
    return File("readme.txt", text(L), c)


@shape
def plain_dash_rc(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(
        "plain.txt",
        text(
            [s, ""]
            + [
                f"{r.number} {r.name} - {r.team}" + (" (RC)" if w.r.random() < 0.2 else "")
                for r in c
            ]
        ),
        c,
    )


@shape
def plain_hash_dot(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(
        "plain2.txt",
        text([s + " Checklist", "=" * 30] + [f"#{r.number}. {r.name}, {r.team}" for r in c]),
        c,
        also=[with_each(c, set=s + " Checklist")],
    )


@shape
def page_breaks(w: World) -> File:
    s = w.set()
    c = w.cards(36, s)
    L = []
    for p in range(3):
        L += (
            [f"{s}", "No.  Player (Team)", ""]
            + [f"{r.number}. {r.name} ({r.team})" for r in c[p * 12 : p * 12 + 12]]
            + ["", f"Page {p + 1} of 3", "\f"]
        )
    return File("paged.txt", text(L), c)


@shape
def bbcode(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "post.txt",
        text(
            [f"[b]{s}[/b]", "Posted by cardfan77 » Tue Mar 05, 2019 8:11 pm", "[list]"]
            + [f"[*]{r.number} {r.name} - {r.team}" for r in c]
            + ["[/list]", "", "Let me know if I missed anything!"]
        ),
        c,
    )


@shape
def insert_heading(w: World) -> File:
    s = w.set()
    a = w.cards(20, s)
    b = w.cards(8, s, fmt="NG-{}", subset="Night Games")
    return File(
        "inserts.txt",
        text(
            [s, "", "Base set"]
            + [f"{r.number} {r.name} - {r.team}" for r in a]
            + ["", "Insert: Night Games (1:12)"]
            + [f"{r.number} {r.name} - {r.team}" for r in b]
        ),
        a + b,
    )


@shape
def parallels_line(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = w.cards(20, s, pars=((x, 50), (y, 10)))
    return File(
        "pl.txt",
        text(
            [s, f"Parallels: {x} /50, {y} /10", ""] + [f"{r.number} {r.name} - {r.team}" for r in c]
        ),
        c,
    )


@shape
def parallels_bullets(w: World) -> File:
    s = w.set()
    x, y, z = w.cols(3)
    c = w.cards(20, s, pars=((x, 199), (y, 10), (z, 1)))
    return File(
        "pb.txt",
        text(
            [
                s,
                f"{len(c)} cards",
                "",
                "Parallels:",
                f"- {x} (#/199)",
                f"- {y} (#/10)",
                f"- {z} 1/1",
                "",
            ]
            + [f"{r.number} {r.name}, {r.team}" for r in c]
        ),
        c,
    )


@shape
def checkboxes_text(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(
        "boxes.txt",
        text(
            [s, ""] + [f"{w.r.choice(['☐', '☑', '☐'])} {r.number} {r.name} - {r.team}" for r in c]
        ),
        c,
    )


@shape
def brackets_boxes(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(
        "boxes2.txt",
        text([s, ""] + [f"{w.r.choice(['[ ]', '[x]'])} {r.number}. {r.name}, {r.team}" for r in c]),
        c,
    )


@shape
def name_hash_number(w: World) -> File:
    s = w.set()
    c = w.cards(25, s)
    return File("rev.txt", text([s] + [f"{r.name} #{r.number} ({r.team})" for r in c]), c)


@shape
def two_cols_text(w: World) -> File:
    s = w.set()
    c = w.cards(40, s, team=False)
    two = zip(c[:20], c[20:], strict=True)
    return File(
        "cols.txt",
        text([s, ""] + [f"{a.number}\t{a.name}\t\t{b.number}\t{b.name}" for a, b in two]),
        c,
    )


@shape
def fixed_width(w: World) -> File:
    s = w.set()
    c = w.cards(30, s, price=True)
    return File(
        "fixed.txt",
        text(
            [s, "", f"{'No.':<6}{'Player':<30}{'Team':<25}Price"]
            + [f"{r.number:<6}{r.name:<30}{r.team:<25}{r.price:6.2f}" for r in c]
        ),
        c,
    )


@shape
def dot_leaders(w: World) -> File:
    s = w.set()
    c = w.cards(25, s, team=False)
    return File(
        "dots.txt", text([s] + [f"{r.name} {'.' * (40 - len(r.name))} {r.number}" for r in c]), c
    )


@shape
def web_paste_nbsp(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "web.txt",
        text(
            ["Home > Sets > Checklists", s, "Share | Print | Edit", ""]
            + [f"{r.number}\u00a0{r.name}\u200b,\u00a0{r.team}" for r in c]
            + ["", "Back to top", "© 2019 Our Club. All rights reserved."]
        ),
        c,
    )


@shape
def wiki_table(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    L = ['{| class="wikitable sortable"', f"|+ {s}", "! No. !! Player !! Team"]
    for r in c:
        L += ["|-", f"| {r.number} || [[{r.name}]] || {r.team}"]
    return File("wiki.txt", text([*L, "|}"]), c)


@shape
def title_count(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(
        "cnt.txt", text([f"{s} (30 cards)", ""] + [f"{r.number} {r.name} ({r.team})" for r in c]), c
    )


@shape
def per_team(w: World) -> File:
    s = w.set()
    t = w.teams(4)
    c = []
    L = [s, ""]
    n = 1
    for x in t:
        L.append(x + ":")
        for r in w.cards(7, s, start=n):
            c.append(replace(r, team=x))
            L.append(f"{r.number} {r.name}")
        L.append("")
        n += 7
    return File("byteam.txt", text(L), c)

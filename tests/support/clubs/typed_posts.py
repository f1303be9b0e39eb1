"""Lists as people type them, post them and paste them from pages."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, World, of_money, shape, with_each
from support.clubs.writers import text


@shape
def run_in(w: World) -> File:
    s = w.set()
    c = w.cards(24, s, team=False)
    return File(
        "runin.txt",
        text(
            [s + ":"]
            + [
                ", ".join(f"{r.number} {r.name}" for r in c[k : k + 6]) + ("," if k < 18 else "")
                for k in range(0, 24, 6)
            ]
        ),
        c,
    )


@shape
def serial_behind_name(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    L = []
    for r in c:
        L.append(f"{r.number} {r.name}, {r.team}" + (" /99" if int(r.number) > 15 else ""))
    return File("serial.txt", text([s, *L]), [replace(r) for r in c], loose={"pars": 1})


@shape
def md_bullets(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "md.txt", text([f"# {s}", ""] + [f"- **{r.number}** {r.name} — {r.team}" for r in c]), c
    )


@shape
def base_sp_autos(w: World) -> File:
    s = w.set()
    a = w.cards(20, s)
    b = w.cards(5, s, start=21, subset="Short Prints")
    d = w.cards(5, s, subset="Autographs", fmt="A{}")
    return File(
        "full.txt",
        text(
            [f"{s} Checklist", "", "BASE SET (1-20)"]
            + [f"{r.number} {r.name} – {r.team}" for r in a]
            + ["", "SHORT PRINTS (21-25)"]
            + [f"{r.number} {r.name} – {r.team}" for r in b]
            + ["", "AUTOGRAPHS"]
            + [f"{r.number} {r.name} – {r.team}" for r in d]
        ),
        a + b + d,
        also=[with_each(a + b + d, set=s + " Checklist")],
    )


@shape
def mail_quoted(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "mail.txt",
        text(
            ["On Monday, Gus wrote:", f"> {s}", ">"]
            + [f"> {r.number}. {r.name}, {r.team}" for r in c]
            + [">", "> cheers, Gus"]
        ),
        c,
    )


@shape
def pdf_line_each(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    L = [s, "Number", "Player", "Team"]
    for r in c:
        L += [r.number, r.name, r.team]
    return File("pdf.txt", text(L), c)


@shape
def text_quantity(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "dupes.txt",
        text(
            [s, "DUPLICATES FOR TRADE", ""]
            + [f"{r.number} {r.name} - {r.team} (x{w.r.randint(2, 5)})" for r in c]
        ),
        c,
    )


@shape
def priced_text(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, price=True)
    return File(
        "pricelist.txt",
        text([s] + [f"{r.number} {r.name} ({r.team}) ${r.price:.2f}" for r in c]),
        c,
    )


@shape
def dual_ampersand_text(w: World) -> File:
    s = w.set()
    c = []
    for r in w.cards(20, s):
        if int(r.number) % 5 == 0:
            r = replace(r, name=f"{r.name} / {w.name()}")
        c.append(r)
    return File("dual.txt", text([s] + [f"{r.number} {r.name} - {r.team}" for r in c]), c)


@shape
def set_total_claim(w: World) -> File:
    s = w.set()
    c = w.cards(29, s)
    return File(
        "claim.txt",
        text([f"{s} (30 cards)"] + [f"{r.number} {r.name} - {r.team}" for r in c]),
        c,
        must_tell=True,
    )


@shape
def colon_text(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File("colon.txt", text([s, ""] + [f"{r.number}: {r.name} [{r.team}]" for r in c]), c)


@shape
def multi_set_text(w: World) -> File:
    s1, s2 = w.set(1981), w.set(1982)
    a = w.cards(12, s1)
    b = w.cards(12, s2)
    return File(
        "two.txt",
        text(
            [s1]
            + [f"{r.number} {r.name} - {r.team}" for r in a]
            + ["", s2]
            + [f"{r.number} {r.name} - {r.team}" for r in b]
        ),
        a + b,
    )


@shape
def two_level_text(w: World) -> File:
    s1, s2 = w.set(1990), w.set(1992)
    a = w.cards(8, s1)
    b = w.cards(5, s1, start=9, subset="Young Guns")
    c = w.cards(8, s2)
    d = w.cards(4, s2, start=9, subset="Young Guns")

    def f(r):
        return f"{r.number} {r.name} - {r.team}"

    return File(
        "all.txt",
        text(
            ["MY CHECKLISTS", "", s1.upper() if 0 else s1, "Base Set"]
            + [f(r) for r in a]
            + ["Young Guns"]
            + [f(r) for r in b]
            + ["", s2, "Base Set"]
            + [f(r) for r in c]
            + ["Young Guns"]
            + [f(r) for r in d]
        ),
        a + b + c + d,
    )


@shape
def trailing_x_have(w: World) -> File:
    s = w.set()
    c = w.cards(24, s)
    return File(
        "have.txt",
        text(
            [s]
            + [f"{r.number}. {r.name}, {r.team}" + (" ✓" if w.r.random() < 0.4 else "") for r in c]
        ),
        c,
    )


@shape
def paren_number_first(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "par.txt", text([f"*** {s} ***"] + [f"({r.number}) {r.name} / {r.team}" for r in c]), c
    )


@shape
def html_file(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    h = (
        f"<html><body><h1>{s}</h1><table><tr><th>No.</th><th>Player</th><th>Team</th></tr>"
        + "".join(
            f"<tr><td>{r.number}</td><td><a href='/p/{r.number}'>{r.name}</a></td>"
            f"<td>{r.team}</td></tr>\n"
            for r in c
        )
        + "</table><p>Page made by us</p></body></html>"
    )
    return File("page.txt", h.encode(), c)


@shape
def euro_de(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, price=True)
    return File(
        "de.txt",
        text(
            [s]
            + [
                f"{r.number}  {r.name} ({r.team})  {of_money(r.price).replace('.', ',')} €"
                for r in c
            ]
        ),
        c,
    )


@shape
def indent_text(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File("ind.txt", text([s] + [f"\t{r.number}\t{r.name}\t{r.team}" for r in c]), c)


@shape
def parallel_sections(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = w.cards(10, s, pars=((x, 50), (y, 10)))
    L = [s, "", "BASE"] + [f"{r.number} {r.name}, {r.team}" for r in c]
    for n, k in ((x, 50), (y, 10)):
        L += ["", f"{n.upper()} PARALLEL /{k}"] + [f"{r.number} {r.name}, {r.team}" for r in c]
    return File(
        "psec.txt",
        text(L),
        with_each(c),
        also=[with_each(c, pars=((x.upper(), 50), (y.upper(), 10)))],
    )


@shape
def old_encoding_umlaut(w: World) -> File:
    s = w.set()
    c = [replace(r, name=r.name.replace("e", "é", 1)) for r in w.cards(20, s, ascii=True)]
    return File("fr.txt", text([s] + [f"{r.number} - {r.name} ({r.team})" for r in c], "cp1252"), c)

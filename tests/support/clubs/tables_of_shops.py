"""Tables as programs export them and dealers keep them."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, Row, World, of_money, shape
from support.clubs.writers import table


@shape
def subset_shared(w: World) -> File:
    s = w.set()
    a = w.cards(15, s)
    b = w.cards(6, s, subset="Night Owls")
    d = w.cards(6, s, subset="Captains")
    return File(
        "subs.csv",
        table(
            [["Set", "Insert", "Number", "Player", "Team"]]
            + [[s, r.subset, r.number, r.name, r.team] for r in a + b + d]
        ),
        a + b + d,
    )


@shape
def letters_only_numbers(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, ascii=True)
    seen = set()
    out = []
    for r in c:
        k = "AU-" + "".join(p[0] for p in r.name.split())
        while k in seen:
            k += "X"
        seen.add(k)
        out.append(replace(r, number=k))
    return File(
        "autos.csv",
        table(
            [["Set", "Card No.", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in out]
        ),
        out,
    )


@shape
def nno(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    c = c[:-2] + [replace(r, number="NNO") for r in c[-2:]]
    return File(
        "nno.csv",
        table([["Set", "Card No.", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in c]),
        c,
        also=[[replace(r, number="" if r.number == "NNO" else r.number) for r in c]],
    )


@shape
def position_league(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(
        "pos.csv",
        table(
            [["Set", "Num", "Player", "Pos.", "Team", "League", "Rookie", "Height"]]
            + [
                [
                    s,
                    r.number,
                    r.name,
                    w.r.choice(["GK", "DF", "MF"]),
                    r.team,
                    "North",
                    w.r.choice(["Y", "N"]),
                    "6-2",
                ]
                for r in c
            ]
        ),
        c,
    )


@shape
def non_sport(w: World) -> File:
    s = w.set()
    ti = [
        "The Drowned Bell",
        "Night at Gannet Rock",
        "Rise of the Clockwork Hound",
        "Letters from the Moon",
        "The Salt King",
        "A Door in the Hill",
        "Tide of Iron",
        "The Last Ferry",
        "Lantern Field",
        "Beware the Heron",
    ]
    c = [Row(s, str(i + 1), t) for i, t in enumerate(ti)]
    return File(
        "monsters.csv",
        table([["Set", "Card", "Title", "Artist"]] + [[s, r.number, r.name, w.name()] for r in c]),
        c,
    )


@shape
def tcg(w: World) -> File:
    s = "Tides of Ember"
    ti = [
        f"{a} {b}"
        for a in ("Ember", "Frost", "Gale", "Stone", "Moss")
        for b in ("Wyrmling", "Sprite", "Golem", "Adept")
    ]
    c = [Row(s, f"{i + 1:03d}/020", t, "", ()) for i, t in enumerate(ti)]
    return File(
        "tcg.csv",
        table(
            [["Set", "Number", "Card Name", "Rarity", "Element"]]
            + [[s, r.number, r.name, w.r.choice("CUR"), w.r.choice(["Fire", "Ice"])] for r in c]
        ),
        c,
        also=[[replace(r, number=r.number[:3]) for r in c]],
    )


@shape
def fullwidth(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    z = str.maketrans("0123456789", "０１２３４５６７８９")
    return File(
        "fw.csv",
        table(
            [["セット", "№", "名前", "チーム"]]
            + [[s, r.number.translate(z), r.name, r.team] for r in c]
        ),
        c,
    )


@shape
def snake(w: World) -> File:
    s = w.set()
    x = w.cols(1)[0]
    c = [
        replace(r, pars=((x, 25),) if int(r.number) % 3 == 0 else ())
        for r in w.cards(24, s, price=True)
    ]
    return File(
        "api.csv",
        table(
            [
                [
                    "card_number",
                    "player_name",
                    "team_name",
                    "set_name",
                    "parallel_name",
                    "print_run",
                    "est_value_usd",
                ]
            ]
            + [
                [r.number, r.name, r.team, s, x if r.pars else "", 25 if r.pars else "", r.price]
                for r in c
            ]
        ),
        c,
    )


@shape
def camel(w: World) -> File:
    s = w.set()
    c = w.cards(24, s, price=True)
    return File(
        "api2.csv",
        table(
            [["setName", "cardNumber", "playerName", "teamName", "marketPrice"]]
            + [[s, r.number, r.name, r.team, r.price] for r in c]
        ),
        c,
    )


@shape
def chf_kr(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, price=True)
    return File(
        "chf.csv",
        table(
            [["Set", "Nr.", "Name", "Club", "Preis"]]
            + [[s, r.number, r.name, r.team, f"CHF {r.price:.2f}"] for r in c],
            ";",
        ),
        c,
    )


@shape
def notes_column(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "err.csv",
        table(
            [["Set", "#", "Player", "Team", "Notes"]]
            + [
                [s, r.number, r.name, r.team, "wrong back, see 14" if int(r.number) == 9 else ""]
                for r in c
            ]
        ),
        c,
    )


@shape
def french(w: World) -> File:
    s = w.set()
    c = w.cards(25, s, price=True)
    return File(
        "fr.csv",
        table(
            [["Collection", "Numéro de carte", "Nom du joueur", "Équipe", "Prix (€)"]]
            + [[s, r.number, r.name, r.team, of_money(r.price).replace(".", ",")] for r in c],
            ";",
            "utf-8-sig",
        ),
        c,
    )


@shape
def spanish(w: World) -> File:
    s = w.set()
    c = w.cards(25, s, price=True)
    return File(
        "es.csv",
        table(
            [["Colección", "N.º", "Jugador", "Equipo", "Precio"]]
            + [[s, r.number, r.name, r.team, f"{r.price:.2f} €"] for r in c],
            ";",
            "cp1252",
        ),
        c,
    )


@shape
def italian(w: World) -> File:
    s = w.set()
    c = w.cards(25, s, price=True)
    return File(
        "it.csv",
        table(
            [["Collezione", "N. figurina", "Giocatore", "Squadra", "Valore"]]
            + [
                [s, r.number, r.name, r.team, "€ " + of_money(r.price).replace(".", ",")] for r in c
            ],
            ";",
        ),
        c,
    )

"""Lists as people type them, post them and paste them from pages."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, World, shape
from support.clubs.writers import text


@shape
def autos_no_dash(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(6, s, fmt="FA-{:02d}", subset="Fresh Autographs")
    x = w.cols(1)[0]
    b = [replace(r, pars=((x, 25),)) for r in b]
    return File(
        "au.txt",
        text(
            [s, "", "Base"]
            + [f"{r.number} {r.name} - {r.team}" for r in a]
            + ["", "Fresh Autographs", f"Parallels: {x} /25"]
            + [f"{r.number} {r.name} - {r.team}" for r in b]
        ),
        a + b,
    )


@shape
def space_columns_no_title(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(f"{s}.txt", text([f"{r.number:>4}  {r.name:<28}{r.team}" for r in c]), c)

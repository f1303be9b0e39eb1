"""What the dealer edits, changed in its structure: settings, layouts, lists and tables."""

from __future__ import annotations

import gzip
import io
import json
import random
import re
import zipfile

from fuzz.kinds.kept import resealed
from fuzz.mutations import mutated, mutated_text, source
from fuzz.world import SITTING, World, command

from tagger.exchange.export_base import base_path

SETTINGS = re.sub(r" +# .*", "", '''\
[keys]
redo = ["ctrl+y"]
set_aside = ["f2", "ctrl+r"]
[conditions]
"Mint" = ["mt"]
"Near Mint" = ["nm"]
"Poor" = ["pr"]
[reasons]
d = "damaged"
"?" = "which parallel?"
[preview]
drawing = "quadrants"
colours = "256"
crop = true
margin = 2.0
look_alikes = true
[value]
"Near Mint" = 0.6
"Poor" = 0.1
bounds = [0.25, 1, 5, 20]
closer_look = "5.00"
''')  # fmt: skip

LAYOUT = """\
kind = ["set", "number", "subject", "parallel", "condition"]
format = "csv"
[only]
state = "tagged"
[[column]]
text = "{count}"
[[column]]
heading = "card"
text = "{subject}{ (team)}{ /print run}"
words = { "Near Mint" = "NM" }
[[column]]
heading = "price"
text = "{price}"
"""


def settings(world: World, case: int) -> list[list[str]]:
    """Mutated settings, read by a command that uses them."""
    world.settings.write_bytes(mutated_text(SETTINGS, source("settings", case)))
    return [["value"]]


def layouts(world: World, case: int) -> list[list[str]]:
    """A mutated layout, exported by."""
    chance = source("layouts", case)
    path = world.odd / "odd.toml"
    path.write_bytes(mutated_text(LAYOUT, chance))
    form = chance.choice(("csv", "json"))
    to = str(world.odd / f"new.{form}")
    return [["export", str(world.lot), "--to", to, "--layout", str(path)]]


def lists(world: World, case: int) -> list[list[str]]:
    """A mutated checklist, checked and matched."""
    path = world.odd / "odd.csv"
    path.write_bytes(mutated_text(world.listed.read_text(encoding="utf-8"), source("lists", case)))
    return [["checklist", str(path)], ["match", "7 gold", "--checklist", str(path)]]


def imports(world: World, case: int) -> list[list[str]]:
    """A mutated table, imported; sometimes what it was exported from is mutated, too."""
    path = world.home / "same.csv"
    if not path.exists():
        command(["export", str(world.lot), "--to", str(path)])
    chance, odd = source("imports", case), world.odd / "odd.csv"
    odd.write_bytes(mutated_text(path.read_text(encoding="utf-8"), chance))
    base = base_path(path).read_bytes()
    if chance.random() < 0.4:
        base = gzip.compress(mutated_text(gzip.decompress(base).decode(), chance), 1)
    elif chance.random() < 0.1:
        base = mutated(base, chance)
    base_path(odd).write_bytes(base)
    return [["import", str(world.lot), str(odd), "--yes"], ["status", str(world.lot)]]


ORDERS = """\
Sale;Item;Card no.;Title;Price;Buyer;Date
A-18;{part}-0001-{check};7 Marsh;1,50;Bo Lund;2026-05-03
A-18;;7 Marsh 12/99;2.00;Bo Lund;2026-05-03
A-19;;9 gold;"1,200.00";Ada;03.05.2026
A-17;;8 Lund;3;Cyr;2026-05-04
"""


def orders(world: World, case: int) -> list[list[str]]:
    """A mutated table of orders, and a list of what was counted."""
    chance, path = source("orders", case), world.odd / "orders.csv"
    path.write_bytes(mutated_text(ORDERS, chance))
    listed, counted = world.home / "counted.csv", world.odd / "counted.csv"
    if not listed.exists():
        command(["stock", "--to", str(listed)])
    counted.write_bytes(mutated_text(listed.read_text(encoding="utf-8"), chance))
    columns = mutated_text("order=Sale,stock=Item,price=Price,buyer=Buyer", chance)
    given = ["--columns", columns.decode(errors="replace").replace("\0", "")]
    return [["pick", "--orders", str(path), *(given if chance.random() < 0.3 else ())],
            ["sold", "--orders", str(path), "--yes", "--rest"],
            ["stock", "--counted", str(counted)], ["sales"]]  # fmt: skip


TRAY = """\
set,parallel,condition,place
1987 Harbor Light,Gold,Near Mint,"box 3, row 1"
1987 Harbor Light,,nm,box 4
1985 Mill Pond,Silver,Mint,
"""


def dividers(world: World, case: int) -> list[list[str]]:
    """A mutated table of dividers, and one in words; in the lot, the text of a code that says
    anything, with a right check, and what was seen of codes on the scans."""
    from tagger.store.machine.paths import measured_folder

    chance, path = source("dividers", case), world.odd / "tray.csv"
    path.write_bytes(mutated_text(TRAY, chance))
    words = mutated_text("set=1987 Harbor Light parallel=Gold at=box 3, row 2", chance)
    asked = words.decode(errors="replace").replace("\0", "") or "new box"
    to = ["--to", str(world.odd / "new.pdf")]
    lot = str(world.lot)
    if not world.machine:
        command(["audit", lot])
        world.remember()
    _say_else(world, chance)
    for kept in measured_folder().rglob("*.codes"):
        resealed(kept, chance)
    commands = [["dividers", "--from", str(path), *to], ["dividers", *to, "--", asked]]
    # a table and a lot in turn: to draw a page takes ten times as long as all else
    lot_commands = [["audit", lot], [SITTING, lot], ["status", lot]]
    return [commands[case % 2]] if case % 4 < 2 else lot_commands


def _say_else(world: World, chance: random.Random) -> None:
    """The code of the lot's divider says something else; whoever prints one can write any."""
    from tagger.core.dividers.divider import FRONT, _check
    from tagger.store.lot.journal import encode

    body = mutated_text("S1987 Harbor Light\nPGold\nCNear Mint\nLbox 3", chance)
    said = body.decode(errors="replace")
    text = f"TGR1{FRONT}{_check(FRONT, said)}\n{said}"
    lines = world.kept["lot.journal"].splitlines(keepends=True)
    for at, line in enumerate(lines):
        if b"TGR1" in line:
            record = json.dumps(json.loads(line)[1])
            record = re.sub(r'"TGR1[^"]*"', lambda found: json.dumps(text), record)
            lines[at] = encode(json.loads(record))
    (world.lot / "lot.journal").write_bytes(b"".join(lines))
    (world.lot / "lot.json").unlink()


def workbooks(world: World, case: int) -> list[list[str]]:
    """A workbook with a part mutated, imported and read as a checklist."""
    path = world.home / "same.xlsx"
    if not path.exists():
        command(["export", str(world.lot), "--to", str(path)])
    chance = source("workbooks", case)
    with zipfile.ZipFile(path) as packed:
        parts = {one.filename: packed.read(one) for one in packed.infolist()}
    name = chance.choice(sorted(parts))
    lines = parts[name].decode().replace("><", ">\n<")
    parts[name] = mutated_text(lines, chance)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for part, data in parts.items():
            packed.writestr(part, data)
    data = out.getvalue()
    (world.odd / "odd.xlsx").write_bytes(mutated(data, chance) if chance.random() < 0.2 else data)
    odd = str(world.odd / "odd.xlsx")
    return [["import", str(world.lot), odd, "--yes"], ["checklist", odd]]

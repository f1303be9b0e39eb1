"""A lot whose journal or lot.json is damaged, through every command that reads a lot: each tells
it, by its exit status and a sentence."""

from __future__ import annotations

import random
import re
import traceback
from collections.abc import Iterator, Sequence
from pathlib import Path

from fuzz.documents import CRASHED
from fuzz.mutations import mutated, source
from fuzz.world import SITTING, World, command

# they read no lot
NO_LOT = {
    "match", "demo", "measure", "checklist", "show", "preview-test", "completion", "help",
}  # fmt: skip
ORDERS = "Sale;Card no.;Price\nA-18;{number};1,50\n"


def drawn(world: World) -> list[list[str]]:
    """Those that draw pages, which takes twenty times as long as all else; a case has one."""
    folder, new = str(world.lot), str(world.odd / "new")
    return [
        ["sheet", folder, "--to", f"{new}.png"], ["labels", "--to", f"{new}-labels.pdf"],
        ["labels", "--boxes", "--to", f"{new}-boxes.pdf"],
        ["dividers", "new box", "--to", f"{new}-dividers.pdf"], ["pick", "--to", f"{new}.pdf"],
    ]  # fmt: skip


def readers(world: World) -> list[list[str]]:
    """Every command that reads a lot, in its forms, but for the screens."""
    folder, new = str(world.lot), str(world.odd / "new")
    orders, counted = str(world.home / "orders.csv"), str(world.home / "counted.csv")
    return [
        ["status", folder], ["status", folder, "--json"], ["export", folder, "--to", f"{new}.csv"],
        ["export", folder, "--to", f"{new}.json"], ["export", "--all-lots", "--to", f"{new}2.csv"],
        ["export", folder, "--images", f"{new} pictures"], ["find", "marsh"],
        ["find", "marsh", "--json"], ["sets"], ["sets", folder], ["value"], ["value", folder],
        ["lots"], ["lots", "--json"], ["page", folder, "--to", f"{new}.html"], ["audit", folder],
        ["read", folder, "--json"], ["stock"],
        ["stock", "--to", f"{new}-stock.csv"], ["stock", "--counted", counted], ["pick"],
        ["pick", "--to", f"{new}-pick.csv"], ["pick", "--orders", orders], ["sales"],
        ["sales", "--to", f"{new}-sales.csv"], ["repair", folder],
    ]  # fmt: skip


def changers(world: World) -> list[list[str]]:
    """Every command that changes a lot; the damage is made again behind each."""
    folder, orders = str(world.lot), str(world.home / "orders.csv")
    return [
        [SITTING, folder], ["fix", folder, "--findings"], ["fix", folder, "undo"],
        ["fix", folder, "3", "missing", "back"],
        ["sold", folder, "3"], ["sold", "--orders", orders, "--yes"], ["move", "box 3", "box 4"],
        ["cost", folder, "12.50"], ["pick", "--done"], ["hub", "publish"],
        ["import", folder, str(world.home / "same.csv"), "--yes"], ["repair", folder, "--apply"],
    ]  # fmt: skip


def damage(world: World, number: int) -> bool:
    """Damage the lot's files as the number says; whether that is told when the lot is looked at, or
    changed nothing."""
    chance = source("damaged", number)
    for name in ("lot.json", "lot.journal"):
        (world.lot / name).write_bytes(world.kept[name])
    doing = chance.random()
    if doing < 0.06:
        (world.lot / chance.choice(("lot.json", "lot.journal"))).unlink()
    elif doing < 0.2:
        _line_changed(world, chance)
    else:
        for name in chance.choice((("lot.journal",), ("lot.json",), ("lot.json", "lot.journal"))):
            (world.lot / name).write_bytes(mutated(world.kept[name], chance))
    return True


def _line_changed(world: World, chance: random.Random) -> None:
    """A whole line away, twice, or in another place."""
    lines = world.kept["lot.journal"].splitlines(keepends=True)
    at = chance.randrange(len(lines))
    line = lines.pop(at)
    if chance.random() < 0.6:
        lines.insert(chance.randrange(len(lines) + 1), line)
        if chance.random() < 0.5:
            lines.insert(at, line)
    (world.lot / "lot.journal").write_bytes(b"".join(lines))


NOTED: list[list[str]] = []


def content(world: World) -> tuple[object, bool]:
    """What the lot holds, and whether something is told of it."""
    from tagger.errors import LotError
    from tagger.store.lot.lot_file import look
    from tagger.store.lot.troubles import told_troubles, trouble_of

    try:
        found = look(world.lot)
    except LotError:
        return None, True
    finally:
        told_troubles()
    lot = found.kept.lot
    told = bool(trouble_of(found))
    if found.notes and not told:
        NOTED.append(found.notes)
    return (lot.marks, lot.arrangement, found.undo, found.redo), told


def prepared(home: Path) -> World:
    """A world in which each command has something to do, and was run."""
    world = World(home)
    folder = str(world.lot)
    command(["export", folder, "--to", str(world.home / "same.csv")])
    command(["stock", "--to", str(world.home / "counted.csv")])
    (number,) = re.findall(r"[A-Z]+-0003-.", (world.home / "same.csv").read_text("utf-8"))
    (world.home / "orders.csv").write_text(ORDERS.format(number=number), encoding="utf-8")
    world.always = hub_settings(world)
    world.restore()
    command(["hub", "publish"])
    for words in (*readers(world), *drawn(world)):
        command(words)
    world.restore()
    world.remember()
    return world


def hub_settings(world: World) -> str:
    """The settings of a station of a hub that is set up."""
    from support.postgres import server
    from support.stations import Shop

    shop = Shop(server(), world.home, "damaged", ["south"])
    return f'[hub]\nurl = "{shop.server.url("damaged", "south")}"\nstation = "south"\n'


def run(home: Path, numbers: Sequence[int]) -> Iterator[dict[str, object]]:
    """Each case in which something was silent, or ended otherwise than by a sentence."""
    world = prepared(home)
    healthy, _ = content(world)
    for number in numbers:
        damage(world, number)
        found, told = content(world)
        if found != healthy and not told:
            # Cut at the end of a line, with a lot.json that says nothing: the files cannot tell,
            # but this machine knows how far the lot went and tells it when it is opened.
            status, said, _ = command([SITTING, str(world.lot)])
            if status == 0:
                yield {"case": number, "silent": f"the lot is another {NOTED[-1:]}: {said}"}
            damage(world, number)
        pages = drawn(world)
        for words in (*readers(world), pages[number % len(pages)]):
            yield from _asked(world, number, words, told)
        for words in changers(world):
            yield from _asked(world, number, words, told)
            damage(world, number)
        world.restore()


def _asked(world: World, number: int, words: list[str], told: bool) -> Iterator[dict[str, object]]:
    try:
        status, said, _ = command(words)
    except BaseException:
        yield {"case": number, "trace": f"{words}: {traceback.format_exc()[-1500:]}"}
        return
    # a lot of which nothing is new at the hub is not read, and what the hub has of it is whole
    told = told and "1 unchanged" not in said
    if CRASHED in said:
        yield {"case": number, "trace": f"{words}: {said[:300]}"}
    if told and not any(one in said for one in ("lot.j", "damaged", "box 12")):
        yield {"case": number, "silent": f"{words} says nothing: {said[:200]}"}
    elif told and status == 0 and words[0] != "repair":
        yield {"case": number, "silent": f"{words} ends with 0: {said[:200]}"}

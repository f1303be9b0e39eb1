"""A lot whose journal or lot.json is damaged, through every command that reads a lot: each tells
it, by its exit status and a sentence.

    python -m fuzz.damaged HOME"""

from __future__ import annotations

import json
import random
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Iterator, Sequence
from pathlib import Path

from fuzz.mutations import mutated, source
from fuzz.tally import Tally, searched
from fuzz.world import World, command

EACH = 4  # commands that a case goes through, in turn


def commands(world: World) -> list[list[str]]:
    """Every command that reads a lot, but for the screens."""
    folder, new = str(world.lot), str(world.odd / "new")
    return [
        ["status", folder], ["status", folder, "--json"], ["export", folder, "--to", f"{new}.csv"],
        ["export", folder, "--to", f"{new}.json"], ["find", "marsh"], ["find", "marsh", "--json"],
        ["sets"], ["sets", folder], ["value"], ["value", folder], ["lots"], ["lots", "--json"],
        ["page", folder, "--to", f"{new}.html"], ["sheet", folder, "--to", f"{new}.png"],
        ["audit", folder], ["fix", folder, "--findings"], ["fix", folder, "undo"],
        ["sold", folder, "2"],
        ["import", folder, str(world.home / "same.csv"), "--yes"], ["repair", folder],
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


def run(home: Path, numbers: Sequence[int]) -> Iterator[dict[str, object]]:
    """Each case in which something was silent, or ended otherwise than by a sentence."""
    world = World(home)
    command(["export", str(world.lot), "--to", str(world.home / "same.csv")])
    every = commands(world)
    for words in every[:-2]:
        command(words)
    world.restore()
    world.remember()
    healthy, _ = content(world)
    for number in numbers:
        damage(world, number)
        found, told = content(world)
        if found != healthy and not told:
            yield {
                "silent": f"damaged {number}: the lot is another, and nothing is told {NOTED[-1:]}"
            }
        for at in range(EACH):
            words = every[(number * EACH + at) % len(every)]
            yield from _asked(world, number, words, told)
            if words[0] in ("fix", "sold", "import"):
                damage(world, number)
        world.restore()


def _asked(world: World, number: int, words: list[str], told: bool) -> Iterator[dict[str, object]]:
    try:
        status, said, _ = command(words)
    except BaseException:
        yield {"trace": f"damaged {number}: {words}: {traceback.format_exc()[-1500:]}"}
        return
    if told and (status == 0 or not any(one in said for one in ("lot.j", "damaged", "box 12"))):
        yield {"silent": f"damaged {number}: {words} ends with {status}: {said[:200]}"}


def fuzz_damaged(numbers: Sequence[int]) -> Tally:
    """These cases, in a process of its own."""
    from support.folders import own_folders

    tally = Tally("damaged lots through every command", len(numbers))
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            [sys.executable, "-m", "fuzz.damaged", folder],
            capture_output=True,
            text=True,
            input=",".join(map(str, numbers)),
            env={**searched(), **own_folders(Path(folder) / "own")},
            cwd=folder,
        )
    if done.returncode:
        tally.traces.append(f"the process ended with {done.returncode}: {done.stderr[-1500:]}")
    tally.printed, tally.words = len(done.stderr), done.stderr[:500]
    for line in done.stdout.splitlines():
        found = json.loads(line)
        tally.traces += [found["trace"]] if "trace" in found else []
        tally.silent += [found["silent"]] if "silent" in found else []
    return tally


if __name__ == "__main__":
    for each in run(Path(sys.argv[1]), [int(one) for one in sys.stdin.read().split(",")]):
        print(json.dumps(each), flush=True)

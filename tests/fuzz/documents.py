"""Settings, layouts, lists, workbooks, caches and journals changed in their structure, with right
checksums where they have any: whatever stands in them, a command ends with a status and a sentence.

    python -m fuzz.documents HOME KIND"""

from __future__ import annotations

import contextlib
import io
import json
import re
import subprocess
import sys
import tempfile
import traceback
import zipfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from fuzz.mutations import mutated, mutated_text, mutated_value, source
from fuzz.tally import Tally, searched
from fuzz.world import Hangs, World, command

SLOW = 3.0  # seconds of CPU for one command

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
    """A mutated table, imported."""
    path = world.home / "same.csv"
    if not path.exists():
        command(["export", str(world.lot), "--to", str(path)])
    odd = world.odd / "odd.csv"
    odd.write_bytes(mutated_text(path.read_text(encoding="utf-8"), source("imports", case)))
    return [["import", str(world.lot), str(odd), "--yes"], ["status", str(world.lot)]]


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


def journals(world: World, case: int) -> list[list[str]]:
    """A record with other values under a right checksum, with and without lot.json."""
    from tagger.store.lot.journal import encode

    chance = source("journals", case)
    lines = world.kept["lot.journal"].splitlines(keepends=True)
    at = chance.randrange(len(lines))
    with contextlib.suppress(TypeError, ValueError):
        lines[at] = encode(mutated_value(json.loads(lines[at])[1], chance))
    (world.lot / "lot.journal").write_bytes(b"".join(lines))
    if chance.random() < 0.6:
        (world.lot / "lot.json").unlink()
    else:
        document = mutated_value(json.loads(world.kept["lot.json"]), chance)
        (world.lot / "lot.json").write_text(json.dumps(document), encoding="utf-8")
    folder = str(world.lot)
    return [["status", folder], ["export", folder, "--to", str(world.odd / "new.csv")],
            ["fix", folder, "undo"], ["repair", folder, "--apply"], ["status", folder]]  # fmt: skip


def caches(world: World, case: int) -> list[list[str]]:
    """What is kept of lists, lots and scans, with other content and right checksums."""
    from tagger.store.machine.paths import cache_folder, data_folder

    chance = source("caches", case)
    words = [["match", "7 gold", "--checklist", str(world.listed)], ["find", "marsh"],
             ["audit", str(world.lot)], ["lots"]]  # fmt: skip
    if not world.machine:
        for one in words:
            command(one)
        world.remember()
    roots = (cache_folder(), data_folder())
    found = sorted(path for root in roots for path in root.rglob("*") if path.is_file())
    path = chance.choice([one for one in found if one.suffix not in (".lock", "")])
    if path.suffix == ".json":
        document = mutated_value(json.loads(path.read_bytes()), chance)
        path.write_text(json.dumps(document), encoding="utf-8")
    else:
        _resealed(path, chance)
    return words


def _resealed(path: Path, chance: object) -> None:
    """Another head or body in the same envelope."""
    import random

    from tagger.store.caches.sealed import keep_sealed, read_sealed

    assert isinstance(chance, random.Random)
    mark = re.match(rb"[a-z ]+\d*", path.read_bytes()[:40])
    for words in range(1, 5):
        tried = b" ".join(path.read_bytes()[:60].split(b" ")[:words])
        sealed = read_sealed(path, tried)
        if sealed is not None:
            head, body = sealed.head, bytes(sealed.body)
            if body and chance.random() < 0.6:
                body = mutated(body, chance, 400)
            else:
                head = mutated_value(head, chance)
            del sealed
            keep_sealed(path, tried, head, [body])
            return
    assert mark is not None
    path.write_bytes(mutated(path.read_bytes(), chance))


KINDS: dict[str, Callable[[World, int], list[list[str]]]] = {
    one.__name__: one for one in (settings, layouts, lists, imports, workbooks, journals, caches)
}


def run(home: Path, kind: str, numbers: Sequence[int]) -> Iterator[dict[str, object]]:
    """Each case that was wrong, and at the end the slowest."""
    world = World(home)
    slowest = 0.0
    for number in numbers:
        try:
            for words in KINDS[kind](world, number):
                status, said, took = command(words)
                slowest = max(slowest, took)
                if took > SLOW:
                    yield {"case": number, "slow": f"{took:.1f} s: {words}"}
                if status and not said:
                    yield {"case": number, "silent": f"status {status} without a word: {words}"}
                if not said.replace("\n", "").isprintable():
                    yield {"case": number, "trace": f"not printable: {said!r}"}
        except (Exception, Hangs):
            yield {"case": number, "trace": traceback.format_exc()[-1800:]}
        world.restore()
    yield {"slowest": slowest}


def fuzz_documents(kind: str, numbers: Sequence[int]) -> Tally:
    """These cases of one kind, in a process of its own."""
    tally = Tally(kind, len(numbers))
    from support.folders import own_folders

    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        around = {**searched(), **own_folders(home / "own")}
        done = subprocess.run(
            [sys.executable, "-m", "fuzz.documents", folder, kind],
            capture_output=True,
            text=True,
            input=",".join(map(str, numbers)),
            env=around,
            cwd=folder,
        )
    if done.returncode:
        tally.traces.append(f"the process ended with {done.returncode}: {done.stderr[-1500:]}")
    tally.printed, tally.words = len(done.stderr), done.stderr[:500]
    for line in done.stdout.splitlines():
        found = json.loads(line)
        for what, where in (
            ("trace", tally.traces), ("slow", tally.slow), ("silent", tally.silent),
        ):  # fmt: skip
            if what in found:
                where.append(f"{kind} {found['case']}: {found[what]}")
        tally.slowest = found.get("slowest", tally.slowest)
    return tally


if __name__ == "__main__":
    for each in run(Path(sys.argv[1]), sys.argv[2], [int(n) for n in sys.stdin.read().split(",")]):
        print(json.dumps(each), flush=True)

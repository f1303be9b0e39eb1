"""What the program keeps, with other values under right checksums."""

from __future__ import annotations

import contextlib
import json
import random
from pathlib import Path

from fuzz.mutations import mutated, mutated_value, source
from fuzz.world import SITTING, World, command


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
            [SITTING, folder], ["fix", folder, "undo"], ["repair", folder, "--apply"],
            ["status", folder]]  # fmt: skip


def caches(world: World, case: int) -> list[list[str]]:
    """What is kept of lists, lots and scans, with other content and right checksums."""
    from tagger.store.machine.paths import cache_folder, data_folder

    chance = source("caches", case)
    words = [["match", "7 gold", "--checklist", str(world.listed)], ["find", "marsh"],
             ["audit", str(world.lot)], ["lots"]]  # fmt: skip
    if not world.machine:
        for one in (*words, ["sets"], ["status", str(world.lot)]):
            command(one)
        world.remember()
    roots = (cache_folder(), data_folder())
    found = sorted(path for root in roots for path in root.rglob("*") if path.is_file())
    path = chance.choice([one for one in found if not one.name.startswith(".")])
    if path.suffix == ".json":
        document = mutated_value(json.loads(path.read_bytes()), chance)
        path.write_text(json.dumps(document), encoding="utf-8")
    else:
        resealed(path, chance)
    return words


def readings(world: World, case: int) -> list[list[str]]:
    """What was read on cards and is kept, changed in its structure."""
    from tagger.store.caches.disk_cache import MARK
    from tagger.store.caches.sealed import keep_sealed, read_sealed
    from tagger.store.machine.paths import readings_folder

    chance, lot = source("readings", case), str(world.lot)
    if not world.machine:
        # what was tagged is not read again
        for _ in range(3):
            command(["fix", lot, "undo"])
        world.keep()
        command(["read", lot, "--checklist", str(world.listed)])
        command(["audit", lot])
        world.remember()
    for path in sorted(one for one in readings_folder().rglob("*") if one.is_file()):
        sealed = read_sealed(path, MARK)
        assert sealed is not None, path
        if chance.random() < 0.6:
            document = mutated_value(json.loads(bytes(sealed.body)), chance)
            keep_sealed(path, MARK, sealed.head, [json.dumps(document).encode()])
        elif chance.random() < 0.2:
            resealed(path, chance)
    return [["read", lot, "--json"], ["audit", lot], ["status", lot]]


def resealed(path: Path, chance: random.Random) -> None:
    """Another head or body in the same envelope."""
    from tagger.store.caches.sealed import keep_sealed, read_sealed

    for words in range(1, 5):
        mark = b" ".join(path.read_bytes()[:60].split(b" ")[:words])
        sealed = read_sealed(path, mark)
        if sealed is not None:
            head, body = sealed.head, bytes(sealed.body)
            if body and chance.random() < 0.6:
                body = mutated(body, chance, 400)
            else:
                head = mutated_value(head, chance)
            del sealed
            keep_sealed(path, mark, head, [body])
            return
    path.write_bytes(mutated(path.read_bytes(), chance))

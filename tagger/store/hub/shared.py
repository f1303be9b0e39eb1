"""Checklists and what was learned about sets, shared by the stations: rows are only added, here and
at the hub, and nothing is overwritten."""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import HubError
from tagger.store.checklists import ENDINGS
from tagger.store.files import SYSTEM, read_bounded, replace_durably
from tagger.store.machine.loupes import LoupeFile
from tagger.store.machine.paths import data_folder

if TYPE_CHECKING:
    from tagger.store.hub.connection import Connection
    from tagger.store.hub.stations import StationId

LARGEST = 1 << 25  # bytes of a list that is shared
KINDS = ("loupes", "name_loupes")
_UNSAFE = re.compile(r"[^\w .()-]+")


def lists_folder() -> Path:
    """Where the other stations' checklists are put."""
    return data_folder() / "lists"


def share(line: Connection, station: StationId, files: Iterable[Path]) -> int:
    """Add checklists and loupes that the hub does not have; how many. A file that cannot be read,
    or is too large, is left out."""
    found = 0
    for path in files:
        try:
            data = read_bounded(path, LARGEST)
        except OSError:
            continue
        found += _add_list(line, station, printable(path.name, 120), data)
    for kind in KINDS:
        for key, value in LoupeFile(data_folder(), kind).documents().items():
            done = line.execute(
                "INSERT INTO tagger.learned (kind, key, station, value) VALUES (%s, %s, %s, %s) "
                "ON CONFLICT DO NOTHING",
                (kind, printable(key, 200), station.id, json.dumps(value)),
            )
            found += done.rowcount
    return found


def _add_list(line: Connection, station: StationId, name: str, data: bytes) -> int:
    digest = hashlib.sha256(data).hexdigest()
    # asked first: a list of some megabytes need not go there to be refused
    there = line.execute("SELECT FROM tagger.checklist WHERE digest = %s", (digest,)).rowcount
    if there:
        return 0
    return line.execute(
        "INSERT INTO tagger.checklist (digest, name, station, bytes) VALUES (%s, %s, %s, %s) "
        "ON CONFLICT DO NOTHING",
        (digest, name, station.id, data),
    ).rowcount


def get_shared(line: Connection, station: StationId) -> int:
    """Put the others' checklists and loupes beside what is here; how many were new. Raises
    HubError where they cannot be written."""
    found = 0
    listed = line.execute(
        "SELECT digest, name FROM tagger.checklist WHERE station <> %s ORDER BY at, digest",
        (station.id,),
    ).fetchall()
    for digest, name in listed:
        path = _place(str(name), str(digest))
        if path is None:
            continue
        row = line.execute(
            "SELECT bytes FROM tagger.checklist WHERE digest = %s", (digest,)
        ).fetchone()
        if row is not None:
            _write(path, bytes(row[0]))
            found += 1
    for kind in KINDS:
        found += _learn(line, station, kind)
    return found


def _learn(line: Connection, station: StationId, kind: str) -> int:
    file = LoupeFile(data_folder(), kind)
    known, found = file.documents(), 0
    rows = line.execute(
        "SELECT key, value FROM tagger.learned WHERE kind = %s AND station <> %s",
        (kind, station.id),
    )
    for key, value in rows:
        if key not in known and isinstance(value, Mapping) and file.put_document(str(key), value):
            found += 1
    return found


def _place(name: str, digest: str) -> Path | None:
    """Where a list goes; None where it is there already, or is not a list. Its name comes from
    elsewhere, and leads into no other folder."""
    stem, ending = os.path.splitext(_UNSAFE.sub("_", name).lstrip(". "))
    if ending.lower() not in ENDINGS or not stem:
        return None
    for path in (
        lists_folder() / f"{stem}{ending}",
        lists_folder() / f"{stem}-{digest[:8]}{ending}",
    ):
        try:
            if hashlib.sha256(read_bounded(path, LARGEST)).hexdigest() == digest:
                return None
        except FileNotFoundError:
            return path
        except OSError:
            continue
    return None


def _write(path: Path, data: bytes) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        replace_durably(SYSTEM, path, data)
    except OSError as error:
        raise HubError(f"{printable(str(path))} cannot be written: {error.strerror}.") from None

"""Where the loupes were left for each set."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tagger.core.session.loupes.loupe import LARGEST, SMALLEST, Loupe
from tagger.store.machine.state_file import StateFile


class LoupeFile(StateFile[Loupe]):
    """One loupe's places by set, in the file `NAME.json` of a folder."""

    def __init__(self, folder: Path, name: str = "loupes") -> None:
        super().__init__(folder, name, "set", _loupe, _fields)


def _fields(loupe: Loupe) -> dict[str, Any]:
    return {"side": loupe.side, "x": loupe.x, "y": loupe.y, "width": loupe.width}


def _loupe(entry: Mapping[str, Any]) -> Loupe:
    loupe = Loupe(entry["side"], float(entry["x"]), float(entry["y"]), float(entry["width"]))
    # the file may be edited by hand: a loupe beside the scan could not be seen to be moved back
    right = loupe.side in ("front", "back") and 0 <= loupe.x <= 1 and 0 <= loupe.y <= 1
    if not (right and SMALLEST <= loupe.width <= LARGEST):
        raise ValueError(f"no loupe: {entry}")
    return loupe

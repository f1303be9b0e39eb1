"""The scans in a folder, by name; no picture is decoded."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from tagger.core.order import feeding_order, scan_name
from tagger.core.text import printable
from tagger.errors import LotError

TIFF = (".tif", ".tiff")
ENDINGS = (".jpg", ".jpeg", ".jpe", ".png", ".webp", ".bmp", *TIFF)
MOST_PAGES = 10_000


@dataclass(frozen=True)
class Folder:
    """Scan names in feeding order, and how many other files lie there (hidden ones and the lot's own left out)."""

    scans: tuple[str, ...]
    ignored: int


def list_scans(folder: Path) -> Folder:
    """The scans of a lot's folder. A TIFF of several pages gives a scan a page. Raises LotError."""
    names: list[str] = []
    ignored = 0
    try:
        with os.scandir(folder) as entries:
            for entry in entries:
                if entry.name.startswith(".") or entry.name.startswith(("lot.json", "lot.journal")):
                    continue
                ending = os.path.splitext(entry.name)[1].lower()
                if ending not in ENDINGS or not entry.is_file():
                    ignored += 1
                elif ending in TIFF:
                    names.extend(_pages(Path(entry.path), entry.name))
                else:
                    names.append(entry.name)
    except OSError as error:
        raise LotError(f"The folder {printable(str(folder))} cannot be read: {error.strerror}.") from None
    return Folder(tuple(feeding_order(names)), ignored)


def _pages(path: Path, name: str) -> list[str]:
    try:
        with Image.open(path, formats=("TIFF",)) as picture:
            pages = min(int(getattr(picture, "n_frames", 1)), MOST_PAGES)
    except Exception:  # whatever a damaged file does to the decoder, the scan stays in the lot and says so when shown
        pages = 1
    return [name] if pages == 1 else [scan_name(name, page) for page in range(1, pages + 1)]

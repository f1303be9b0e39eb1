"""The scans in a folder and in those joined to it, by name; no picture is decoded."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from PIL import Image

from tagger.core.feeding.order import feeding_order, scan_name
from tagger.core.feeding.scan_files import joined_folder
from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.imaging.scan.decoder_words import decoders_kept_quiet

TIFF = (".tif", ".tiff")
ENDINGS = (".jpg", ".jpeg", ".jpe", ".png", ".webp", ".bmp", *TIFF)
MOST_PAGES = 10_000


class Folder(NamedTuple):
    """Scan names in feeding order, and how many other files lie there (hidden ones and the lot's
    own left out)."""

    scans: tuple[str, ...]
    ignored: int


def list_scans(folder: Path, joined: Sequence[str] = ()) -> Folder:
    """The scans of a lot's folder and of those joined to it as `../NAME`. A TIFF of several pages
    gives a scan a page.

    Raises LotError where a folder cannot be read, or is none that can be joined.
    """
    names: list[str] = []
    ignored = 0
    for prefix, place in places(folder, joined).items():
        files, others = list_files(place)
        ignored += others
        for file in files:
            names.extend(scans_in(os.path.join(place, file), prefix + file))
    return Folder(tuple(feeding_order(names)), ignored)


def places(folder: Path, joined: Sequence[str]) -> dict[str, Path]:
    """What stands before the names of scans, `` or `../NAME/`, and the folder that they lie in.
    Raises LotError."""
    return {"": folder, **{f"{one}/": joined_folder(folder, one) for one in joined}}


def list_files(folder: Path) -> tuple[list[str], int]:
    """The names of the files of one folder that hold scans, in any order, and how many others lie
    there.

    Raises LotError.
    """
    names: list[str] = []
    ignored = 0
    try:
        with os.scandir(folder) as entries:
            for entry in entries:
                # What the store has put aside of its files is called like them, and is no mistake
                # of the dealer's.
                if entry.name.startswith(".") or entry.name.startswith(("lot.json", "lot.journal")):
                    continue
                if os.path.splitext(entry.name)[1].lower() in ENDINGS and _is_file(entry):
                    names.append(entry.name)
                else:
                    ignored += 1
    except OSError as error:
        raise LotError(
            f"The folder {printable(str(folder))} cannot be read: {error.strerror}."
        ) from None
    return names, ignored


def _is_file(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_file()
    except OSError:  # a link that leads in a circle holds no scan, and must not stop the others
        return False


def scans_in(path: str | Path, name: str) -> list[str]:
    """The names of the scans in a file of this name: one, or one for each page of a TIFF."""
    # Only a TIFF may hold several; opening every JPEG of a large folder takes long.
    if os.path.splitext(name)[1].lower() in TIFF:
        return _pages(path, name)
    return [name]


def _pages(path: str | Path, name: str) -> list[str]:
    try:
        with decoders_kept_quiet(), Image.open(path, formats=("TIFF",)) as picture:
            pages = min(int(getattr(picture, "n_frames", 1)), MOST_PAGES)
    # whatever a damaged file does to the decoder, the scan stays in the lot and says so when shown
    except Exception:
        pages = 1
    if pages == 1:
        return [name]
    return [scan_name(name, page) for page in range(1, pages + 1)]

"""Where a scan's file may lie: in the lot's own folder, or in a folder beside it that was joined to
the lot.

Names of scans come from a lot's document, which others may have written: no name leads anywhere
else."""

from __future__ import annotations

import os
from pathlib import Path

from tagger.core.feeding.order import scan_box, split_scan
from tagger.core.model.text import printable
from tagger.errors import LotError, PictureError


def scan_file(folder: Path, name: str) -> Path:
    """The file of a scan: `FILE`, or `../NAME/FILE` of a joined folder. Raises PictureError for any
    other name."""
    file = split_scan(name)[0]
    parts = file.split("/")
    # One step up and one down, no farther: what is named there must lie beside the lot.
    joined = len(parts) == 3 and parts[0] == ".." and _plain(parts[1])
    if not _plain(parts[-1]) or not (len(parts) == 1 or joined):
        raise PictureError(
            f"{printable(name)} is skipped: it is not in this lot's folder or in one beside it."
        )
    return folder / file


def joined_folder(folder: Path, joined: str) -> Path:
    """The folder that a lot has joined as `../NAME`. Raises LotError for any other name, and for
    the lot's own."""
    start, _, own = joined.partition("/")
    if start != ".." or not _plain(own):
        raise LotError(
            f"{printable(joined)} cannot be joined: name a folder beside this lot's, as ../NAME."
        )
    if own == folder.name:
        raise LotError(f"{printable(joined)} cannot be joined: it is this lot's own folder.")
    return folder / joined


def _plain(part: str) -> bool:
    """Whether it is the name of one file or folder, and no way to another."""
    return part not in ("", ".", "..") and not any(
        sign in part for sign in ("/", "\0", os.sep, os.altsep or "/")
    )


def scan_digest(of_file: str, name: str) -> str:
    """What stands for a scan, by the digest of its file."""
    page, part = split_scan(name)[1], scan_box(name)
    # Pages and parts of one file are different scans of the same bytes.
    return of_file + f"#{page}" * bool(page) + f"#{part}" * bool(part)

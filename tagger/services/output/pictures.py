"""The pictures of `tagger export --images`: measured, planned, and written in two processes."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.audit.poses import Poses
from tagger.core.feeding.scan_files import scan_file
from tagger.core.lot.fields import further_columns
from tagger.core.model.counted import counted
from tagger.core.model.text import named
from tagger.errors import LotError, PictureError
from tagger.exchange.shown.picture_names import PictureNames
from tagger.exchange.shown.pictures import Picture, plan
from tagger.file_stamp import file_stamp
from tagger.imaging.survey.workers import Workers
from tagger.services.console import tell
from tagger.services.output.rendering import rendered
from tagger.services.progress import Progress
from tagger.services.scans.measurements import measure_lot
from tagger.store.picture_folder import PictureFolder

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.lot.lot import LotState
    from tagger.core.model.tags import Tags
    from tagger.imaging.scan.render_side import ImageOptions
    from tagger.store.machine.paths import LotPlace

MARGIN = 2.0  # mm around a card
TOLD = 5  # pictures that could not be made are told one by one, so many of them


@dataclass(frozen=True)
class WrittenAs:
    """How pictures are wanted: `margin` in mm around the card, `name` as a template."""

    image: ImageOptions
    margin: float
    name: str


@dataclass
class Written:
    """What became of the pictures: their files by position and side, how many of them are `new`,
    how many old ones are `gone`, why some are missing, and which show damage of their scans."""

    files: dict[tuple[int, str], str] = field(default_factory=dict)
    count: int = 0
    new: int = 0
    gone: int = 0
    missing: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)

    def summary(self, shown: str) -> str:
        """What was written into a folder, as a sentence."""
        kept = self.count - self.new - len(self.missing)
        parts = [f"{counted(self.new, 'picture')} written to {shown}"]
        if kept:
            parts.append(counted(kept, "was there already", "were there already"))
        if self.gone:
            parts.append(counted(self.gone, "old one removed", "old ones removed"))
        return "; ".join(parts) + "."


def write_pictures(
    place: LotPlace,
    lot: LotState,
    into: Path,
    wanted: WrittenAs,
    run_of: Callable[[Tags], str],
    every: bool = False,
    only: Container[int] | None = None,
) -> Written:
    """Write the pictures of a lot into a folder; what is there already is left. `run_of` gives a
    card's print run; `every` has the cards that were sold or pulled as well; `only` are the
    positions that are meant, None for all.

    Raises UsageError and LotError; KeyboardInterrupt when the user stops it, after saying how to go
    on. What was written until then stays."""
    names = PictureNames(wanted.name, further_columns(lot), lot.cards, place.name, run_of)
    # Whose pictures a folder has is known by the lot's own folder, which may have any bytes in its
    # name.
    owner = hashlib.sha256(os.fsencode(place.folder)).hexdigest()[:16]
    with closing(PictureFolder(into, owner)) as folder, closing(Workers(busy=True)) as workers:
        try:
            scans = lot.arrangement.scans
            measured = measure_lot(place, scans, workers).of(scans)
            poses = Poses(margin=wanted.margin)
            poses.learn(measured)
            pictures = list(plan(lot, names.file, poses, wanted.image.joined, every, only))
            done = _write(place.folder, pictures, wanted.image, folder, workers)
            done.damaged = list(_damaged(pictures, measured, done))
            return done
        except BrokenExecutor:
            raise LotError(
                "A worker process died (out of memory?). Run the same command again to continue."
            ) from None
        except KeyboardInterrupt:
            tell(f"The pictures in {folder.shown} stay. Run the same command again to continue.")
            raise


def _write(
    place: Path,
    pictures: Sequence[Picture],
    options: ImageOptions,
    folder: PictureFolder,
    workers: Workers,
) -> Written:
    done = Written(count=len(pictures))
    stamp = _stamps(place)
    digests = {one.file: one.digest(options, stamp) for one in pictures}
    there = {file for file, digest in digests.items() if folder.has(file, digest)}
    todo = [one for one in pictures if one.file not in there]
    with Progress("pictures written") as progress:
        for count, (one, data) in enumerate(rendered(place, todo, options, workers), start=1):
            if isinstance(data, str):
                done.missing.append(f"card {one.position}: {data}")
            else:
                folder.put(one.file, digests[one.file], data)
                there.add(one.file)
                done.new += 1
            progress.at(count, len(todo))
    # Last, so that an export that is stopped has removed nothing.
    done.gone = folder.keep_only(there)
    done.files = _by_side(one for one in pictures if one.file in there)
    return done


def _by_side(pictures: Iterable[Picture]) -> dict[tuple[int, str], str]:
    return {(one.position, side): one.file for one in pictures for side in one.shows}


def _damaged(
    pictures: Sequence[Picture], measured: Mapping[str, Measured], done: Written
) -> Iterator[str]:
    """What is to be told of scans that can be shown in spite of their damage."""
    written = set(done.files.values())
    for one in pictures:
        for scan, _ in one.sides if one.file in written else ():
            if _is_damaged(measured[scan]):
                yield (
                    f"card {one.position}: {named(scan)} is damaged, and so is {one.file}; "
                    "rescan this side."
                )


def _is_damaged(scan: Measured) -> bool:
    return scan.state in ("truncated", "corrupt") or "corrupt" in dict(scan.faults)


def _stamps(place: Path) -> Callable[[str], object]:
    def stamp(scan: str) -> object:
        try:
            found = file_stamp(scan_file(place, scan))
        except PictureError:
            return None
        return found and found.lasting

    return stamp

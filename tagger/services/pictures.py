"""The pictures of `tagger export --images`: measured, planned, and written in two processes."""

from __future__ import annotations

import argparse
import hashlib
import os
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor, Future
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

from tagger.core.audit.measured import Measured
from tagger.core.feeding.scan_files import scan_file
from tagger.core.lot.fields import further_columns
from tagger.core.lot.lot import LotState
from tagger.core.model.pose import Pose
from tagger.core.model.tags import Tags
from tagger.core.model.text import named, printable
from tagger.errors import LotError, PictureError, UsageError
from tagger.exchange.shown.picture_names import DEFAULT, PictureNames
from tagger.exchange.shown.pictures import Picture, plan, stands
from tagger.file_stamp import file_stamp
from tagger.imaging.scan.render_side import ImageOptions, picture_file
from tagger.imaging.survey.workers import Workers
from tagger.services.console import tell
from tagger.services.measurements import Measurements
from tagger.services.progress import Progress
from tagger.store.machine.paths import LotPlace, measured_folder
from tagger.store.picture_folder import PictureFolder

AHEAD = 12  # pictures that are asked for at once
MARGIN, WIDEST = 2.0, 20.0  # mm around a card
SMALLEST, LARGEST = 16, 65_500  # pixels; a JPEG that Pillow writes has no longer side
TOLD = 5  # pictures that could not be made are told one by one, so many of them


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


def picture_arguments(parser: argparse.ArgumentParser) -> None:
    """--images and all that goes with it."""
    group = parser.add_argument_group("pictures")
    group.add_argument(
        "--images",
        metavar="DIR",
        type=Path,
        help="write the cards' pictures into DIR, upright, straight and cropped",
    )
    group.add_argument(
        "--joined", action="store_true", help="front and back beside each other in one picture"
    )
    group.add_argument(
        "--name", metavar="TEXT", help=f"how their files are named, in a layout's words: {DEFAULT}"
    )
    group.add_argument(
        "--longest",
        metavar="PIXELS",
        type=int,
        help="no side has more pixels; without it as scanned",
    )
    group.add_argument(
        "--quality", metavar="N", type=int, help="of the JPEG files, 1 to 100; without it 90"
    )
    group.add_argument(
        "--margin", metavar="MM", type=float, help="what is left around the card; without it 2 mm"
    )
    group.add_argument(
        "--srgb",
        action="store_true",
        help="turn the colours into sRGB instead of keeping the profile",
    )


def wish_of(given: argparse.Namespace) -> tuple[ImageOptions, float]:
    """How the pictures are wanted, and the margin in mm. Raises UsageError."""
    quality = 90 if given.quality is None else given.quality
    margin = MARGIN if given.margin is None else given.margin
    options = ("joined", "name", "longest", "quality", "margin", "srgb")
    alone = next(
        (
            name
            for name in options
            if getattr(given, name) is not None and getattr(given, name) is not False
        ),
        None,
    )
    if given.images is None and alone is not None:
        raise UsageError(f"--{alone} goes with --images DIR.")
    if not 1 <= quality <= 100:
        raise UsageError("--quality takes a number from 1 to 100.")
    if given.longest is not None and not SMALLEST <= given.longest <= LARGEST:
        raise UsageError(f"--longest takes a number of pixels from {SMALLEST} to {LARGEST}.")
    if not 0 <= margin <= WIDEST:
        raise UsageError(f"--margin takes millimetres from 0 to {WIDEST:.0f}.")
    return ImageOptions(given.longest, quality, given.srgb, given.joined), margin


def write_pictures(
    place: LotPlace, lot: LotState, given: argparse.Namespace, run_of: Callable[[Tags], str]
) -> Written:
    """Write the pictures of a lot into the folder that `--images` names; what is there already is
    left.

    Raises UsageError and LotError; KeyboardInterrupt when the user stops it, after saying how to go
    on. What was written until then stays."""
    wish, margin = wish_of(given)
    names = PictureNames(given.name or DEFAULT, further_columns(lot), lot.cards, place.name, run_of)
    folder = PictureFolder(given.images, hashlib.sha256(os.fsencode(place.folder)).hexdigest()[:16])
    try:
        workers = Workers(busy=True)
        try:
            measured = _measure(place, lot, workers)
            pictures = list(plan(lot, names.file, stands(lot, measured, margin), wish.joined))
            done = _write(place.folder, pictures, wish, folder, workers)
            done.damaged = list(_damaged(pictures, measured, done))
            return done
        except BrokenExecutor:
            raise LotError(
                "A process ended at work; is there memory enough? The same command goes on."
            ) from None
        except KeyboardInterrupt:
            tell(f"What is in {folder.shown} stays; the same command goes on from there.")
            raise
        finally:
            workers.close()
    finally:
        folder.close()


def measure_lot(
    place: LotPlace, scans: Sequence[str], workers: Workers | None = None
) -> Measurements:
    """What is known of these scans, with those measured that were not."""
    known = Measurements(place.folder, measured_folder())
    with ExitStack() as line:
        progress: Progress | None = None
        for count, of in known.measure(scans, workers):
            progress = progress or line.enter_context(Progress("scans measured", of))
            progress.at(count)
    return known


def _measure(place: LotPlace, lot: LotState, workers: Workers) -> Mapping[str, Measured]:
    scans = [scan for pair in lot.arrangement.pairs for scan in pair[1:] if scan is not None]
    return measure_lot(place, scans, workers).of(scans)


def _write(
    place: Path,
    pictures: Sequence[Picture],
    wish: ImageOptions,
    folder: PictureFolder,
    workers: Workers,
) -> Written:
    done = Written(count=len(pictures))
    stamp = _stamps(place)
    digests = {one.file: one.digest(wish, stamp) for one in pictures}
    todo = [one for one in pictures if not folder.has(one.file, digests[one.file])]
    there: set[str] = {one.file for one in pictures} - {one.file for one in todo}
    with Progress("pictures written", len(todo)) as progress:
        for count, (one, data) in enumerate(made(place, todo, wish, workers), start=1):
            if isinstance(data, str):
                done.missing.append(f"card {one.position}: {data}")
            else:
                folder.put(one.file, digests[one.file], data)
                there.add(one.file)
                done.new += 1
            progress.at(count)
    done.gone = folder.keep_only(there)
    done.files = {
        (one.position, side): one.file
        for one in pictures
        if one.file in there
        for side in one.shows
    }
    return done


def _damaged(
    pictures: Sequence[Picture], measured: Mapping[str, Measured], done: Written
) -> Iterator[str]:
    """What is to be told of scans that can be shown in spite of their damage."""
    written = set(done.files.values())
    for one in pictures:
        for scan, _ in one.sides if one.file in written else ():
            if measured[scan].state == "truncated" or "corrupt" in (
                measured[scan].state,
                *dict(measured[scan].faults),
            ):
                yield (
                    f"card {one.position}: {named(scan)} is damaged, and so is {one.file}; scan "
                    "this side again."
                )


def _stamps(place: Path) -> Callable[[str], object]:
    def stamp(scan: str) -> object:
        try:
            found = file_stamp(scan_file(place, scan))
        except PictureError:
            return None
        return None if found is None else found.lasting

    return stamp


def made(
    place: Path, todo: Sequence[Picture], wish: ImageOptions, workers: Workers
) -> Iterator[tuple[Picture, bytes | str]]:
    """Each picture with the bytes of its file, or the sentence that says why there are none, in the
    order given."""
    asked: deque[tuple[Picture, Future[bytes | str]]] = deque()
    for one in todo:
        asked.append((one, workers.submit(make, place, one.sides, wish)))
        if len(asked) >= AHEAD:
            first, future = asked.popleft()
            yield first, future.result()
    while asked:
        first, future = asked.popleft()
        yield first, future.result()


def make(place: Path, sides: Sequence[tuple[str, Pose]], wish: ImageOptions) -> bytes | str:
    """The bytes of a picture, or the sentence that says why there are none."""
    try:
        return picture_file(place, tuple(sides), wish)
    except PictureError as error:
        return error.message
    except (OSError, ValueError, MemoryError) as error:
        return (
            f"{printable(sides[0][0], 80)} cannot be made a picture: "
            f"{printable(str(error) or 'too large', 120)}."
        )


def told(done: Written, shown: str) -> str:
    """The sentences about what was written into a folder."""
    for sentences, more in ((done.missing, "could not be made"), (done.damaged, "show damage")):
        for sentence in sentences[:TOLD]:
            tell(sentence)
        if len(sentences) > TOLD:
            tell(f"{len(sentences) - TOLD} more pictures {more}.")
    kept = done.count - done.new - len(done.missing)
    parts = [f"{done.new} pictures written to {shown}"]
    parts += [f"{kept} were there already"] if kept else []
    parts += [f"{done.gone} old ones removed"] if done.gone else []
    return "; ".join(parts) + "."

"""The arguments of pictures that are written: `--images` and all that goes with it."""

from __future__ import annotations

import argparse
from pathlib import Path

from tagger.errors import UsageError
from tagger.exchange.shown.picture_names import DEFAULT
from tagger.imaging.scan.render_side import ImageOptions
from tagger.services.output.pictures import MARGIN, WrittenAs

WIDEST = 20.0  # mm around a card
SMALLEST, LARGEST = 16, 65_500  # pixels; a JPEG that Pillow writes has no longer side
QUALITY = 90
# Without --images they would change nothing, and be taken for done.
_OPTIONS = ("side_by_side", "name", "max_size", "quality", "margin", "srgb")


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
        "--side-by-side",
        action="store_true",
        help="put front and back beside each other in one picture",
    )
    group.add_argument(
        "--name",
        metavar="TEXT",
        help=f"compose the file names like a layout text (default {DEFAULT})",
    )
    group.add_argument(
        "--max-size",
        metavar="PIXELS",
        type=int,
        help="longest edge in pixels (default: as scanned)",
    )
    group.add_argument(
        "--quality",
        metavar="N",
        type=int,
        help=f"JPEG quality, 1 to 100 (default {QUALITY})",
    )
    group.add_argument(
        "--margin",
        metavar="MM",
        type=float,
        help=f"margin around the card in mm (default {MARGIN:.0f})",
    )
    group.add_argument(
        "--srgb",
        action="store_true",
        help="convert colours to sRGB (default: as scanned)",
    )


def read_picture_arguments(given: argparse.Namespace) -> WrittenAs:
    """How the pictures are wanted. Raises UsageError."""
    if given.images is None:
        _refuse_alone(given)
    return WrittenAs(
        ImageOptions(
            _max_size(given.max_size), _quality(given.quality), given.srgb, given.side_by_side
        ),
        _margin(given.margin),
        given.name or DEFAULT,
    )


def _refuse_alone(given: argparse.Namespace) -> None:
    for name in _OPTIONS:
        value = getattr(given, name)
        # By identity, because 0 is equal to False: `--margin 0` was given.
        if value is not None and value is not False:
            raise UsageError(f"--{name.replace('_', '-')} goes with --images DIR.")


def _max_size(given: int | None) -> int | None:
    if given is not None and not SMALLEST <= given <= LARGEST:
        raise UsageError(f"--max-size takes a number of pixels from {SMALLEST} to {LARGEST}.")
    return given


def _quality(given: int | None) -> int:
    quality = QUALITY if given is None else given
    if not 1 <= quality <= 100:
        raise UsageError("--quality takes a number from 1 to 100.")
    return quality


def _margin(given: float | None) -> float:
    # By None, because 0 is a margin that can be asked for.
    margin = MARGIN if given is None else given
    if not 0 <= margin <= WIDEST:
        raise UsageError(f"--margin takes millimetres from 0 to {WIDEST:.0f}.")
    return margin

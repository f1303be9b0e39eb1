"""`tagger show`: scans as previews, in the terminal or for a script."""

from __future__ import annotations

import argparse
import os
import shutil
from collections.abc import Callable
from pathlib import Path

from tagger.commands.arguments import options
from tagger.commands.common import Command
from tagger.config import load_settings
from tagger.core.model.text import printable
from tagger.errors import ATTENTION, DONE, FAILED, PictureError, UsageError
from tagger.extras import installing
from tagger.preview.terminal_capabilities import DRAWINGS, GRAPHICS, Depth, depth_of
from tagger.services.console import complain, out, out_bytes
from tagger.services.drawing import chosen_drawing
from tagger.store.machine.paths import config_file

# cells: the width that is usual, the height that is more than any card needs
WIDEST, HIGHEST = 80, 5000


def _arguments(parser: argparse.ArgumentParser) -> None:
    options.path(parser, "files", "FILE", "a scan; FILE.tif#page=2 for its second page", nargs="+")
    said = "width in cells (default: the terminal's width, at most 80)"
    options.number(parser, "--width", "N", said)
    ways = ", ".join((*DRAWINGS, *GRAPHICS))
    parser.add_argument("--drawing", metavar="WAY", help=f"one of {ways}")
    parser.add_argument("--colours", metavar="COLOURS", help=f"one of {', '.join(Depth)}")


def _run(given: argparse.Namespace) -> int:
    draw = _drawer(_way(given.drawing), _width(given.width), _depth(given.colours))
    failed = 0
    for path in given.files:
        # A single picture is nothing but its rows, so that a script can take it as it is.
        if len(given.files) > 1:
            out(printable(str(path)))
        try:
            draw(path)
        except PictureError as error:
            complain(f"tagger: {error.message}")
            # One file that cannot be shown must not cost the others.
            failed += 1
    if not failed:
        return DONE
    return FAILED if failed == len(given.files) else ATTENTION


def _drawer(way: str, width: int, depth: Depth) -> Callable[[Path], None]:
    """What prints a scan. It raises PictureError."""
    # Loaded here, because a command that needs no pixels should not wait for what reads them.
    from tagger.imaging.scan.pictures import read_picture
    from tagger.preview.drawings import DRAWINGS as BY_NAME

    def print_pixels(path: Path) -> None:
        from tagger.commands.maintain.graphics import print_picture

        picture = read_picture(path.parent, path.name, (width * 16, HIGHEST))
        print_picture(picture, way, width)

    def print_cells(path: Path) -> None:
        drawing = BY_NAME[way]
        grid = (drawing.across, drawing.down)
        picture = read_picture(path.parent, path.name, (width, HIGHEST), grid)
        # The characters are the same in any locale, so they go out as UTF-8 whatever it says.
        for row in drawing.draw(picture, depth):
            out_bytes(f"{row.ansi()}\n".encode())

    return print_pixels if way in GRAPHICS else print_cells


def _width(given: int | None) -> int:
    if given is None:
        return max(1, min(WIDEST, shutil.get_terminal_size().columns - 1))
    if not 1 <= given <= 1000:
        raise UsageError("--width must be a number of cells from 1 to 1000.")
    return given


def _depth(given: str | None) -> Depth:
    """What is asked for, else what the terminal says under NO_COLOR, else the settings, else what
    the terminal says."""
    if given is not None:
        if given not in tuple(Depth):
            raise UsageError(f"--colours must be one of {', '.join(Depth)}.")
        return Depth(given)
    of_terminal = depth_of(os.environ)
    of_settings = load_settings(config_file()).colours
    # NO_COLOR makes a terminal grey, and goes before what stands in a file.
    if of_settings is None or of_terminal is Depth.GREY:
        return of_terminal
    return of_settings


def _way(given: str | None) -> str:
    if given is None:
        return chosen_drawing(load_settings(config_file()).drawing)[0]
    if given not in (*DRAWINGS, *GRAPHICS):
        raise UsageError(f"--drawing must be one of {', '.join((*DRAWINGS, *GRAPHICS))}.")
    if given in GRAPHICS and _lacks_graphics():
        complain(
            f"tagger: {given} needs the extra graphics, which is not installed: "
            f"{installing('graphics')}. Drawn with {DRAWINGS[0]}."
        )
        return DRAWINGS[0]
    return given


def _lacks_graphics() -> bool:
    from tagger.commands.maintain.graphics import missing

    return missing()


HELP = "print scans as previews"
EXAMPLES = (
    "tagger show scans/box12/scan_0001.jpg",
    "tagger show --width 40 --drawing sextants scans/box12/*.jpg | less -R",
    "tagger show --colours 16 scans/box12/scan_0002.jpg",
)
COMMAND = Command("show", HELP, EXAMPLES, _arguments, _run)

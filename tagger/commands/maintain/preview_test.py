"""`tagger preview-test`: a sample of each way of drawing, and which one looks right in this
terminal."""

from __future__ import annotations

import argparse
import os
import sys

from tagger.commands.common import Command
from tagger.config import load_settings
from tagger.errors import DONE, UsageError
from tagger.preview.terminal_capabilities import DRAWINGS, depth_of
from tagger.services.console import complain, out, out_bytes
from tagger.services.drawing import chosen_drawing, remember_drawing
from tagger.store.machine.paths import config_file

CELLS = (28, 9)  # of a sample, across and down
ANSWERS = {str(number): name for number, name in enumerate(DRAWINGS, start=1)}


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--use", metavar="WAY", help=f"use {', '.join(DRAWINGS)}, without asking")


def _run(given: argparse.Namespace) -> int:
    if given.use is not None:
        if given.use not in DRAWINGS:
            raise UsageError(f"--use must be one of {', '.join(DRAWINGS)}.")
        remember_drawing(given.use)
        out(f"Previews are drawn with {given.use} in this terminal.")
        return DONE
    _print_samples()
    # Through a pipe nobody sees the question, or nobody answers it.
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return DONE
    out(
        "Each sample should show the same ring, smooth and whole. If you see boxes, gaps or "
        "question marks, your font lacks the characters."
    )
    complain("Which one looks right? 1, 2 or 3; Enter changes nothing: ")
    _use(sys.stdin.readline().strip())
    return DONE


def _use(answer: str) -> None:
    """Draw from now on as was answered, and say how previews are drawn now."""
    if answer not in ANSWERS:
        now, _ = chosen_drawing(load_settings(config_file()).drawing)
        out(f"Previews are drawn with {now} in this terminal.")
        return
    asked = ANSWERS[answer]
    remember_drawing(asked)
    out(f"Previews are drawn with {asked} in this terminal from now on.")
    # The settings go before the answer; who sees no change should read why.
    now, why = chosen_drawing(load_settings(config_file()).drawing)
    if now != asked:
        out(why or f"But your settings say {now}, so {now} is used.")


def _print_samples() -> None:
    from PIL import Image, ImageDraw

    from tagger.preview.drawings import DRAWINGS as BY_NAME

    # Finer than any way of drawing shows, so that each makes its own of the same picture.
    large = Image.new("RGB", (CELLS[0] * 16, CELLS[1] * 32), (17, 22, 26))
    draw = ImageDraw.Draw(large)
    for step, colour in enumerate([(242, 185, 80), (124, 199, 181), (240, 128, 94)]):
        draw.ellipse(
            (120 - step * 40, 20, 328 - step * 40 + 80 * step, 268),
            outline=colour,
            width=26 - step * 8,
        )
    draw.text((12, 4), "1987", fill=(255, 248, 230), font_size=40)
    for number, name in enumerate(DRAWINGS, 1):
        drawing = BY_NAME[name]
        out(f"{number}  {name}")
        size = (CELLS[0] * drawing.across, CELLS[1] * drawing.down)
        for row in drawing.draw(large.resize(size, Image.Resampling.BOX), depth_of(os.environ)):
            out_bytes(f"   {row.ansi()}\n".encode())
            # As bytes: these characters go out as UTF-8 in any locale.


HELP = "test which way of drawing previews looks right in this terminal"
EXAMPLES = ("tagger preview-test", "tagger preview-test --use quadrants")
COMMAND = Command("preview-test", HELP, EXAMPLES, _arguments, _run)

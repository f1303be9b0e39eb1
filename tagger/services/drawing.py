"""With which characters previews are drawn in this terminal."""

from __future__ import annotations

import os

from tagger.core.model.text import printable
from tagger.errors import TaggerError
from tagger.preview.terminal_capabilities import DRAWINGS, terminal_of
from tagger.store.machine.paths import data_folder
from tagger.store.machine.terminals import TerminalFile

USUAL, FINER, ASKED = DRAWINGS


def chosen_drawing(setting: str) -> tuple[str, str]:
    """The drawing, and what to say about it: what the settings name, else what was found right in
    this terminal.

    Sextants are drawn only where a sample was found right: a font that lacks them shows boxes in
    place of a card."""
    # A font that lacks sextants shows boxes in place of a card.
    if setting == ASKED and _found_right() != ASKED:
        return USUAL, f"To use {ASKED}, run tagger preview-test in this terminal first."
    return setting or _found_right() or USUAL, ""


def print_drawing(setting: str) -> str:
    """The drawing of print that is cut out: the one of previews; where none was chosen quadrants,
    which show a name twice as finely and are in nearly every font that has half blocks."""
    chosen, _ = chosen_drawing(setting)
    # The console of Linux has a font of its own, without quadrants.
    if setting or _found_right() or os.environ.get("TERM") == "linux":
        return chosen
    return FINER


def _found_right() -> str:
    """The drawing whose sample was found right in this terminal; empty where none was."""
    drawing = TerminalFile(data_folder()).get(terminal_of(os.environ))
    # The file may be from another version, with other drawings.
    return drawing if drawing in DRAWINGS else ""


def remember_drawing(drawing: str) -> None:
    """Draw so in this terminal from now on. Raises TaggerError where that cannot be kept."""
    terminal = terminal_of(os.environ)
    TerminalFile(data_folder()).put(terminal, drawing)
    # read anew: what cannot be written is kept in silence, and here it was asked for
    if TerminalFile(data_folder()).get(terminal) != drawing:
        raise TaggerError(
            f"The choice was not kept: {printable(str(data_folder()))} cannot be written to. Make "
            "it writable, then choose again."
        )

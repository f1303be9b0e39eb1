"""What reads the print of a lot's cards for its desk, where that is installed and wanted."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.lot.view import LotView
    from tagger.ui.desk.reading_client import ReadingAhead

PACKAGES = ("rapidocr", "onnxruntime")  # found, never loaded here


def readings_of(view: LotView, folder: Path, settings: Settings) -> ReadingAhead | None:
    """Reads the cards of this lot ahead of the dealer; None where the extra is not installed, or
    the settings say not to."""
    if not settings.read or any(find_spec(name) is None for name in PACKAGES):
        return None
    from tagger.services.reading.read_ahead import ReadAhead

    return ReadAhead(view, folder, settings.model)

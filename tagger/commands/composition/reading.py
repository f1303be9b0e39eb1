"""What reads the print of a lot's cards for its desk, where that is installed and wanted."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tagger.imaging.reading.asked import is_installed

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.ui.desk.background.reading_client import ReadingAhead


def readings_of(folder: Path, settings: Settings) -> ReadingAhead | None:
    """Reads the cards of this folder ahead of the dealer; None where the extra is not installed, or
    the settings say not to."""
    if not settings.read or not is_installed():
        return None
    from tagger.services.reading.read_ahead import ReadAhead

    return ReadAhead(folder, settings)

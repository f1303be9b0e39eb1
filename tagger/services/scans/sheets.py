"""Sheets of several cards, taken apart."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.feeding.order import Sides


def sheet_parts(folder: Path, front: str, back: str | None) -> tuple[tuple[Sides, ...], bool]:
    """The cards of a sheet as names of parts, and whether to look at them. Raises PictureError."""
    from tagger.imaging.survey.split_sheet import split_sheets

    found = split_sheets(folder, front, back)
    return tuple(zip(found.fronts, found.backs, strict=True)), found.ask

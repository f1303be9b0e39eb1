"""Pictures in a workbook: small ones in a column, and links to the files of large ones."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple
from urllib.parse import quote

from PIL import Image

if TYPE_CHECKING:
    from collections.abc import Callable

HEADINGS = ("picture", "small picture")
PIXELS = 160  # the longest side of a small picture
_HIGH, _EDGE = 76, 2  # pixels that it is shown in, and around it
_ROW = (_HIGH + 2 * _EDGE) * 0.75  # points; a pixel is three quarters of one (ECMA-376, 18.18.2)
_WIDE = 9.0  # characters
_SCREEN = 96  # pixels per inch
# more links in one sheet are refused by the programs that open it (Microsoft, "Excel
# specifications and limits")
_MOST = 65_530


class BookPictures(NamedTuple):
    """`links` has for a column what stands before a cell's text in its link; `small` gives the
    small picture of the row that was read last, nothing where there is none."""

    links: Mapping[int, str] = {}
    small: Callable[[], bytes] | None = None


def with_heading(columns: tuple[str, ...]) -> tuple[str, ...]:
    """The columns, and one of small pictures."""
    had = set(map(str.casefold, columns))
    return (*columns, next((name for name in HEADINGS if name not in had), HEADINGS[0]))


class SheetPictures:
    """Writes them into one sheet, whose last column is that of the small ones."""

    def __init__(self, sheet: Any, pictures: BookPictures, column: int, look: Any) -> None:
        self._sheet, self._pictures, self._column, self._look = sheet, pictures, column, look
        self._links = 0
        if pictures.small is not None:
            sheet.set_column(column, column, _WIDE)

    def begin_row(self, row: int) -> None:
        """Make room for a row's picture, and place it."""
        if self._pictures.small is None:
            return
        # a row's height is written with its first cell
        self._sheet.set_row(row, _ROW)
        if data := self._pictures.small():
            self._place(row, data)

    def _place(self, row: int, data: bytes) -> None:
        with Image.open(io.BytesIO(data)) as picture:
            # The library shows a picture in the size that its dots per inch say.
            dots = picture.info.get("dpi", (_SCREEN, _SCREEN))
            across, down = (_HIGH / max(picture.size) * one / _SCREEN for one in dots)
        self._sheet.insert_image(
            row,
            self._column,
            "front.jpg",
            {
                "image_data": io.BytesIO(data),
                "x_offset": _EDGE,
                "y_offset": _EDGE,
                "x_scale": across,
                "y_scale": down,
                # it goes with its row when the sheet is sorted or filtered
                "object_position": 1,
                "decorative": False,
                "description": "front",
            },
        )

    def link(self, row: int, at: int, text: str) -> bool:
        """Write a cell as a link, where it is one; whether it was written."""
        before = self._pictures.links.get(at)
        if before is None or not text or self._links >= _MOST:
            return False
        target = before + text
        if "://" not in target:
            # a relative reference to the file (RFC 3986, 4.2)
            target = f"external:{quote(target)}"
        # below 0 it was not accepted: the address is too long
        self._links += 1
        return int(self._sheet.write_url(row, at, target, self._look, text)) == 0

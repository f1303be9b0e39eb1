"""The fonts of a PDF's text: one for most scripts, and others for letters that it lacks, from the
packages of the extra `pdf`, else from the system's folders. Letters that no font has are written
without their marks, or as escapes."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from PIL import ImageFont

from tagger.core.model.text import fold, printable

FONT = "card"
# Packages with a font each, the Open Font License: Latin, Greek and Cyrillic; Chinese, Japanese and
# Korean.
_PACKAGES = (
    ("fontpkg_noto_sans", "files/NotoSans[wdth,wght].ttf"),
    ("noto_cjk_sans_jp_regular", "NotoSansCJKjp-Regular.otf"),
)
# What systems call fonts with many scripts (common practice, no source).
_SYSTEM = (
    "NotoSans-Regular.ttf", "DejaVuSans.ttf", "NotoSansCJK-Regular.ttc",
    "DroidSansFallbackFull.ttf",
    "wqy-microhei.ttc", "wqy-zenhei.ttc", "unifont.otf", "Arial Unicode.ttf", "arialuni.ttf",
    "arial.ttf", "msyh.ttc", "msgothic.ttc", "malgun.ttf", "PingFang.ttc",
    "AppleSDGothicNeo.ttc",
)  # fmt: skip
_FOLDERS = (
    "/usr/share/fonts", "/usr/local/share/fonts", "~/.local/share/fonts", "~/.fonts",
    "/System/Library/Fonts", "/Library/Fonts", "~/Library/Fonts", "C:/Windows/Fonts",
)  # fmt: skip
_LONGEST = 300  # characters of a line


class Letters:
    """The fonts of one document. It begins with one; others are added when a letter needs them."""

    def __init__(self, pdf: Any) -> None:
        self._pdf = pdf
        self._left = _files()
        self._had: set[int] = set()
        self._names: list[str] = []
        self._known: dict[str, str] = {}
        if not self._add_next():
            self._add_own()
        pdf.set_font(FONT, size=10)

    def shown(self, text: str) -> str:
        """A text in letters that there are glyphs for."""
        return "".join(map(self._letter, printable(text, _LONGEST)))

    def _letter(self, char: str) -> str:
        if char not in self._known:
            self._known[char] = char if self._has(char) else self._instead(char)
        return self._known[char]

    def _has(self, char: str) -> bool:
        while ord(char) not in self._had:
            if not self._add_next():
                return False
        return True

    def _instead(self, char: str) -> str:
        plain = fold(char)
        if plain and all(ord(letter) in self._had for letter in plain):
            return plain.capitalize() if char.isupper() else plain
        return f"\\u{ord(char):04x}"

    def _add_next(self) -> bool:
        for path in self._left:
            try:
                self._add(path)
            # a damaged font of the system, or a kind that the library does not read
            except Exception:
                continue
            return True
        return False

    def _add_own(self) -> None:
        """Pillow's own font, which is always there."""
        # fpdf2 reads fonts from files only
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "card.ttf"
            own: Any = ImageFont.load_default(10)
            file.write_bytes(own.font_bytes)
            self._add(file)

    def _add(self, path: Path) -> None:
        name = f"{FONT}{len(self._names) or ''}"
        self._pdf.add_font(name, "", os.fspath(path))
        self._had.update(self._pdf.fonts[name].cmap)
        self._names.append(name)
        # a regular font stands in for whatever style is set
        self._pdf.set_fallback_fonts(self._names[1:], exact_match=False)


def _files() -> Iterator[Path]:
    yield from _of_packages()
    # looked for only where a letter is missing
    yield from _of_system()


def _of_packages() -> Iterator[Path]:
    for package, file in _PACKAGES:
        spec = find_spec(package)
        for folder in (spec.submodule_search_locations if spec else None) or ():
            if os.path.isfile(path := Path(folder) / file):
                yield path


@cache
def _of_system() -> tuple[Path, ...]:
    found: dict[str, Path] = {}
    for folder in map(os.path.expanduser, _FOLDERS):
        for path in _fonts_in(folder):
            found.setdefault(path.name.casefold(), path)
    wanted = (found.get(name.casefold()) for name in _SYSTEM)
    return tuple(path for path in wanted if path is not None)


def _fonts_in(folder: str) -> Iterable[Path]:
    for top, _, names in os.walk(folder):
        for name in names:
            yield Path(top) / name


def has_library() -> bool:
    """Whether PDFs can have real text here."""
    return find_spec("fpdf") is not None

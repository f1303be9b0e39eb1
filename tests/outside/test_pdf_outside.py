"""PDFs read by Poppler and pypdf: every name in five scripts, the fonts in the file, and the size
of the pages."""

from __future__ import annotations

import pypdf
import pytest
from outside.conftest import SCRIPTS, Files
from support.outside import program, said

pytestmark = pytest.mark.nightly
# points: A4 by ISO 216, letter by ANSI/ASME Y14.1
SIZES = {"a4": (595.28, 841.89), "letter": (612.0, 792.0)}
NAMES = ("sheet-a4", "sheet-letter", "pick-a4", "labels-letter")


@pytest.mark.parametrize("name", NAMES)
def test_every_name_is_read_and_the_fonts_are_in_the_file(files: Files, name: str) -> None:
    path = files.folder / f"{name}.pdf"
    text = said([program("pdftotext", "poppler-utils"), path, "-"])
    document = pypdf.PdfReader(path, strict=True)
    # pypdf reads the two bytes of a glyph one by one where a font brings its own encoding along
    also = "\n".join(page.extract_text().replace("\0", "") for page in document.pages)
    for script, subject in SCRIPTS.items():
        assert subject in text, script
        assert subject in also, script
    fonts = said([program("pdffonts", "poppler-utils"), path]).splitlines()[2:]
    assert fonts
    # "emb sub uni": in the file, only the glyphs that are used, and with what they mean
    assert all(line.split()[-5:-2] == ["yes", "yes", "yes"] for line in fonts), fonts
    wanted = SIZES[name.partition("-")[2]]
    for page in document.pages:
        assert (page.mediabox.width, page.mediabox.height) == pytest.approx(wanted, abs=0.1)
    drawn = files.folder / name
    # what it says of a damaged file stands on standard error, and its status tells
    said([program("pdftoppm", "poppler-utils"), "-r", "30", "-png", path, drawn])
    assert len(list(files.folder.glob(f"{name}-*.png"))) == len(document.pages)

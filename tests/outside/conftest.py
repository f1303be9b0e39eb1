"""A shop's lot for programs from outside: names in five scripts, prices, and what a spreadsheet
would like to take for a date or a number."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from support import folders
from support.shop import harbor, lot_of
from support.small_card import card

from tagger.cli import main
from tagger.core.model.tags import Tags

SCRIPTS = {
    "Latin": "Zofia Łazarek-Ünal",
    "Greek": "Ελένη Παππά",
    "Cyrillic": "Борис Щукин",
    "kana and kanji": "山田さくら",
    "Hangul": "김서준",
}


class Files(NamedTuple):
    """The folder in which all was written, and the lot."""

    folder: Path
    lot: Path


def shop_cards() -> list[Tags]:
    named = [
        harbor(str(at), name, price=f"{at}.50") for at, name in enumerate(SCRIPTS.values(), start=1)
    ]
    odd = [
        harbor("007", "=SUM(1;2)", serial="12/99", parallel="Gold", price="0.10"),
        harbor("3-4", 'a "b", c; d', serial="1/2", parallel="Gold", price="0.20"),
        harbor("1e5", "-1+2", price="€4.00"),
    ]
    return [*named, *odd]


@pytest.fixture(scope="session")
def files(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Files]:
    """Every kind of file, written by the commands once."""
    top = tmp_path_factory.mktemp("outside")
    with pytest.MonkeyPatch.context() as patch:
        for name, value in folders.own_folders(top / "home").items():
            patch.setenv(name, value)
        lot = lot_of(top / "box 12", shop_cards())
        for number in range(1, 2 * len(shop_cards()) + 1):
            card().resize((320, 456)).save(lot / f"scan_{number:04d}.jpg", dpi=(130, 130))
        (top / "out").mkdir()
        out = {name: top / "out" / name for name in ("b.xlsx", "p.html", "f.html")}
        commands = [
            ["export", lot, "--to", out["b.xlsx"], "--images", top / "out" / "p q"],
            ["page", lot, "--to", out["p.html"], "--prices"],
            ["page", lot, "--to", out["f.html"], "--folder"],
            *(
                ["sheet", lot, "--to", top / "out" / f"sheet-{paper}.pdf", "--paper", paper]
                for paper in ("a4", "letter")
            ),
            ["pick", "marsh", "harbor", "--to", top / "out" / "pick-none.csv"],
            ["pick", "harbor", "--to", top / "out" / "pick-a4.pdf"],
            ["labels", "--to", top / "out" / "labels-letter.pdf", "--paper", "letter"],
        ]
        for words in commands:
            assert main([*map(str, words), "--quiet"]) in (0, 1), words
        yield Files(top / "out", lot)

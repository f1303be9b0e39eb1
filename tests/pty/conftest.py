"""Lots for the real program in a real pseudo-terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from support import drawn
from support.opened import Lot


@pytest.fixture(autouse=True)
def not_the_first_time(opened_before: Path) -> None:
    """The card of the first opening is in nobody's way."""


@pytest.fixture(autouse=True)
def nothing_is_read(own_folders: Path) -> None:
    """No card is read by the engine, where that is installed: it would take the time of the tests,
    whose cards hardly have print."""
    config = own_folders / "config" / "tagger" / "config.toml"
    config.parent.mkdir(parents=True)
    config.write_text("[reading]\nread = false\n", encoding="utf-8")


@pytest.fixture
def make_lot(tmp_path: Path, tagger: list[str]) -> Callable[..., Lot]:
    """Makes a lot of so many cards with a checklist of these rows."""

    def make(cards: int, rows: list[drawn.Truth], size: tuple[int, int] = (205, 280)) -> Lot:
        drawn.draw_scans(tmp_path / "box 12", cards, size=size)
        (tmp_path / "list.csv").write_text(drawn.checklist_csv(rows), encoding="utf-8")
        return Lot(tmp_path / "box 12", tmp_path / "list.csv", tagger)

    return make


@pytest.fixture
def lot(make_lot: Callable[..., Lot]) -> Lot:
    """Twelve cards, and a set of 120."""
    return make_lot(12, drawn.set_rows("1987 Harbor Light", 120, seed=5))

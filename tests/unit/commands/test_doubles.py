"""A double is a card of which another copy is still in stock, over all lots that were chosen."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from support.shop import harbor, lot_of, numbers

from tagger.cli import main
from tagger.core.model.copies import kind_of

SERIES = [(("series", name),) for name in ("Bells", "Crowns")]


def listed(capsys: pytest.CaptureFixture[str], *words: str) -> list[str]:
    """The numbers of the cards in a table on standard output."""
    capsys.readouterr()
    assert main([*words, "--to", "-"]) == 0
    return [row["number"] for row in csv.DictReader(capsys.readouterr().out.splitlines())]


def test_a_copy_that_was_sold_makes_no_double(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot = lot_of(tmp_path / "one", [harbor("1", "Ada"), harbor("1", "Ada"), harbor("2", "Bo")])
    export = ("export", str(lot), "--only", "doubles")
    assert listed(capsys, *export) == ["1", "1"]
    assert main(["sold", numbers(lot)[1], "--order", "A-17"]) == 0
    assert listed(capsys, *export) == []
    assert listed(capsys, *export, "--all") == []
    assert listed(capsys, "stock", "doubles") == []


def test_copies_in_two_lots_are_doubles_where_both_are_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one = lot_of(tmp_path / "one", [harbor("RC-1", "Ada"), harbor("2", "Bo")])
    lot_of(tmp_path / "two", [harbor("rc1", "ADA", "Good"), harbor("3", "Cy")])
    assert listed(capsys, "export", "--all-lots", "--only", "doubles") == ["RC-1", "rc1"]
    assert listed(capsys, "export", "--all-lots", "--only=-doubles") == ["2", "3"]
    assert listed(capsys, "export", str(one), "--only", "doubles") == []
    assert sorted(listed(capsys, "stock", "doubles")) == ["RC-1", "rc1"]
    assert listed(capsys, "stock", "doubles", "lot=one") == []


def test_cards_of_two_series_are_no_copies_of_each_other() -> None:
    kinds = {kind_of(replace(harbor("7", "Seven"), extra=extra)) for extra in (*SERIES, ())}
    assert len(kinds) == 3

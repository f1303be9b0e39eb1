"""One question about the stock, asked of several commands: the same answer from each."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from support.shop import HARBOR, harbor, lot_of

from tagger.cli import main
from tagger.core.model.tags import Tags

CAPITALS = HARBOR.upper()


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> Said:
    return Said(capsys)


class Said:
    """What a command prints, and its exit status."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self._capsys, self.status, self.complaints = capsys, 0, ""

    def __call__(self, *words: object) -> str:
        self._capsys.readouterr()
        self.status = main([str(word) for word in words])
        out, self.complaints = self._capsys.readouterr()
        return out

    def rows(self, *words: object) -> list[dict[str, str]]:
        """The rows of a table on standard output."""
        return list(csv.DictReader(io.StringIO(self(*words, "--to", "-"))))


def test_kinds_of_cards_are_counted_as_doubles_are(tmp_path: Path, said: Said) -> None:
    def of_series(name: str) -> Tags:
        return harbor("1", "Bo Reed", extra=(("subset", name),))

    gold = harbor("RC-7", "Ada Marsh", parallel="Gold")
    other = harbor("rc7", "Ada Marsh", "near mint", parallel="GOLD")
    lot = lot_of(tmp_path / "a", [gold, other, of_series("Rookies"), of_series("Stars")])
    kinds = said.rows("export", lot, "--layout", "counts")
    assert [(row["count"], row["number"], row["cards"]) for row in kinds] == [
        ("2", "RC-7", "1; 2"), ("1", "1", "3"), ("1", "1", "4"),
    ]  # fmt: skip
    assert [row["position"] for row in said.rows("export", lot, "--only", "doubles")] == ["1", "2"]

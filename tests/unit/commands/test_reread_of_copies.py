"""Which cards follow a corrected list: those whose parallel and print run it has, and those that
are set aside with their tags."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.shop import HARBOR, harbor, lot_of, marks

from tagger.cli import main
from tagger.config import Settings
from tagger.core.model.tags import Tags
from tagger.services.opening import change
from tagger.store.machine.paths import lot_place

LIST = f"set,number,subject,parallels\n{HARBOR},23,Ada Marsh,Gold /50\n{HARBOR},24,Bo Reed,\n"


def opened(folder: Path, cards: list[Tags], aside: tuple[int, ...] = ()) -> Path:
    """A lot with these cards and the list."""
    lot_of(folder, cards)
    file = folder.parent / "list.csv"
    file.write_text(LIST)
    with change(lot_place(folder, None), Settings(), [file]) as session:
        for position in aside:
            session.go(position)
            session.set_aside("corner")
    return folder


def test_a_card_whose_parallel_or_print_run_the_list_lacks_stays_unlisted(tmp_path: Path) -> None:
    kinds = (("Green", ""), ("Gold", "7/99"), ("", ""), ("gold", "7/50"))
    typed = [
        harbor("23", "Ada Marsh", parallel=parallel, serial=serial, listed=False)  # type: ignore[arg-type]
        for parallel, serial in kinds
    ]
    lot = opened(tmp_path / "one", typed)
    assert main(["checklist", "--reread", str(lot), "--yes"]) == 0
    assert [mark.tags.listed for mark in marks(lot)] == [False, False, True, True]
    assert [mark.tags.parallel for mark in marks(lot)] == ["Green", "Gold", "", "Gold"]


def test_a_card_that_is_set_aside_with_its_tags_follows_its_row_or_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot = opened(
        tmp_path / "two", [harbor("23", "Ada Marsch"), harbor("77", "Gone Row")], aside=(1, 2)
    )
    capsys.readouterr()
    assert main(["checklist", "--reread", str(lot), "--yes"]) == 1
    assert [mark.tags.subject for mark in marks(lot)] == ["Ada Marsh", "Gone Row"]
    assert "card 2" in "".join(capsys.readouterr())

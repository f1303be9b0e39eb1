"""What an export listed is marked, and the next one has only what is new."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from support.tabled import lot_folder

from tagger.cli import main
from tagger.config import Settings
from tagger.core.lot.offers import is_new
from tagger.core.model.tags import Mark, Marking
from tagger.errors import LockedError
from tagger.services.opening import change
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import lot_place

NEW = '[only]\nnew = {}\n[[column]]\ntext = "{{position}}"\n'


class Shop:
    """A lot (see `lot_folder`), and the shop that its cards are listed in."""

    def __init__(self, top: Path) -> None:
        self.folder, self._top = lot_folder(top), top
        for new in ("true", "false"):
            (top / f"{new}.toml").write_text(NEW.format(new))

    def export(self, *more: str, new: str = "true", status: int = 0) -> list[str]:
        """The positions in a table of what is new, or is not."""
        target = self._top / "new.csv"
        words = ["export", str(self.folder), "--to", str(target), "--layout"]
        assert main([*words, str(self._top / f"{new}.toml"), *more]) == status
        rows = list(csv.reader(target.read_text(encoding="utf-8").splitlines()))
        return [row[0] for row in rows[1:]]

    def mark(self, position: int) -> Mark:
        return read_lot(self.folder).card_at(position).mark

    def put(self, position: int, **fields: object) -> None:
        """Change the mark of a card, or its tags."""
        with change(lot_place(self.folder, None), Settings()) as session:
            card = session.view.card_at(position)
            tags = {name: fields.pop(name) for name in ("price", "place") if name in fields}
            after = replace(card.mark, tags=replace(card.mark.tags, **tags), **fields)
            session.enter("changed", [Marking(card.id, card.mark, after)])

    def undo(self) -> None:
        with change(lot_place(self.folder, None), Settings()) as session:
            session.undo()


def test_a_second_export_has_what_was_changed_or_returned_and_nothing_else(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = Shop(tmp_path)
    assert shop.export() == ["1", "3", "5"]  # 2 is set aside, 4 untagged
    assert shop.export("--mark-listed", " my  shop ") == ["1", "3", "5"]
    assert "3 cards marked as listed at my shop." in capsys.readouterr().err
    trade = shop.mark(1).trade
    assert (trade.listed, len(trade.listed_on), len(trade.offered)) == ("my shop", 10, 16)
    assert shop.mark(1).stock == "listed"
    assert shop.export() == []
    assert shop.export(new="false") == ["1", "3", "5"]
    # listed again: nothing changes, and undo has no step more
    before = (shop.folder / "lot.journal").read_bytes()
    shop.export("--mark-listed", "my shop", new="false")
    assert "none is newly listed" in capsys.readouterr().err
    assert shop.mark(1).trade == trade
    assert len((shop.folder / "lot.journal").read_bytes()) == len(before)
    # another place is the same offer, another price is not; nor is one that came back
    shop.put(1, place="box 99")
    shop.put(3, price="9.00")
    returned = shop.mark(5).trade._replace(returned_on="9999-01-01")
    shop.put(5, trade=returned)
    assert shop.export() == ["3", "5"]
    shop.put(5, gone="sold")
    assert shop.export("--mark-listed", "my shop") == ["3"]
    assert shop.export() == []
    shop.undo()
    assert shop.export() == ["3"]


def test_what_is_listed_in_one_shop_is_new_in_another(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = Shop(tmp_path)
    (tmp_path / "named.toml").write_text(NEW.format('"North  Shop"'))
    (tmp_path / "nameless.toml").write_text(NEW.format('" "'))
    shop.export("--mark-listed", "north shop")
    assert shop.export() == []
    assert shop.export(new="named") == []
    assert shop.export("--mark-listed", "web") == ["1", "3", "5"]
    trade = shop.mark(1).trade
    assert [one.shop for one in trade.listings] == ["north shop", "web"]
    assert trade.told("listed").split(", ")[::2] == ["listed north shop", "web"]
    # a price that is new has to be told to both, each once
    shop.put(1, price="9.00")
    assert shop.export("--mark-listed", "web") == ["1"]
    assert shop.export(new="named") == shop.export() == ["1"]
    assert shop.export("--mark-listed", "North shop") == ["1"]
    assert shop.export() == shop.export(new="named") == []
    assert [one.shop for one in shop.mark(1).trade.listings] == ["web", "North shop"]
    column = ["--only", "listed 1-1", "--layout", str(tmp_path / "listed.toml")]
    (tmp_path / "listed.toml").write_text('[[column]]\ntext = "{listed in}"\n')
    assert main(["export", str(shop.folder), "--to", str(tmp_path / "in.csv"), *column]) == 0
    assert "web; North shop" in (tmp_path / "in.csv").read_text()
    # by hand in one more, then in none
    assert main(["sold", str(shop.folder), "1", "--listed", "fair"]) == 0
    assert [one.shop for one in shop.mark(1).trade.listings] == ["web", "North shop", "fair"]
    capsys.readouterr()
    assert main(["sold", str(shop.folder), "1", "--listed", ""]) == 0
    assert "Card 1 no longer listed" in capsys.readouterr().out
    assert not shop.mark(1).trade.listings
    shop.undo()
    assert len(shop.mark(1).trade.listings) == 3
    shop.export("--mark-listed", "web", new="nameless", status=2)
    assert "write new = true, or the name of a shop" in capsys.readouterr().err


def test_a_card_that_was_marked_by_hand_is_not_new(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    shop.put(1, trade=shop.mark(1).trade._replace(listed="fair", listed_on="2026-11-01"))
    assert not is_new(shop.mark(1))
    assert shop.export() == ["3", "5"]


def test_nothing_is_written_where_cards_cannot_be_marked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = Shop(tmp_path)
    words = ["export", str(shop.folder), "--mark-listed", "my shop"]
    target = tmp_path / "box12.csv"
    assert main([*words, "--images", str(tmp_path / "p")]) == 2
    assert "--mark-listed goes with --to FILE." in capsys.readouterr().err
    assert main([*words[:2], "--to", str(target), "--mark-listed", " "]) == 2
    with change(lot_place(shop.folder, None), Settings()):
        assert main([*words, "--to", str(target)]) == LockedError.exit_status
    assert not target.exists()
    # where the table cannot be written, no card is listed
    assert main([*words, "--to", str(tmp_path / "none" / "box12.csv")]) == 3
    assert not shop.mark(1).trade.listed

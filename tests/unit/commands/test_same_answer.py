"""One question about the stock, asked of several commands: the same answer from each."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest
from support.shop import HARBOR, harbor, kept, lot_of

from tagger.cli import main
from tagger.commands.exchange.labels import _of_boxes
from tagger.commands.exchange.sheet import _lines
from tagger.config import Settings
from tagger.core.lot.fields import cards
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.exchange.shown.chart import SetProgress
from tagger.services.opening import change
from tagger.services.output.lot_summary import lot_summary
from tagger.services.stock import read_stock
from tagger.store.machine.paths import lot_place

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


def test_a_set_in_capitals_is_one_set_everywhere(tmp_path: Path, said: Said) -> None:
    (tmp_path / "list.csv").write_text(
        f"set,number,subject\n{HARBOR},23,Ada Marsh\n{HARBOR},24,Bo Reed\n{HARBOR},25,Cy Holm\n"
    )
    capitals = Tags(CAPITALS, "24", "Bo Reed", place="box 7")
    lot = lot_of(tmp_path / "a", [capitals, harbor("23", "Ada Marsh"), harbor("25", "Cy Holm")])
    with change(lot_place(lot, None), Settings(), [tmp_path / "list.csv"]):
        pass
    assert f"By set:\n  {HARBOR}: 3 cards\n" in said("stock")
    sets = json.loads(said("stock", "--json"))["stock"]["sets"]
    assert [(one["name"], one["cards"]) for one in sets] == [(HARBOR, 3)]
    assert said("labels", "--dividers", "--to", tmp_path / "d.pdf") == ""
    assert "1 label on 1 page" in said.complaints
    summary = lot_summary(lot_place(lot, None), kept(lot), None)
    assert list(summary.sets) == [SetProgress(HARBOR, 3, 3, 3)]
    said("export", lot, "--to", tmp_path / "x.xlsx")
    counts = [*openpyxl.load_workbook(tmp_path / "x.xlsx")["counts"].values]
    assert [row[:2] for row in counts[1:]] == [(HARBOR, 3), ("all", 3)]


def test_the_sheet_of_counts_has_a_sold_card_as_the_column_of_states(
    tmp_path: Path, said: Said
) -> None:
    prices = {"23": "$50", "24": "$1", "25": "$2"}
    lot = lot_of(tmp_path / "a", [harbor(at, "Ada Marsh", price=one) for at, one in prices.items()])
    said("sold", lot, "1", "--order", "A")
    said("sold", lot, "2", "--reserved", "Zoe Birch")
    said("export", lot, "--all", "--to", tmp_path / "x.xlsx")
    book = openpyxl.load_workbook(tmp_path / "x.xlsx")
    heads, *cards = book["cards"].values
    at = heads.index("state")
    assert [row[at] for row in cards] == ["sold", "reserved", "tagged"]
    heads, of_set, _ = book["counts"].values
    assert dict(zip(heads, of_set, strict=True)) == {
        "set": HARBOR, "cards": 3, "tagged": 1, "set aside": 0, "untagged": 0,
        "reserved": 1, "sold": 1, "sum of prices $": 3,
    }  # fmt: skip


def test_a_place_is_spelled_as_on_most_cards_everywhere(tmp_path: Path, said: Said) -> None:
    rows = ("BOX 7,ROW 2", "box 7, row 2", "box 7, row 2")
    tagged = [Tags(HARBOR, str(at), "Ada Marsh", place=row) for at, row in enumerate(rows)]
    lot = lot_of(tmp_path / "a", tagged)
    assert "box 7, row 2: 3 cards" in said("stock")
    assert said("pick", "marsh").splitlines()[0] == "box 7, row 2"
    stock = read_stock([lot])
    headings = [label.heading for label in _of_boxes(stock.cards, False)]
    assert headings == ["box 7", "box 7, row 2"]


def test_stock_names_what_its_sums_leave_out_as_value_does(tmp_path: Path, said: Said) -> None:
    lot_of(tmp_path / "a", [harbor("1", "Ada Marsh", price="$2"), harbor("2", "Bo", price="1,250")])
    lot_of(tmp_path / "b", [harbor("3", "Cy Holm", "Gem", extra=(("price", "$4"),))])
    said("value")
    told = said.complaints
    assert "'1,250' cannot be read" in told
    assert "Unknown condition 'Gem'" in told
    said("stock")
    assert (said.status, said.complaints) == (1, told)
    worth = json.loads(said("value", "--json"))
    stock = json.loads(said("stock", "--json"))["stock"]
    for name in ("unreadable", "unknown_conditions"):
        assert stock[name] == worth[name] != []
    assert "1 card in 1 lot" in said("stock", "marsh")
    assert (said.status, said.complaints) == (0, "")
    assert json.loads(said("stock", "marsh", "--json"))["lots"] == 1


def positions(rows: Sequence[dict[str, str]]) -> list[tuple[str, str]]:
    return [(row.get("lot", ""), row["position"]) for row in rows]


def test_a_box_and_a_lots_name_mean_the_same_in_stock_and_export(
    tmp_path: Path, said: Said
) -> None:
    lot_of(tmp_path / "box_12", [Tags(HARBOR, "1", "Ada Marsh", place="box 7")])
    lot_of(tmp_path / "spring", [Tags(HARBOR, "3", "Bo Reed", place="shelf 2, box 7")])
    for words, found in (
        ("at=box 7", [("box_12", "1")]),
        ("lot=box_12", [("box_12", "1")]),
        ("lot=Box", [("box_12", "1")]),
        ("lot=spring reed", [("spring", "1")]),
        ("lot=spring at=box 7", [("spring", "1")]),
        ("lot=spring ada", []),
    ):
        assert positions(said.rows("stock", words)) == found
        assert positions(said.rows("export", "--all-lots", "--only", words)) == found
    assert "Ada Marsh" in said("find", "lot=box_12 ada")
    assert "Ada Marsh" not in said("find", "lot=spring ada")


def test_replaced_means_the_same_cards_in_stock_and_export(tmp_path: Path, said: Said) -> None:
    lot = lot_of(tmp_path / "a", [])
    for scan in range(1, 5):
        (lot / f"scan_{scan:04d}.jpg").write_bytes(b"%d" % scan)
    with change(lot_place(lot, None), Settings()) as session:
        session.take_in([f"scan_{scan:04d}.jpg" for scan in range(1, 5)], [])
        ada, bo = session.view.card_at(1), session.view.card_at(2)
        named = Tags(HARBOR, "1", "Ada Marsh"), Tags(HARBOR, "2", "Bo Reed")
        session.enter(
            "tagged",
            [
                Marking(one.id, one.mark, Mark(State.TAGGED, tags))
                for one, tags in zip((ada, bo), named, strict=True)
            ],
        )
    (lot / "scan_0003.jpg").write_bytes(b"another card")
    for words, found in (("replaced", ["2"]), ("-replaced", ["1"])):
        rows = said.rows("export", lot, f"--only={words}")
        assert [row["position"] for row in rows] == found
    assert positions(said.rows("stock", "replaced")) == [("a", "2")]


@pytest.mark.parametrize(
    "words", ["parallel=base", "parallel=", "base", "set=harbor parallel=base"]
)
def test_the_base_cards_are_found_as_they_are_filtered(
    tmp_path: Path, said: Said, words: str
) -> None:
    lot_of(
        tmp_path / "a",
        [harbor("1", "Ada Marsh", parallel="Gold"), harbor("2", "Bo Reed"), harbor("3", "Cy Holm")],
    )
    assert positions(said.rows("stock", words)) == [("a", "2"), ("a", "3")]
    document = json.loads(said("find", "--json", words))
    assert [card["position"] for card in document["cards"]] == [2, 3]


def test_a_checklist_that_is_gone_is_told_by_the_exit_status_everywhere(
    tmp_path: Path, said: Said
) -> None:
    listed = tmp_path / "list.csv"
    listed.write_text(f"set,number,subject,price\n{HARBOR},23,Ada Marsh,1\n")
    lot = lot_of(tmp_path / "a", [harbor("23", "Ada Marsh", extra=(("price", "1"),))])
    with change(lot_place(lot, None), Settings(), [listed]):
        pass
    commands = (["value"], ["stock"], ["export", lot, "--to", "-"])
    for gone in (False, True):
        for words in commands:
            said(*words)
            assert said.status == gone, words
        listed.unlink(missing_ok=True)


@pytest.mark.parametrize("typed", ["nm", "near-mint", "NEAR MINT"])
def test_a_condition_is_typed_in_a_layout_as_in_a_filter(
    tmp_path: Path, said: Said, typed: str
) -> None:
    lot = lot_of(tmp_path / "a", [harbor("1", "Ada Marsh"), harbor("2", "Bo Reed", "Good")])
    layout = tmp_path / "near.toml"
    layout.write_text(f'[only]\ncondition = ["{typed}"]\n[[column]]\ntext = "{{position}}"\n')
    assert said("export", lot, "--layout", layout, "--to", "-").split() == ["position", "1"]
    assert said.status == 0


def test_each_of_two_people_is_filtered_by_the_whole_surname(tmp_path: Path, said: Said) -> None:
    lot_of(tmp_path / "a", [harbor("24", "Evka St. Clair / Gil Torman"), harbor("1", "Bo Reed")])
    assert positions(said.rows("stock", "stclair")) == [("a", "1")]
    assert positions(said.rows("stock", "subject=stclair")) == [("a", "1")]
    assert "St. Clair" in said("find", "stclair")


def test_a_contact_sheet_says_which_card_was_set_aside(tmp_path: Path) -> None:
    lot = lot_of(tmp_path / "a", [harbor("1", "Ada Marsh", parallel="Gold")])
    with change(lot_place(lot, None), Settings()) as session:
        session.go(1)
        session.set_aside("corner")
    (card,) = cards(kept(lot))
    assert _lines(card) == (
        "1  #1 Ada Marsh", HARBOR, "set aside: corner, Gold, Near Mint, box 7",
    )  # fmt: skip

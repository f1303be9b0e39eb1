"""An edited export, held against what it was exported from: newer tags are never reverted, no edit
is lost, and what was changed in both is told."""

from __future__ import annotations

import csv
import gzip
import json
import random
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from support.tabled import lot_folder, lot_of, tags_of

from tagger.cli import main
from tagger.core.lot.change import StockBegun
from tagger.core.lot.lot import LotState
from tagger.core.model.arrangement import Arrangement
from tagger.core.model.condition import Scale
from tagger.core.model.tags import Marking, Tags
from tagger.core.session.session import Session
from tagger.exchange.column_mapping import map_columns
from tagger.exchange.export_base import BaseWriter, read_base
from tagger.exchange.import_diff import Based, ImportedRow, plan_import
from tagger.exchange.import_values import ValueRules
from tagger.exchange.rows import RowCount, inventory
from tagger.store.lot.lot_file import LotFile, read_lot

Rows = list[dict[str, str]]
RULES = ValueRules(Scale(), lambda tags: None)
WHAT = ("set", "number", "subject", "team", "parallel")
OTHER = ("place", "note")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A lot whose tagged cards have stock numbers."""
    folder = lot_folder(tmp_path)
    store = LotFile(folder, "box 12")
    store.note(StockBegun("HL"))
    store.close()
    return folder


def exported(folder: Path) -> tuple[Path, Rows]:
    target = folder.parent / "box.csv"
    assert main(["export", str(folder), "--to", str(target), "--force"]) == 0
    with target.open(newline="", encoding="utf-8") as file:
        return target, list(csv.DictReader(file))


def saved(target: Path, rows: Rows) -> None:
    with target.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]), delimiter=";")
        writer.writeheader()
        writer.writerows(rows)


def tag(folder: Path, position: int, **changes: str) -> None:
    """Change a card in the lot."""
    session = Session(LotFile(folder, "box 12"))
    card = session.view.card_at(position)
    after = replace(card.mark, tags=replace(card.mark.tags, **changes))
    session.enter("by hand", [Marking(card.id, card.mark, after)])
    session.close()


def run(capsys: pytest.CaptureFixture[str], folder: Path, *more: str) -> tuple[int, str, str]:
    capsys.readouterr()
    status = main(["import", str(folder), *more])
    return (status, *capsys.readouterr())


def test_only_what_was_edited_outside_is_imported_and_a_conflict_is_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target, rows = exported(folder)
    tag(folder, 1, place="box 9", note="newer")
    tag(folder, 3, place="box 9")
    rows[0].update(note="outside", team="Terns")
    rows[2].update(Price="$9.00")
    # sorted, shortened, typed anew by a spreadsheet
    rows[0]["serial"] = "Dec-99"
    saved(target, [rows[2], rows[0]])
    status, out, err = run(capsys, folder, str(target), "--yes")
    assert status == 1
    assert out.splitlines() == [
        'card 3: Price "12.00" → "$9.00"',
        'card 1: team "Gulls" → "Terns"',
        'card 1: conflict in note: exported "", in the file "outside", in the lot "newer"',
    ]
    assert "1 conflict: changed in the file and in the lot since the export." in err
    assert "Compared with the lot as it is now" not in err
    tags = tags_of(folder, 1)
    assert (tags.note, tags.place, tags.team, tags.serial) == ("newer", "box 9", "Terns", "12/99")
    tags = tags_of(folder, 3)
    assert (tags.price, tags.place) == ("$9.00", "box 9")
    # once more, and with the lot as the file has it: the conflict stays, nothing else is there
    status, out, _ = run(capsys, folder, str(target), "--json")
    document = json.loads(out)
    assert (status, document["differences"]) == (1, [])
    assert document["conflicts"] == [
        {"position": 1, "field": "note", "exported": "", "file": "outside", "lot": "newer"}
    ]
    tag(folder, 1, note="outside")
    assert run(capsys, folder, str(target))[0] == 0


def test_a_file_may_be_edited_and_imported_again(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target, rows = exported(folder)
    for word in ("soft corner", "crease", ""):
        rows[0]["note"] = word
        saved(target, rows)
        assert run(capsys, folder, str(target), "--yes")[0] == 0
        assert tags_of(folder, 1).note == word
    # what was changed in the lot meanwhile is still a conflict
    tag(folder, 1, note="newer")
    rows[0]["note"] = "older"
    saved(target, rows)
    assert run(capsys, folder, str(target), "--yes")[0] == 1
    assert tags_of(folder, 1).note == "newer"


def test_a_row_follows_its_card_across_a_fix(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target, rows = exported(folder)
    assert main(["fix", str(folder), "2", "missing", "back"]) == 0
    before = {
        card.mark.running: card.mark
        for card in map(read_lot(folder).card_at, range(1, read_lot(folder).cards + 1))
    }
    rows[2].update(note="mine")
    saved(target, rows)
    assert run(capsys, folder, str(target), "--yes")[0] == 0
    lot = read_lot(folder)
    after = {card.mark.running: card.mark for card in map(lot.card_at, range(1, lot.cards + 1))}
    changed = {running for running in after if after[running] != before.get(running)}
    assert [after[running].tags.note for running in changed] == ["mine"]
    assert str(rows[2]["stock number"]).startswith(f"HL-{changed.pop():04d}-")
    # a card without a stock number is told by its scans
    rows[3].update(number="9", subject="Ida Toll")
    saved(target, rows)
    status, _, err = run(capsys, folder, str(target), "--yes")
    assert status == 3
    assert "export the lot again" in err


def test_a_column_that_was_sorted_alone_is_refused(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target, rows = exported(folder)
    one, other = rows[0], rows[2]
    one["stock number"], other["stock number"] = other["stock number"], one["stock number"]
    saved(target, rows)
    status, _, err = run(capsys, folder, str(target), "--yes")
    assert status == 3
    assert "sort whole rows only" in err


def test_without_a_base_it_is_compared_as_it_is_and_says_so(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target, rows = exported(folder)
    base = Path(f"{target}.base")
    tag(folder, 1, place="box 9")
    moved = base.rename(base.with_name("elsewhere"))
    status, out, err = run(capsys, folder, str(target))
    assert out == 'card 1: place "box 9" → "box 3, row 2"\n'
    assert "it is not known what the file was exported from" in err
    # with it nothing was edited, which is not to say that the two are alike
    said = run(capsys, folder, str(target), "--base", str(moved))
    assert said[:2] == (0, "")
    assert "the lot has newer tags and keeps them" in said[2]
    # named, also for a table in another form
    book = openpyxl.Workbook()
    for row in (list(rows[0]), *(list(row.values()) for row in rows)):
        book.active.append(row)
    book.save(target.with_suffix(".xlsx"))
    status, out, err = run(capsys, folder, str(target.with_suffix(".xlsx")), "--base", str(moved))
    assert (status, out) == (0, "")
    # of another lot, damaged, or gone
    head, *lines = gzip.decompress(moved.read_bytes()).splitlines(keepends=True)
    base.write_bytes(gzip.compress(b"".join([head.replace(b'"HL"', b'"KX"'), *lines])))
    assert "exported from another lot" in run(capsys, folder, str(target))[2]
    told = [line.replace(b'"box 3, row 2"', b'"\\u001b[2J"') for line in lines]
    base.write_bytes(gzip.compress(b"".join([head, *told])))
    assert "\x1b" not in "".join(map(str, run(capsys, folder, str(target))))
    base.write_bytes(moved.read_bytes()[:-9])
    assert "is damaged" in run(capsys, folder, str(target), "--yes")[2]
    assert "There is no file" in run(capsys, folder, str(target), "--base", "gone")[2]
    assert tags_of(folder, 1).place == "box 9"


@pytest.mark.parametrize("data", [b"", b"x"])
def test_what_is_not_packed_is_no_base(data: bytes) -> None:
    with pytest.raises(ValueError, match=r".+"):
        read_base(data)


@pytest.mark.parametrize(
    "lines",
    [
        b"{}\n",
        b"[]",
        b"\xff",
        b'{"format":1,"part":"","columns":["a"],"fields":["position"]}\n[1]\n',
        b'{"format":1,"part":"","columns":[],"fields":[]}\n',
        b'{"format":1,"part":"","columns":["position"],"fields":["position"]}\n[1e999,1,"1"]\n',
        pytest.param(b"[" * 100_000, id="100,000 brackets"),
    ],
)
def test_a_file_that_is_not_a_base_is_told(lines: bytes) -> None:
    with pytest.raises(ValueError, match=r".+"):
        read_base(gzip.compress(lines))


def test_what_cannot_be_imported_has_no_base(folder: Path, tmp_path: Path) -> None:
    for name, more in (("a.csv", ["--layout", "counts"]), ("b.csv", ["--layout", "listing"])):
        assert main(["export", str(folder), "--to", str(tmp_path / name), *more]) == 0
        assert not (tmp_path / f"{name}.base").exists()
    # nor is what lies there by chance written over
    (tmp_path / "c.csv.base").write_bytes(b"the dealer's own")
    assert main(["export", str(folder), "--to", str(tmp_path / "c.csv")]) == 2
    assert not (tmp_path / "c.csv").exists()


# 300 merges, held against a merge of its own, field by field


def merged(base: str, file: str, lot: str) -> tuple[str, bool]:
    """(what one cell comes to, whether it is a conflict): diff3 of one line. S. Khanna, K. Kunal
    and B. Pierce, "A Formal Investigation of Diff3", 2007, section 2: a chunk changed in one is
    that one's, changed alike in both it is that, and changed in both otherwise it conflicts."""
    if file in (base, lot):
        return lot, False
    return (file, False) if lot == base else (lot, True)


def edits(rng: random.Random, cards: int) -> dict[int, dict[str, str]]:
    return {
        at: {name: f"word {rng.randrange(3)}" for name in (*WHAT, *OTHER) if rng.random() < 0.2}
        for at in range(cards)
        if rng.random() < 0.7
    }


def test_300_merges_lose_nothing_and_tell_every_conflict() -> None:
    for seed in range(300):
        check_merge(seed)


def check_merge(seed: int) -> None:
    """One table, edited at random on both sides."""
    rng = random.Random(f"three ways {seed}")
    cards = rng.randint(1, 6)
    before = [Tags(**{name: f"{name} {at}" for name in (*WHAT, *OTHER)}) for at in range(cards)]
    lot = lot_of(*before)
    count = RowCount()
    table = inventory(lot, count)
    writer = BaseWriter(lot.part, table.columns, table.fields)
    rows = []
    for row in table.rows:
        writer.row(count.last, row)
        rows.append(dict(zip(table.columns, map(str, row), strict=True)))
    outside, inside = edits(rng, cards), edits(rng, cards)
    for at, changes in outside.items():
        rows[at].update(changes)
    now = {at: replace(tags, **inside.get(at, {})) for at, tags in enumerate(before)}
    lot = lot_of(*now.values())
    kept = rng.sample(range(cards), rng.randint(1, cards))
    heads = rng.sample(table.columns, len(table.columns))
    found = plan_import(
        lot,
        "file",
        map_columns(heads, (), None, "file")[0],
        [ImportedRow(str(at), tuple(rows[at][name] for name in heads)) for at in kept],
        RULES,
        Based(*read_base(b"".join(writer.finished())), heads),
    )
    assert found.problems == []
    after = {mark.id - 1: mark.after.tags for mark in found.markings}
    told = {(one.position - 1, one.field): one.file for one in found.conflicts}
    for at in range(cards):
        got = after.pop(at, now[at])
        for name in (*WHAT, *OTHER):
            base, own = getattr(before[at], name), getattr(now[at], name)
            file = rows[at][name] if at in kept else base
            wanted, clash = merged(base, file, own)
            # what a card is counts as one
            moved = any(getattr(before[at], one) != getattr(now[at], one) for one in WHAT)
            if name in WHAT and moved and file not in (base, own):
                wanted, clash = own, True
            assert getattr(got, name) == wanted
            assert (told.pop((at, name), None) == file) == clash
    assert (after, told) == ({}, {})


def test_a_row_follows_its_card_across_new_file_names_and_places() -> None:
    before = lot_of(Tags(number="1"), Tags(number="2"))
    before.part = "HL"
    before.apply(StockBegun("HL"))
    count = RowCount()
    table = inventory(before, count)
    writer = BaseWriter(before.part, table.columns, table.fields)
    rows = []
    for row in table.rows:
        writer.row(count.last, row)
        rows.append([*map(str, row)])
    rows[1][table.columns.index("note")] = "mine"
    one, other = before.arrangement.pairs
    pairs = (other._replace(front="a.jpg"), one._replace(back="b.jpg"))
    now = LotState(Arrangement(pairs=pairs), dict(before.marks), part="HL")
    columns, _ = map_columns(table.columns, (), None, "file")
    found = plan_import(
        now,
        "file",
        columns,
        [ImportedRow(str(at), tuple(row)) for at, row in enumerate(rows)],
        RULES,
        Based(*read_base(b"".join(writer.finished())), table.columns),
    )
    assert [(mark.id, mark.after.tags.note) for mark in found.markings] == [(other.id, "mine")]
    assert [one.position for one in found.differences] == [1]

"""Whoever reads a lot is told what is wrong with it: by every command, with exit status 1."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from support import drawn
from support.small_card import card

from tagger.cli import main
from tagger.commands.grammar import VERBS
from tagger.core.session.session import Session
from tagger.errors import ATTENTION
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder

pytestmark = pytest.mark.usefixtures("work_at_hand")

LOT = "{lot}"
# a line of each command that reads a lot without opening it for work
READERS = {
    "status": ["status", LOT],
    "audit": ["audit", LOT],
    "export": ["export", LOT, "--to", "{out}.csv"],
    "import": ["import", LOT, "{same}", "--yes"],
    "sheet": ["sheet", LOT, "--to", "{out}.png"],
    "page": ["page", LOT, "--to", "{out}.html"],
    "find": ["find", "8"],
    "sets": ["sets", LOT],
    "value": ["value"],
    "lots": ["lots"],
    "stock": ["stock"],
    "pick": ["pick"],
    "sales": ["sales"],
    "labels": ["labels", "--to", "{out}.pdf"],
    "read": ["read", LOT],
    "dividers": ["dividers", "at=box 7", "--to", "{out}.pdf"],
}
# those that open it for work tell it on their own and exit 3; the others read no lot
OPENERS = {"open", "fix", "sold", "move", "cost", "repair"}
NO_LOT = {
    "match", "demo", "measure", "hub", "checklist", "show", "preview-test", "completion", "help",
}  # fmt: skip


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A lot of three cards that are tagged, on this machine's list, with a checklist."""
    folder = tmp_path / "box 12"
    folder.mkdir()
    scans = [f"scan_{number}.png" for number in range(1, 7)]
    for name in scans:
        card().save(folder / name)
    checklist = tmp_path / "list.csv"
    checklist.write_text(
        drawn.checklist_csv(drawn.set_rows("1987 Harbor Light", 20, 5)), encoding="utf-8"
    )
    session = Session(LotFile(folder, "box 12"), clock=lambda: 1000.0)
    session.take_in(scans, [str(checklist)])
    for hint in ("7 marsh", "8 lund", "9 flint"):
        session.take_unlisted(hint)
    session.close()
    LotList(data_folder()).opened(LotPlace(folder, folder))
    assert main(["export", str(folder), "--to", str(tmp_path / "same.csv")]) == 0
    return folder


def flip_a_bit(lot: Path) -> None:
    journal = bytearray((lot / "lot.journal").read_bytes())
    journal[journal.index(b'"label":"card 2') + 12] ^= 1
    (lot / "lot.journal").write_bytes(journal)
    (lot / "lot.json").unlink()


def flip_a_bit_of_the_last_line(lot: Path) -> None:
    journal = bytearray((lot / "lot.journal").read_bytes())
    journal[journal.rindex(b'"k":') + 5] ^= 1
    (lot / "lot.journal").write_bytes(journal)


def edit_by_hand(lot: Path) -> None:
    document = json.loads((lot / "lot.json").read_bytes())
    document["cards"]["1"]["subject"] = "Torbel"
    (lot / "lot.json").write_text(json.dumps(document), encoding="utf-8")


def lose_the_journal(lot: Path) -> None:
    (lot / "lot.journal").unlink()


def line(words: list[str], lot: Path) -> list[str]:
    top = lot.parent
    return [
        word.format(lot=lot, out=top / "out", same=top / "same.csv") if "{" in word else word
        for word in words
    ]


def test_every_command_is_known_here():
    assert READERS.keys() | OPENERS | NO_LOT == set(VERBS)


@pytest.mark.parametrize(
    ("harm", "said"),
    [
        (flip_a_bit, "lot.journal is damaged in line"),
        (flip_a_bit_of_the_last_line, "the last change in lot.journal is damaged"),
        (edit_by_hand, "lot.json was edited outside tagger"),
        (lose_the_journal, "lot.journal is missing"),
    ],
)
def test_every_command_that_reads_a_lot_tells_its_trouble(
    lot: Path, harm: Callable[[Path], None], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    harm(lot)
    capsys.readouterr()
    for words in READERS.values():
        # twice: what was read once is kept in a cache
        for _ in range(2):
            status = main(line(words, lot))
            told = [one for one in capsys.readouterr().err.splitlines() if said in one]
            assert status >= ATTENTION, words
            assert len(told) == 1, words
            # a change that is refused for the trouble says so itself
            assert told[0].startswith((str(lot), "tagger: Nothing was imported: lot.")), words


def test_a_lot_that_was_repaired_is_told_no_more(
    lot: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flip_a_bit(lot)
    assert main(["find", "8"]) == ATTENTION
    assert main(["repair", str(lot), "--apply"]) == 0
    for words in (READERS["status"], READERS["lots"], READERS["find"]):
        capsys.readouterr()
        assert main(line(words, lot)) == 0
        assert "damaged" not in capsys.readouterr().err


def test_a_lot_that_cannot_be_read_at_all_is_told_by_the_list_of_lots(
    lot: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("lot.json", "lot.journal"):
        (lot / name).unlink()
        (lot / name).mkdir()
    capsys.readouterr()
    assert main(["lots"]) == ATTENTION
    told = capsys.readouterr()
    assert "box 12  cannot be read" in told.out
    assert told.err.startswith(f"{lot}: ")

"""A list as dealers have them, new at the real terminal: shown in six lines, asked about once, and
tagged from row by row; renamed, it is known again."""

from __future__ import annotations

import sys
from pathlib import Path

from support.drawn import draw_scans
from support.folders import own_folders
from support.terminal import Terminal

from tagger.core.model.tags import Tags
from tagger.store.lot.lot_file import read_lot

OPEN = [sys.executable, "-m", "tagger", "open"]
LEAVE = "\x18"
# years, variations with print runs, and a subset whose numbers are those of the set as well
LIST = """The Harbor Club's list,,,,,,
Year,Set,Subset,No.,Player,Variation,Print Run
1987,Harbor Light,,1,Ada Marsh,,
1987,Harbor Light,,1,Ada Marsh,Gold,50
1987,Harbor Light,,2,Bo Tern,,
1987,Harbor Light,Night Watch,1,Cy Orr,,
1987,Harbor Light,Night Watch,2,Di Pell,,
1988,Harbor Light,,1,Ed Lund,,
1988,Harbor Light,,2,Flo Gray,,
1988,Harbor Light,,2,Flo Gray,Silver,25
Total,,,8,,,
"""
TYPED = (
    ("87 1 g 7/50", "ADA MARSH", ("1987 Harbor Light", "1", "Ada Marsh", "Gold", "7/50", "")),
    ("night 1", "CY ORR", ("1987 Harbor Light", "1", "Cy Orr", "", "", "Night Watch")),
    ("night 2", "DI PELL", ("1987 Harbor Light", "2", "Di Pell", "", "", "Night Watch")),
    ("bo", "BO TERN", ("1987 Harbor Light", "2", "Bo Tern", "", "", "")),
    ("88 1", "ED LUND", ("1988 Harbor Light", "1", "Ed Lund", "", "", "")),
    ("2 s 3/25", "FLO GRAY", ("1988 Harbor Light", "2", "Flo Gray", "Silver", "3/25", "")),
)


def _said(tags: Tags) -> tuple[str, ...]:
    series = dict(tags.extra).get("Subset", "")
    return (tags.set, tags.number, tags.subject, tags.parallel, tags.serial, series)


def test_a_list_is_asked_about_once_and_tagged_from_row_by_row(tmp_path: Path) -> None:
    """The question shows how the list was read; Enter answers it, and tags nothing."""
    club = tmp_path / "club.csv"
    club.write_text(LIST, encoding="utf-8")
    draw_scans(tmp_path / "lot", len(TYPED), size=(50, 70))
    env = own_folders(tmp_path)
    command = [*OPEN, str(tmp_path / "lot")]
    with Terminal([*command, "--checklist", str(club)], env=env) as terminal:
        terminal.wait_for("Is this list read right")
        for line in ("6 cards in 2 sets", "Subset = subset", "#1 Ada Marsh; Gold /50"):
            assert line in terminal.text()
        terminal.send("\r")
        terminal.wait_gone("Is this list read right")
        terminal.wait_for("card 1 of 6 .* 0 tagged")
        for at, (typed, shown, _) in enumerate(TYPED, start=1):
            terminal.send(typed)
            terminal.wait_for(shown)
            terminal.send("\r")
            terminal.wait_for(f"{at} tagged")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    lot = read_lot(tmp_path / "lot")
    assert [_said(lot.mark(pair.id).tags) for pair in lot.arrangement.pairs] == [
        row for _, _, row in TYPED
    ]
    # asked once; and under another name the lot finds it by its content
    with Terminal(command, env=env) as terminal:
        terminal.wait_for("6 tagged")
        terminal.settle()
        assert "Is this list" not in terminal.text()
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    club.rename(tmp_path / "harbor club.csv")
    with Terminal(command, env=env) as terminal:
        terminal.wait_for(r"The checklist club\.csv is now harbor club\.csv")
        terminal.settle()
        assert "Is this list" not in terminal.text()
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    assert read_lot(tmp_path / "lot").checklists == (str(tmp_path / "harbor club.csv"),)

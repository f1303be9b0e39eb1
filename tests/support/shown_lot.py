"""A lot to be shown to others: ten cards with pictures, some of their texts hostile, and what is
true of it.

| card | is |
| --- | --- |
| 1, 2, 3, 4 | Harbor Light 1, 2 gold, 1 again, 3 that was sold |
| 5 | of the set with the hostile name, its subject hostile too |
| 6 | in no checklist, its subject a script |
| 7 | set aside, its reason hostile |
| 8 | Harbor Light 4, the file of its front cut short |
| 9, 10 | untagged; 10 has no back |
"""

from __future__ import annotations

from pathlib import Path

from support import drawn
from tagger.cli import main
from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile

HARBOR, HOSTILE = "1987 Harbor Light", '<u>Pond</u> & "Co" \u202eevil\u2066'
IMAGE, CODE, REASON = (
    "<img src=x onerror=alert(1)>",
    "<script>alert('1')</script>",
    '"><svg onload=alert(1)>',
)
LIST = (
    "set,number,subject,team,parallels,price\n"
    + "".join(
        f"{HARBOR},{number},{name},Gulls,Gold /99,1.50\n"
        for number, name in enumerate(("Ada", "Bo", "Cyr"), 1)
    )
    + f"{HARBOR},4,محمد علي,Gulls,,1.50\n{HARBOR},5,Edo,Gulls,,1.50\n"
    + "".join(
        f'"{HOSTILE.replace(chr(34), chr(34) * 2)}",{number},{IMAGE},Foxes,,\n'
        for number in (1, 2, 3)
    )
)
COUNTS = {"cards": 10, "tagged": 7, "set aside": 1, "untagged": 2, "sold or pulled": 1}
BASE = {HARBOR: (2, 5), HOSTILE: (1, 3)}
"""Base cards that are there, and of how many: Harbor Light 1 and 4; 2 is gold only, 3 was sold."""
CUT_SHORT = "scan_0015.jpg"


def shown_lot(top: Path) -> Path:
    """Make the lot and return its folder."""
    folder = top / "box <i>12"
    drawn.draw_scans(folder, 10)
    (folder / "scan_0020.jpg").unlink()
    whole = (folder / CUT_SHORT).read_bytes()
    (folder / CUT_SHORT).write_bytes(whole[: len(whole) // 2])
    checklist = top / "list.csv"
    checklist.write_text(LIST, encoding="utf-8")
    session = Session(LotFile(folder, folder.name))
    session.candidates.matcher = Matcher(Index(parse_checklist(LIST.encode(), "list.csv", "list")))
    session.take_in(sorted(path.name for path in folder.glob("scan_*.jpg")), [str(checklist)])
    for hint in ("1 ada nm at=box 3", "2 gold 12/99 set=harbor", "1 ada", "3 cyr", "1 set=pond"):
        session.take(session.candidates.of(hint)[0])
    session.take_unlisted(f"77 set=Odd name={CODE}")
    session.set_aside(REASON)
    session.take(session.candidates.of("4 set=harbor")[0])
    session.close()
    assert main(["sold", str(folder), "4"]) == 0
    return folder

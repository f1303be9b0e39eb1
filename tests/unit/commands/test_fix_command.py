"""`tagger fix FOLDER WORDS`: what the lot's file says afterwards, whose tags are whose, and what
is refused."""

from __future__ import annotations

import json
import random
import shutil
from pathlib import Path

import pytest
from support import drawn
from support.card_art import side, written
from support.card_sets import card_set
from support.drawn_once import drawn_once
from support.scanned import Scanner, fed, jpeg, sheet, turned_over

from tagger.cli import main
from tagger.config import load_settings
from tagger.core.session.session import Session
from tagger.imaging.scan.folder import list_scans
from tagger.services.lot_places import place_of_folder
from tagger.services.opening import change
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.paths import config_file

pytestmark = pytest.mark.usefixtures("work_at_hand")

CARDS = 6
BESIDE = "../box13"  # a folder beside the lot's own
Cards = list[tuple[str | None, str | None]]


def scan(number: int) -> str:
    return f"scan_{number:04d}.jpg"


def pairs(*numbers: tuple[int, int]) -> Cards:
    """Cards by the numbers of their scans; 0 is a side that is missing."""
    return [tuple(scan(number) if number else None for number in card) for card in numbers]


EVEN = [(2 * card - 1, 2 * card) for card in range(1, CARDS + 1)]


def tag(folder: Path, only: set[int] | None = None, set_name: str = "") -> dict[str, str]:
    """Tag cards of a lot (positions; None: all) with a subject each of its own; the subjects by
    both scans."""
    store = LotFile(folder, folder.name)
    subjects = {}
    try:
        session = Session(store, clock=lambda: 0.0)
        session.take_in(list_scans(folder).scans)
        for position in range(1, session.view.cards + 1):
            if only is not None and position not in only:
                continue
            session.go(position)
            subject = f"{folder.name} {position}"
            session.take_unlisted(
                f'{position} name="{subject}"' + f" set={set_name}" * bool(set_name)
            )
            card = session.view.card_at(position)
            subjects |= {
                name: card.mark.tags.subject for name in (card.front, card.back) if name is not None
            }
        session.go(1)
    finally:
        store.close()
    return subjects


class Box:
    """A lot of six cards, tagged all or some of them, with what its file says."""

    def __init__(self, folder: Path, only: set[int] | None = None, set_name: str = "") -> None:
        self.folder = folder
        drawn.draw_scans(folder, CARDS, size=(60, 84))
        self.subjects = tag(folder, only, set_name)

    def mend(self, *words: str) -> int:
        return main(["fix", str(self.folder), *words])

    def document(self) -> dict:
        return json.loads((self.folder / "lot.json").read_text(encoding="utf-8"))

    def mending(self) -> dict:
        return self.document()["state"]["1"].get("mending", {})

    def in_order(self) -> list[dict]:
        document = self.document()
        return [document["cards"][str(id)] for id in document["state"]["1"]["order"]]

    def cards(self) -> Cards:
        return [(card.get("front"), card.get("back")) for card in self.in_order()]

    def tagged(self) -> dict[str, str]:
        """The subject of each scan's card, of those that have one."""
        return {
            card[side]: card["subject"]
            for card in self.in_order()
            for side in ("front", "back")
            if side in card and card["state"] == "tagged"
        }

    def scans(self) -> dict[str, bytes]:
        return {name: data for name, data in self.bytes().items() if name.startswith("scan")}

    def bytes(self) -> dict[str, bytes]:
        return {
            path.name: path.read_bytes()
            for path in self.folder.iterdir()
            if path.name != ".lot.lock"
        }


@pytest.fixture
def box(tmp_path) -> Box:
    return Box(tmp_path / "box12")


def more(box: Box, *names: str) -> None:
    for name in names:
        shutil.copy(box.folder / scan(1), box.folder / name)


MENDED: list[tuple[str, list[tuple[int, int]], dict]] = [
    ("2 drop back", [(1, 2), (3, 5), (6, 7), (8, 9), (10, 11), (12, 0)], {"left_out": [scan(4)]}),
    ("5 missing back", [*EVEN[:4], (9, 0), (10, 11), (12, 0)], {}),
    ("5 missing front", [*EVEN[:4], (0, 9), (10, 11), (12, 0)], {}),
    ("3 no back", [*EVEN[:2], (5, 0), *EVEN[3:]], {"left_out": [scan(6)]}),
    ("4 swap", [*EVEN[:3], (8, 7), *EVEN[4:]], {}),
    ("5 swap on", [*EVEN[:4], (10, 9), (12, 11)], {"stretches": [[scan(9), "back, front"]]}),
    (
        "2 swap to 3",
        [(1, 2), (4, 3), (6, 5), *EVEN[3:]],
        {"stretches": [[scan(3), "back, front"], [scan(7), "front, back"]]},
    ),
    ("2 turn back 90", EVEN, {"turns": {scan(4): 90}}),
    ("turn 270", EVEN, {"turns": {scan(1): 270, scan(2): 270}}),
    ("4 turn front 180 to 5", EVEN, {"turns": {scan(7): 180, scan(9): 180}}),
    ("5 turn back on", EVEN, {"turns": {scan(10): 180, scan(12): 180}}),
    (
        "5 order back, front",
        [*EVEN[:4], (10, 9), (12, 11)],
        {"stretches": [[scan(9), "back, front"]]},
    ),
    (
        "2 order all fronts then all backs to 3",
        [(1, 2), (3, 5), (4, 6), *EVEN[3:]],
        {"stretches": [[scan(3), "all fronts, then all backs"], [scan(7), "front, back"]]},
    ),
    ("brighten on", EVEN, {"levels": ["*"]}),
]


@pytest.mark.parametrize(("words", "cards", "kept"), MENDED, ids=[words for words, _, _ in MENDED])
def test_a_word_makes_of_the_lot_what_it_says_and_undo_takes_it_back(
    tmp_path, capsys, words, cards, kept
):
    only = {1, 2, 5} if "order all" in words or "drop" in words else None
    box = Box(tmp_path / "box12", only)
    before, scans = box.cards(), box.scans()
    assert box.mend(*words.split()) == 0
    (said,) = capsys.readouterr().out.splitlines()
    assert box.cards() == pairs(*cards)
    assert {name: value for name, value in box.mending().items() if name != "held"} == kept
    by_front = {front: box.subjects[front] for front, _ in before if front in box.subjects}
    tagged = box.tagged()
    assert {front: tagged[front] for front in by_front} == by_front  # a tag goes with its front
    assert set(tagged.values()) == set(by_front.values())
    assert box.mend("undo") == 0
    assert capsys.readouterr().out == f"Undone: {said[0].lower()}{said[1:]}\n"
    assert (box.cards(), box.tagged(), box.mending()) == (before, box.subjects, {})
    assert box.mend("redo") == 0
    assert box.cards() == pairs(*cards)
    assert box.scans() == scans


def test_a_card_that_is_no_other_keeps_its_identity(box):
    before = {card["front"]: id for id, card in box.document()["cards"].items()}
    assert box.mend("4", "missing", "back") == 0
    after = {card.get("front"): id for id, card in box.document()["cards"].items()}
    assert {front: after[front] for front in (scan(1), scan(3), scan(5), scan(7))} == {
        front: before[front] for front in (scan(1), scan(3), scan(5), scan(7))
    }


def test_a_scan_left_out_is_brought_back_into_the_hole_that_it_left(box, capsys):
    assert box.mend("3", "no", "back") == 0
    assert box.mend("restore", scan(6)) == 0
    assert capsys.readouterr().out.splitlines()[1] == f"Restored: {scan(6)}."
    assert box.cards() == pairs(*EVEN)
    assert box.tagged() == box.subjects
    assert "left_out" not in box.mending()


def test_the_newest_scan_or_a_named_one_takes_the_place_of_a_side(box):
    more(box, scan(99))
    assert box.mend("2", "rescan", "front", scan(99)) == 0
    assert box.cards()[1] == (scan(99), scan(4))
    assert box.tagged()[scan(99)] == box.subjects[scan(3)]
    more(box, scan(101))
    assert box.mend("3", "rescan", "back") == 0
    assert box.cards() == pairs((1, 2), (99, 4), (5, 101), *EVEN[3:])
    assert box.mending()["left_out"] == [scan(3), scan(6)]
    assert box.mend("2", "rescan", "front", scan(3)) == 0  # the one before after all
    assert box.cards()[1] == (scan(3), scan(4))
    assert box.mending()["left_out"] == [scan(6), scan(99)]


@pytest.mark.parametrize("first", [True, False])
def test_levels_are_those_of_the_named_cards_set(tmp_path, first, capsys):
    """The set is that of the card that is named, wherever work goes on; the carried one is no other
    card's."""
    box = Box(tmp_path / "box12", {3}, "Squall")
    words = ("3", "brighten", "on", "set") if first else ("4", "brighten", "on", "set")
    assert box.mend(*words) == (0 if first else 3)
    assert box.mending().get("levels", []) == (["Squall"] if first else [])
    if first:
        assert box.mend("brighten", "off") == 0
        assert box.mending() == {}
    else:
        assert "no set yet" in capsys.readouterr().err


# Another folder


@pytest.fixture
def beside(box, tmp_path) -> Box:
    return Box(tmp_path / "box13")


def test_another_folder_joins_with_its_tags_and_keeps_its_own(box, beside, capsys):
    beside.mend("2", "turn", "back")
    before = beside.bytes()
    assert box.mend("join", BESIDE) == 0
    theirs = [tuple(f"{BESIDE}/{name}" for name in card) for card in pairs(*EVEN)]
    assert box.cards() == [*pairs(*EVEN), *theirs]
    assert box.tagged() == box.subjects | {
        f"{BESIDE}/{name}": said for name, said in beside.subjects.items()
    }
    assert box.mending()["joined"] == [BESIDE]
    assert box.mending()["turns"] == {f"{BESIDE}/{scan(4)}": 180}
    assert beside.bytes() == before
    more(beside, scan(13), scan(14))
    assert box.mend("7", "turn", "front") == 0  # what comes there comes here
    assert box.cards()[-1] == (f"{BESIDE}/{scan(13)}", f"{BESIDE}/{scan(14)}")
    capsys.readouterr()
    assert box.mend("join", str(beside.folder)) == 3
    assert "already belongs to the lot" in capsys.readouterr().err


def test_another_folder_is_meant_by_the_own_name_of_its_lot(box, beside):
    place = place_of_folder(beside.folder)
    with change(place, load_settings(config_file()), name="spring"):
        pass
    assert box.mend("join", "spring") == 0
    assert box.mending()["joined"] == [BESIDE]


def test_undo_gives_the_other_folder_back(box, beside):
    assert box.mend("join", BESIDE) == 0
    assert box.mend("undo") == 0
    assert box.cards() == pairs(*EVEN)
    assert "joined" not in box.mending()
    assert box.mend("redo") == 0
    assert len(box.cards()) == 2 * CARDS


def test_what_the_other_folder_has_joined_comes_with_it(box, beside, tmp_path, capsys):
    third = Box(tmp_path / "box14")
    assert beside.mend("join", "../box14") == 0
    assert box.mend("join", BESIDE) == 0
    assert len(box.cards()) == 3 * CARDS
    assert box.mending()["joined"] == [BESIDE, "../box14"]
    more(third, scan(13), scan(14))
    assert box.mend("1", "turn") == 0
    assert box.cards()[-1] == (f"../box14/{scan(13)}", f"../box14/{scan(14)}")
    capsys.readouterr()
    assert box.mend("join", "../box14") == 3
    assert third.mend("join", "../box12") == 3
    assert beside.mend("join", "../box12") == 3
    said = capsys.readouterr().err.splitlines()
    assert "already belongs to the lot" in said[0]
    assert "This lot is already joined to" in said[1]
    assert "This lot is already joined to" in said[2]


# Sheets


@pytest.fixture(scope="module")
def sheets(tmp_path_factory) -> Path:
    """Front and back of a sheet of four cards."""

    def draw(folder: Path) -> None:
        rng = random.Random("mend sheet")
        scanner = Scanner.any(rng, "black")
        fronts = sheet(
            [side(rng, "held").picture for _ in range(4)], rng, dpi=150, gap=5, scanner=scanner
        )
        backs = turned_over(
            fronts, [written(rng, "held").picture for _ in range(4)], rng, "long side"
        )
        for number, page in enumerate((fronts, backs), start=1):
            (folder / scan(number)).write_bytes(jpeg(page.picture, 150, 88))

    return drawn_once(tmp_path_factory, "sheets of four", draw)


def test_a_sheet_becomes_its_cards_and_is_left_out(sheets, tmp_path, capsys):
    box = Box(tmp_path / "box12", set())
    for path in sheets.iterdir():
        shutil.copy(path, box.folder)
    assert box.mend("1", "split") == 0
    assert "sheet split into 4 cards" in capsys.readouterr().out
    cards = box.cards()
    assert [[name.partition("#")[0] for name in card] for card in cards[:4]] == [
        [scan(1), scan(2)]
    ] * 4
    assert cards[4:] == pairs(*EVEN[1:])
    assert box.mending()["left_out"] == [scan(1), scan(2)]
    assert box.mend("undo") == 0
    assert box.cards() == pairs(*EVEN)


# Findings


SCANNER = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)
FED, SWAPPED, TWICE = 24, 12, 21
MISSED = ((4, 1), (9, 1), (16, 1))  # a card, and which of its sides was never scanned


@pytest.fixture(scope="module")
def fed_wrong(tmp_path_factory) -> Path:
    """Twenty-four cards, 200 dpi: three backs missing, a pair swapped, a front twice."""

    def draw(folder: Path) -> None:
        rng = random.Random("fed wrong")
        files: list[bytes] = []
        for number, card in enumerate(card_set("mends", FED, "held"), start=1):
            sides = [card.front, card.back]
            if number == SWAPPED:
                sides.reverse()
            pages = [
                fed(one.resize((500, 700)), rng, dpi=200, scanner=SCANNER, skew=1.0).picture
                for one in sides
            ]
            files += [
                jpeg(page, 200, 82) for at, page in enumerate(pages) if (number, at) not in MISSED
            ]
            if number == TWICE:
                files.insert(-1, files[-2])
        for number, data in enumerate(files, start=1):
            (folder / scan(number)).write_bytes(data)

    return drawn_once(tmp_path_factory, "cards fed wrong", draw)


def test_findings_are_mended_all_at_once_and_every_side_is_where_it_belongs(
    fed_wrong, tmp_path, capsys
):
    """What is mended first moves what comes behind it, so that a position that was told before is
    another one then."""
    folder = tmp_path / "box12"
    shutil.copytree(fed_wrong, folder)
    found = slips(folder, capsys)
    numbers = [word for at, _ in found for word in ("--finding", str(at))]
    assert main(["fix", str(folder), *numbers]) == 0
    assert slips(folder, capsys) == []
    is_as_fed(folder, capsys)
    # One run is one change, whatever it fixed.
    assert main(["fix", str(folder), "undo"]) == 0
    assert len(slips(folder, capsys)) == len(found)


@pytest.mark.nightly
def test_findings_are_mended_one_by_one_and_every_side_is_where_it_belongs(
    fed_wrong, tmp_path, capsys
):
    folder = tmp_path / "box12"
    shutil.copytree(fed_wrong, folder)
    first = True
    while found := slips(folder, capsys):
        at, finding = found[0 if first else -1]
        assert finding["certain"] == (finding["kind"] == "duplicate_scan")
        assert main(["fix", str(folder), "--finding", str(at)]) == 0
        first = not first
    is_as_fed(folder, capsys)


def is_as_fed(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every side is where it belongs, and what is found still is what was never scanned."""
    document = json.loads((folder / "lot.json").read_text(encoding="utf-8"))
    cards = [document["cards"][str(id)] for id in document["state"]["1"]["order"]]
    assert [(card.get("front"), card.get("back")) for card in cards] == fed_truth()
    main(["audit", str(folder), "--json"])
    told = json.loads(capsys.readouterr().out)["findings"]
    assert [(one["kind"], one["position"]) for one in told] == [
        ("missing_side", card) for card, _ in MISSED
    ]


def slips(folder: Path, capsys: pytest.CaptureFixture[str]) -> list[tuple[int, dict]]:
    """What is found of the feeding, with the numbers of the findings."""
    capsys.readouterr()
    main(["audit", str(folder), "--json"])
    found = json.loads(capsys.readouterr().out)["findings"]
    kinds = ("shifted_pairs", "duplicate_scan", "swapped_sides")
    return [(at, one) for at, one in enumerate(found, 1) if one["kind"] in kinds]


def fed_truth() -> Cards:
    """The scans of each card as it was fed."""
    scans, cards = iter(range(1, 3 * FED)), []
    for card in range(1, FED + 1):
        front, back = ((card, at) not in MISSED and next(scans) for at in (0, 1))
        if card == TWICE:  # front, front again, back
            back = next(scans)
        cards.append((back, front) if card == SWAPPED else (front, back))
    return pairs(*cards)


# What is refused


REFUSED = [
    ("9 drop back", "There is no card 9; the lot has 6."),
    ("0 swap", "There is no card 0; the lot has 6."),
    ("drop", "Name the side: 'drop front' or 'drop back'."),
    ("drop back now", "Unexpected 'now'; type 'drop back'."),
    ("2 missing back to 4", "Unexpected 'to 4'; type 'missing back'."),
    ("2 no front on", "Unexpected 'on'; type 'no front'."),
    ("split 3", "Type 'split' alone, or with a card's position before it: '90 split'."),
    (
        "fly",
        "Unknown fix 'fly'. Use one of: drop, missing, no, swap, turn, order, rescan, split, "
        "restore, brighten, same, another, join.",
    ),
    ("7", "Type a fix: drop, "),
    ("turn 45", "A scan can be rotated 90, 180 or 270 degrees clockwise."),
    ("turn up", "Name the side: 'turn front' or 'turn back'."),
    ("4 swap to 2", "Unknown card in 'to 2'; type one from 4 to 6."),
    ("swap back", "Type 'swap', 'swap on' or 'swap to 95'."),
    ("order sideways", "Name the side order: "),
    ("rescan back scan_9999.jpg", "scan_9999.jpg is not a scan of this lot."),
    ("rescan back ../../elsewhere.jpg", "../../elsewhere.jpg is not a scan of this lot."),
    ("rescan back /etc/hosts", "/etc/hosts is not a scan of this lot."),
    (
        "rescan back",
        "The newest scan, scan_0012.jpg, already has a card; name the scan you mean.",
    ),
    ("2 rescan back scan_0004.jpg", "scan_0004.jpg is already the back of card 2."),
    ("restore", "No scan was skipped."),
    ("restore scan_0004.jpg", "scan_0004.jpg was not skipped."),
    ("brighten", "Type 'brighten on', 'brighten off', or 'brighten on set' for this card's set."),
    ("brighten on set", "This card has no set yet; 'brighten on' is for the whole lot."),
    ("brighten off", "Already done."),
    ("join", "Name the folder to join, one beside this lot's: 'join ../box13'."),
    ("join /etc", "/etc is not a folder beside box12; move it there, then join it."),
    ("join ../none", "../none is not a folder beside box12; move it there, then join it."),
    ("join ..", ".. is not a folder beside box12; move it there, then join it."),
    ("join .", "This is the lot itself; name another folder."),
    ("join ../box12", "This is the lot itself; name another folder."),
    ("join ../empty", "empty has no scans."),
    (
        "split",
        "scan_0001.jpg does not say its dots per inch, without which its cards cannot be told "
        "apart.",
    ),
    ("redo", "There is nothing to redo."),
    ("drop \x1b[2Jback", "Name the side: 'drop front' or 'drop back'."),
]
MISREAD = ("Name the", "Unexpected", "Type ", "Unknown", "A scan can be rotated")


@pytest.mark.parametrize(("words", "said"), REFUSED, ids=[repr(words) for words, _ in REFUSED])
def test_what_cannot_be_done_is_one_sentence_and_changes_nothing(
    box, tmp_path, capsys, monkeypatch, words, said
):
    (tmp_path / "empty").mkdir()
    monkeypatch.chdir(box.folder)
    before = box.bytes()
    # words that say nothing are a usage error; what the lot has not is none
    misread = said.startswith(MISREAD) and words != "brighten on set"
    assert box.mend(*words.split(" ")) == (2 if misread else 3)
    told = capsys.readouterr()
    assert told.out == ""
    (line,) = told.err.splitlines()
    assert line.startswith(f"tagger: {said}")
    assert "\x1b" not in line
    assert box.bytes() == before


def test_tags_are_never_lost_by_a_mend(box, capsys):
    before = box.bytes()
    assert box.mend("2", "drop", "back") == 3
    assert "Cards 2 and 3 are both tagged and would become one card" in capsys.readouterr().err
    assert box.bytes() == before
    assert box.mend("6", "no", "back") == 0
    before = box.bytes()
    assert box.mend("6", "no", "front") == 3
    assert "would be left without a scan" in capsys.readouterr().err
    assert box.bytes() == before


@pytest.mark.parametrize(
    "words", [(), ("2", "swap", "--findings"), ("--finding", "1", "--findings")]
)
def test_one_thing_is_asked_for_at_a_time(box, words, capsys):
    before = box.bytes()
    assert box.mend(*words) == 2
    assert (
        capsys.readouterr().err
        == "tagger: Name a fix, or --finding N, or --findings: one of the three.\n"
    )
    assert box.bytes() == before


def test_a_finding_that_there_is_not(box, capsys):
    before = box.bytes()
    for number in (0, -1, 99):
        assert box.mend(f"--finding={number}") == 2
        assert "give the number of one" in capsys.readouterr().err
        assert box.bytes() == before


def test_a_lot_that_is_open_elsewhere_is_left_alone(box, capsys):
    store = LotFile(box.folder, "box12")
    try:
        before = box.bytes()
        assert box.mend("2", "swap") == 3
        (line,) = capsys.readouterr().err.splitlines()
        assert line.startswith("tagger: The lot box12 is already open")
        assert box.bytes() == before
    finally:
        store.close()
    assert box.mend("2", "swap") == 0


def test_a_folder_without_scans(tmp_path, capsys):
    (tmp_path / "bare").mkdir()
    assert main(["fix", str(tmp_path / "bare"), "swap"]) == 3
    assert "has no scans" in capsys.readouterr().err

"""What the feeder got wrong, put right at the desk by typed words and by single keys, on two sizes
of screen."""

from __future__ import annotations

import json
import random
import re
import shutil
from pathlib import Path

import pytest
from PIL import ImageEnhance
from support import drawn
from support.at_night import at_night
from support.card_art import bordered, side, written
from support.card_sets import card_set
from support.drawn_once import drawn_once
from support.opened import Lot
from support.scanned import Scanner, fed, jpeg, sheet, turned_over
from support.terminal import Terminal

F12, ENTER, DELETE, UNDO, SHIFT_RIGHT, LEAVE, CLEAR = (
    "\x1b[24~",
    "\r",
    "\x1b[3~",
    "\x1a",
    "\x1b[1;2C",
    "\x18",
    "\x0b",
)
# What is laid out where is for tests/unit/ui/test_screen_layouts.py; here it is what the keys do.
SMALL = pytest.mark.parametrize(("columns", "rows"), [(80, 24), at_night(120, 40)])
LARGE = pytest.mark.parametrize(("columns", "rows"), [(120, 40), at_night(80, 24)])
SCANNER = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)
CARDS, CUT, SWAPPED, TWICE = 20, 4, 9, 15


@pytest.fixture(scope="module")
def tray(tmp_path_factory) -> Path:
    """Twenty cards, 200 dpi: the front of one ends too early, one is swapped, a back of one went
    through twice."""

    def draw(folder: Path) -> None:
        rng = random.Random("mends")
        files: list[bytes] = []
        for number, card in enumerate(card_set("mends", CARDS, "held"), start=1):
            sides = [card.front, card.back][:: -1 if number == SWAPPED else 1]
            pages = [
                fed(one.resize((500, 700)), rng, dpi=200, scanner=SCANNER, skew=1.0).picture
                for one in sides
            ]
            data = [jpeg(page, 200, 82) for page in pages]
            if number == CUT:
                data[0] = data[0][: len(data[0]) // 2]
            files += [*data, data[1]] if number == TWICE else data
        save(folder, files)

    return drawn_once(tmp_path_factory, "tray to be mended", draw)


def save(folder: Path, files: list[bytes]) -> None:
    folder.mkdir(exist_ok=True)
    for number, data in enumerate(files, start=1):
        (folder / scan(number)).write_bytes(data)


def scan(number: int) -> str:
    return f"scan_{number:04d}.jpg"


@pytest.fixture
def lot(tray: Path, tmp_path: Path, tagger: list[str]) -> Lot:
    shutil.copytree(tray, tmp_path / "box")
    return made(tmp_path, tagger)


def made(tmp_path: Path, tagger: list[str]) -> Lot:
    """The lot of the scans that lie in `box`."""
    rows = drawn.set_rows("1987 Harbor Light", 60, seed=5)
    (tmp_path / "list.csv").write_text(drawn.checklist_csv(rows), encoding="utf-8")
    return Lot(tmp_path / "box", tmp_path / "list.csv", tagger)


def found(terminal: Terminal, count: int) -> None:
    """Wait until the audit is told in the top line, and the screen stands still."""
    many = f"{count} problem{'s' * (count != 1)} F12"
    assert terminal.pump(60, lambda: many in terminal.screen.display[0]), terminal.text()
    terminal.settle(0.4)


def told(terminal: Terminal) -> str:
    """The message, once the screen stands still."""
    terminal.settle()
    return said(terminal)


def said(terminal: Terminal) -> str:
    """The message; a long one has the line above it as well."""
    return " ".join(" ".join(terminal.screen.display[-4:-2]).split())


def say(terminal: Terminal, words: str, answer: str) -> None:
    """Type words, press F12, and wait for the answer in the message line."""
    terminal.send(f"{CLEAR}{words}{F12}")  # what was refused stays in the line
    terminal.pump(20, lambda: answer in said(terminal))
    assert answer in told(terminal), terminal.text()


def leave(terminal: Terminal) -> None:
    terminal.send(LEAVE)
    assert terminal.wait_exit() == 0


def sides(lot: Lot) -> list[tuple[str, str]]:
    return [(card["front"], card["back"]) for card in lot.cards()]


def mending(lot: Lot) -> dict:
    document = json.loads((lot.folder / "lot.json").read_text(encoding="utf-8"))
    return document["state"]["1"].get("mending", {})


@SMALL
def test_typed_words_mend_and_undo_takes_it_back(lot: Lot, columns: int, rows: int) -> None:
    with lot.open(columns, rows) as terminal:
        found(terminal, 4)
        say(terminal, "2 swap", "Card 2: front and back swapped.")
        say(terminal, "3 no back", "Card 3: no back, scan_0006.jpg skipped.")
        say(terminal, "1 turn front 90", "Card 1: front rotated 90°.")
        say(terminal, "turn sideways", "Name the side: 'turn front' or 'turn back'.")
        say(terminal, "77 drop back", "There is no card 77; the lot has 21.")
        say(
            terminal, "join ../box13", "Leave the lot first; then run: tagger fix FOLDER join OTHER"
        )
        for label in ("card 1: front rotated", "card 3: no back"):
            terminal.send(UNDO)
            terminal.pump(10, lambda label=label: f"Undone: {label}" in said(terminal))
            assert f"Undone: {label}" in told(terminal)
        leave(terminal)
    assert sides(lot)[:3] == [(scan(1), scan(2)), (scan(4), scan(3)), (scan(5), scan(6))]
    assert mending(lot) == {"held": True}


@LARGE
def test_findings_are_mended_accepted_and_taken_back(lot: Lot, columns: int, rows: int) -> None:
    with lot.open(columns, rows) as terminal:
        found(terminal, 4)
        terminal.send(F12)
        terminal.wait_for(rf"problem 1 of 4 · card {CUT} ")
        assert "sets the card aside" in " ".join(terminal.text().split())
        terminal.send(DELETE)  # nothing wrong: not told again
        terminal.wait_for(rf"problem 1 of 3 · card {SWAPPED} ")
        assert f"Nothing wrong: card {CUT}, truncated." in told(terminal)
        terminal.send(ENTER)
        terminal.wait_for(rf"problem 1 of 2 · card {TWICE} ")
        assert f"Card {SWAPPED}: front and back swapped." in told(terminal)
        terminal.send(UNDO)
        terminal.wait_for(rf"problem \d of 3 · card {TWICE} ", seconds=30)
        found(terminal, 3)  # the swap is told again, what was accepted is not
        terminal.send(UNDO)
        found(terminal, 4)
        terminal.send(F12)
        terminal.wait_for("card 1 of 21")
        leave(terminal)
    assert mending(lot) == {}
    assert sides(lot)[SWAPPED - 1] == (scan(2 * SWAPPED - 1), scan(2 * SWAPPED))


def near_slips(tray: Path, folder: Path) -> list[tuple[str, str]]:
    """The tray's good cards, but for one front and the back two cards on, numbered anew; the cards
    as they should be."""
    good = [card for card in range(1, CARDS + 1) if card != CUT]
    sides = [[2 * card - 1, 2 * card] for card in good]
    for card, files in zip(good, sides, strict=True):
        files[:] = [number + (card > TWICE) for number in files][:: -1 if card == SWAPPED else 1]
    lacking = {(10, 0), (12, 1)}  # a card, from 0, and its side
    cards, last = [], 0
    folder.mkdir()
    for at, files in enumerate(sides):
        names = ["", ""]
        for which, number in enumerate(files):
            if (at, which) not in lacking:
                last += 1
                names[which] = scan(last)
                shutil.copy(tray / scan(number), folder / names[which])
        cards.append((names[0], names[1]))
    return cards


def test_two_near_slips_are_one_question_that_one_key_answers(
    tray: Path, tmp_path: Path, tagger: list[str]
) -> None:
    """Two cards beside each other whose sides are swapped look the same as a front that is missing
    before them and a back behind: both are shown, and each has its key."""
    cards = near_slips(tray, tmp_path / "box")
    lot = made(tmp_path, tagger)
    with lot.open(120, 40) as terminal:
        found(terminal, 1)
        terminal.send(F12)
        terminal.wait_for(r"problem 1 of 1 · card 11 · ")
        seen = " ".join(terminal.text().split())
        first, second = re.findall(r"\((\d+)%\)", seen)
        assert first == second
        assert "Enter swaps front and back of 2 cards" in seen
        assert "2 inserts an empty front beside" in seen
        terminal.send("2")
        terminal.wait_gone(r"problem 1 of 1")
        found(terminal, 2)  # two sides to be scanned again, and nothing else
        terminal.send(F12)
        leave(terminal)
    assert sides(lot) == cards


@SMALL
def test_centering_is_shown_with_its_caution(
    tmp_path: Path, tagger: list[str], columns: int, rows: int
) -> None:
    rng = random.Random("centering on screen")
    arts = [bordered(rng, "held") for _ in range(2)]
    save(
        tmp_path / "box",
        [jpeg(fed(art.picture, rng, "black", scanner=SCANNER).picture) for art in arts],
    )
    assert arts[1].borders is not None
    left, upper, right, lower = arts[1].borders
    with made(tmp_path, tagger).open(columns, rows) as terminal:
        terminal.wait_for("loupe back, scan_0002.jpg")
        terminal.settle(0.4)
        terminal.send(SHIFT_RIGHT)
        terminal.pump(20, lambda: "Centering" in said(terminal))
        answer = re.search(
            r"Centering about (\d+)/(\d+) left/right, (\d+)/(\d+) top/bottom: (.*)", told(terminal)
        )
        assert answer is not None, terminal.text()
        assert answer[5].startswith("not a professional grade")
        shares = [int(share) for share in answer.groups()[:4]]
        assert shares[::2] == pytest.approx(
            [100 * left / (left + right), 100 * upper / (upper + lower)], abs=1.5
        )
        assert shares[0] + shares[1] == shares[2] + shares[3] == 100
        leave(terminal)


@LARGE
def test_a_sheet_is_split_in_the_open_lot(
    tmp_path: Path, tagger: list[str], columns: int, rows: int
) -> None:
    rng = random.Random("split on screen")
    scanner = Scanner.any(rng, "black")
    fronts = sheet(
        [side(rng, "held").picture for _ in range(4)], rng, dpi=150, gap=5, scanner=scanner
    )
    backs = turned_over(fronts, [written(rng, "held").picture for _ in range(4)], rng, "long side")
    pages = [
        fed(side(rng, "held").picture, rng, dpi=150, scanner=scanner).picture for _ in range(4)
    ]
    save(
        tmp_path / "box",
        [jpeg(page, 150, 88) for page in (*pages[:2], fronts.picture, backs.picture, *pages[2:])],
    )
    lot = made(tmp_path, tagger)
    with lot.open(columns, rows) as terminal:
        assert terminal.pump(60, lambda: "F12" in terminal.screen.display[0])
        terminal.settle(0.4)
        say(terminal, "2 split", "Card 2: sheet split into 4 cards.")
        terminal.wait_for("card 1 of 6")
        terminal.send(UNDO)
        terminal.wait_for("card 1 of 3")
        say(terminal, "2 split", "Card 2: sheet split into 4 cards.")
        say(terminal, "1 split", "scan_0001.jpg shows")
        terminal.send("\x0b2\x07")
        terminal.wait_for("card 2 of 6")
        leave(terminal)
    cards = sides(lot)
    assert cards[0] == (scan(1), scan(2))
    assert [[name.partition("#")[0] for name in card] for card in cards[1:5]] == [
        [scan(3), scan(4)]
    ] * 4
    assert cards[5] == (scan(5), scan(6))
    assert mending(lot)["left_out"] == [scan(3), scan(4)]


@SMALL
def test_dark_scans_are_brightened_and_no_longer(
    tmp_path: Path, tagger: list[str], columns: int, rows: int
) -> None:
    rng = random.Random("dark on screen")
    pages = [
        fed(side(rng, "held").picture, rng, dpi=150, scanner=SCANNER).picture for _ in range(4)
    ]
    save(
        tmp_path / "box",
        [jpeg(ImageEnhance.Brightness(page).enhance(0.35), 150, 90) for page in pages],
    )
    lot = made(tmp_path, tagger)
    with lot.open(columns, rows) as terminal:
        found(terminal, 1)
        before = light(terminal)
        say(terminal, "brighten on", "Dark scans of the lot brightened.")
        assert terminal.pump(20, lambda: light(terminal) > 1.5 * before), (before, light(terminal))
        terminal.settle(0.4)
        terminal.send(UNDO)
        assert terminal.pump(20, lambda: light(terminal) < 1.1 * before), (before, light(terminal))
        say(terminal, "brighten on set", "no set yet")
        say(terminal, "brighten on", "Dark scans of the lot brightened.")
        say(terminal, "brighten off", "Dark scans of the lot no longer brightened.")
        say(terminal, "brighten off", "Already done.")
        say(terminal, "brighten on", "brightened")
        leave(terminal)
    assert mending(lot) == {"levels": ["*"]}


def light(terminal: Terminal) -> float:
    """The mean of all colours in the upper left of the body, where a preview stands and no loupe: 0
    to 255."""
    values = [0]
    for y in range(2, terminal.screen.lines // 2):
        for x in range(2, terminal.screen.columns // 3):
            cell = terminal.screen.buffer[y][x]
            if cell.data in "▀▄█▌▐▖▗▘▙▚▛▜▝▞▟":
                values += [
                    int(cell.fg[at : at + 2], 16)
                    for at in (0, 2, 4)
                    if len(cell.fg) == 6 and _hex(cell.fg)
                ]
    return sum(values) / len(values)


def _hex(colour: str) -> bool:
    return re.fullmatch("[0-9a-f]{6}", colour) is not None

"""A lot of 400 cards tagged in two sittings by the real program, with everything that a dealer does
in between; the export is held against a truth that knows nothing of the program."""

from __future__ import annotations

import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from support import drawn
from support.dealer import CTRL_K, CTRL_T, ENTER, F2, F3, F5, F6, HOME, TAB, Dealer
from support.dealt import PARALLELS, SETS, Way, deal, rows
from support.opened import Lot
from support.shelf import BLANK, Kept

CARDS = 400
# positions; the break is within the first, the kill behind the second
SILVER, GOLD = (
    range(61, 121),
    range(231, 271),
)
BREAK, KILL = 96, 290


def draw(folder: Path, seed: int, tagger: list[str]) -> tuple[Lot, Dealer]:
    """The lot on disk, and a dealer who has it in the hand."""
    drawn.draw_scans(folder / "box 12", CARDS, seed=seed, size=(60, 84))
    (folder / "list.csv").write_text(drawn.checklist_csv(rows(seed), PARALLELS), encoding="utf-8")
    return Lot(folder / "box 12", folder / "list.csv", tagger), Dealer(
        deal(seed, CARDS, SILVER, GOLD), seed
    )


def first_sitting(dealer: Dealer) -> None:
    """To the middle of a stretch."""
    shelf, source = dealer.shelf, dealer.source
    dealer.press(F5, typed="set=87 nm at=box 3, row 1")
    shelf.carry({"set": "1987 Harbor Light", "condition": "Near Mint", "place": "box 3, row 1"})
    dealer.see("Carrying from now on: ")
    dealer.tag_on(34)
    dealer.undo(source.randint(4, 6))
    dealer.redo(2)
    dealer.tag_on(50)
    listed = dealer.list(
        "-unlisted nm",
        lambda card: card["listed"] and card["condition"] == "Near Mint",
        range(5, 26),
    )
    dealer.change(
        F5,
        "vg note=worn",
        "condition Very Good",
        listed,
        {"condition": "Very Good", "note": "worn"},
    )
    dealer.list("", lambda _: True, range(30, 46))
    chosen = dealer.choose(30, single=2, stretch=3)
    dealer.change(
        F2,
        "water stain",
        "set aside: water stain",
        chosen,
        {"state": "set aside", "reason": "water stain"},
    )
    dealer.tag_on(SILVER[0] - 1)
    dealer.press(F5, typed=f"next={len(SILVER)} silver at=box 3, row 2")
    shelf.carry({"parallel": "Silver", "place": "box 3, row 2"}, cards=len(SILVER))
    dealer.see("Carrying for the next 60 cards")
    dealer.tag_on(BREAK - 6)
    dealer.jump(source.randint(3, 9))
    dealer.tag_on(BREAK)


def second_sitting(dealer: Dealer) -> None:
    """Over the end of the first stretch, back to cards that are done once more, and through
    numbered cards."""
    shelf, source = dealer.shelf, dealer.source
    dealer.undo(source.randint(9, 12))  # made before the break
    dealer.redo(3)
    dealer.tag_on(SILVER[-1] + 40)
    cleared = dealer.list(
        "parallel=silver", lambda card: card["parallel"] == "Silver", range(100, 109)
    )
    dealer.change(CTRL_T, "", "all tags removed", cleared, BLANK)
    dealer.list("untagged", lambda card: card["state"] == "untagged", range(100, 109))
    dealer.press(HOME, ENTER)
    shelf.at = cleared[0]
    dealer.see()
    for _ in cleared:
        dealer.do(dealer.lot[shelf.at - 1])
        if shelf.here["state"] != "untagged":
            dealer.press(TAB)
            shelf.next_untagged()
    dealer.see()
    dealer.tag_on(GOLD[0] - 1)
    dealer.press(F5, typed=f"next={len(GOLD)} gold ex at=box 3, row 3")
    shelf.carry(
        {"parallel": "Gold", "condition": "Excellent", "place": "box 3, row 3"}, cards=len(GOLD)
    )
    dealer.see("Carrying for the next 40 cards")
    dealer.tag_on(GOLD[-1] - 8)
    dealer.undo(source.randint(3, 6))
    dealer.tag_on(KILL)
    among = range(222, 240)  # some of them numbered, which stay as they are
    numbered = len(shelf.where(lambda card: card["serial"], among))
    changed = shelf.where(
        lambda c: c["number"] and not c["serial"] and c["parallel"] != "Silver", among
    )
    dealer.list("", lambda _: True, among)
    stay = f"{numbered} with a serial number of another print run" if numbered else ""
    dealer.change(F5, "silver", "parallel Silver", changed, {"parallel": "Silver"}, stay)
    dealer.tag_on(KILL + 3)


def third_opening(dealer: Dealer) -> None:
    """After the kill: to the end of the lot, and through all that was left for later."""
    shelf, source = dealer.shelf, dealer.source
    dealer.undo(source.randint(8, 11))  # made before the kill, the change to many cards among them
    dealer.redo(4)
    dealer.tag_on(320)
    dealer.press(F5, typed="next=30 vg at=box 4")
    shelf.carry({"condition": "Very Good", "place": "box 4"}, cards=30)
    dealer.see("Carrying for the next 30 cards")
    dealer.tag_on(332)
    dealer.press(F6, typed="next")
    shelf.drop_stretch()
    dealer.see("next= finished")
    dealer.jump(source.randint(3, 9))
    dealer.tag_on(CARDS)
    assert shelf.at_end
    for word, test in FILTERS.items():
        dealer.press(F3)
        dealer.find(word, shelf.where(test))
        dealer.press(CTRL_K, F3)
    dealer.press(F3)
    dealer.find("doubles", shelf.doubles())
    dealer.press(CTRL_K, F3)
    dealer.see()
    assert dealer.review() > 30
    dealer.list("", lambda _: True, range(380, 391))
    chosen = dealer.choose(380, single=1, stretch=2)
    dealer.change(
        F2, "d", "set aside: damaged", chosen, {"state": "set aside", "reason": "damaged"}
    )
    dealer.go(395)
    dealer.press(CTRL_T)
    shelf.clear()
    dealer.see("Card 395 is untagged again")


FILTERS: dict[str, Callable[[Kept], bool]] = {
    "tagged": lambda card: card["state"] == "tagged",
    "aside": lambda card: card["state"] == "set aside",
    "unlisted": lambda card: not card["listed"],
    "unsure": lambda card: card["unsure"],
    "condition=": lambda card: card["state"] != "untagged" and not card["condition"],
    "parallel=gold ex": lambda card: (
        card["parallel"] == "Gold" and card["condition"] == "Excellent"
    ),
    "at=row 2": lambda card: "row 2" in card["place"],
    "base -vg set=ferry": lambda card: (
        card["set"] == SETS[1] and not card["parallel"] and card["condition"] != "Very Good"
    ),
    "over 0.2": lambda card: card["price"] != "",
}


def tag_all(lot: Lot, dealer: Dealer) -> None:
    """Tag the lot, and hold what the program hands over against the truth."""
    shelf, keys, tagged = dealer.shelf, [], [0]
    for work, size in (
        (first_sitting, (120, 40)),
        (second_sitting, (120, 40)),
        (third_opening, (80, 24)),
    ):
        with lot.open(*size) as terminal:
            dealer.sit_down(terminal)
            work(dealer)
            if work is second_sitting:
                terminal.signal(signal.SIGKILL)
                terminal.wait_exit()
            else:
                dealer.leave()
            keys.append(dealer.keys)
            tagged.append(shelf.count("tagged"))
    told, rows_, status = dealer.told(), lot.cards(), lot.status()
    scans = [(row.pop("front"), row.pop("back")) for row in rows_]
    numbers = [number for row in rows_ if (number := row.pop("stock number"))]
    assert len(set(numbers)) == len(numbers)
    assert scans == [
        (f"scan_{at:04d}.jpg", f"scan_{at + 1:04d}.jpg") for at in range(1, 2 * CARDS, 2)
    ], told
    wrong = [
        (row, truth) for row, truth in zip(rows_, shelf.exported(), strict=True) if row != truth
    ]
    assert not wrong, f"{len(wrong)} cards are not as they must be, the first: {wrong[0]}\n{told}"
    for card, row in zip(dealer.lot, rows_, strict=True):
        if row["state"] == "tagged" and card.way is not Way.UNLISTED:
            assert (row["set"], row["number"], row["subject"]) == (
                card.row.set,
                card.row.number,
                card.row.subject,
            )
    counts = {"tagged": shelf.count("tagged"), "set_aside": shelf.count("set aside"), "untagged": 1}
    where = {"cards": CARDS, "position": 395, "scans": 2 * CARDS}
    assert {name: status[name] for name in (*counts, *where)} == counts | where, told
    sittings = status["sittings"]
    assert [sitting["cards"] for sitting in (sittings[0], sittings[-1])] == [
        tagged[1],
        tagged[3] - tagged[2],
    ], told
    assert [sitting["keys"] for sitting in (sittings[0], sittings[-1])] == keys[::2], told
    # What a kill leaves of a sitting is what was noted last, when the keys were quiet.
    assert all(sitting["keys"] <= keys[1] for sitting in sittings[1:-1]), told
    assert dealer.deeds["undone"] >= 30, told


def test_a_lot_in_two_sittings_is_what_its_dealer_made_of_it(
    tmp_path: Path, tagger: list[str]
) -> None:
    tag_all(*draw(tmp_path, 1, tagger))


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(2, 22))
def test_other_lots_in_two_sittings(tmp_path: Path, tagger: list[str], seed: int) -> None:
    tag_all(*draw(tmp_path, seed, tagger))

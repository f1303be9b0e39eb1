"""From a table of orders to the card in the hand, at a terminal: what is asked, what is listed, and
what is left."""

from __future__ import annotations

import shlex
from pathlib import Path

from support.shop import POND, harbor, lot_of, marks
from support.terminal import Terminal

from tagger.core.model.tags import Tags


def test_orders_are_sold_picked_moved_and_summed_up(tmp_path: Path, tagger: list[str]) -> None:
    box = lot_of(
        tmp_path / "spring",
        [
            harbor("23", "Ada Marsh", price="3.50"),
            harbor("45", "Lee Gold"),
            Tags(POND, "5", "Bo Reed", condition="Good", place="box 12"),
        ],
    )
    (tmp_path / "orders.csv").write_text(
        "order,number,set,price\nA-17,23,1987 Harbor Light,3.50\nA-18,5,1985 Mill Pond,2.00\n"
    )
    lines = (
        "sold --orders orders.csv", "pick", "pick --done", "move 'box 7' 'shelf 2'", "stock",
        "find at=shelf", "sales",
    )  # fmt: skip
    program = shlex.join(tagger)
    script = "; ".join(f"echo '[{at}]'; {program} {line}" for at, line in enumerate(lines))
    with Terminal(["sh", "-c", script], columns=80, rows=100, cwd=tmp_path) as terminal:
        terminal.wait_for("y or n:", 30)
        assert not any(mark.gone for mark in marks(box))
        terminal.send("y\r")
        assert terminal.wait_exit(90) == 0
        said = terminal.text()
    parts = [said.partition(f"[{at}]")[2].partition(f"[{at + 1}]")[0] for at in range(len(lines))]
    # a line of the terminal breaks in the middle of a word
    sold, pick, done, moved, stock, found, sales = ("".join(part.split("\n")) for part in parts)
    assert "2 cards marked as sold" in sold
    assert "[ ] 1 from the front, the first, before #45" in pick
    assert "order A-17" in pick
    assert pick.index("box 7") < pick.index("box 12")
    assert "2 cards" in done
    assert "2 cards moved to shelf 2" in moved
    assert "In stock: 1 card in 1 lot" in stock
    assert "#45 Lee Gold" in found
    assert "1 from the front, the only card there" in found
    assert "2 cards: income 5.50" in sales
    assert [mark.gone for mark in marks(box)] == ["sold", "", "sold"]

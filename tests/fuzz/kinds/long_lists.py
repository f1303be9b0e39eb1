"""Lists with one line or cell as long as a line may be, of one sign or word again and again: a
pattern that looks at it from each place on takes minutes."""

from __future__ import annotations

import csv
import io
import random

from fuzz.mutations import source
from fuzz.world import World

from tagger.core.checklist.lines import MAX_LINE

UNITS = (
    "x", "1", "1x ", " ", ".", "-", "- ", "--", "/", "(", "(a) ", "#", "# ", "#1 ", "No. ", "_",
    "__ ", "~", "*", "**", "“", "[b]", "<td>", "&amp;", "ñ", "カ", "Ab, ", "Ab; ", "Ab Cd ", "A-",
    "1-", "1-5, ", "1, 2, ", "1987 ", "1987-88 ", "1,50 € ", "$1 ", "/5 ", "Gold/5 ", "1/5 ",
    "1 of 5 ", "RC ", "RC, ", "a=b, ", "a: ", "a | ", "Total: ", '{"a": ', "[{", "\\", "x10 ",
    "[x] ", "• ", "→ ", "=", "==", " |", "+--", ": ", "²", "² ", "٣", "Ⅷ ",
)  # fmt: skip
LENGTHS = (500, 1900, 5000, MAX_LINE - 200)
HEADINGS = ["Set", "Number", "Player", "Team", "Parallel", "Notes"]
CARD = ["1987 Harbor Light", "2", "Ada Marsh", "Harbor Gulls", "Gold /50", "kept"]


def long_lists(world: World, case: int) -> list[list[str]]:
    """A table or a typed list with something long in it, checked."""
    chance = source("long_lists", case)
    unit = chance.choice(UNITS) if chance.random() < 0.6 else "".join(chance.choices(UNITS, k=2))
    length = chance.choice(LENGTHS)
    long = (unit * (length // len(unit) + 1))[:length]
    table = chance.random() < 0.5
    path = world.odd / ("odd.csv" if table else "odd.txt")
    text = _table(long, chance) if table else _typed(long, chance)
    path.write_text(text, encoding="utf-8")
    return [["checklist", str(path)]]


def _table(long: str, chance: random.Random) -> str:
    rows = [HEADINGS, CARD, [*CARD[:1], "3", *CARD[2:]], [*CARD[:1], "4", *CARD[2:]]]
    at, column = chance.randrange(len(rows)), chance.randrange(len(HEADINGS))
    rows[at] = [*rows[at][:column], long, *rows[at][column + 1 :]]
    if chance.random() < 0.3:
        rows.insert(0, [long])
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue()


def _typed(long: str, chance: random.Random) -> str:
    lines = ["1987 Harbor Light", "1 Ada Marsh, Gulls", "2 Bo Lund, Gulls", "3 Cy Orr - Terns"]
    for _ in range(chance.randint(1, 2)):
        at = chance.randrange(len(lines))
        lines[at] = chance.choice((long, f"{lines[at]} {long}", f"{at} {long}", f"{long} {at}"))
    return "\n".join(lines) + "\n"

"""Keys a card beside what was aimed at and beside a spreadsheet, and where they were lost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from bench.common.table import aligned
from bench.pace.lots import Card, Lot
from bench.pace.typist import SHORT, Spent

HEAD = (
    "lot",
    "cards",
    "keys a card",
    "correcting",
    "aim",
    "",
    "spreadsheet",
    "ratio",
    "wrong",
    "looks",
)
COLUMNS = ("number", "serial", "parallel", "condition", "set")


@dataclass(frozen=True)
class Result:
    """A lot that was tagged."""

    lot: Lot
    blind: bool
    spent: list[Spent]
    wrong: int

    @property
    def name(self) -> str:
        """The lot and the typist."""
        return f"{self.lot.name}, number typed blindly" if self.blind else self.lot.name

    @property
    def keys(self) -> float:
        """Keys a card."""
        return sum(len(spent.keys) for spent in self.spent) / len(self.spent)

    @property
    def met(self) -> bool | None:
        """Whether the aim was met; None where there is none. The typist who looks is held to it."""
        return None if self.lot.aim is None or self.blind else self.keys <= self.lot.aim


def sheet_keys(cards: Sequence[Card]) -> int:
    """Keys for the same rows in a spreadsheet that is kind: number and Enter; the other columns are
    filled down by themselves, and the name is looked up. What differs from the row above is gone to
    by arrows and typed: serial numbers whole, parallels by two letters, conditions as short as in a
    hint, a set whole at first and by two letters later. Enter goes to the next row's number."""
    keys, met = 0, set()
    before = Card("", "", "", condition="")
    for card in cards:
        keys += len(card.number) + 1
        typed = {
            "serial": len(card.serial) if card.serial != before.serial else 0,
            "parallel": (2 if card.parallel else 1) if card.parallel != before.parallel else 0,
            "condition": len(SHORT[card.condition]) if card.condition != before.condition else 0,
            "set": (2 if card.set in met else len(card.set)) if card.set != before.set else 0,
        }
        typed["serial"] = max(typed["serial"], int(card.serial != before.serial))
        keys += sum(typed.values()) + max(
            (COLUMNS.index(name) for name, count in typed.items() if count), default=0
        )
        met.add(card.set)
        before = card
    return keys


def situation(card: Card, before: Card | None) -> str:
    """What makes a card cost what it costs; the first that holds."""
    if before is None:
        return "first card of the lot"
    if card.first is not None:
        return "corrected"
    if card.set != before.set:
        return "another set, met before" if not card.stretch else "another set"
    if card.parallel != before.parallel:
        return "parallel begins" if card.parallel else "parallel ends"
    if card.serial:
        return "serial number"
    if card.condition != before.condition:
        return "condition changes"
    step = int(card.number) - int(before.number)
    if step in (0, 1):
        return ("double", "next number")[step]
    return f"step of {step}" if 2 <= step <= 4 else "jump ahead" if step > 0 else "jump back"


def table_text(results: Sequence[Result]) -> str:
    """A line a lot and typist."""
    mark = {None: "", True: "met", False: "missed"}
    lines = []
    for result in results:
        cards = result.lot.cards
        sheet = sheet_keys(cards) / len(cards)
        lines.append(
            (
                result.name,
                str(len(cards)),
                f"{result.keys:.2f}",
                f"{sum(spent.correcting for spent in result.spent) / len(cards):.2f}",
                f"at most {result.lot.aim}" if result.met is not None else "",
                mark[result.met],
                f"{sheet:.2f}",
                f"{result.keys / sheet:.2f}",
                str(result.wrong),
                f"{sum(spent.looks for spent in result.spent) / len(cards):.2f}",
            )
        )
    return aligned([HEAD, *lines])


def cost_text(result: Result) -> str:
    """Keys a card by kind, and by situation the keys beyond one a card, the dearest first, with
    three examples."""
    count = len(result.spent)
    kinds = sum((spent.kinds() for spent in result.spent), Counter())
    told = ", ".join(f"{kind} {times / count:.2f}" for kind, times in kinds.most_common())
    groups: dict[str, list[Spent]] = {}
    before: Card | None = None
    for spent in result.spent:
        groups.setdefault(situation(spent.card, before), []).append(spent)
        before = spent.card
    lines = []
    for name, group in sorted(
        groups.items(), key=lambda item: -sum(len(spent.keys) - 1 for spent in item[1])
    ):
        keys = sum(len(spent.keys) for spent in group)
        worst = sorted(group, key=lambda spent: -len(spent.keys))[:3]
        lines.append(
            (
                f"  {name}",
                str(len(group)),
                f"{keys / len(group):.2f}",
                f"{(keys - len(group)) / count:.3f}",
                "   ".join(f"[{spent}]" for spent in worst),
            )
        )
    head = (f"{result.name}", "cards", "keys a card", "lost a card", "dearest")
    return f"{aligned([head, *lines])}\n  by kind of key: {told}"

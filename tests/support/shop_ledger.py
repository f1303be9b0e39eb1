"""A ledger of a small shop, kept by the plainest means: what each card is, where it lies, and what
it brought in. It knows nothing of the program."""

from __future__ import annotations

import random
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

CONDITIONS = ("Mint", "Near Mint", "Excellent", "Good")


@dataclass
class Card:
    """One card. `state`: `stock`, `waiting` (sold, not yet pulled), `sold`, `lost`."""

    lot: str
    position: int
    set: str
    number: str
    subject: str
    parallel: str
    condition: str
    place: str
    cents: int
    state: str = "stock"
    stock_number: str = ""
    sale: dict[str, str | int] = field(default_factory=dict)

    @property
    def kind(self) -> tuple[str, ...]:
        """What tells it from other cards, its copies aside."""
        return self.set, self.number, self.subject, self.parallel

    @property
    def there(self) -> bool:
        """Whether it lies in its place."""
        return self.state in ("stock", "waiting")


def natural(place: str) -> list[tuple[int, str]]:
    """`box 9` before `box 10`."""
    parts = re.findall(r"[0-9]+|[^0-9]+", place)
    return [(int(part), "") if part.isdigit() else (-1, part) for part in parts]


class Ledger:
    """All cards of the shop."""

    def __init__(self, lots: int, cards: int, seed: int) -> None:
        self.chance = random.Random(seed)
        subjects = ("Ada Marsh", "Ivo Lund", "Bo Reed", "Lee Gold", "Ann Flint")
        self.cards: list[Card] = []
        for lot in range(1, lots + 1):
            place = f"box {lot}"
            for position in range(1, cards + 1):
                if position % max(3, cards // 3) == 0:
                    place = f"box {lot}, row {position}"
                number = self.chance.randint(1, max(5, cards // 3))
                self.cards.append(
                    Card(
                        f"lot {lot}", position, f"198{lot % 3} Harbor Light", str(number),
                        subjects[number % 5], self.chance.choice(("", "", "Gold")),
                        self.chance.choice(CONDITIONS), place, self.chance.randint(5, 2500),
                    )
                )  # fmt: skip

    def of_lot(self, lot: str) -> list[Card]:
        """A lot's cards in feeding order."""
        return [card for card in self.cards if card.lot == lot]

    @property
    def lots(self) -> list[str]:
        """The lots' names."""
        return list(dict.fromkeys(card.lot for card in self.cards))

    def beside(self, card: Card) -> tuple[int, str, str]:
        """(which one of its place it is, the card before it, the one after it)."""
        row = [c for c in self.of_lot(card.lot) if c.place == card.place and c.there]
        at = row.index(card)
        before = f"#{row[at - 1].number}" if at else ""
        after = f"#{row[at + 1].number}" if at + 1 < len(row) else ""
        return at + 1, before, after

    def in_order(self, cards: Iterable[Card]) -> list[Card]:
        """Cards by place, and there from the front."""
        return sorted(cards, key=lambda c: (natural(c.place), c.lot, self.beside(c)[0], c.position))

    def nearest(self, kind: tuple[str, ...], condition: str, given: Sequence[Card]) -> Card | None:
        """The copy that is front-most in its place."""
        copies = [
            c for c in self.cards
            if c.kind == kind and c.condition == condition and c.state == "stock" and c not in given
        ]  # fmt: skip
        copies.sort(key=lambda c: (self.beside(c)[0], natural(c.place), c.lot, c.position))
        return copies[0] if copies else None

    def count(self, state: str) -> int:
        """How many cards are so."""
        return sum(card.state == state for card in self.cards)

    def by_place(self) -> Counter[str]:
        """How many cards are in stock, by place."""
        return Counter(card.place for card in self.cards if card.state == "stock")

    def sums(self, group: str) -> dict[tuple[str, str], list[int]]:
        """[cards, income, fees, shipping] in cents by (group, currency)."""
        found: dict[tuple[str, str], list[int]] = defaultdict(lambda: [0, 0, 0, 0])
        for card in self.cards:
            if not card.sale:
                continue
            key = {"lot": card.lot, "month": str(card.sale["date"])[:7]}.get(
                group, str(card.sale["channel"])
            )
            total = found[key, str(card.sale["currency"])]
            total[0] += 1
            for at, name in enumerate(("price", "fee", "shipping"), start=1):
                total[at] += int(card.sale[name])
        return dict(found)

    def rename(self, old: str, new: str) -> None:
        """A box with its rows is called otherwise."""
        for card in self.cards:
            if card.place == old or card.place.startswith(f"{old}, "):
                card.place = new + card.place[len(old) :]

"""What a lot must be after each thing that a dealer does, by the plainest means: a list of dicts
and a stack of copies.

It is written from the README and shares nothing with the program.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, NamedTuple

Kept = dict[str, Any]
TAGS = (
    "set",
    "number",
    "subject",
    "team",
    "parallel",
    "serial",
    "condition",
    "place",
    "note",
    "price",
)
BLANK: Kept = dict.fromkeys(TAGS, "") | {
    "state": "untagged", "reason": "", "listed": True, "unsure": False, "confirmed": False,
}  # fmt: skip


class Stand(NamedTuple):
    """All that undo brings back. `stretch` is (cards left, its fields, what was carried before
    it)."""

    cards: list[Kept]
    at: int
    carried: dict[str, str]
    stretch: tuple[int, tuple[str, ...], dict[str, str]] | None


KEPT_ASIDE = ("place", "condition")  # of a card that had no tags


class Shelf:
    """A lot of so many cards. Cards are replaced, never changed; positions count from 1."""

    def __init__(self, cards: int) -> None:
        self.cards = [dict(BLANK) for _ in range(cards)]
        self.at = 1
        self.carried: dict[str, str] = {}
        self.stretch: tuple[int, tuple[str, ...], dict[str, str]] | None = None
        self.past: list[
            tuple[Stand, Stand, int]
        ] = []  # before, after, and the card where it was done
        self.future: list[tuple[Stand, Stand, int]] = []

    # What is so

    @property
    def here(self) -> Kept:
        """The card in front."""
        return self.cards[self.at - 1]

    @property
    def at_end(self) -> bool:
        """Whether no card is in front."""
        return self.at > len(self.cards)

    def count(self, state: str) -> int:
        """How many cards are in a state."""
        return sum(card["state"] == state for card in self.cards)

    def where(self, test: Callable[[Kept], bool], among: Sequence[int] = ()) -> list[int]:
        """The positions of the cards that pass a test, of all or of some."""
        return [at for at in among or range(1, len(self.cards) + 1) if test(self.cards[at - 1])]

    def before(self) -> Kept | None:
        """The nearest tagged card before the one in front."""
        return next(
            (card for card in reversed(self.cards[: self.at - 1]) if card["state"] == "tagged"),
            None,
        )

    def doubles(self) -> list[int]:
        """The positions of tagged cards that are there more than once."""
        keys = [
            (card["set"], card["number"], card["subject"], card["parallel"])
            if card["state"] == "tagged"
            else None
            for card in self.cards
        ]
        return [
            at for at, key in enumerate(keys, start=1) if key is not None and keys.count(key) > 1
        ]

    def why(self, at: int) -> list[str]:
        """Why a card is in question, in the words of the screen."""
        card = self.cards[at - 1]
        if card["state"] == "set aside":
            return [f"set aside: {card['reason']}"]
        if card["state"] == "untagged" or card["confirmed"]:
            return []
        same = [] if not card["serial"] else self.where(lambda other: _copy(other) == _copy(card))
        first = next((other for other in same if other != at), 0)
        said = [
            "" if card["listed"] else "in no checklist",
            "accepted while unsure" if card["unsure"] else "",
        ]
        said.append(f"card {first} already has serial number {card['serial']}" if first else "")
        return [one for one in said if one]

    def questioned(self) -> list[int]:
        """The positions of all cards in question."""
        return [at for at in range(1, len(self.cards) + 1) if self.why(at)]

    def exported(self) -> list[Kept]:
        """The rows of the inventory, the scans left out."""
        rows = []
        for at, card in enumerate(self.cards, start=1):
            note = "; ".join(part for part in (card["reason"], card["note"]) if part)
            rows.append(
                {
                    "position": at,
                    **{name: card[name] for name in TAGS},
                    "note": note,
                    "state": card["state"],
                }
            )
        return rows

    # One card

    def take(self, row: Mapping[str, str], said: Mapping[str, str], unsure: bool = False) -> None:
        """Tag the card in front as a row of the checklist, with what was `said` of it and else what
        is carried."""
        card = self._tagged({**row, "parallel": self.carried.get("parallel", ""), **said})
        named = ("state", "set", "number", "subject", "parallel")
        card["unsure"] = unsure and any(card[name] != self.here[name] for name in named)
        with self._step():
            self._put(card)

    def unlisted(self, said: Mapping[str, str]) -> None:
        """Tag the card in front as one that is in no checklist."""
        kept = {name: self.carried.get(name, "") for name in ("set", "parallel")}
        with self._step():
            self._put(self._tagged({**kept, **said}) | {"listed": False})

    def again(self, said: Mapping[str, str]) -> None:
        """The card before once more."""
        before = self.before()
        assert before is not None
        kept = {
            name: before[name]
            for name in (*TAGS, "listed", "unsure")
            if name not in ("place", "note", "serial")
        }
        with self._step():
            self._put(self._tagged({**kept, **said}))

    def aside(self, reason: str) -> None:
        """Set the card in front aside; it keeps its tags, or lies where cards lie now, in the
        condition that they have now."""
        aside = {"state": "set aside", "reason": reason, "unsure": False, "confirmed": False}
        if self.here["state"] == "untagged":
            aside |= {name: self.carried.get(name, "") for name in KEPT_ASIDE}
        with self._step():
            self._put(self.here | aside)

    def clear(self) -> None:
        """Take all tags off the card in front."""
        with self._step():
            self.cards[self.at - 1] = dict(BLANK)

    def confirm(self) -> None:
        """Leave a tagged card in question as it is, for good."""
        with self._step():
            self.cards[self.at - 1] = self.here | {"unsure": False, "confirmed": True}

    def _tagged(self, tags: Mapping[str, Any]) -> Kept:
        names = ("condition", "place", "note")
        carried = {name: self.carried.get(name, "") for name in names}
        if self.here["state"] == "tagged":
            carried = {name: self.here[name] for name in names}
        elif self.here["state"] == "set aside":
            of_then = {name: self.here[name] for name in KEPT_ASIDE}
            carried |= of_then if any(of_then.values()) else {"place": ""}
        return BLANK | {"state": "tagged", **carried, **tags}

    def _put(self, card: Kept) -> None:
        """The card in front is this now; the next one comes."""
        if self.here["state"] == "untagged":
            if card["state"] == "tagged" and card["set"]:
                self.carried["set"] = card["set"]
            self._count_down()
        self.cards[self.at - 1] = card
        self.at += 1

    def _count_down(self) -> None:
        if self.stretch is not None:
            left, fields, before = self.stretch
            self.stretch = (left - 1, fields, before)
            if left == 1:
                self._end_stretch()

    def _end_stretch(self) -> None:
        if self.stretch is not None:
            _, fields, before = self.stretch
            kept = {name: value for name, value in self.carried.items() if name not in fields}
            self.carried = kept | {name: before[name] for name in fields if name in before}
            self.stretch = None

    # Many cards

    def carry(self, said: dict[str, str], cards: int = 0) -> None:
        """Carry tags from now on, or for so many untagged cards (where no stretch is at work)."""
        with self._step():
            if cards:
                self.stretch = (cards, tuple(said), dict(self.carried))
            self.carried |= said

    def drop_stretch(self) -> None:
        """End the stretch early."""
        with self._step():
            self._end_stretch()

    def change(self, positions: Sequence[int], what: Mapping[str, Any]) -> None:
        """Change many cards at once; the dealer stays where they are."""
        with self._step(positions[0]):
            for at in positions:
                self.cards[at - 1] = self.cards[at - 1] | what

    # Moving and second thoughts

    def next_untagged(self) -> None:
        """Go to the nearest untagged card onwards, round the end."""
        behind = [*range(self.at + 1, len(self.cards) + 1), *range(1, self.at)]
        self.at = next(at for at in behind if self.cards[at - 1]["state"] == "untagged")

    def undo(self) -> None:
        """Take the last change back."""
        step = self.past.pop()
        self.future.append(step)
        self._bring(step[0])

    def redo(self) -> None:
        """Do again what was undone last."""
        step = self.future.pop()
        self.past.append(step)
        self._bring(step[1])

    def _bring(self, stand: Stand) -> None:
        self.cards, self.carried = list(stand.cards), dict(stand.carried)
        self.at, self.stretch = stand.at, stand.stretch

    def _stand(self) -> Stand:
        return Stand(list(self.cards), self.at, dict(self.carried), self.stretch)

    @contextmanager
    def _step(self, where: int = 0) -> Iterator[None]:
        before, where = self._stand(), where or self.at
        yield
        self.past.append((before, self._stand(), where))
        self.future.clear()


def _copy(card: Kept) -> tuple[Any, ...]:
    return tuple(card[name] for name in ("state", "set", "number", "subject", "parallel", "serial"))

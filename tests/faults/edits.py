"""Random work at a lot, what the lot must be after each step of it, and what a lot on disk is."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from support import drawn
from support.memory import MemoryStore

from tagger.core.feeding.pairing import first_intake, later_intake, rearranged
from tagger.core.lot.carried import CarriedRun, Cursor
from tagger.core.lot.change import Change, ChecklistsKnown, FolderRead, LotNamed
from tagger.core.lot.lot import LotState
from tagger.core.lot.sitting import Sitting
from tagger.core.model.arrangement import Arrangement
from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.errors import LotError, Refused
from tagger.store.files import Files
from tagger.store.lot.documents import arrangement_document, cursor_document, mark_document
from tagger.store.lot.lot_file import LotFile

NAMES = drawn.names(400, seed=3)
Step = tuple[str, tuple[Any, ...]]  # the name of a store's method, and what it is given
Facts = tuple[Any, ...]


@dataclass
class Tally:
    """What came of trying: how often, and what went wrong each time."""

    what: str
    tried: int = 0
    lost: list[str] = field(default_factory=list)
    silent: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    @property
    def good(self) -> bool:
        """Whether nothing went wrong."""
        return not (self.lost or self.silent or self.wrong)

    def add(self, other: Tally) -> None:
        """Take another tally's counts in."""
        self.tried += other.tried
        self.lost += other.lost
        self.silent += other.silent
        self.wrong += other.wrong

    def __str__(self) -> str:
        told = [*self.lost, *self.silent, *self.wrong]
        return f"{self.what}: {self.tried} tried, {len(told)} wrong" + "".join(
            f"\n  {line}" for line in told[:5]
        )


class Model(MemoryStore):
    """What a lot must be. `places` are the positions of which one must be found at opening: where
    the dealer stands is durable with the next change only."""

    def __init__(self) -> None:
        super().__init__()
        self.places = {1}

    def clone(self) -> Model:
        """A copy that goes its own way."""
        twin = Model()
        lot = self.lot
        twin.lot = LotState(
            lot.arrangement, dict(lot.marks), lot.cursor, lot.checklists, lot.next_id, name=lot.name
        )
        twin.done, twin.undone, twin.places = list(self.done), list(self.undone), set(self.places)
        return twin

    def do(self, step: Step) -> None:
        """Do a step."""
        kind, given = step
        done = getattr(self, kind)(*given)
        if kind in ("enter", "settle") or done is not None:
            self.places = {self.lot.cursor.position}
        self.places.add(self.lot.cursor.position)

    def facts(self) -> Facts:
        """All that must be found."""
        return (*lot_facts(self.lot), tuple(self.done), tuple(self.undone))

    def fits(self, facts: Facts, position: int) -> bool:
        """Whether what was found is what must be."""
        return facts == self.facts() and position in self.places


def lot_facts(lot: LotState) -> Facts:
    """A lot as it stands, its history and the dealer's place left out."""
    marks = {pair.id: lot.mark(pair.id) for pair in lot.arrangement.pairs}
    tagged = {id: mark for id, mark in marks.items() if mark != Mark()}
    noted = lot.checklists, lot.name, lot.next_id
    return tagged, lot.counts(), lot.arrangement, lot.cursor.carried, *noted


def scans(count: int, first: int = 1) -> list[str]:
    """Names of so many scans."""
    return [f"scan_{number:04d}.jpg" for number in range(first, first + count)]


def some_tags(source: random.Random) -> Tags:
    """Tags of an invented card, now and then with a long note."""
    note = "corner worn, “see box”; " * source.randrange(60) if source.random() < 0.15 else ""
    parallel, serial = source.choice(
        (("", ""), ("Gold", f"{source.randrange(1, 100)}/99"), ("Silver", ""))
    )
    set_name, number = (
        source.choice(("1987 Harbor Light", "1985 Mill Pond")),
        str(source.randrange(1, 400)),
    )
    return Tags(
        set_name,
        number,
        source.choice(NAMES),
        "Sand Foxes",
        parallel,
        serial,
        "Near Mint",
        "box 3",
        note,
        price=source.choice(("", "", "3,50")),
    )


class Work:
    """Draws one step after the other for a lot as it stands."""

    def __init__(self, source: random.Random, cards: int = 8) -> None:
        self._source = source
        self._cards = cards
        self._clock = 1000

    def step(self, model: Model) -> Step:
        """The next step; the first of a new lot takes the scans in."""
        source, lot = self._source, model.lot
        if not lot.cards:
            return "note", (FolderRead(*first_intake(scans(self._cards * 2))),)
        sided = any(change.arrangement for change in (*model.done, *model.undone))
        kinds = (
            "tag", "bulk", "aside", "clear", "carry", "undo", "redo", "move", "settle", "sides",
            "scans", "lists",
            "sat", "name",
        )  # fmt: skip
        kind = source.choices(kinds, (40, 5, 5, 4, 6, 14, 9, 6, 5, 3, 3, 2, 4, 2))[0]
        card = source.choice(lot.arrangement.pairs).id
        desk = lot.cursor
        match kind:
            case "tag":
                tags = some_tags(source)
                after = Cursor(
                    source.randrange(1, lot.cards + 2), desk.carried.put("set", tags.set)
                )
                return self._change(
                    f"card: {tags.brief()}", lot, after, {card: Mark(State.TAGGED, tags)}
                )
            case "bulk":
                ids = [pair.id for pair in lot.arrangement.pairs if source.random() < 0.8]
                return self._change(
                    "all at once",
                    lot,
                    desk,
                    {id: Mark(State.TAGGED, some_tags(source)) for id in ids},
                )
            case "aside":
                mark = Mark(
                    State.SET_ASIDE, lot.mark(card).tags, source.choice(("creased", "look again"))
                )
                return self._change("set aside", lot, desk, {card: mark})
            case "clear":
                return self._change("cleared", lot, desk, {card: Mark()})
            case "carry":
                carried = desk.carried.put(
                    source.choice(("set", "place", "note")), source.choice(("", "box 4", "é"))
                )
                if source.random() < 0.5:
                    stretch = CarriedRun(source.randrange(1, 60), ("place",), desk.carried.pairs)
                    carried = replace(carried, stretch=stretch)
                return self._change("carry", lot, Cursor(desk.position, carried), {})
            case "sat":
                cards = source.randrange(9)
                return "sat", (
                    Sitting(
                        float(source.randrange(1, 4)), self._clock * 5.0, 0.0, cards, 0, 3 * cards
                    ),
                )
            case "name":
                return "note", (LotNamed(source.choice(("spring", "autumn/scans", "é"))),)
            case "undo" | "redo" | "settle":
                return kind, ()
            case "move":
                return "move_to", (Cursor(source.randrange(1, lot.cards + 2), desk.carried),)
            case "sides":
                return self._sides(lot)
            # taking another side order back leaves later scans out until the next intake
            case "scans" if not sided:
                known = sum(side is not None for pair in lot.arrangement.pairs for side in pair[1:])
                marks = {pair.id: lot.mark(pair.id) for pair in lot.arrangement.pairs}
                later = later_intake(lot.arrangement, marks, scans(known + 2), lot.next_id)
                return "note", (FolderRead(*later),)
            case _:
                lists = tuple(f"list-{n}.csv" for n in range(source.randrange(3)))
                return "note", (ChecklistsKnown(lists),)

    def _change(
        self,
        label: str,
        lot: LotState,
        after: Cursor,
        marks: dict[int, Mark],
        sides: tuple[Arrangement, ...] = (),
    ) -> Step:
        self._clock += 1
        markings = tuple(Marking(id, lot.mark(id), mark) for id, mark in marks.items())
        arrangement = (sides[0], sides[1]) if sides else None
        return "enter", (
            Change(label, float(self._clock), lot.cursor, after, markings, arrangement),
        )

    def _sides(self, lot: LotState) -> Step:
        marks = {pair.id: lot.mark(pair.id) for pair in lot.arrangement.pairs}
        sides = self._source.choice(
            (SideOrder.FRONT_ONLY, SideOrder.ALTERNATE, SideOrder.BACK_FIRST)
        )
        try:
            fresh, moved = rearranged(lot.arrangement, marks, sides, lot.next_id)
        except Refused:
            return "settle", ()
        after = {m.id: m.after for m in moved}
        return self._change(
            "sides", lot, Cursor(1, lot.cursor.carried), after, (lot.arrangement, fresh)
        )


def do(store: LotFile, step: Step) -> None:
    """Do a step of the work with a store."""
    kind, given = step
    getattr(store, kind)(*given)


def steps_from(start: Model, seed: int) -> Iterator[tuple[Step, Model]]:
    """Endless work that goes on from a lot: each step, and what the lot is after it."""
    work, model = Work(random.Random(seed)), start.clone()
    while True:
        step = work.step(model)
        model.do(step)
        yield step, model.clone()


def model_after(start: Model, seed: int, count: int) -> Model:
    """What a lot is after so many steps."""
    model = start
    for (_, after), _ in zip(steps_from(start, seed), range(count), strict=False):
        model = after
    return model


def found(files: Files, home: Path) -> tuple[Facts, int]:
    """What is found at opening, and where the dealer stands. The history is what undoing and
    redoing all of it shows; after that the lot must be as before. Raises LotError where the lot
    does not open for work."""
    store = LotFile(home, "lot", files)
    try:
        if store.looking:
            raise LotError(store.looking)
        before, position = lot_facts(store.lot), store.lot.cursor.position
        undone: list[Change] = []
        while change := store.redo():
            undone.insert(0, change)
        for _ in undone:
            store.undo()
        done: list[Change] = []
        while change := store.undo():
            done.insert(0, change)
        for _ in done:
            store.redo()
        if lot_facts(store.lot) != before:
            raise LotError("undo and redo of everything made another lot of it")
    finally:
        store.close()
    return (*before, tuple(done), tuple(undone)), position


def judge(tally: Tally, files: Files, home: Path, allowed: list[Model], told: str) -> Model | None:
    """Open a lot and note what is wrong with it; returns the one of the allowed states that it is
    in, to go on from."""
    tally.tried += 1
    try:
        facts, position = found(files, home)
    except Exception as error:  # whatever it is, the lot does not open
        tally.wrong.append(f"{told}: does not open: {error!r}")
        return None
    fitting = next((model for model in allowed if model.fits(facts, position)), None)
    if fitting is None:
        names = (
            "marks",
            "counts",
            "sides",
            "carried",
            "checklists",
            "name",
            "next identity",
            "history",
            "undone",
        )
        wanted = allowed[-1].facts()
        other = [
            name for name, have, want in zip(names, facts, wanted, strict=True) if have != want
        ]
        tally.lost.append(
            f"{told}: not as acknowledged: {', '.join(other) or f'position {position}'}"
        )
        return None
    left = fitting.clone()
    left.lot.cursor = replace(left.lot.cursor, position=position)
    left.places = {position}
    return left


def format_1(model: Model) -> bytes:
    """A lot as the first format kept it: one file, with no record of scans that came later."""
    lot = model.lot
    cards = {}
    for pair in lot.arrangement.pairs:
        sides = {
            name: side
            for name, side in (("front", pair.front), ("back", pair.back))
            if side is not None
        }
        cards[str(pair.id)] = {**sides, **mark_document(lot.mark(pair.id))}
    changes = {}
    for number, change in enumerate((*model.done, *reversed(model.undone)), start=1):
        changes[str(number)] = {
            "label": change.label,
            "at": change.at,
            "before": cursor_document(change.before),
            "after": cursor_document(change.after),
            "marks": [
                [m.id, mark_document(m.before), mark_document(m.after)] for m in change.marks
            ],
        }
        if change.arrangement:
            changes[str(number)]["arrangement"] = [
                arrangement_document(side) for side in change.arrangement
            ]
    meta = {
        "format": 1,
        "lot": "lot",
        "sides": str(lot.arrangement.sides),
        "order": [pair.id for pair in lot.arrangement.pairs],
        "next_id": lot.next_id,
        "undone": len(model.undone),
        "checklists": list(lot.checklists),
        "saved": 1,
        **cursor_document(lot.cursor),
    }
    return json.dumps({"lot": {"1": meta}, "cards": cards, "changes": changes}).encode()


def old_lot(seed: int, steps: int = 20) -> Model:
    """A lot to be kept in the first format."""
    model, work = Model(), Work(random.Random(seed), cards=6)
    while steps:
        step = work.step(model)
        # that format had no names of lots
        noted = step[1][0] if step[0] == "note" else None
        if not isinstance(noted, LotNamed) and not (
            isinstance(noted, FolderRead) and model.lot.cards
        ):
            model.do(step)
            steps -= 1
    model.places = {model.lot.cursor.position}
    return model

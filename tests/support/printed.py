"""What was read on cards, laid down by hand: stands in for an engine, through the public port."""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from tagger.core.index.index import Index
from tagger.core.model.arrangement import Arrangement, Card
from tagger.core.model.tags import Tags
from tagger.core.reading.printed import Box, CardReading, Evidence, Spot
from tagger.core.session.seen import Print

NUMBER_AT = Spot("back", Box(0.7, 0.84, 0.84, 0.92))
NAME_AT = Spot("front", Box(0.1, 0.8, 0.7, 0.9))
CLEAR, FAINT = 16.0, 5.0  # log weights of a card that is read whole, and of one of which a part is


def evidence(index: Index, tags: Tags, weight: float = CLEAR, alone: bool = True) -> Evidence:
    """What says that a card is this one of the checklists."""
    step = index.find(tags)
    assert step is not None
    return Evidence({step: weight}, step if alone else None, NUMBER_AT, NAME_AT)


def printed(index: Index, tags: Tags, weight: float = CLEAR, alone: bool = True) -> Print:
    """The same as the desk has it."""
    return Print(evidence(index, tags, weight, alone), tags if alone else None)


class LaidReadings:
    """Readings by the card's identity, as they were laid down; of a card that is missing nothing
    was read yet."""

    def __init__(self, found: Mapping[int, Evidence]) -> None:
        self.found = dict(found)
        self.came: Callable[[str], None] = lambda told: None
        self.positions: list[int] = []

    def of(self, card: Card) -> CardReading | None:
        return CardReading() if card.id in self.found else None

    def evidence_of(self, card: Card) -> Evidence | None:
        return self.found.get(card.id)

    def begin(self, came: Callable[[str], None]) -> None:
        self.came = came

    def read_on(self) -> None:
        pass

    @property
    def catching_up(self) -> bool:
        return False

    def ahead(self, arrangement: Arrangement, position: int, carried: str) -> None:
        self.positions.append(position)

    def know(self, index: Index) -> None:
        pass

    def close(self) -> None:
        pass


ASKED = 3  # how often it is asked whether more of what is kept comes, until all of it is there


class TruthReadings(LaidReadings):
    """Readings by the front's name, out of a file that `draw` wrote. As what is kept, they are
    looked up after the first card is there."""

    def __init__(self, path: Path) -> None:
        super().__init__({})
        self._said = json.loads(path.read_text(encoding="utf-8"))
        self._index: Index | None = None
        self._asked = 0

    @property
    def catching_up(self) -> bool:
        self._asked += 1
        return self._asked < ASKED

    def of(self, card: Card) -> CardReading | None:
        return CardReading() if card.front in self._said else None

    def evidence_of(self, card: Card) -> Evidence | None:
        said = self._said.get(card.front)
        if said is None or self._index is None or (self._asked < ASKED and card.id > 1):
            return None
        tags = Tags(set=said["set"], number=said["number"], subject=said["subject"])
        if not tags.number:
            return Evidence()
        number, name = (Box(*box) for box in said["places"])
        return replace(
            evidence(self._index, tags, said["weight"], said["alone"]),
            number_at=Spot("back", number),
            name_at=Spot("front", name),
        )

    def know(self, index: Index) -> None:
        self._index = index
        self.came("")


def draw(
    folder: Path,
    cards: Sequence[tuple[str, str, str]],
    faint: Sequence[int] = (),
    misread: Mapping[int, tuple[str, str, str]] | None = None,
) -> Path:
    """Scans of cards (set, number, subject) with number and name where they are said to be read,
    and a file of what is read: those of `faint` hardly, those of `misread` as another card. Cards
    are counted from 1. Returns the file's path."""
    folder.mkdir(parents=True, exist_ok=True)
    said = {}
    for at, (set_name, number, subject) in enumerate(cards, start=1):
        front, back = f"scan_{at * 2 - 1:04}.jpg", f"scan_{at * 2:04}.jpg"
        face, name_at = _side(at, NAME_AT.box, subject.upper())
        face.save(folder / front, dpi=(150, 150))
        other, number_at = _side(at + 1000, NUMBER_AT.box, number)
        other.save(folder / back, dpi=(150, 150))
        read = (misread or {}).get(at, (set_name, number, subject))
        said[front] = {
            "set": read[0],
            "number": read[1],
            "subject": read[2],
            "weight": FAINT if at in faint else CLEAR,
            "alone": at not in faint,
            "places": (number_at, name_at),
        }
    path = folder.parent / f"{folder.name}.read.json"
    path.write_text(json.dumps(said), encoding="utf-8")
    return path


def _side(seed: int, box: Box, text: str) -> tuple[Image.Image, Box]:
    """One side, and where the text stands on it."""
    width, height = 375, 525
    rng = random.Random(seed)
    side = Image.new("RGB", (width, height), (236, 230, 214))
    pen = ImageDraw.Draw(side)
    pen.rectangle(
        (25, 25, width - 26, height - 120), fill=tuple(rng.randrange(60, 200) for _ in "rgb")
    )
    left, top, right, bottom = (
        round(share * side) for share, side in zip(box, (width, height) * 2, strict=True)
    )
    size = float(bottom - top)
    while pen.textlength(text, ImageFont.load_default(size)) > right - left and size > 6:
        size -= 1
    font = ImageFont.load_default(size)
    pen.text((left, top), text, (20, 20, 30), font)
    # as a line is found: letters fill about two thirds of its height
    x1, y1, x2, y2 = pen.textbbox((left, top), text, font)
    room = (y2 - y1) / 4
    printed_at = (x1 - room / 2, y1 - room, x2 + room / 2, y2 + room)
    shares = (at / side for at, side in zip(printed_at, (width, height) * 2, strict=True))
    return side, Box(*shares)


def program() -> None:
    """`python -m support.printed READ.json open …`: the program with readings out of a file."""
    from tagger.cli import program as tagger_program
    from tagger.commands.composition import lot_desk

    read = Path(sys.argv.pop(1))
    lot_desk.readings_of = lambda *given: TruthReadings(read)
    tagger_program()


if __name__ == "__main__":
    program()

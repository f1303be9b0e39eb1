"""Lots and checklists drawn afresh for tests: small pictures, invented names, the truth known."""

from __future__ import annotations

import io
import random
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from PIL import Image, ImageDraw

# Parts of invented names: no real person can be meant by one put together of them.
FIRST = (
    "Ada", "Bo", "Cyr", "Dela", "Edo", "Fenn", "Gil", "Hana", "Ivo", "Jun", "Kit", "Lio", "Mara",
    "Nils", "Ona",
)  # fmt: skip
START = (
    "Mar", "Lun", "Tor", "Bel", "Kas", "Ren", "Vos", "Hol", "Dun", "Pel", "Sar", "Wim", "Gar",
    "Fer", "Nor",
)  # fmt: skip
END = (
    "sh", "den", "wick", "ova", "ell", "by", "stad", "mann", "iri", "olm", "ett", "gren", "una",
    "rop", "ley",
)  # fmt: skip
TEAMS = ("Harbor Gulls", "Sand Foxes", "Mill Otters", "Pine Herons", "Quarry Stoats")


@dataclass(frozen=True)
class Truth:
    """One card as it really is."""

    set: str
    number: str
    subject: str
    team: str


def names(count: int, seed: int) -> list[str]:
    """Invented names, each once."""
    source = random.Random(seed)
    whole = [f"{first} {start}{end}" for first in FIRST for start in START for end in END]
    source.shuffle(whole)
    return whole[:count]


def set_rows(set_name: str, count: int, seed: int) -> list[Truth]:
    """A set of cards numbered from 1."""
    source = random.Random(seed)
    return [
        Truth(set_name, str(number), name, source.choice(TEAMS))
        for number, name in enumerate(names(count, seed), 1)
    ]


def checklist_csv(rows: list[Truth], parallels: str = "Gold /99; Silver") -> str:
    """The rows as a checklist file."""
    lines = ["set,number,subject,team,parallels,price"]
    lines += [f"{row.set},{row.number},{row.subject},{row.team},{parallels},0.25" for row in rows]
    return "\n".join(lines) + "\n"


def presorted(rows: list[Truth], count: int, seed: int) -> list[Truth]:
    """A tray of cards in ascending order: 22 in 100 are doubles of the card before, the rest go on
    by one or a few. Starts over at the beginning of the set where it runs out."""
    source = random.Random(seed)
    tray: list[Truth] = []
    at = source.randrange(3)
    for _ in range(count):
        tray.append(rows[at % len(rows)])
        if source.random() >= 0.22:
            at += source.choices((1, 2, 3, 4), (70, 15, 10, 5))[0]
    return tray


def draw_scans(
    folder: Path,
    cards: int,
    pattern: str = "scan_{:04d}.jpg",
    seed: int = 1,
    size: tuple[int, int] = (205, 280),
) -> None:
    """Front and back of so many cards, in turn, as small pictures: a coloured card on a dark
    scanner."""
    folder.mkdir(parents=True, exist_ok=True)
    pictures = _pictures(cards, seed, size, Path(pattern).suffix)
    for number, data in enumerate(pictures, start=1):
        (folder / pattern.format(number)).write_bytes(data)


@lru_cache
def _pictures(cards: int, seed: int, size: tuple[int, int], suffix: str) -> tuple[bytes, ...]:
    """The files of `draw_scans`; hundreds of tests begin with the same."""
    files = []
    source = random.Random(seed)
    width, height = size
    for _ in range(cards * 2):
        page = Image.new("RGB", size, (24, 25, 27))
        draw = ImageDraw.Draw(page)
        colours = [tuple(source.randrange(40, 250) for _ in range(3)) for _ in range(3)]
        draw.rectangle((8, 8, width - 9, height - 9), fill=colours[0])
        draw.rectangle((20, 24, width - 21, height * 2 // 3), fill=colours[1])
        draw.ellipse((width // 3, height // 5, width * 2 // 3, height * 3 // 5), fill=colours[2])
        data = io.BytesIO()
        page.save(data, {".jpg": "JPEG", ".png": "PNG"}[suffix], quality=75)
        files.append(data.getvalue())
    return tuple(files)

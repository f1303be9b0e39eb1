"""Lots and checklists of the size that is measured, drawn quickly: a dozen pictures, and others
made of them."""

from __future__ import annotations

import os
import random
import shutil
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter
from support.drawn import END, FIRST, START, Truth, checklist_csv

SCAN = (820, 1130)  # pixels: a card of 2.5 x 3.5 inches with its margin at 300 dpi
CARD = (35, 40, SCAN[0] - 35, SCAN[1] - 40)  # where the card lies in it
DRAWN = 12  # pictures from scratch
_MIDDLE = ("", "a", "ga", "ri", "mo", "le", "ven", "tis", "ko", "dra")
_TEAMS = tuple(
    f"{place} {animal}"
    for place in ("Harbor", "Sand", "Mill", "Pine", "Quarry")
    for animal in ("Gulls", "Foxes")
)
_SERIES = ("Harbor Light", "Slate", "Northway", "Copper Gate", "Tidewater")
PARALLELS = "Gold /99; Silver; Blue Wave /25"


def checklist(sets: int, cards: int, seed: int = 1) -> list[Truth]:
    """So many sets of so many cards. The same subjects come back from set to set, as they do in the
    hobby."""
    source = random.Random(seed)
    whole = [f"{first} {a}{b}{c}" for first in FIRST for a in START for b in _MIDDLE for c in END]
    subjects = source.sample(whole, min(len(whole), cards * sets // 4))
    rows: list[Truth] = []
    for index in range(sets):
        year, series = 1980 + index // len(_SERIES), _SERIES[index % len(_SERIES)]
        for number, subject in enumerate(source.sample(subjects, cards), start=1):
            rows.append(Truth(f"{year} {series}", str(number), subject, source.choice(_TEAMS)))
    return rows


def checklist_text(rows: list[Truth]) -> str:
    """The rows as a checklist file with three parallels a card."""
    return checklist_csv(rows, PARALLELS)


def pictures(folder: Path, count: int = DRAWN) -> list[Path]:
    """So many scans, fronts and backs in turn: shaded, grainy, with lettering, so that neighbouring
    cells differ.

    No two look alike: from the thirteenth on each is one of the first dozen with colours of its own
    all over."""
    folder.mkdir(parents=True, exist_ok=True)
    drawn = [
        _picture(random.Random(index), back=index % 2 == 1) for index in range(min(count, DRAWN))
    ]
    paths = []
    for index in range(count):
        picture = (
            drawn[index] if index < DRAWN else _another(random.Random(index), drawn[index % DRAWN])
        )
        path = folder / f"picture_{index:04d}.jpg"
        picture.save(path, quality=88)
        paths.append(path)
    return paths


def _another(source: random.Random, picture: Image.Image) -> Image.Image:
    """The card of a picture, more than half of it in other colours; the scanner's background
    stays."""
    card = picture.crop(CARD)
    patches = Image.frombytes("RGB", (5, 7), source.randbytes(5 * 7 * 3)).resize(
        card.size, Image.Resampling.BICUBIC
    )
    page = picture.copy()
    page.paste(Image.blend(card, patches, 0.6), CARD)
    return page


def _picture(source: random.Random, back: bool) -> Image.Image:
    colours = [tuple(source.randrange(30, 250) for _ in range(3)) for _ in range(8)]
    light, dark = colours[0], colours[1]
    shade = (
        Image.linear_gradient("L")
        .rotate(source.randrange(4) * 90)
        .resize((CARD[2] - CARD[0], CARD[3] - CARD[1]))
    )
    card = Image.composite(
        Image.new("RGB", shade.size, light), Image.new("RGB", shade.size, dark), shade
    )
    draw = ImageDraw.Draw(card)
    for colour in colours[2:] * (2 if back else 5):
        x, y = source.randrange(card.width), source.randrange(card.height)
        w, h = (
            source.randrange(40, 300),
            source.randrange(10, 40) if back else source.randrange(40, 300),
        )
        (draw.rectangle if back else draw.ellipse)((x, y, x + w, y + h), fill=colour)
    for y in range(60, card.height - 60, 34 if back else 400):
        draw.text(
            (40, y), "NORTHWAY 1987 ADA MARSH 12 31 0.287 " * 2, fill=(20, 20, 20), font_size=22
        )
    soft = card.filter(ImageFilter.GaussianBlur(1.2))
    grain = Image.merge("RGB", [Image.effect_noise(soft.size, 24)] * 3)
    page = Image.new("RGB", SCAN, (22, 23, 25))
    page.paste(Image.blend(soft, grain, 0.12), CARD)
    return page


def lot(folder: Path, cards: int, drawn: list[Path]) -> Path:
    """A folder of so many cards, front and back in turn: the pictures under other names, one after
    the other, and from the first again where there are fewer."""
    folder.mkdir(parents=True)
    for number in range(cards * 2):
        target = folder / f"scan_{number + 1:04d}.jpg"
        try:
            os.link(drawn[number % len(drawn)], target)
        except OSError:
            shutil.copyfile(drawn[number % len(drawn)], target)
    return folder

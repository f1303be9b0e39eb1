"""Dividers and cards through scanners, and what is read of them."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from PIL import Image
from support.scanning import art_held, art_tuning, machines_held, machines_tuning
from support.scanning.cards import Deck
from support.scanning.dividers import Print, any_divider, clean, low_ink, sides, worn_toner
from support.scanning.machines import Machine, scanned

from tagger.core.dividers.divider import BACK, FRONT, Divider
from tagger.imaging.scan.pictures import read_grey
from tagger.imaging.survey.divider_codes import SMALL, look_for_code

DPI, SKEW, TURNS = (150, 200, 240, 300), 5.0, (0, 90, 180, 270)
SHARED = 40  # cards of a design that are drawn, and go through machines again and again


@dataclass
class Read:
    """How many dividers were read, of so many; wrongly; by the second reader; seconds of CPU."""

    of: int = 0
    read: int = 0
    wrong: int = 0
    second: int = 0
    cpu: float = 0.0
    second_cpu: float = 0.0


def printers(held: bool) -> dict[str, tuple[Print, tuple[Machine, ...]]]:
    """A good printer and a bad one, and the scanners."""
    if held:
        return {
            "clean, held out": (clean, machines_held.MACHINES),
            "worn toner, curl, held out": (worn_toner, machines_held.MACHINES),
        }
    return {
        "clean, tuning": (clean, machines_tuning.MACHINES),
        "low ink, curl, tuning": (low_ink, machines_tuning.MACHINES),
    }


def read(folder: Path, name: str, how: Print, machines: tuple[Machine, ...], many: int) -> Read:
    """So many dividers, printed so, through some of these scanners."""
    out = Read()
    for at in range(many):
        rng = random.Random(f"bench {name} {at}")
        divider, side, turned = any_divider(rng), rng.randrange(2), rng.choice(TURNS)
        machine = replace(rng.choice(machines).own(), dpi=rng.choice(DPI), skew=SKEW)
        art = how(sides(divider)[side], rng).convert("RGB")
        (folder / "divider.jpg").write_bytes(scanned(art, machine, rng, turned=turned).data)
        _judge(out, folder, divider, (FRONT, BACK)[side], -turned % 360)
    return out


def _judge(out: Read, folder: Path, divider: Divider, side: str, turn: int) -> None:
    begun = time.process_time()
    seen = look_for_code(folder, "divider.jpg")
    out.cpu += time.process_time() - begun
    out.of += 1
    right = seen.payload == (divider, side) and seen.turn == turn
    out.read += right
    out.wrong += bool(seen.text) and not right
    begun = time.process_time()
    levels = np.asarray(Image.open(folder / "divider.jpg").convert("L"))
    text = cv2.QRCodeDetector().detectAndDecode(levels)[0]
    out.second_cpu += time.process_time() - begun
    out.second += bool(text)


def cards(many: int, held: bool) -> Iterator[bytes]:
    """Scans of cards, no two alike."""
    art, machines = art_tuning, machines_tuning
    if held:
        art, machines = art_held, machines_held
    for at in range(many):
        rng = random.Random(f"bench card {held} {at}")
        machine = replace(rng.choice(machines.MACHINES).own(), dpi=rng.choice(DPI))
        deck = Deck(rng.choice(art.DESIGNS), "bench")
        side = deck.side(rng.randrange(SHARED), rng.choice(("front", "back")))
        yield scanned(side, machine, rng).data


@dataclass
class Cost:
    """Cards that were looked at; false dividers; seconds of CPU, and those of decoding alone."""

    scans: int = 0
    false: int = 0
    cpu: float = 0.0
    decoding: float = 0.0


def looked_at(folder: Path, many: int, held: bool) -> Cost:
    """So many cards, on which there is nothing to find."""
    out = Cost()
    for data in cards(many, held):
        (folder / "card.jpg").write_bytes(data)
        begun = time.process_time()
        read_grey(folder, "card.jpg", SMALL)
        decoded = time.process_time()
        out.false += bool(look_for_code(folder, "card.jpg").text)
        out.cpu += time.process_time() - decoded
        out.decoding += decoded - begun
        out.scans += 1
    return out

"""Faults on known scans: how many of each kind are found."""

from __future__ import annotations

import io
import random
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import numpy as np
from PIL import Image, ImageFile
from support.scanning.cards import Deck, Design
from support.scanning.machines import Machine, scanned

from tagger.core.audit.card_size import size_faults
from tagger.imaging.survey.measure_lot import measure_scan

CHANGED = 0.02  # of the pixels: what a dealer would see
LEVELS = 24  # by which a pixel is another one
SIDES = ("left", "upper", "right", "lower")

Found = Callable[[set[str]], bool]


def damaged(data: bytes, rng: random.Random) -> bytes | None:
    """The file with bits flipped or bytes overwritten in its coded data, None where that changes
    less of the picture than CHANGED. What libjpeg makes of it is the truth, not what it says."""
    start = data.find(b"\xff\xda") + 14
    out = bytearray(data)
    at = rng.randrange(start, len(data) - 40)
    if rng.random() < 0.6:
        out[at] ^= 1 << rng.randrange(8)
    else:
        junk = rng.randbytes(rng.randrange(4, 40)).replace(b"\xff", b"\xfe")
        out[at : at + len(junk)] = junk
    out[-2:] = b"\xff\xd9"
    return bytes(out) if _changed(data, bytes(out)) >= CHANGED else None


def _changed(whole: bytes, broken: bytes) -> float:
    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = True
    try:
        one, other = (
            np.asarray(Image.open(io.BytesIO(data)).convert("RGB"), np.int16)
            for data in (whole, broken)
        )
    except (OSError, ValueError):
        return 1.0
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before
    return float((np.abs(one - other).max(axis=2) > LEVELS).mean())


def faulty(
    kind: str, designs: Sequence[Design], machine: Machine, rng: random.Random
) -> bytes | None:
    """The file of a scan with such a fault; None where none came of it."""
    design = rng.choice(designs)
    art = Deck(design, f"faults {machine.name}").side(
        rng.randint(1, 9), rng.choice(("front", "back"))
    )
    match kind:
        case "truncated":
            data = scanned(art, machine, rng).data
            return data[: rng.randrange(len(data) // 20, len(data) - 2)]
        case "changed":
            return damaged(scanned(art, machine, rng).data, rng)
        case "blank":
            tone = rng.randint(228, 250)
            plain = Image.new("RGB", art.size, (tone, tone, tone - rng.randint(0, 8)))
            return scanned(plain, machine, rng).data
        case "cut":
            missing = (rng.choice(SIDES), rng.uniform(2.0, 8.0))
            return scanned(art, machine, rng, missing=missing).data
        case _:
            return scanned(None, machine, rng).data


KINDS: dict[str, Found] = {
    "truncated": lambda said: "truncated" in said or "corrupt" in said,
    "changed": lambda said: bool(said & {"corrupt", "truncated", "unreadable"}),
    "blank": lambda said: bool(said & {"blank", "nearly blank", "no card"}),
    "cut": lambda said: "cut" in said,
    "empty": lambda said: bool(said & {"no card", "blank"}),
}


def makes(kind: str, machine: Machine) -> bool:
    """Whether a machine makes such a fault seen: one that crops cuts a card by its edge, and cannot
    give a bed without a card."""
    return not (machine.cropping and kind in ("cut", "empty"))


def found(
    kind: str, designs: Sequence[Design], machine: Machine, count: int, seed: str
) -> Iterator[tuple[bool, bytes]]:
    """For each scan with such a fault whether it was found, and its file."""
    rng = random.Random(f"{seed} {kind} {machine.name}")
    stands = machine.own()
    with tempfile.TemporaryDirectory() as name:
        for _ in range(count):
            data = faulty(kind, designs, stands, rng)
            if data is None:
                continue
            (Path(name) / "scan.jpg").write_bytes(data)
            known = measure_scan(Path(name), "scan.jpg")
            said = {known.state, *(fault for fault, _ in known.faults)}
            said |= {fault for fault, _ in size_faults({"scan.jpg": known}).values()}
            yield KINDS[kind](said), data

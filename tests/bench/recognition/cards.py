"""Drawn cards as the benchmark of look-alikes needs them: known ones by the set, and pairs of
copies."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

import imagehash
import numpy as np
from PIL import Image
from support.card_sets import Drawn, card_set, copied
from support.scanned import fed, jpeg

from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.signature import Signature
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.imaging.survey.perceptual_hash import print_of

CARDS = 40  # of a set
STEP = 8  # every so many cards of a set one is asked for
PEERS = {"dhash": imagehash.dhash, "phash": imagehash.phash}
HASH = 16  # hash_size of both peers: 256 bits


@dataclass(frozen=True)
class Known:
    """One card: what is kept of it, and the peers' hashes of its sides (peers x 2 sides x 4
    words)."""

    look: Signature
    peers: np.ndarray


@dataclass(frozen=True)
class Asked:
    """A card of which a copy is tagged: where the card stands among all, that copy, another copy in
    another scan, and the peers' hashes of this one turned over."""

    card: int
    tagged: Known
    shown: Known
    turned: np.ndarray
    upside_down: bool


def _seen(front: Image.Image, back: Image.Image) -> Known:
    return Known(Signature(print_of(front), print_of(back)), _hashed(front, back))


def _hashed(front: Image.Image, back: Image.Image) -> np.ndarray:
    bits = [
        [hashed(side, hash_size=HASH).hash.ravel() for side in (front, back)]
        for hashed in PEERS.values()
    ]
    return np.packbits(np.asarray(bits), axis=-1).view(np.uint64)


def _known_set(kept: str, number: int) -> list[Known]:
    return [_seen(card.front, card.back) for card in card_set(f"known {number}", CARDS, kept)]


def _asked_set(kept: str, number: int) -> list[Asked]:
    rng = random.Random(f"{kept} asked {number}")
    out = []
    for at, card in list(enumerate(card_set(f"known {number}", CARDS, kept)))[::STEP]:
        down = rng.random() < 0.125
        tagged = _seen(copied(card.front, rng), copied(card.back, rng))
        sides = [copied(side, rng, upside_down=down) for side in (card.front, card.back)]
        turned = [side.transpose(Image.Transpose.ROTATE_180) for side in sides]
        out.append(Asked(number * CARDS + at, tagged, _seen(*sides), _hashed(*turned), down))
    return out


def known_cards(kept: str, sets: int) -> Iterator[Known]:
    """All cards of so many sets."""
    return _spread(_known_set, kept, sets)


def asked_cards(kept: str, sets: int) -> Iterator[Asked]:
    """Every eighth card of the first sets, two copies of each; one in eight upside down."""
    return _spread(_asked_set, kept, sets)


def scanned_cards(kept: str, count: int) -> Iterator[tuple[int, Signature, Signature]]:
    """A card of each of the first sets, two copies out of two feeders: crooked, on a bed, as JPEG
    files, measured as the scans of a lot are. (Card, the tagged one, the other.)"""
    return _spread(_scanned_set, kept, count)


def _scanned_set(kept: str, number: int) -> list[tuple[int, Signature, Signature]]:
    rng = random.Random(f"{kept} scanned {number}")
    card = card_set(f"known {number}", CARDS, kept)[0]
    return [(number * CARDS, _fed(card, rng), _fed(card, rng))]


def _fed(card: Drawn, rng: random.Random) -> Signature:
    bed = rng.choice(("black", "grey"))
    sides: list[Fingerprint | None] = []
    with tempfile.TemporaryDirectory() as folder:
        for name, side in (("front.jpg", card.front), ("back.jpg", card.back)):
            scan = fed(side.resize((750, 1050), Image.Resampling.BICUBIC), rng, bed)
            (Path(folder) / name).write_bytes(jpeg(scan.picture))
            sides.append(measure_scan(Path(folder), name).print)
    return Signature(*sides)


def _spread(work, kept: str, count: int) -> Iterator:
    """What `work` makes of each number, in their order, on two cores."""
    with ProcessPoolExecutor(2, get_context("spawn")) as pool:
        for part in pool.map(work, [kept] * count, range(count), chunksize=2):
            yield from part

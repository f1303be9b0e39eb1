"""Measures how cards are known again by their look, and prints one table. Exit status 1 where an
aim is missed.

The cards are drawn by `card_sets.py`, `card_art.py` and `scanned.py` in `tests/`. The limits in
`core/lookalike.py` were read off the sets called `tuning`; the table is of those called `held`. The
peers take the sum of both sides' bits, the nearer way round, and the widest limit with which the
tuning sets keep to the aims."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import imagehash
import numpy as np

from bench.common.table import Row, ratio_text, table_text, times
from bench.recognition.cards import (
    CARDS,
    HASH,
    PEERS,
    Asked,
    Known,
    asked_cards,
    known_cards,
    scanned_cards,
)
from tagger.core.audit.signature import LOOK_BYTES, CardSides, KnownCard, Signature, SignatureMatch
from tagger.imaging.survey.hamming_index import NearestNeighbourIndex
from tagger.store.caches.signature_store import SignatureStore

MANY = 100_000
# the aims: shares of the cards asked for, and seconds
NO_MATCH, OTHER_NUMBER, SLOWEST = (
    0.001,
    0.01,
    0.005,
)
TAGGED = 1 << 20  # keys of the copies that are tagged


@dataclass(frozen=True)
class Effort:
    """How many sets are known, of how many cards are asked for, how many are scanned; sets the
    peers are tuned on."""

    known: int
    asked: int
    scanned: int
    tuning: int


FULL, QUICK = Effort(MANY // CARDS, 320, 80, 120), Effort(100, 60, 12, 60)


@dataclass
class Told:
    """What was proposed for cards of which no copy is known, and for cards of which one is."""

    asked: int
    other_number: int = 0
    other_design: int = 0
    right: int = 0
    wrong: int = 0


def _named(known: Signature, card: int) -> bytes:
    return known.kept(f"set {card // CARDS}", str(card % CARDS))


def ours(
    index: NearestNeighbourIndex, asked: Sequence[Asked]
) -> tuple[Told, list[float], dict[str, tuple[int, int]]]:
    """What is told of each card, the seconds a card, and (good, of) of some parts."""
    told, spent = Told(len(asked)), []
    index.remove([one.card for one in asked])

    def find(look: Signature) -> SignatureMatch | None:
        start = time.perf_counter()
        alike = index.find(look)
        spent.append(time.perf_counter() - start)
        return alike

    for one in asked:
        alike = find(one.shown.look)
        if alike is not None:
            told.other_number += alike.key // CARDS == one.card // CARDS
            told.other_design += alike.key // CARDS != one.card // CARDS
    index.add(
        [TAGGED + one.card for one in asked],
        b"".join(_named(one.tagged.look, one.card) for one in asked),
    )
    found = [find(one.shown.look) for one in asked]
    right = [
        a is not None and a.key == TAGGED + one.card for a, one in zip(found, asked, strict=True)
    ]
    told.right, told.wrong = sum(right), sum(a is not None for a in found) - sum(right)
    sure = [a is not None and a.sure for a in found]
    over = [one.upside_down for one in asked]
    fronts = [find(Signature(one.shown.look.front, None)) for one in asked]
    parts = {
        "upside down": (sum(map(min, right, over)), sum(over)),
        "fronts only": (sum(a is not None and a.key == TAGGED + o.card for a, o in zip(fronts,
        asked, strict=True)),
                        len(asked)),
        "sure": (sum(map(min, right, sure)), len(asked)),
        "sure and wrong": (sum(s and not r for s, r in zip(sure, right, strict=True)), len(asked)),
    }  # fmt: skip
    return told, spent, parts


def nearest(
    known: np.ndarray, asked: Sequence[Asked], which: int
) -> list[tuple[float, int, float, float]]:
    """For each card by a peer: the least bits among cards of which none is it, whose that is, the
    same without its own set, and the bits of its copy. `known` is n x 2 sides x 4 words."""
    out = []
    own = {one.card for one in asked}
    gone = np.asarray([at in own for at in range(len(known))])
    designs = np.arange(len(known)) // CARDS
    for one in asked:

        def bits(many: np.ndarray, one: Asked = one) -> np.ndarray:
            ways = [
                np.bitwise_count(many ^ way[which]).sum(axis=2)
                for way in (one.shown.peers, one.turned)
            ]
            return np.minimum(*ways).sum(axis=1).astype(float)

        apart = np.where(gone, np.inf, bits(known))
        at = int(apart.argmin())
        other = float(apart[designs != one.card // CARDS].min())
        out.append((float(apart[at]), at, other, float(bits(one.tagged.peers[which][None])[0])))
    return out


def peer_told(
    found: Sequence[tuple[float, int, float, float]], asked: Sequence[Asked], most: float
) -> Told:
    """What a peer proposes with a limit in bits."""
    told = Told(len(asked))
    for (bits, at, _, copy), one in zip(found, asked, strict=True):
        same = at // CARDS == one.card // CARDS
        told.other_number += bits <= most and same
        told.other_design += bits <= most and not same
        told.right += copy <= most and copy < bits
        told.wrong += bits <= most and bits <= copy
    return told


def peer_limit(kept_known: np.ndarray, asked: Sequence[Asked], which: int) -> float:
    """The widest limit with which the aims are kept."""
    found = nearest(kept_known, asked, which)
    for most in range(2 * HASH * HASH, 0, -1):
        told = peer_told(found, asked, most)
        if (
            told.other_number < OTHER_NUMBER * told.asked
            and told.other_design < NO_MATCH * told.asked
        ):
            return float(most)
    return 0.0


def _hashes(known: Sequence[Known], which: int) -> np.ndarray:
    return np.stack([one.peers[which] for one in known])


def peer_times(known: np.ndarray, asked: Sequence[Asked]) -> list[float]:
    """Seconds a card by imagehash's own objects, both sides, one way round: a list of so many is
    gone through."""

    def objects(words: np.ndarray) -> list[imagehash.ImageHash]:
        bits = np.unpackbits(np.ascontiguousarray(words).view(np.uint8), axis=-1).astype(bool)
        return [imagehash.ImageHash(each.reshape(HASH, HASH)) for each in bits]

    fronts, backs = objects(known[:, 0]), objects(known[:, 1])
    spent = []
    for one in asked[:3]:
        front, back = objects(one.shown.peers[0])
        start = time.perf_counter()
        min((a - front) + (b - back) for a, b in zip(fronts, backs, strict=True))
        spent.append(time.perf_counter() - start)
    return spent


def opening() -> list[float]:
    """Seconds to read 100,000 cards of 250 lots from the disk."""
    noise = np.random.default_rng(1)
    with tempfile.TemporaryDirectory() as home:
        known = SignatureStore(Path(home) / "looks")
        for lot in range(250):
            folder = Path(home) / str(lot)
            folder.mkdir()
            known.remember(
                KnownCard(CardSides(str(folder), f"scan_{2 * at:05}.jpg",
                f"scan_{2 * at + 1:05}.jpg"), f"box {lot}",
                          "1987 Harbor Light", str(at), "Ada Marsh", "Harbor Gulls",
                          noise.bytes(LOOK_BYTES))
                for at in range(MANY // 250)
            )  # fmt: skip
        known.keep()
        spent = []
        for _ in range(5):
            start = time.perf_counter()
            NearestNeighbourIndex().add(*SignatureStore(Path(home) / "looks").load())
            spent.append(time.perf_counter() - start)
    return spent


def _share(count: int, of: int) -> str:
    return f"{100 * count / max(1, of):.2f}% ({count} of {of})"


def _told_row(what: str, told: Sequence[Told], name: str, aim: float | None = None) -> Row:
    mine, *others = (getattr(one, name) / max(1, one.asked) for one in told)
    peer = ", ".join(
        f"{label} {100 * share:.2f}%" for label, share in zip(PEERS, others, strict=True)
    )
    aimed = "" if aim is None else f"below {100 * aim:g}%: {'met' if mine < aim else 'missed'}"
    return Row(
        what,
        _share(getattr(told[0], name), told[0].asked),
        peer,
        ratio_text(mine, others[0]),
        aimed,
    )


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tests/bench/run recognition", description=__doc__)
    parser.add_argument(
        "--quick",
        action="store_true",
        help="4,000 drawn cards known, the rest noise: a minute or so",
    )
    options = parser.parse_args()
    effort = QUICK if options.quick else FULL
    known, asked = list(known_cards("held", effort.known)), list(asked_cards("held", effort.asked))
    print(f"  {len(known)} cards drawn", file=sys.stderr)
    tuned_known, tuned = (
        list(known_cards("tuning", effort.tuning)),
        list(asked_cards("tuning", effort.tuning)),
    )
    index = NearestNeighbourIndex()
    index.add(range(len(known)), b"".join(_named(one.look, card) for card, one in enumerate(known)))
    noise = MANY - len(known)
    index.add(
        range(2 * TAGGED, 2 * TAGGED + noise), np.random.default_rng(0).bytes(noise * LOOK_BYTES)
    )
    mine, spent, parts = ours(index, asked)
    told = [mine]
    for which in range(len(PEERS)):
        limit = peer_limit(_hashes(tuned_known, which), tuned, which)
        told.append(peer_told(nearest(_hashes(known, which), asked, which), asked, limit))
    scans = list(scanned_cards("held", effort.scanned))
    index.remove([TAGGED + card for card, _, _ in scans])
    index.add(
        [TAGGED + card for card, _, _ in scans],
        b"".join(_named(look, card) for card, look, _ in scans),
    )
    found = [(index.find(look), card) for card, _, look in scans]
    good = sum(alike is not None and alike.key == TAGGED + card for alike, card in found)
    padded = np.resize(_hashes(known, 0), (MANY, 2, HASH * HASH // 64))
    rows = [
        times(
            f"a card among {MANY:,}",
            spent,
            "imagehash's objects",
            peer_times(padded, asked),
            aim=SLOWEST,
            high=0.99,
        ),
        times(f"reading {MANY:,} from 250 lots", opening()),
        Row("a look", f"{LOOK_BYTES} B"),
        _told_row("no copy known: another design proposed", told, "other_design", NO_MATCH),
        _told_row("no copy known: another number proposed", told, "other_number", OTHER_NUMBER),
        _told_row("a copy known: found", told, "right"),
        _told_row("a copy known: another proposed", told, "wrong"),
        *(Row(f"  {what}", _share(*counts)) for what, counts in parts.items()),
        Row("  out of two feeders, measured as a lot is", _share(good, len(found))),
        Row(
            "  another proposed",
            _share(sum(alike is not None for alike, _ in found) - good, len(found)),
        ),
    ]
    load = " ".join(f"{value:.1f}" for value in os.getloadavg())
    print(
        f"{'quick' if options.quick else 'full'}, {len(known)} drawn cards known · "
        f"{os.cpu_count()} cores · load {load}"
    )
    print(table_text(rows))
    return 1 if any(row.aim.endswith("missed") for row in rows) else 0


if __name__ == "__main__":
    sys.exit(main())

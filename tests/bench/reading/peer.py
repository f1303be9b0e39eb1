"""Tesseract on the same scans, where it is installed: how many numbers and names it reads."""

from __future__ import annotations

import re
import shutil
import subprocess
import time
from collections.abc import Sequence

from bench.reading.cards import Shown, Tray
from tagger.core.model.numbers import canonical
from tagger.core.model.text import fold


def is_there() -> bool:
    """Whether the program can be asked."""
    return shutil.which("tesseract") is not None


def both_read(tray: Tray, cards: Sequence[Shown]) -> tuple[int, float]:
    """Of how many cards number and name stand in what it says of them, and seconds a card."""
    right, start = 0, time.perf_counter()
    for card in cards:
        said = " ".join(_said(tray, scan) for scan in (card.key.front, card.key.back) if scan)
        words = {canonical(word) for word in re.findall(r"[\w-]+", said)}
        name = "".join(filter(str.isalnum, fold(card.row.subject)))
        joined = "".join(filter(str.isalnum, fold(said)))
        right += canonical(card.row.number) in words and name in joined
    return right, (time.perf_counter() - start) / max(1, len(cards))


def ours_read(tray: Tray, cards: Sequence[Shown]) -> int:
    """The same of what was read here."""
    right = 0
    for card in cards:
        said = " ".join(text.text for text in tray.whole[card.key].texts)
        words = {canonical(word) for word in re.findall(r"[\w-]+", said)}
        name = "".join(filter(str.isalnum, fold(card.row.subject)))
        joined = "".join(filter(str.isalnum, fold(said)))
        right += canonical(card.row.number) in words and name in joined
    return right


def _said(tray: Tray, scan: str) -> str:
    line = ["tesseract", str(tray.folder / scan), "-", "--psm", "11"]
    done = subprocess.run(line, capture_output=True, text=True, env={"OMP_THREAD_LIMIT": "1"})
    return done.stdout

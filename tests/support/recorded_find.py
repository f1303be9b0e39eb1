"""The find screen over the lots of this machine; each search is noted in the file that is named, a
line each."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

from tagger.commands.composition.finder import LotFinder
from tagger.config import Settings
from tagger.services.scans.sources import FoundScans
from tagger.ui.find.app import FindApp
from tagger.ui.find.ports import Finds
from tagger.ui.keys import Keymap
from tagger.ui.terminal.app import run

NOTES, SLOWLY = Path(sys.argv[1]), float(sys.argv[2])


class Noting(LotFinder):
    """Takes `SLOWLY` seconds for a search."""

    def search(self, words: str, tell: Callable[[int, int], None]) -> Finds:
        with NOTES.open("a", encoding="utf-8") as notes:
            notes.write(f"{words}\n")
        time.sleep(SLOWLY)
        return super().search(words, tell)


if __name__ == "__main__":  # processes that work behind a desk load this file as well
    keys = Keymap()
    run(FindApp(Noting(Settings(), keys), FoundScans(Settings()), keys, "", "half blocks"))

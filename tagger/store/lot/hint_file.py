"""The hint that was typed when a lot was left, in a small file beside the lot: it can be lost
without loss of anything else, and it is no part of the lot's history."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path

from tagger.core.session.unfinished import Unfinished
from tagger.errors import MALFORMED
from tagger.store.files import SYSTEM, read_bounded, replace_durably

HINT = ".lot.hint"
LARGEST = 1 << 16  # bytes; a longer file is none of ours


class HintFile:
    """Keeps one hint in the folder of a lot; see `HintMemory`."""

    def __init__(self, home: Path) -> None:
        self._path = home / HINT

    def read(self) -> Unfinished | None:
        """The hint that is kept; None where the file is missing, damaged or was made by others."""
        found = self._kept()
        if found is None or not all(isinstance(value, str) for value in found):
            return None
        # What is typed can be shown; what is read must be, too.
        text = "".join(char for char in found.text if char.isprintable())
        return found._replace(text=text) if text.strip() else None

    def _kept(self) -> Unfinished | None:
        try:
            kept = json.loads(read_bounded(self._path, LARGEST))
            return Unfinished(*(kept[name] for name in Unfinished._fields))
        except (OSError, *MALFORMED):
            return None

    def keep(self, hint: Unfinished | None) -> None:
        """Keep this hint, or none."""
        with contextlib.suppress(OSError):
            if hint is None:
                self._path.unlink(missing_ok=True)
            else:
                replace_durably(SYSTEM, self._path, json.dumps(hint._asdict()).encode("ascii"))

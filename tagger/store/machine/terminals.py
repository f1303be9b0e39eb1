"""Which drawing the dealer found right in which terminal."""

from __future__ import annotations

from pathlib import Path

from tagger.store.machine.state_file import StateFile


class TerminalFile(StateFile[str]):
    """Names of drawings by terminal, in the file `terminals.json` of a folder."""

    def __init__(self, folder: Path) -> None:
        super().__init__(
            folder, "terminals", "terminal", lambda entry: str(entry["drawing"]), _fields
        )


def _fields(drawing: str) -> dict[str, str]:
    return {"drawing": drawing}

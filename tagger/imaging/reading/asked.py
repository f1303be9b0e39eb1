"""What is to be read, and how it is asked for in another process. Loads no numpy."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.text import printable
from tagger.errors import ReadingError
from tagger.extras import installing

if TYPE_CHECKING:
    from tagger.core.model.pose import Corners4
    from tagger.core.reading.printed import Box, CardReading

PACKAGE = "rapidocr"
FINDS, READS = "PP-OCRv6_det_small.onnx", "PP-OCRv6_rec_small.onnx"
EXTRA = "reading"
READER = "tagger.imaging.reading.card_reader"


class SideAsked(NamedTuple):
    """A side that is to be read: its scan's name, by how many degrees clockwise it is turned, and
    what `Measured` has of the scan: the card's corners and dots per inch and the scan's size, None
    and 0 where not known."""

    scan: str
    turn: int = 0
    corners: Corners4 | None = None
    dpi: float = 0.0
    size: tuple[int, int] = (0, 0)


@dataclass(frozen=True, slots=True)
class CardAsked:
    """A card that is to be read: its sides by `front` and `back`, and the parts that are looked at,
    by side; without any, all of both. A side that no part is named of is not looked at then."""

    sides: Mapping[str, SideAsked]
    parts: Mapping[str, Sequence[Box]] = field(default_factory=dict)


class ModelFiles(NamedTuple):
    """Where the two networks lie. `latin`: only Latin letters are looked for."""

    finds: Path
    reads: Path
    latin: bool = True

    @property
    def name(self) -> str:
        """What tells readings by these from those by others."""
        return f"{self.finds.name} {self.reads}" if not self.latin else self.reads.name


class Answer(NamedTuple):
    """What was read, and how many bytes of memory the process has then."""

    reading: CardReading
    memory: int


def is_installed() -> bool:
    """Whether the extra is there; nothing of it is loaded."""
    return find_spec("onnxruntime") is not None and _package_folder() is not None


def model_files(reads: str = "") -> ModelFiles:
    """The networks, with the one that reads taken from a named file where there is one. Raises
    ReadingError, which says what is missing."""
    folder = _package_folder()
    if folder is None or find_spec("onnxruntime") is None:
        raise ReadingError(
            f"Reading cards needs the extra reading, which is not installed: {installing(EXTRA)}."
        )
    finds = folder / FINDS
    named = Path(reads).expanduser() if reads else folder / READS
    for file in (finds, named):
        if not os.path.isfile(file):
            raise ReadingError(_missing(file, is_named=bool(reads) and file == named))
    return ModelFiles(finds, named, latin=not reads)


def read_in_process(folder: Path, asked: CardAsked, files: ModelFiles) -> Answer:
    """Read a card; to be done in a process of its own. Raises ReadingError where the networks
    cannot be used."""
    # by its name: it loads the networks, which no other process may
    reader = import_module(READER)
    return Answer(reader.read_card(folder, asked, files), reader.memory_taken())


def _package_folder() -> Path | None:
    # found, never imported: it loads libraries that nothing here needs
    spec = find_spec(PACKAGE)
    if spec is None or spec.origin is None:
        return None
    return Path(spec.origin).parent / "models"


def _missing(file: Path, is_named: bool) -> str:
    shown = printable(str(file))
    if is_named:
        return f"The reading model {shown} is missing. Correct `model` under [reading]."
    return (
        f"The package {PACKAGE} has no {file.name}, so it is another version. "
        f"Install the extra reading again: {installing(EXTRA)}."
    )

"""The networks that find and read print, and where they lie.

They come with the rapidocr package (Apache-2.0), whose files alone are used: its own code wants
libraries that nothing else here needs, and answers less than what is asked for here. So its
version is held fast in `pyproject.toml`: the names of its files are the interface."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from tagger.errors import ReadingError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float32]

PACKAGE = "rapidocr"
FINDS, READS = "PP-OCRv6_det_small.onnx", "PP-OCRv6_rec_small.onnx"
INSTALL = "Install the extra: pip install 'tagger[reading]'."
# Latin with all its marks, digits and signs: up to Latin Extended-B, by Unicode block; and what
# stands in front of numbers and on last lines
LAST_LATIN, BESIDE = 0x24F, "–—‘’“”•…№™"


@dataclass(frozen=True, slots=True)
class ModelFiles:
    """Where the two networks lie. `latin`: only Latin letters are looked for."""

    finds: Path
    reads: Path
    latin: bool = True


def model_files(reads: str = "") -> ModelFiles:
    """The networks, with the one that reads taken from a named file where there is one. Raises
    ReadingError, which says what is missing."""
    folder = _package_folder()
    if folder is None or find_spec("onnxruntime") is None:
        raise ReadingError(f"Reading cards needs a package that is not installed. {INSTALL}")
    finds = folder / FINDS
    named = Path(reads).expanduser() if reads else folder / READS
    for file in (finds, named):
        if not file.is_file():
            raise ReadingError(_missing(file, is_named=bool(reads) and file == named))
    return ModelFiles(finds, named, latin=not reads)


def _package_folder() -> Path | None:
    # found, never imported
    spec = find_spec(PACKAGE)
    if spec is None or spec.origin is None:
        return None
    return Path(spec.origin).parent / "models"


def _missing(file: Path, is_named: bool) -> str:
    if is_named:
        return f"The reading model {file} is missing. Correct `model` under [reading]."
    return f"The package {PACKAGE} has no {file.name}: it has another version. {INSTALL}"


class Networks:
    """The two networks at work, on one thread. Raises ReadingError where a file is not one."""

    def __init__(self, files: ModelFiles) -> None:
        self._finds, self._reads = _session(files.finds), _session(files.reads)
        self._latin = files.latin
        if not self._said:
            raise ReadingError(f"The reading model {files.reads} does not say its characters.")

    def print_map(self, picture: Floats) -> Floats:
        """How likely each pixel of a picture is print (0 to 1). Shapes: 3 x height x width, blue,
        green and red from -1 to 1, both multiples of 32; height x width."""
        (found,) = self._finds.run(None, {self._finds.get_inputs()[0].name: picture[None]})
        found = np.asarray(found, dtype=np.float32)
        return found.reshape(found.shape[-2:])

    def letters(self, line: Floats) -> Floats:
        """How likely each of `alphabet` is in each column of a line of print. Shapes: 3 x 48 x
        width as above; columns x characters."""
        (found,) = self._reads.run(None, {self._reads.get_inputs()[0].name: line[None]})
        kept = np.asarray(found[0], dtype=np.float32)[:, self._kept]
        # what was left of another script is no evidence of any letter
        return kept / np.maximum(kept.sum(axis=1, keepdims=True), 1e-6)

    @cached_property
    def alphabet(self) -> tuple[str, ...]:
        """The characters of `letters`; the first is empty and stands for none."""
        said = self._characters()
        return tuple(said[at] for at in self._kept)

    @cached_property
    def _said(self) -> str:
        return str(self._reads.get_modelmeta().custom_metadata_map.get("character", ""))

    def _characters(self) -> list[str]:
        return ["", *self._said.split("\n"), " "]

    @cached_property
    def _kept(self) -> NDArray[np.intp]:
        said = self._characters()
        kept = [at for at, char in enumerate(said) if not self._latin or _is_latin(char)]
        return np.asarray(kept, dtype=np.intp)


def _is_latin(char: str) -> bool:
    return len(char) <= 1 and (not char or ord(char) <= LAST_LATIN or char in BESIDE)


def _session(file: Path) -> Any:
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    # lines have all widths: memory set by for each of them would add up
    options.enable_cpu_mem_arena = options.enable_mem_pattern = False
    options.log_severity_level = 4  # its words would stand on the screen
    try:
        return onnxruntime.InferenceSession(
            str(file), options, providers=["CPUExecutionProvider"]
        )
    except Exception as error:  # it raises classes of its own for each kind of damage
        raise ReadingError(f"The reading model {file} cannot be used: it is damaged.") from error

"""The networks that find and read print, and where they lie.

They come with the rapidocr package (Apache-2.0), whose files alone are used: its own code wants
libraries that nothing else here needs, and answers less than what is asked for here. So its
version is held fast in `pyproject.toml`: the names of its files are the interface."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from tagger.core.model.text import printable
from tagger.errors import ReadingError

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from tagger.imaging.reading.asked import ModelFiles

    Floats = NDArray[np.float32]

# Latin with all its marks, digits and signs: up to Latin Extended-B, by Unicode block; and what
# stands in front of numbers and on last lines
LAST_LATIN, BESIDE = 0x24F, "–—‘’“”•…№™"


class Networks:
    """The two networks at work, on one thread. Raises ReadingError where a file is not one."""

    def __init__(self, files: ModelFiles) -> None:
        self._finds, self._reads = _session(files.finds), _session(files.reads)
        self._latin = files.latin
        if not self._said:
            shown = printable(str(files.reads))
            raise ReadingError(f"The reading model {shown} does not say which characters it knows.")

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
        shares: Floats = kept / np.maximum(kept.sum(axis=1, keepdims=True), 1e-6)
        return shares

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
    import onnxruntime  # type: ignore[import-untyped]

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    # lines have all widths: memory set by for each of them would add up
    options.enable_cpu_mem_arena = options.enable_mem_pattern = False
    options.log_severity_level = 4  # its words would stand on the screen
    try:
        return onnxruntime.InferenceSession(str(file), options, providers=["CPUExecutionProvider"])
    except Exception as error:  # it raises classes of its own for each kind of damage
        shown = printable(str(file))
        raise ReadingError(f"The reading model {shown} cannot be used: it is damaged.") from error

"""Scans as pixels, for terminals that know how: kitty's graphics and sixel, by way of the library
textual-image.

The library asks the terminal about itself when it is loaded, so it is loaded only when it was
chosen."""

from __future__ import annotations

from importlib.util import find_spec
from typing import Any

from PIL import Image

from tagger.services.console import written


def missing() -> bool:
    """Whether the extra `graphics` is not installed."""
    # Not by loading it: then it asks the terminal about itself, and waits for an answer.
    return find_spec("textual_image") is None


def print_picture(picture: Image.Image, way: str, width: int) -> None:
    """Print an RGB picture `width` cells wide, by `kitty` or `sixel`."""
    from rich.console import Console
    from textual_image import renderable  # type: ignore[import-not-found, unused-ignore]

    kind: Any = renderable.TGPImage if way == "kitty" else renderable.SixelImage
    # Also through a pipe, behind which another program shows it.
    with written():
        Console(force_terminal=True, width=max(width, 2)).print(
            kind(picture, width=width, height="auto")
        )

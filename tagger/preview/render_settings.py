"""How previews are drawn in a terminal: with which characters, and in which colours."""

from __future__ import annotations

from dataclasses import dataclass

from tagger.preview.drawings import DRAWINGS, Drawing
from tagger.preview.terminal_capabilities import Depth


@dataclass(frozen=True, slots=True)
class RenderSettings:
    """`depth` is sent at once; `finest` when the keys are quiet. Both are the same where there is
    nothing finer."""

    drawing: Drawing
    depth: Depth
    finest: Depth


def render_settings(drawing: str, depth: Depth) -> RenderSettings:
    """The settings of a drawing by its name, in the colours that a terminal has. True colours cost
    three times the bytes, so 256 of them come first."""
    return RenderSettings(DRAWINGS[drawing], Depth.C256 if depth is Depth.TRUE else depth, depth)

"""How previews are drawn in a terminal: with which characters, and in which colours."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tagger.preview.drawings import DRAWINGS, Drawing
from tagger.preview.terminal_capabilities import Depth


@dataclass(frozen=True, slots=True)
class RenderSettings:
    """`depth` is sent at once; `finest` when the keys are quiet. Both are the same where there is
    nothing finer. `print`: how print that is cut out is drawn."""

    drawing: Drawing
    depth: Depth
    finest: Depth
    print: Drawing

    def with_print(self, drawing: str) -> RenderSettings:
        """The same with print drawn so."""
        return replace(self, print=DRAWINGS[drawing])


def render_settings(drawing: str, depth: Depth) -> RenderSettings:
    """The settings of a drawing by its name, in the colours that a terminal has. True colours cost
    three times the bytes, so 256 of them come first."""
    first = Depth.C256 if depth is Depth.TRUE else depth
    return RenderSettings(DRAWINGS[drawing], first, depth, DRAWINGS[drawing])

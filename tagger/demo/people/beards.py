"""Beards, painted in soft shapes. Places are in the units of a `Bearing`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.art.brush import Point, curve, lighter, mix
from tagger.demo.people.bearing import Canvas, mirrored

if TYPE_CHECKING:
    from tagger.demo.people.faces import FaceFeatures

_GAP = ((-0.24, 0.57), (0.0, 0.52), (0.24, 0.57), (0.0, 0.68))
_MOUSTACHE = ((-0.36, 0.55), (-0.2, 0.44), (0.0, 0.41), (0.2, 0.44), (0.36, 0.55))


def draw_beard(canvas: Canvas, looks: FaceFeatures, clip: Image.Image) -> None:
    """Paint stubble or a full beard on a face, nothing for another; ``clip`` is the face's mask."""
    if looks.beard == "stubble":
        # Skin shows through stubble, and only on the face; a full beard hangs over its edge.
        canvas.soft(_shape(canvas, looks), mix(looks.hair, looks.skin, 0.25), 0.42, 0.07, clip)
    elif looks.beard == "full":
        b = canvas.bearing
        canvas.soft(_shape(canvas, looks), looks.hair, 0.97, 0.03)
        canvas.soft(b.oval((-0.25, 0.72), 0.16, 0.16), lighter(looks.hair, 0.3), 0.5, 0.1)
        canvas.soft(curve(b.face_line(_GAP)), looks.skin, 0.9, 0.03)


def _shape(canvas: Canvas, looks: FaceFeatures) -> list[Point]:
    jaw, b = looks.jaw, canvas.bearing
    half = [
        (0.0, 0.44), (0.3, 0.43), (0.52 * jaw, 0.25), (0.72, -0.12), (0.82, 0.2),
        (0.62 * jaw, 0.76), (0.32 * jaw, 1.04), (0.0, 1.12),
    ]  # fmt: skip
    # The chin is nearest to the eye and moves most with the turn; the cheeks above it stay.
    return b.curve([(x + b.turn * 0.12 * max(0.0, y), y) for x, y in mirrored(half)])


def draw_moustache(canvas: Canvas, looks: FaceFeatures) -> None:
    """Paint a moustache where there is one, alone or over a full beard."""
    if looks.beard in ("moustache", "full"):
        hairs = canvas.bearing.face_limb(_MOUSTACHE, (0.03, 0.13, 0.11, 0.13, 0.03))
        canvas.fill(hairs, looks.hair)

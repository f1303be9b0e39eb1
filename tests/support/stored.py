"""Pictures as files hold them: turned by an EXIF tag, and as JPEG bytes."""

from __future__ import annotations

from pathlib import Path

from PIL import Image

RED, GREEN, BLUE, GREY = (220, 30, 30), (30, 200, 60), (40, 60, 230), (180, 180, 180)


def upright(width: int = 64, height: int = 96) -> Image.Image:
    """Four fields: red at the top left, green at the top right, blue at the bottom left, grey at
    the bottom right."""
    picture = Image.new("RGB", (width, height), GREY)
    picture.paste(RED, (0, 0, width // 2, height // 2))
    picture.paste(GREEN, (width // 2, 0, width, height // 2))
    picture.paste(BLUE, (0, height // 2, width // 2, height))
    return picture


# CIPA DC-008 (Exif 2.32), 4.6.4.A, tag 0112: the visual sides at which the first row and the first
# column lie.
ORIENTATION = {
    1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
    5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom"),
}  # fmt: skip


def stored(picture: Image.Image, orientation: int) -> Image.Image:
    """The upright picture as a file with this orientation holds it."""
    width, height = picture.size
    row, column = ORIENTATION[orientation]
    size = (width, height) if row in ("top", "bottom") else (height, width)
    out = Image.new("RGB", size)
    for r in range(size[1]):
        for c in range(size[0]):
            at = {"left": r, "right": width - 1 - r, "top": r, "bottom": height - 1 - r}[row]
            across = {"left": c, "right": width - 1 - c, "top": c, "bottom": height - 1 - c}[column]
            out.putpixel(
                (c, r), picture.getpixel((across, at) if row in ("top", "bottom") else (at, across))
            )
    return out


def jpeg(tmp_path: Path) -> bytes:
    upright(400, 560).save(tmp_path / "whole.jpg", quality=90)
    return (tmp_path / "whole.jpg").read_bytes()

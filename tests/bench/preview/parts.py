"""What is measured of previews without a terminal: one picture beside chafa, and what Tesseract
reads in the loupe."""

from __future__ import annotations

import math
import random
import shutil
import statistics
import subprocess
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter, ImageFont, ImageOps

from bench.common.table import Row, ratio_text, time_text
from tagger.core.model.pose import Corners4, Pose
from tagger.imaging.scan.pictures import read_crop, read_picture
from tagger.preview.cells import CellRow
from tagger.preview.drawings import DRAWINGS, Drawing
from tagger.preview.grey import legible
from tagger.preview.terminal_capabilities import Depth

CELLS = (47, 33)
PANES = {"half blocks": (45, 11), "sextants": (28, 7)}  # cells for half an inch by a quarter
DPI, POINTS = 300, 7


def straight_rows(pictures: Sequence[Path], rounds: int) -> Iterator[Row]:
    """One scan from the file to the pixels of a preview: straight and cropped, beside as it lies;
    at 300 and 600 dots per inch."""
    for dpi in (300, 600):
        took: dict[Pose, list[float]] = {Pose(): [], Pose(corners=_crooked(dpi), dpi=dpi): []}
        for path in pictures:
            with Image.open(path) as picture:
                size = (820 * dpi // 300, 1130 * dpi // 300)
                picture.resize(size, Image.Resampling.BICUBIC).save(
                    path.with_name("one.jpg"), quality=90
                )
            for _ in range(rounds * 3):
                for stand, times in took.items():
                    start = time.perf_counter()
                    read_picture(path.parent, "one.jpg", (CELLS[0], CELLS[1] * 2), (2, 3), stand)
                    times.append(time.perf_counter() - start)
        plain, straight = (statistics.median(times) for times in took.values())
        told = f"{time_text(plain)}  as it lies"
        yield Row(
            f"one picture straight, {dpi} dpi",
            time_text(straight),
            told,
            ratio_text(straight, plain),
        )


def _crooked(dpi: int) -> Corners4:
    """A card three degrees crooked in the middle of a scan of 820 x 1130 pixels at 300 dpi."""
    turn, scale = math.radians(3), dpi / 300
    ends = ((-375, -525), (375, -525), (375, 525), (-375, 525))
    a, b, c, d = (
        (
            (410 + x * math.cos(turn) - y * math.sin(turn)) * scale,
            (565 + x * math.sin(turn) + y * math.cos(turn)) * scale,
        )
        for x, y in ends
    )
    return a, b, c, d


def picture_rows(pictures: Sequence[Path], rounds: int) -> Iterator[Row]:
    """One scan from the file to terminal text in this process, beside a chafa process that writes
    as many cells; and beside what is left of that when chafa's time for a picture of one pixel is
    taken off."""
    box = (CELLS[0], CELLS[1] * 2)
    ours = []
    for _ in range(rounds + 1):
        for path in pictures:
            start = time.perf_counter()
            for row in DRAWINGS["half blocks"].draw(
                read_picture(path.parent, path.name, box), Depth.C256
            ):
                row.ansi()
            ours.append(time.perf_counter() - start)
    median = statistics.median(ours[len(pictures) :])
    if shutil.which("chafa") is None:
        yield Row(
            "one picture beside chafa", time_text(median), "not measured: chafa is not installed"
        )
        return
    dot = pictures[0].with_name("dot.png")
    Image.new("RGB", (1, 1)).save(dot)
    whole = statistics.median(_chafa(path) for _ in range(rounds) for path in pictures)
    start = statistics.median(_chafa(dot) for _ in range(rounds * len(pictures)))
    for what, peer, aim in (
        ("chafa process", whole, 5),
        ("chafa, its start taken off", whole - start, 3),
    ):
        told = (
            f"{aim} x faster: {'met' if peer >= aim * median else 'missed'} ({peer / median:.1f})"
        )
        yield Row(
            "one picture to cells and text",
            time_text(median),
            f"{time_text(peer)}  {what}",
            ratio_text(median, peer),
            told,
        )


def _chafa(path: Path) -> float:
    size = f"{CELLS[0]}x{CELLS[1]}"
    command = [
        "chafa",
        "--format=symbols",
        "--symbols=vhalf",
        "--colors=256",
        f"--size={size}",
        str(path),
    ]
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return time.perf_counter() - start


def legible_rows(folder: Path, count: int) -> Iterator[Row]:
    """How many numbers of seven points, printed on scans of 300 dpi, Tesseract reads from the
    loupe's cells, rendered back to pixels as a terminal shows them."""
    for name, cells in PANES.items():
        what = f"numbers of {POINTS} points read, {name} {cells[0]}x{cells[1]}"
        if shutil.which("tesseract") is None:
            yield Row(what, "not measured: tesseract is not installed")
            continue
        place = folder / name
        place.mkdir(parents=True)
        source, numbers, paths = random.Random(7), [], []
        for index in range(count):
            number = str(source.randrange(1, 1000))
            scan = place / f"scan_{index}.jpg"
            region = _print(source, number, scan)
            drawing = DRAWINGS[name]
            box = (cells[0], cells[1] * 2)
            part = legible(read_crop(place, scan.name, region, box, (drawing.across, drawing.down)))
            paths.append(place / f"seen_{index}.png")
            rendered(drawing.draw(part, Depth.C256), drawing).save(paths[-1])
            numbers.append(number)
        read = _read(place, paths, 12 // DRAWINGS[name].across)
        right = sum(a == b for a, b in zip(numbers, read, strict=True)) / count
        yield Row(
            what, f"{right:.1%} of {count}", aim=f"95%: {'met' if right >= 0.95 else 'missed'}"
        )


def _print(source: random.Random, number: str, path: Path) -> tuple[float, float, float]:
    """A piece of a card's back with a number on it, as a scan; returns where half an inch of it has
    the number."""
    width, height = 300, 200
    paper = tuple(source.randrange(190, 245) for _ in range(3))
    page = Image.new("RGB", (width, height), paper)
    draw = ImageDraw.Draw(page)
    font = ImageFont.load_default(POINTS / 72 * DPI)
    x, y = width / 2 + source.uniform(-8, 8), height / 2 + source.uniform(-4, 4)
    draw.text(
        (x, y),
        number,
        fill=tuple(source.randrange(10, 70) for _ in range(3)),
        font=font,
        anchor="mm",
    )
    grain = Image.merge("RGB", [Image.effect_noise(page.size, 20) for _ in range(3)])
    Image.blend(page, grain, 0.08).save(path, quality=88)
    return 0.5, 0.5, DPI / 2 / width


def rendered(rows: Sequence[CellRow], drawing: Drawing) -> Image.Image:
    """Cells as pixels, each 12 wide and 24 high, with a margin in the colour of the first."""
    width, height = 12 // drawing.across, 24 // drawing.down
    page = Image.new("RGB", (rows[0].width * 12, len(rows) * 24))
    masks = _masks(drawing)
    for y, row in enumerate(rows):
        for x, (glyph, ink, ground) in enumerate(row.cells()):
            for place in range(drawing.across * drawing.down):
                left, top = (
                    x * 12 + place % drawing.across * width,
                    y * 24 + place // drawing.across * height,
                )
                page.paste(
                    ink if masks[glyph] >> place & 1 else ground,
                    (left, top, left + width, top + height),
                )
    out = Image.new("RGB", (page.width + 80, page.height + 80), page.getpixel((2, 2)))
    out.paste(page, (40, 40))
    return out


def _masks(drawing: Drawing) -> dict[str, int]:
    from tagger.preview import quadrants, sextants

    glyphs = {"quadrants": quadrants.GLYPHS, "sextants": sextants.GLYPHS}.get(drawing.name, " ▀▄█")
    return {glyph: mask for mask, glyph in enumerate(glyphs)}


# From how far off the reader looks, as a blur of so many pixels' widths, and how high the print
# then is, in its pixels.
LOOKS = ((0.42, 24), (0.34, 24), (0.34, 20), (0.25, 24), (0.34, 28))


def _read(folder: Path, paths: Sequence[Path], width: int) -> list[str]:
    """What Tesseract reads on each picture, as one line of digits. Where it sees no text it looks
    again from nearer or farther off; what it has read stands, right or wrong. `width` is that of a
    drawn pixel."""
    found = [""] * len(paths)
    for far, height in LOOKS:
        todo = [at for at, text in enumerate(found) if not text]
        for at, text in zip(
            todo, _tesseract(folder, [paths[at] for at in todo], far * width, height), strict=True
        ):
            found[at] = text
    return found


def _tesseract(folder: Path, paths: Sequence[Path], blur: float, height: int) -> list[str]:
    if not paths:
        return []
    looks = []
    for index, path in enumerate(paths):
        with Image.open(path) as picture:
            grey = picture.convert("L").filter(ImageFilter.GaussianBlur(blur))
        box = grey.point(lambda level: 255 if level < 150 else 0).getbbox() or (0, 0, *grey.size)
        print_ = ImageOps.expand(grey.crop(box), round(0.6 * (box[3] - box[1])), 255)
        scale = height / (box[3] - box[1])
        size = (max(1, round(print_.width * scale)), max(1, round(print_.height * scale)))
        looks.append(folder / f"look_{index}.png")
        ImageOps.autocontrast(print_.resize(size, Image.Resampling.LANCZOS)).save(
            looks[-1], dpi=(300, 300)
        )
    listed = folder / "list.txt"
    listed.write_text("\n".join(map(str, looks)), encoding="utf-8")
    command = [
        "tesseract",
        str(listed),
        "stdout",
        "--psm",
        "7",
        "-c",
        "tessedit_char_whitelist=0123456789",
    ]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    return [page.strip() for page in said.split("\f")][: len(paths)]

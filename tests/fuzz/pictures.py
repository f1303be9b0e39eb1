"""Pictures changed at random, through all that reads a scan: in a process of its own, since a
decoder may end it.

    python -m fuzz.pictures FOLDER FIRST COUNT"""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator, Sequence
from pathlib import Path

from fuzz.mutations import mutated, source, with_checksums
from fuzz.tally import Tally, searched
from PIL import Image, ImageChops
from support.peak_memory import peak_memory

SLOW = 5.0  # seconds of CPU for all that reads one picture
# bytes that the process may have had: what decoding may take beside an interpreter that has loaded
# all that reads a scan
MOST = 384_000_000
HEAD = 160  # bytes in which most formats say what they are
SAVED: dict[str, tuple[str, dict[str, object]]] = {
    "plain.jpg": ("JPEG", {"quality": 85}),
    "progressive.jpg": ("JPEG", {"progressive": True, "subsampling": 0}),
    "plain.png": ("PNG", {}),
    "plain.bmp": ("BMP", {}),
    "raw.tif": ("TIFF", {}),
    "lzw.tif": ("TIFF", {"compression": "tiff_lzw", "tiffinfo": {278: 20}}),
    "deflate.tif": ("TIFF", {"compression": "tiff_adobe_deflate", "tiffinfo": {317: 2}}),
    "jpeg.tif": ("TIFF", {"compression": "jpeg"}),
    "lossy.webp": ("WEBP", {}),
    "lossless.webp": ("WEBP", {"lossless": True}),
}
MODES = {".jpg": ("RGB", "L", "CMYK"), ".png": ("RGB", "RGBA", "P", "I;16", "1"),
         ".tif": ("RGB", "L", "CMYK"), ".bmp": ("RGB", "P"), ".webp": ("RGB", "RGBA")}  # fmt: skip


def seeds() -> dict[str, bytes]:
    """Small scans of each kind, by name."""
    found = {}
    across = Image.linear_gradient("L").resize((150, 210))
    page = Image.merge("RGB", (across, ImageChops.invert(across), across.rotate(90, expand=False)))
    exif = Image.Exif()
    exif[0x0112] = 6
    for name, (kind, how) in SAVED.items():
        for mode in MODES[os.path.splitext(name)[1]]:
            made = (
                page.convert("L").convert("I").convert(mode)
                if mode == "I;16"
                else page.convert(mode)
            )
            out = io.BytesIO()
            further = {"exif": exif} if kind in ("JPEG", "PNG", "WEBP") and mode == "RGB" else {}
            made.save(out, kind, **how, **further)
            found[f"{mode.replace(';', '')}.{name}"] = out.getvalue()
    return found


def case(number: int, of: dict[str, bytes]) -> tuple[str, bytes]:
    """The name and the bytes of one case."""
    chance = source("picture", number)
    name = chance.choice(sorted(of))
    data = mutated(of[name], chance, HEAD)
    if name.endswith(".png") and chance.random() < 0.7:
        data = with_checksums(data)
    return f"scan{os.path.splitext(name)[1]}", data


def read_all(folder: Path, name: str) -> None:
    """All that the program does with a scan. PictureError is what a bad one should raise."""
    from tagger.core.model.pose import Pose
    from tagger.errors import PictureError
    from tagger.imaging.scan.folder import list_scans
    from tagger.imaging.scan.pictures import read_crop, read_picture
    from tagger.imaging.scan.render_side import ImageOptions, picture_file
    from tagger.imaging.survey.measure_lot import measure_scan

    scans = list_scans(folder).scans
    assert scans, "a scan is not in its lot"
    scan = scans[0]
    ways = (
        lambda: read_picture(folder, scan, (40, 56)),
        lambda: read_crop(folder, scan, (0.3, 0.9, 0.2), (80, 28), pose=Pose(turn=90)),
        lambda: picture_file(folder, ((scan, Pose()),), ImageOptions(srgb=True)),
    )
    for way in ways:
        try:
            way()
        except PictureError as error:
            said = str(error)
            assert said.startswith(name), said
            assert said.endswith("."), said
            assert said.isprintable(), said
    measured = measure_scan(folder, scan)
    assert "could not be measured" not in measured.seen, measured.seen


def run(folder: Path, numbers: Sequence[int]) -> Iterator[dict[str, object]]:
    """Each case that was wrong, and at the end what was taken."""
    of = seeds()
    slowest = 0.0
    for number in numbers:
        name, data = case(number, of)
        (folder / name).write_bytes(data)
        start = time.process_time()
        try:
            read_all(folder, name)
        except Exception:
            yield {"case": number, "trace": traceback.format_exc()[-1500:]}
        took = time.process_time() - start
        slowest = max(slowest, took)
        if took > SLOW:
            yield {"case": number, "slow": took}
        (folder / name).unlink()
    most = peak_memory()
    yield {"memory": most, "slowest": slowest}


def fuzz_pictures(numbers: Sequence[int]) -> Tally:
    """These cases, in a process of its own."""
    tally = Tally("pictures", len(numbers))
    with tempfile.TemporaryDirectory() as folder:
        told = ",".join(map(str, numbers))
        done = subprocess.run(
            [sys.executable, "-m", "fuzz.pictures", folder],
            capture_output=True,
            text=True,
            input=told,
            env=searched(),
        )
    if done.returncode:
        tally.traces.append(f"the process ended with {done.returncode}: {done.stderr[-1500:]}")
    tally.printed, tally.words = len(done.stderr), done.stderr[:500]
    for line in done.stdout.splitlines():
        found = json.loads(line)
        if "trace" in found:
            tally.traces.append(f"picture {found['case']}: {found['trace']}")
        elif "slow" in found:
            tally.slow.append(f"picture {found['case']}: {found['slow']:.1f} s")
        else:
            tally.memory, tally.slowest = found["memory"], found["slowest"]
    return tally


if __name__ == "__main__":
    for each in run(Path(sys.argv[1]), [int(one) for one in sys.stdin.read().split(",")]):
        print(json.dumps(each), flush=True)

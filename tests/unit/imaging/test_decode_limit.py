"""What decoding a picture may take is known before, and held; what decoders print stays off the
screen."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path

import pytest
from fuzz.large import png, webp
from fuzz.tally import searched
from PIL import Image, ImageChops, ImageStat

from tagger.core.model.pose import Pose
from tagger.errors import PictureError
from tagger.imaging.scan import decode_limit, decoding, pictures, row_strips
from tagger.imaging.scan.decode_limit import MB, MOST
from tagger.imaging.scan.pictures import read_picture, read_whole
from tagger.imaging.scan.render_side import ImageOptions, render_side
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.imaging.survey.workers import Workers

BOX = (40, 56)
TAKES = """
import sys
from pathlib import Path
from support.peak_memory import peak_memory
from tagger.imaging.scan.render_side import ImageOptions, render_side
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.imaging.survey.workers import Workers
for name in sys.argv[2:]:
    found = measure_scan(Path(sys.argv[1]), name)
    print(peak_memory(), found.state, found.seen)
"""


def test_pictures_that_claim_much_take_no_more_than_they_may(tmp_path: Path) -> None:
    """Sixteen bits of grey as large as a sheet; WebP headers of 34 bytes; sixteen bits of
    colour."""
    (tmp_path / "a.webp").write_bytes(webp(16383, 16383))
    (tmp_path / "b.webp").write_bytes(webp(13000, 13000))
    (tmp_path / "c.png").write_bytes(png(11900, 15000, 16, 2, room=100))
    (tmp_path / "d.png").write_bytes(png(5900, 6300, 16, 0))
    run = subprocess.run(
        [sys.executable, "-c", TAKES, tmp_path, "a.webp", "b.webp", "c.png", "d.png"],
        env=searched(),
        capture_output=True,
        text=True,
        check=True,
    )
    a, b, c, d = run.stdout.splitlines()
    assert "claims 16383 x 16383 pixels" in a
    assert "b.webp would take 2578 MB of memory; 296 MB is the most." in b
    assert "c.png would take 680 MB of memory" in c
    assert " whole " in f"{d} "
    assert int(d.split()[0]) < MOST + 64 * MB
    assert run.stderr == ""


def motley(width: int, height: int) -> Image.Image:
    """Colours that run, with an edge here and there."""
    ramp = Image.linear_gradient("L").resize((width, height))
    across = Image.linear_gradient("L").rotate(90).resize((width, height))
    mixed = ImageChops.difference(ramp, across).point(lambda value: value * 3 % 256)
    return Image.merge("RGB", (ramp, across, mixed))


SAVED = {
    "png": {},
    "tif": {"compression": "tiff_lzw", "tiffinfo": {278: 7}},
    "jpeg.tif": {"compression": "jpeg", "quality": 100, "tiffinfo": {278: 8}},
    "turned.tif": {"compression": "tiff_adobe_deflate", "tiffinfo": {278: 7, 0x0112: 6}},
    "raw.tif": {},
    "bmp": {},
}


KINDS = [(ending, mode) for ending in SAVED for mode in ("RGB", "L", "CMYK", "RGBA", "I;16")]
NOT_WRITTEN = {("png", "CMYK"), ("bmp", "CMYK"), ("bmp", "I;16"),
               ("jpeg.tif", "RGBA"), ("jpeg.tif", "I;16")}  # fmt: skip


@pytest.mark.parametrize(("ending", "mode"), [one for one in KINDS if one not in NOT_WRITTEN])
def test_what_is_too_large_is_read_in_strips_and_looks_alike(
    tmp_path: Path, ending: str, mode: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = motley(301, 403)
    if mode == "I;16":
        page = page.convert("L").convert("I").point(lambda value: value * 257).convert("I;16")
    elif mode != "RGB":
        page = page.convert(mode)
    page.save(tmp_path / f"a.{ending}", **SAVED[ending])
    whole = read_picture(tmp_path, f"a.{ending}", BOX)
    full = read_whole(tmp_path, f"a.{ending}")
    monkeypatch.setattr(decoding, "MOST", 220_000)
    monkeypatch.setattr(pictures, "SHARE", 0)
    monkeypatch.setattr(row_strips, "STRIP", 15_000)
    small = read_picture(tmp_path, f"a.{ending}", BOX)
    assert small.size == whole.size
    off = ImageStat.Stat(ImageChops.difference(whole, small))
    assert max(off.mean) < 3
    measured = read_whole(tmp_path, f"a.{ending}")
    assert measured.factor > 1
    assert measured.size == full.size
    assert max(measured.upright.size) == -(-max(full.upright.size) // measured.factor)


def test_a_jpeg_in_several_scans_is_refused_where_its_decoder_would_keep_it_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    motley(600, 800).save(tmp_path / "a.jpg")
    motley(600, 800).save(tmp_path / "p.jpg", progressive=True)
    monkeypatch.setattr(decoding, "MOST", 900_000)
    assert read_picture(tmp_path, "a.jpg", BOX).size == (40, 53)
    with pytest.raises(PictureError, match=r"^p\.jpg would take \d+ MB of memory"):
        read_picture(tmp_path, "p.jpg", BOX)


PRINTS = """
import os, sys
from pathlib import Path
from tagger.imaging.scan.render_side import ImageOptions, render_side
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.imaging.survey.workers import Workers
found = [measure_scan(Path(sys.argv[1]), name).seen for name in sys.argv[2:]]
os.write(2, b"heard")
print(*found, sep="\\n")
"""


def test_what_decoders_print_gives_the_reason_and_stays_off_the_screen(tmp_path: Path) -> None:
    motley(200, 280).save(tmp_path / "a.tif", compression="tiff_lzw")
    data = bytearray((tmp_path / "a.tif").read_bytes())
    data[2000:60000] = os.urandom(58000)
    (tmp_path / "a.tif").write_bytes(data)
    out = io.BytesIO()
    motley(200, 280).convert("L").save(out, "TIFF", compression="jpeg")
    (tmp_path / "b.tif").write_bytes(out.getvalue().replace(b"\xff\xda", b"\xff\xd9", 1))
    run = subprocess.run(
        [sys.executable, "-c", PRINTS, tmp_path, "a.tif", "b.tif"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stderr == "heard"
    assert "decoder error" not in run.stdout


def test_a_pipe_in_place_of_a_scan_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.jpg")
    with pytest.raises(PictureError, match=r"^a\.jpg is not a file\.$"):
        read_picture(tmp_path, "a.jpg", BOX)
    assert measure_scan(tmp_path, "a.jpg").state == "unreadable"


def test_a_picture_that_is_handed_over_is_no_larger_than_can_be_held(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    motley(300, 400).save(tmp_path / "a.png", dpi=(600, 600))
    monkeypatch.setattr(pictures, "DRAWN", 30_000)
    made = render_side(tmp_path, "a.png", Pose(), ImageOptions())
    assert made.picture.size == (150, 200)
    assert made.dpi == pytest.approx(300, abs=1)


def test_large_pictures_are_decoded_one_at_a_time(tmp_path: Path) -> None:
    """Two workers; each says when it had the turn."""
    workers = Workers()
    try:
        asked = [workers.submit(turn_had, 3 * decode_limit.SHARE) for _ in range(4)]
        spans = sorted(one.result(60) for one in asked)
        assert len({span[2] for span in spans}) == 2
    finally:
        workers.close()
    assert all(before[1] <= after[0] for before, after in pairwise(spans))


def turn_had(needed: int) -> tuple[float, float, int]:
    """When a worker was given room, when it left it, and which one it was."""
    decode_limit.wait_for_room(needed)
    start = time.monotonic()
    time.sleep(0.05)
    return start, time.monotonic(), os.getpid()

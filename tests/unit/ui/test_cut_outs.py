"""Print cut out of a scan is shown so that it can be read."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from PIL import Image, ImageDraw

from tagger.core.audit.poses import Poses
from tagger.core.model.arrangement import Card, Fixes
from tagger.core.reading.printed import Box, Spot
from tagger.imaging.scan.scans import ScanReader
from tagger.services.scans.sources import FolderSource
from tagger.store.caches.disk_cache import DiskCache
from tagger.ui.desk.pictures.cut_outs import CutOuts

BLACK, GREY = 20, 150


@pytest.mark.parametrize("turn", [90, 270])
def test_a_name_that_runs_up_or_down_is_turned(tmp_path, turn):
    """A strip up the side of a card, which begins black and goes on grey."""
    begins, ends = (BLACK, GREY) if turn == 270 else (GREY, BLACK)
    picture = Image.new("L", (300, 420), 255)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((20, 100, 50, 249), begins)
    pen.rectangle((20, 250, 50, 400), ends)
    picture.save(tmp_path / "a.png")
    spot = Spot("front", Box(20 / 300, 100 / 420, 50 / 300, 400 / 420), turn)
    session = SimpleNamespace(view=SimpleNamespace(arrangement=SimpleNamespace(mending=Fixes())))
    line = SimpleNamespace(
        card=Card(1, "a.png", "b.png"), number_at=spot, name_at=spot, tags=SimpleNamespace(set="")
    )
    keys = []
    CutOuts(session, Poses(False), SimpleNamespace(want=keys.extend)).want(
        [line], ((9, 6), (40, 6))
    )
    reader = ScanReader(tmp_path, DiskCache(tmp_path / "kept"))
    seen = FolderSource(reader).load(*keys[1], (2, 2)).convert("L")
    first, last = (seen.getpixel((int(seen.width * at), seen.height // 2)) for at in (0.2, 0.8))
    assert first < last - 60

"""Files that change while they are read, and places that are kept already."""

from __future__ import annotations

from pathlib import Path

from tagger.core.session.loupes.loupe import Loupe
from tagger.store.files import SystemFiles, read_whole
from tagger.store.machine.loupes import LoupeFile


class Hasty(SystemFiles):
    """Gives a few bytes at a time, as a pipe or a slow network may."""

    def read_at(self, fd: int, size: int, offset: int) -> bytes:
        return super().read_at(fd, min(size, 7), offset)


def test_a_file_is_read_to_its_end_however_little_comes_at_a_time(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"0123456789" * 20)
    assert read_whole(Hasty(), tmp_path / "file") == b"0123456789" * 20


def test_a_loupe_that_did_not_move_is_not_written_again(tmp_path: Path) -> None:
    kept = LoupeFile(tmp_path)
    loupe = Loupe("back", 0.25, 0.5, 0.3)
    kept.put("Harbor Light", loupe)
    before = (tmp_path / "loupes.json").stat().st_ino
    kept.put("Harbor Light", loupe)
    assert (tmp_path / "loupes.json").stat().st_ino == before
    assert LoupeFile(tmp_path).get("Harbor Light") == loupe

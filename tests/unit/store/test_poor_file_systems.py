"""A stick with FAT, a share of another machine: no locks, no hard links, no syncing of folders, few
characters in a name. All works there as elsewhere."""

from __future__ import annotations

import errno
import fcntl
import os
import stat
from pathlib import Path
from typing import Any

import pytest
from support.shop import harbor, lot_of, marks, numbers

from tagger.cli import main
from tagger.core.stock.asked import Wish
from tagger.store.machine.own_wishes import forget_wishes, remember_wishes, waiting_wishes
from tagger.store.machine.paths import config_file
from tagger.store.machine.station import station_id

# Microsoft, FAT File System Specification, section 7.2 and 7.4: what no name may have
NOT_IN_FAT = set('"*/:<>?\\|') | set(map(chr, range(32)))


@pytest.fixture(params=[(errno.EPERM, errno.EINVAL), (errno.EOPNOTSUPP, errno.EOPNOTSUPP)])
def poor(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """link(2), fsync(2) and flock(2) as they fail on such file systems, and names that FAT has."""
    no_links, no_sync = request.param
    real_sync, real_open = os.fsync, os.open

    def refuse(number: int) -> Any:
        def refused(*_: object, **__: object) -> None:
            raise OSError(number, os.strerror(number))

        return refused

    def sync(fd: int) -> None:
        if stat.S_ISDIR(os.fstat(fd).st_mode):
            raise OSError(no_sync, os.strerror(no_sync))
        real_sync(fd)

    def opened(path: Any, flags: int, *more: Any, **named: Any) -> int:
        name = os.path.basename(os.fsdecode(path))
        if flags & os.O_CREAT and (set(name) & NOT_IN_FAT or name.endswith((".", " "))):
            raise OSError(errno.EINVAL, os.strerror(errno.EINVAL), path)
        return real_open(path, flags, *more, **named)

    monkeypatch.setattr(os, "link", refuse(no_links))
    monkeypatch.setattr(os, "symlink", refuse(no_links))
    monkeypatch.setattr(os, "chmod", refuse(no_links))
    monkeypatch.setattr(fcntl, "flock", refuse(errno.EOPNOTSUPP))
    monkeypatch.setattr(os, "fsync", sync)
    monkeypatch.setattr(os, "open", opened)


@pytest.mark.usefixtures("poor")
def test_a_lot_is_tagged_exported_and_sold_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot = lot_of(tmp_path / "box 12", [harbor('7: "a?"', "Ada <Marsh>"), harbor("8", "Ivo Lund")])
    out = str(tmp_path / "out")
    for words in (
        ["export", str(lot), "--to", f"{out}.csv"],
        ["import", str(lot), f"{out}.csv", "--yes"],
        ["export", str(lot), "--to", f"{out}.csv"],
        ["sold", numbers(lot)[0], "--price", "2"],
        ["pick", "--done"],
        ["stock", "--to", f"{out}-stock.csv"],
        ["labels", "--to", f"{out}.pdf"],
        ["find", "lund"],
        ["cost", str(lot), "12"],
        ["sales"],
        ["lots", "--forget", str(lot)],
    ):
        capsys.readouterr()
        assert main(words) == 0, (words, capsys.readouterr())
    assert [mark.gone for mark in marks(lot)] == ["sold", ""]
    assert marks(lot)[0].trade.price == "2"
    assert main(["lots"]) == 0
    assert "box 12" not in capsys.readouterr().out


@pytest.mark.usefixtures("poor")
def test_a_station_is_known_and_its_wishes_are_kept_there() -> None:
    first = station_id()
    assert first == station_id()
    wish = Wish("1", "lot", 1, "south", {}, {})
    remember_wishes([wish])
    assert waiting_wishes() == [wish]
    forget_wishes(["1"])
    assert waiting_wishes() == []
    assert not config_file().exists()

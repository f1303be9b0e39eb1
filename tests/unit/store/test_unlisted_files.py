"""The unlisted cards of other lots on this machine, in files that can be lost or damaged."""

from __future__ import annotations

import pytest

from tagger.core.model.tags import Tags
from tagger.store.machine.unlisted import MOST_CARDS, UnlistedFiles

ADA = Tags("Harbor", "23", "Ada Marsh", "Gulls", listed=False)
BO = Tags("Tide", "7", "Bo Lund", listed=False)


def test_each_lot_knows_the_cards_of_the_others(tmp_path):
    one, other = (UnlistedFiles(tmp_path / "u", tmp_path / name) for name in ("one", "other"))
    one.keep(lambda: [ADA, ADA])
    other.keep(lambda: [BO])
    assert list(one.others()) == [BO]
    assert list(other.others()) == [ADA]
    # what is no longer unlisted there is known no more
    one.keep(list)
    assert list(other.others()) == []


def test_a_lot_without_such_cards_leaves_no_file(tmp_path):
    UnlistedFiles(tmp_path / "u", tmp_path / "one").keep(list)
    assert not (tmp_path / "u").exists()


@pytest.mark.parametrize(
    "data",
    [b"", b"{}", b"[1]", b'[["a"]]', b'[["a","b","c",4]]', b"\xff\xfe", b"[" * 100_000,
     b'[["' + b"x" * 500 + b'","1","b",""]]'],
)  # fmt: skip
def test_a_damaged_file_is_as_none(tmp_path, data):
    folder = tmp_path / "u"
    folder.mkdir()
    (folder / "x.json").write_bytes(data)
    assert list(UnlistedFiles(folder, tmp_path / "one").others()) == []


def test_a_folder_that_cannot_be_written_is_no_trouble(tmp_path):
    (tmp_path / "u").write_text("a file")
    files = UnlistedFiles(tmp_path / "u", tmp_path / "one")
    files.keep(lambda: [ADA])
    assert list(files.others()) == []


def test_there_is_a_limit(tmp_path):
    one, other = (UnlistedFiles(tmp_path / "u", tmp_path / name) for name in ("one", "other"))
    one.keep(lambda: [Tags("S", str(at), "x" * 9000) for at in range(MOST_CARDS + 5)])
    found = list(other.others())
    assert len(found) == MOST_CARDS
    assert all(len(tags.subject) == 400 for tags in found)

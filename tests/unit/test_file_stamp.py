"""The stamp of a file: another one for another state, none where there is no file."""

from __future__ import annotations

import os

from tagger.file_stamp import FileStamp, file_stamp


def test_a_file_that_is_written_or_replaced_has_another_stamp(tmp_path):
    path, other = tmp_path / "a", tmp_path / "b"
    path.write_bytes(b"one")
    before = file_stamp(path)
    assert before == FileStamp.of(path.stat()) == file_stamp(path)
    os.utime(path, ns=(5, before.mtime_ns + 1))
    later = file_stamp(path)
    assert later.lasting == (3, before.mtime_ns + 1)
    other.write_bytes(b"two")
    os.utime(other, ns=(5, later.mtime_ns))
    other.replace(path)
    replaced = file_stamp(path)
    assert replaced != later
    assert replaced.lasting == later.lasting


def test_what_is_not_there_has_none_and_a_link_is_asked_for_itself(tmp_path):
    assert file_stamp(tmp_path / "none") is None
    link = tmp_path / "link"
    link.symlink_to("none")
    assert file_stamp(link) is None
    assert file_stamp(link, follow=False) == FileStamp.of(link.lstat())

"""Indexes kept in the cache folder: the same answers as without, made anew when a file changes,
never trusted when damaged."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from array import array
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import drawn

from tagger.cli import main
from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.columns import Rows
from tagger.core.checklist.oddities import Problem
from tagger.core.index.flat_arrays import column, pack_column
from tagger.core.index.index import Index
from tagger.core.index.index_builder import pack_index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Parallel, Row, Tags
from tagger.errors import LotError
from tagger.store.caches import index_cache
from tagger.store.caches.index_cache import keep_index, load_index
from tagger.store.caches.sealed import keep_sealed, read_sealed
from tagger.store.machine.paths import index_folder
from tagger.store.read_lists import read_indexed

HINTS = ("23", "mar", "23 g", "am", "12/99", "set=pond 7", "")
LIST = drawn.checklist_csv(drawn.set_rows("1987 Harbor Light", 60, 3))


def answers(index: Index) -> list[object]:
    return [Matcher(index).rank(hint) for hint in HINTS]


def written(folder: Path, name: str = "list.csv", text: str = LIST) -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_a_kept_index_answers_as_a_fresh_one(tmp_path):
    path, cache = written(tmp_path), tmp_path / "cache"
    first = read_indexed([path], cache)
    (kept,) = cache.iterdir()
    stamp = kept.stat().st_ino
    second = read_indexed([path], cache)
    assert [entry.stat().st_ino for entry in cache.iterdir()] == [stamp]
    assert answers(first.index) == answers(second.index)
    assert (second.files, second.of, second.problems) == (1, 1, ())


def test_it_is_really_read_from_the_cache(tmp_path, monkeypatch):
    path, cache = written(tmp_path), tmp_path / "cache"
    read_indexed([path], cache)
    monkeypatch.setattr("tagger.store.read_lists.parsed", lambda *_: pytest.fail("read again"))
    assert len(read_indexed([path], cache).index) == 60


LOADED = """
import sys
from tagger.services.lists.lot_checklists import index_of
print(len(index_of(sys.argv[1:]).index), "tagger.core.checklist.files" in sys.modules)
"""


@pytest.mark.parametrize(("lists", "said"), [(1, ["60 True", "60 False"]), (0, ["0 False"] * 2)])
def test_what_reads_lists_is_loaded_where_one_must_be_read(tmp_path, lists, said):
    paths = [str(written(tmp_path))] * lists
    for expected in said:
        command = [sys.executable, "-c", LOADED, *paths]
        run = subprocess.run(command, capture_output=True, text=True, check=True)
        assert run.stdout.strip() == expected


@pytest.mark.parametrize("change", ["content", "name", "order", "one more"])
def test_another_index_is_made_when_the_files_are_others(tmp_path, change):
    cache = tmp_path / "cache"
    one = written(tmp_path, "one.csv", "number,subject\n1,Ada Marsh\n")
    two = written(tmp_path, "two.csv", "number,subject\n1,Bo Lund\n")
    files = [one, two]
    before = read_indexed(files, cache)
    if change == "content":
        written(tmp_path, "one.csv", "number,subject\n1,Ada Marsh\n2,Eve Tarn\n")
    elif change == "name":
        files = [one.rename(tmp_path / "Mill Pond.csv"), two]  # the set is called as the file is
    elif change == "order":
        files = [two, one]
    else:
        files = [one, two, written(tmp_path, "three.csv", "number,subject\n1,Eve Tarn\n")]
    after = read_indexed(files, cache)
    assert len(list(cache.iterdir())) == 2
    assert [after.index.row(step) for step in range(len(after.index))] != [
        before.index.row(step) for step in range(len(before.index))
    ]


def test_problems_are_kept_with_the_index(tmp_path):
    path, cache = (
        written(tmp_path, text="set,number,subject\nS,1,Ada Marsh\nS,,\n,,,,9\n"),
        tmp_path / "cache",
    )
    first, second = read_indexed([path], cache), read_indexed([path], cache)
    assert len(first.problems) == 2
    assert first.problems == second.problems
    assert isinstance(second.problems[0], Problem)


def small(folder: Path) -> tuple[Path, Index]:
    index = Index(
        Checklist(
            tuple(
                Row("S", str(n), name, "T", (Parallel("Gold", 9),)) for n, name in enumerate("ab")
            )
        )
    )
    assert keep_index(folder, "k", index, [])
    return folder / "k.index", index


def test_no_flipped_byte_is_trusted(tmp_path):
    """Each byte of a small kept index, with one of its bits and with all of them turned over."""
    path, index = small(tmp_path)
    whole, expected, refused = path.read_bytes(), answers(index), 0
    source = random.Random(4)
    for at in range(len(whole)):
        flip = 0xFF if at % 2 else 1 << source.randrange(8)
        path.write_bytes(whole[:at] + bytes([whole[at] ^ flip]) + whole[at + 1 :])
        found = load_index(tmp_path, "k")
        if found is None:
            refused += 1
            assert not path.exists()  # out of the way, so that it is made anew
        else:
            assert answers(found[0]) == expected  # only what fills the head up to an eighth byte
    assert refused >= len(whole) - 7


def test_no_cut_or_lengthened_index_is_trusted(tmp_path):
    path, _ = small(tmp_path)
    whole = path.read_bytes()
    for size in range(len(whole)):
        path.write_bytes(whole[:size])
        assert load_index(tmp_path, "k") is None
    path.write_bytes(whole + b"\0" * 8)
    assert load_index(tmp_path, "k") is None
    path.write_bytes(whole)
    assert load_index(tmp_path, "k") is not None


def test_a_damaged_index_is_made_anew(tmp_path):
    path, cache = written(tmp_path), tmp_path / "cache"
    expected = answers(read_indexed([path], cache).index)
    (kept,) = cache.iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(whole[:-9] + b"x" + whole[-8:])
    assert answers(read_indexed([path], cache).index) == expected
    assert kept.read_bytes() == whole


def test_without_a_folder_to_keep_it_in_all_works_the_same(tmp_path):
    path = written(tmp_path)
    in_the_way = written(tmp_path, "cache", "")
    assert len(read_indexed([path], in_the_way).index) == 60
    assert in_the_way.read_bytes() == b""


def test_the_folder_stays_bounded_and_the_last_used_stay(tmp_path, monkeypatch):
    monkeypatch.setattr(index_cache, "MOST_KEPT", 3)
    cache = tmp_path / "cache"
    lists = [written(tmp_path, f"{n}.csv", f"number,subject\n{n},Ada Marsh\n") for n in range(5)]
    for path in lists[:3]:
        read_indexed([path], cache)
    for at, kept in enumerate(sorted(cache.iterdir(), key=lambda entry: entry.stat().st_mtime_ns)):
        os.utime(kept, (1000 + at, 1000 + at))
    read_indexed([lists[0]], cache)  # used: it is the newest now
    read_indexed([lists[3]], cache)
    assert len(list(cache.iterdir())) == 3
    monkeypatch.setattr("tagger.store.read_lists.parsed", lambda *_: pytest.fail("read again"))
    read_indexed([lists[0]], cache)


def test_what_is_read_meanwhile_is_given_at_each_doubling(tmp_path):
    lists = [written(tmp_path, f"{n}.csv", f"number,subject\n{n},Ada Marsh\n") for n in range(9)]
    given: list[tuple[int, int, int]] = []
    read = read_indexed(
        lists, tmp_path / "cache", lambda part: given.append((part.files, part.of, len(part.index)))
    )
    assert given == [(1, 9, 1), (2, 9, 2), (4, 9, 4), (8, 9, 8)]
    assert (read.whole, len(read.index)) == (True, 9)


def test_a_folder_stands_for_the_checklists_in_it(tmp_path):
    folder = tmp_path / "lists"
    folder.mkdir()
    with pytest.raises(LotError, match="There are no checklists in"):
        read_indexed([folder], tmp_path / "cache", strict=True)
    written(folder, "b.csv", "number,subject\n1,Ada Marsh\n")
    written(folder, "a.TXT", "1 Bo Lund\n")
    written(folder, "note.md", "1 Eve Tarn\n")
    assert read_indexed([folder], tmp_path / "cache").index.sets == ["a", "b"]


texts = st.text(max_size=8).map(lambda text: text.replace("\0", ""))
rows = st.builds(
    Row,
    st.sampled_from(["1987 Harbor Light", "Mill Pond", "ß\ud800"]),
    st.one_of(st.integers(0, 30).map(str), texts),
    texts,
    st.sampled_from(["", "Gulls"]),
    st.lists(
        st.builds(Parallel, st.text("Gol d", max_size=4), st.none() | st.integers(1, 99)),
        max_size=2,
    ).map(tuple),
    st.lists(st.tuples(st.text("abc", min_size=1, max_size=2), texts), max_size=2).map(tuple),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(rows, max_size=12))
def test_what_is_packed_is_what_comes_out(tmp_path_factory, given):
    """Each row comes out once, in the order of sets and numbers, from memory and from a file. (An
    alias belongs to the subject: all its rows have it.)"""
    index = Index(Checklist(Rows(given)))
    folder = tmp_path_factory.mktemp("packed")
    assert keep_index(folder, "k", index, [])
    kept = load_index(folder, "k")
    assert kept is not None
    for one in (index, kept[0]):
        out = [one.row(step) for step in range(len(one))]
        assert sorted(repr(r._replace(alias="")) for r in out) == sorted(
            repr(r._replace(alias="")) for r in given
        )
        assert [row.set for row in out] == sorted((row.set for row in given), key=one.sets.index)
        for step, row in enumerate(out):
            assert one.set_id(row.set) == one.set_of(step)
            assert one.find(Tags(row.set, row.number, row.subject)) is not None


names = st.lists(
    st.sampled_from(
        ["Ada", "Marsh", "Ii", "Jr", "And", "Y", "McKay", "O'Neil", "St.", "Ñúñez", "Bo-Lund", "bo"]
    ),
    min_size=1,
    max_size=3,
).map(" ".join)


@settings(deadline=None)
@given(st.lists(names, max_size=6))
def test_the_short_way_for_plain_names_gives_what_the_long_one_gives(given):
    rows = [Row("S", str(number), name) for number, name in enumerate(given)]
    short = pack_index(Checklist(tuple(rows)))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("tagger.core.index.index_builder._two_words", lambda subject: None)
        assert {
            name: bytes(section) for name, section in pack_index(Checklist(tuple(rows))).items()
        } == {name: bytes(section) for name, section in short.items()}


def test_an_index_whose_numbers_lead_nowhere_is_made_anew(tmp_path, capsys):
    """It has a right checksum, and is used as it lies: whoever uses it has an error."""
    path = written(tmp_path)
    words = ["match", "7 mar", "--checklist", str(path)]
    assert main(words) == 0
    right = capsys.readouterr().out
    (kept,) = index_folder().glob("*.index")
    sealed = read_sealed(kept, index_cache.MARK)
    assert keep_sealed(kept, index_cache.MARK, sealed.head, [b"\xfe" * len(sealed.body)])
    for _ in range(2):
        assert main(words) == 0
        assert capsys.readouterr().out == right
    assert read_sealed(kept, index_cache.MARK).checksum == sealed.checksum


@pytest.mark.parametrize("different", [3, 1 << 16, (1 << 16) + 1])
def test_a_column_comes_back_in_as_many_bits_as_it_needs(different):
    """16 bits are enough up to 65,536 values; the highest of them is there."""
    values = array("I", [0, different - 1, 1])
    kept = pack_column(values, different)
    assert len(memoryview(kept).cast("B")) == (6 if different <= 1 << 16 else 12)
    assert list(column(kept, 3)) == list(values)


def test_rows_moved_in_one_piece_are_those_moved_one_by_one() -> None:
    """A file with its sets in several parts, each numbered upwards, against the same rows in no
    order at all."""
    parts = [
        Row(f"Set {at % 3}", str(number), f"Name {at} {number}", f"Team {number % 4}")
        for at in range(9)
        for number in range(at * 40, at * 40 + 40)
    ]
    mixed = random.Random(7).sample(parts, len(parts))
    one, other = Index(Checklist(tuple(parts))), Index(Checklist(tuple(mixed)))

    def by_set(index: Index) -> dict[str, list[Row]]:
        return {
            name: [index.row(step) for step in index.steps(at)]
            for at, name in enumerate(index.sets)
        }

    assert by_set(one) == by_set(other)

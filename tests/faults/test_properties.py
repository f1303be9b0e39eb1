"""What holds whatever is done: memory, the journal from its beginning, and `lot.json` with the
lines behind it say the same; undo and redo are each other's opposites; and both files are plain
JSON with the checksums that they say."""

from __future__ import annotations

import json
import re
import tempfile
import zlib
from pathlib import Path
from typing import Any

from faults.disk import Disk
from faults.edits import Model, Work, do, format_1, found, lot_facts, old_lot
from faults.power import often
from hypothesis import given, settings
from hypothesis import strategies as st

from tagger.store.lot.journal import decode, encode, lines_of
from tagger.store.lot.lot_file import LotFile, look

LINE = re.compile(rb'\["([0-9a-f]{8})",(\{.*\})\]\n')


def worked(home: str, source: Any, steps: int, after: int = 5) -> tuple[LotFile, Disk, Model]:
    """A lot at which so many steps were done, not closed."""
    disk, model, work = Disk(), Model(), Work(source)
    with often(after):
        store = LotFile(Path(home), "lot", disk)
        for _ in range(steps):
            step = work.step(model)
            model.do(step)
            do(store, step)
    return store, disk, model


WORK = {
    "source": st.randoms(use_true_random=False),
    "steps": st.integers(1, 60),
    "after": st.integers(1, 20),
}


@settings(max_examples=60, deadline=None)
@given(**WORK)
def test_memory_and_the_whole_journal_and_the_checkpoint_with_its_tail_are_one(
    source, steps, after
):
    with tempfile.TemporaryDirectory() as home:
        store, disk, model = worked(home, source, steps, after)
        now = lot_facts(store.lot)
        files = disk.contents()
        store._checkpoint.join()
        store._release()
        assert now == model.facts()[:-2]
        with_checkpoint = look(Path(home), Disk(files))
        journal_alone = look(Path(home), Disk({"lot.journal": files["lot.journal"]}))
        assert not with_checkpoint.notes
        for state in (with_checkpoint, journal_alone):
            assert not state.trouble
            assert not state.edited
            assert lot_facts(state.kept.lot) == now
            assert (state.undo, state.redo) == (store._history.undo, store._history.redo)
            assert (state.end, state.id) == (len(files["lot.journal"]), store.identity)
        assert (
            journal_alone.kept.tables["cards"]
            == with_checkpoint.kept.tables["cards"]
            == store._kept.tables["cards"]
        )


@settings(max_examples=60, deadline=None)
@given(**WORK, back=st.integers(1, 20))
def test_undo_then_redo_is_as_before(source, steps, after, back):
    with tempfile.TemporaryDirectory() as home:
        store, disk, model = worked(home, source, steps, after)
        before = lot_facts(store.lot), store.last()
        undone = [change for change in (store.undo() for _ in range(back)) if change]
        redone = [store.redo() for _ in undone]
        assert undone == redone[::-1] == model.done[::-1][: len(undone)]
        assert (lot_facts(store.lot), store.last()) == before
        store.close()
        facts, _ = found(Disk(disk.contents()), Path(home))
        assert facts == model.facts()


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10_000), steps=st.integers(1, 60))
def test_a_lot_of_the_first_format_is_the_same_lot_after(seed, steps):
    model = old_lot(seed, steps)
    with tempfile.TemporaryDirectory() as home:
        files = {"lot.json": format_1(model)}
        disk = Disk(files)
        facts, position = found(disk, Path(home))
        assert model.fits(facts, position)
        assert disk.contents()["lot.json.format-1"] == files["lot.json"]


def strictly(text: bytes) -> Any:
    """Parse a JSON text (RFC 8259) with nothing in it that Python alone would take."""

    def refuse(constant: str) -> None:
        raise ValueError(f"{constant} is no JSON")

    return json.loads(text.decode("ascii"), parse_constant=refuse)


@settings(max_examples=40, deadline=None)
@given(**WORK)
def test_both_files_are_json_and_each_line_has_its_checksum(source, steps, after):
    with tempfile.TemporaryDirectory() as home:
        store, disk, _ = worked(home, source, steps, after)
        store.close()
        files = disk.contents()
        assert set(strictly(files["lot.json"])) == {"cards", "state"}
        lines = files["lot.journal"].splitlines(keepends=True)
        for number, line in enumerate(lines):
            match = LINE.fullmatch(line)
            assert match is not None
            assert int(match[1], 16) == crc_32(match[2])
            said, record = strictly(line)
            assert said == match[1].decode()
            assert record["n"] == number
            assert decode(line) == record
        last = [strictly(line)[1] for line in lines][-1]
        assert last["k"] == "kept"
        assert (last["crc"], last["size"]) == (
            f"{crc_32(files['lot.json']):08x}",
            len(files["lot.json"]),
        )


def crc_32(data: bytes) -> int:
    """CRC-32 by the sample code of RFC 1952 (gzip), section 8, with its table made anew for each
    byte."""
    crc = 0xFFFFFFFF
    for byte in data:
        value = (crc ^ byte) & 0xFF
        for _ in range(8):
            value = 0xEDB88320 ^ (value >> 1) if value & 1 else value >> 1
        crc = value ^ (crc >> 8)
    return crc ^ 0xFFFFFFFF


def test_the_checksum_is_crc_32_as_published():
    """Catalogues of CRC parameters give 0xCBF43926 for CRC-32/ISO-HDLC over the digits 1 to 9."""
    digits = b"123456789"
    assert crc_32(digits) == zlib.crc32(digits) == 0xCBF43926
    line = encode({"k": "note"})
    assert line == b'["%08x",{"k":"note"}]\n' % crc_32(b'{"k":"note"}')


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_a_line_that_is_not_as_written_is_no_line(data):
    value = st.recursive(
        st.none() | st.integers() | st.text(max_size=5), lambda inner: st.lists(inner, max_size=3)
    )
    record = data.draw(st.dictionaries(st.text(max_size=5), value, max_size=4))
    line = bytearray(encode(record))
    assert decode(bytes(line)) == record
    assert b"\n" not in line[:-1]
    place = data.draw(st.integers(0, len(line) - 1))
    line[place] ^= data.draw(st.integers(1, 255))
    assert decode(bytes(line)) is None


def test_lines_are_taken_in_their_order_only():
    def whole(*numbers: int) -> list[bool]:
        text = b"".join(encode({"n": number, "k": "x"}) for number in numbers)
        return [line.record is not None for line in lines_of(text)]

    assert whole(0, 1, 2) == [True, True, True]
    assert whole(0, 0, 1) == [True, False, True]
    assert whole(0, 1, 3, 4) == [True, True, False, True]
    assert whole(5, 6, 4) == [True, True, False]

"""`tagger audit` and `tagger measure`, on lots of drawn scans with known faults; what is kept of
measurements."""

from __future__ import annotations

import json
import random
import shutil
import tempfile
from contextlib import closing
from functools import cache
from pathlib import Path

import pytest
from support.card_art import blank, bordered, full_bleed
from support.card_sets import card_set
from support.drawn_once import drawn_once
from support.scanned import Scanner, fed, jpeg

from tagger.cli import main
from tagger.core.audit.audit import audit
from tagger.core.audit.audited_lot import AuditedLot
from tagger.core.audit.feed_report import Comparing
from tagger.core.audit.findings import FindingKind
from tagger.core.audit.measured import Measured, measured_from
from tagger.core.audit.orientation_runs import CardWay
from tagger.core.audit.slips import FeedReading
from tagger.core.feeding.numbering import gaps, name_after
from tagger.core.feeding.order import feeding_order
from tagger.core.fixes.display import Turn
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.side_order import SideOrder
from tagger.imaging.survey.feed_reading import read_feed
from tagger.imaging.survey.measure_lot import measure_scan, survey
from tagger.imaging.survey.orientation import find_orientations
from tagger.imaging.survey.perceptual_hash import alike_band
from tagger.imaging.survey.workers import Workers
from tagger.store.caches import measured_cache
from tagger.store.caches.measured_cache import MeasuredCache
from tagger.store.caches.sealed import keep_sealed, read_sealed

CARDS = 20
COMPARING = Comparing(alike_band, find_orientations, read_feed)
SCANNER = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)


@pytest.fixture(scope="module")
def tray(tmp_path_factory) -> Path:
    """Good scans of 20 cards of one set, front and back in turn, 220 dpi."""

    def draw(folder: Path) -> None:
        rng = random.Random("tray")
        sides = [
            side for card in card_set("audit", CARDS, "held") for side in (card.front, card.back)
        ]
        for number, side in enumerate(sides, start=1):
            page = fed(side.resize((500, 700)), rng, dpi=220, scanner=SCANNER, skew=1.0).picture
            (folder / f"scan_{number:04d}.jpg").write_bytes(jpeg(page, 220, 82))

    return drawn_once(tmp_path_factory, "audited tray", draw)


@pytest.fixture
def lot(tray, tmp_path) -> Path:
    shutil.copytree(tray, tmp_path / "lot")
    return tmp_path / "lot"


@cache
def measured(data: bytes, name: str) -> Measured:
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / name).write_bytes(data)
        return measure_scan(Path(folder), name)


def quick_survey(folder: Path, names: list[str], pool: object = None, size: object = None):
    """As `survey`, in this process, and nothing is measured twice in this module."""
    return ((name, measured((folder / name).read_bytes(), name)) for name in names)


@pytest.fixture
def told(capsys, monkeypatch, tmp_path, work_at_hand):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr("tagger.services.scans.measurements.survey", quick_survey)

    def run(*words) -> tuple[int, dict]:
        status = main(["audit", *map(str, words), "--json"])
        return status, json.loads(capsys.readouterr().out)

    return run


def scan(lot: Path, number: int) -> Path:
    return lot / f"scan_{number:04d}.jpg"


def turn(path: Path) -> None:
    from PIL import Image

    with Image.open(path) as picture:
        turned = picture.transpose(Image.Transpose.ROTATE_180)
    path.write_bytes(jpeg(turned, 220, 90))


def kinds(answer: dict) -> list[tuple[str, int]]:
    return [(finding["kind"], finding["position"]) for finding in answer["findings"]]


def test_a_good_lot_has_no_findings_and_nothing_is_written_into_it(lot, told, tmp_path):
    before = {path: path.stat().st_mtime_ns for path in lot.iterdir()}
    status, answer = told(lot, "--cards", CARDS)
    assert (status, answer) == (
        0,
        {"format": 1, "scans": 2 * CARDS, "cards": CARDS, "findings": []},
    )
    assert {path: path.stat().st_mtime_ns for path in lot.iterdir()} == before
    assert list((tmp_path / "cache").rglob("*.measured"))


def test_what_went_wrong_is_told_by_position(lot, told):
    """A swapped pair at 5, backs upside down from 9 to 11, a truncated file at 14, a doubled file
    at 17."""
    one, other = scan(lot, 9).read_bytes(), scan(lot, 10).read_bytes()
    scan(lot, 9).write_bytes(other)
    scan(lot, 10).write_bytes(one)
    for card in (9, 10, 11):
        turn(scan(lot, 2 * card))
    data = scan(lot, 27).read_bytes()
    scan(lot, 27).write_bytes(data[: len(data) // 2])
    shutil.copy(scan(lot, 33), scan(lot, 34))
    status, answer = told(lot, "--cards", CARDS + 1)
    assert status == 1
    assert kinds(answer)[:3] == [("swapped_sides", 5), ("upside_down", 9), ("truncated", 14)]
    assert answer["findings"][1]["detail"] == "backs of cards 9 to 11 are upside down"
    assert ("duplicate_scan", 17) in kinds(answer)
    assert kinds(answer)[-1] == ("card_count", CARDS)
    assert answer["findings"][2]["scans"] == ["scan_0027.jpg"]
    assert all(
        finding["detail"] and finding["remedy"].endswith(".") for finding in answer["findings"]
    )


def test_a_missing_back_is_a_slip_and_its_remedy_puts_it_right(lot, told):
    gone = scan(lot, 16).read_bytes()
    scan(lot, 16).unlink()
    status, answer = told(lot)
    assert status == 1
    by_kind = {finding["kind"]: finding for finding in answer["findings"]}
    assert set(by_kind) == {"odd_scan_count", "numbering_gap", "shifted_pairs"}
    assert by_kind["shifted_pairs"]["position"] == 8
    assert "scan_0016.jpg" in by_kind["shifted_pairs"]["remedy"]
    scan(lot, 16).write_bytes(gone)
    assert told(lot)[1]["findings"] == []


def test_single_scans_are_measured_once(lot, told, monkeypatch):
    told(lot)
    turn(scan(lot, 7))
    asked = []

    def only(folder, names, pool=None, size=None):
        asked.extend(names)
        return quick_survey(folder, names)

    monkeypatch.setattr("tagger.services.scans.measurements.survey", only)
    told(lot)
    assert asked == ["scan_0007.jpg"]


def test_damaged_entries_are_ignored(lot, tmp_path):
    cache = MeasuredCache(tmp_path / "kept", lot)
    names = [f"scan_{number:04d}.jpg" for number in (1, 2, 3)]
    for name in names:
        cache.put(name, measure_scan(lot, name), cache.stamp(name))
    cache.keep()
    (path,) = (tmp_path / "kept").iterdir()
    kept, whole = read_sealed(path, measured_cache.MARK), path.read_bytes()
    assert kept is not None
    first, second, third = kept.head
    wrong = [[*second[:3], {"state": "whole"}], None, 7, [], [*second, 1], {"a": 1}]
    wrong += [[second[0], float("inf"), *second[2:]], [*second[:2], float("nan"), second[3]]]
    keep_sealed(path, measured_cache.MARK, [*wrong, first, third])
    again = MeasuredCache(tmp_path / "kept", lot)
    assert again.get(names[0]) == measure_scan(lot, names[0])
    assert again.get(names[1]) is None
    scan(lot, 3).touch()
    scan(lot, 3).write_bytes(scan(lot, 4).read_bytes())
    assert again.get(names[2]) is None
    for damaged in (whole.replace(b"whole", b"whale", 1), whole[:-1], whole + b"\n", b"", b"["):
        path.write_bytes(damaged)
        assert MeasuredCache(tmp_path / "kept", lot).get(names[0]) is None
    for other in ({"a": 1}, None, 7, "text"):
        keep_sealed(path, measured_cache.MARK, other)
        assert MeasuredCache(tmp_path / "kept", lot).get(names[0]) is None
    path.unlink()
    assert MeasuredCache(tmp_path / "kept", lot).get(names[0]) is None


def test_a_measurement_is_the_same_after_it_was_written_down(lot):
    found = measure_scan(lot, "scan_0001.jpg")
    assert found.state == "whole"
    assert found.print is not None
    assert measured_from(json.loads(json.dumps(found.document()))) == found
    assert measure_scan(lot, "none.jpg") == Measured("gone")


def test_a_blank_side_is_only_a_warning(lot, told):
    rng = random.Random("blank")
    scan(lot, 6).write_bytes(
        jpeg(fed(blank(rng, "held").picture, rng, dpi=220, scanner=SCANNER).picture, 220)
    )
    status, answer = told(lot)
    assert status == 1
    assert kinds(answer) == [("blank", 3)]
    assert "really is blank, ignore this" in answer["findings"][0]["remedy"]


def test_other_processes_measure_the_same(lot):
    names = [f"scan_{number:04d}.jpg" for number in range(1, 5)]
    with closing(Workers(1)) as workers:
        assert dict(survey(lot, names, workers)) == {
            name: measured((lot / name).read_bytes(), name) for name in names
        }


def test_words_for_a_person(lot, capsys, monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr("tagger.services.scans.measurements.survey", quick_survey)
    scan(lot, 4).write_bytes(b"")
    assert main(["audit", str(lot)]) == 1
    text = capsys.readouterr().out
    assert "card 2, unreadable: scan_0004.jpg, the back of card 2, is an empty file" in text
    assert main(["audit", str(lot), "--cards", "-1"]) == 2
    (tmp_path / "empty").mkdir()
    assert main(["audit", str(tmp_path / "empty")]) == 3


def plain_lot(
    names: list[str], sides: SideOrder, pairs: list[tuple[str | None, str | None]]
) -> AuditedLot:
    arranged = tuple(Pair(n, *both) for n, both in enumerate(pairs, 1))
    return AuditedLot(Arrangement(sides, arranged), names)


def judged(lot: AuditedLot, **measured: Measured) -> list[tuple[FindingKind, int]]:
    whole = Measured("whole")
    found = audit(lot, lambda name: measured.get(name.partition(".")[0], whole), COMPARING)
    return [(finding.kind, finding.position) for finding in found]


def test_a_side_missing_by_name():
    lot = plain_lot(
        ["1_f.jpg", "1_b.jpg", "2_f.jpg"],
        SideOrder.NAMED,
        [("1_f.jpg", "1_b.jpg"), ("2_f.jpg", None)],
    )
    assert judged(lot) == [(FindingKind.ODD_NUMBER, 2), (FindingKind.SIDE_MISSING, 2)]


def test_what_goes_on_from_card_to_card_is_told_once():
    names = [f"s{n}.jpg" for n in range(1, 9)]
    lot = plain_lot(names, SideOrder.ALTERNATE, list(zip(names[::2], names[1::2], strict=True)))
    few = Measured("whole", faults=(("too few dots per inch", "150 dpi"),))
    assert judged(lot, s1=few, s2=few, s3=few, s7=few) == [
        (FindingKind.FEW_DOTS, 1),
        (FindingKind.FEW_DOTS, 4),
    ]
    # again and again it comes from how the lot was scanned
    longer = [f"s{n}.jpg" for n in range(1, 21)]
    pairs = list(zip(longer[::2], longer[1::2], strict=True))
    lot = plain_lot(longer, SideOrder.ALTERNATE, pairs)
    assert judged(lot, s1=few, s2=few, s7=few, s13=few) == [(FindingKind.FEW_DOTS, 1)]
    assert judged(lot, s5=Measured("gone"), s6=Measured("corrupt")) == [
        (FindingKind.UNREADABLE, 3),
        (FindingKind.CORRUPT, 3),
    ]


def test_gaps_in_the_numbers():
    names = [f"b_{n}.jpg" for n in (1, 2, 3, 6, 7, 8)] + [f"c {n}.jpg" for n in (3, 5, 7, 11, 13)]
    assert gaps(names) == [("b_3.jpg", "b_6.jpg", 2), ("c 7.jpg", "c 11.jpg", 1)]
    assert gaps([f"20310502_1230{n:02d}.jpg" for n in (1, 2, 3, 4, 9)]) == []
    assert gaps([f"{n}_{side}.jpg" for n in (1, 2, 3, 4, 6) for side in "fb"]) == [
        ("4_b.jpg", "6_f.jpg", 1)
    ]
    assert gaps(["a1.jpg", "a9.jpg"]) == []


@pytest.mark.parametrize("pattern", ["scan_{:04d}.jpg", "{}.png", "box 3-{}.tif"])
def test_a_name_that_sorts_behind_a_scan(pattern):
    names = [pattern.format(n) for n in (9, 10, 11)]
    assert feeding_order([*names, name_after(names[1])]) == [
        *names[:2],
        name_after(names[1]),
        names[2],
    ]


@pytest.mark.parametrize(
    ("name", "following", "behind"),
    [
        ("box.tif#page=3", "box.tif#page=5", "boxx.tif"),
        ("s_12.jpg#xywh=1,2,30,40", "s_14.jpg", "s_12x.jpg"),
    ],
)
def test_a_page_or_a_part_is_followed_by_a_file_of_its_own(name, following, behind):
    assert name_after(name, following) == behind
    assert feeding_order([behind, name]) == [name, behind]


def test_what_lies_upside_down_is_told_for_both_sides_at_once_and_turned_with_all_between():
    names = [f"s{n}.jpg" for n in range(1, 25)]
    lot = plain_lot(names, SideOrder.ALTERNATE, list(zip(names[::2], names[1::2], strict=True)))
    plain = {**Measured("whole").document(), "print": ["ff", "0", "00" * 48]}
    known, broken = measured_from(plain), Measured("truncated", "the end is missing")
    up, down = CardWay(False, False, 1.0), CardWay(True, True, 1.0)
    ways = [up, down, CardWay(True, True, 0.6), down, up, CardWay(False, True, 0.9), *[up] * 6]
    asked = []

    def orient(cards):
        asked.extend(cards)
        return ways

    found = audit(
        lot,
        lambda name: broken if name == "s5.jpg" else known,
        Comparing(alike_band, orient, lambda *_: FeedReading((True, False) * 12, (2,) * 12, ())),
    )
    assert len(asked) == 12
    both, damaged, back = found
    assert both.detail == "both sides of cards 2 to 4 are upside down"
    assert both.fixes == (Turn(("s3.jpg", "s4.jpg", "s5.jpg", "s6.jpg", "s7.jpg", "s8.jpg"), 180),)
    assert (both.certain, damaged.kind) == (True, FindingKind.TRUNCATED)
    assert back.detail.startswith("is the back of card 6 upside down?")
    assert back.title == "upside down?"


def test_one_card_is_measured(tmp_path, capsys):
    rng = random.Random("measure")
    even, bleed = bordered(rng, "held"), full_bleed(rng, "held")
    files = [tmp_path / "even.jpg", tmp_path / "bleed.jpg", tmp_path / "none.jpg"]
    page = fed(even.picture, rng, "grey")
    files[0].write_bytes(jpeg(page.picture, 300, 92))
    files[1].write_bytes(jpeg(fed(bleed.picture, rng, "grey").picture, 300, 92))
    assert main(["measure", str(files[0]), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    (one,) = answer["scans"]
    assert even.borders is not None
    left, upper, right, lower = even.borders
    assert int(one["left_right"].split("/")[0]) == pytest.approx(100 * left / (left + right), abs=1)
    assert int(one["top_bottom"].split("/")[0]) == pytest.approx(
        100 * upper / (upper + lower), abs=1
    )
    assert (one["width"], one["height"]) == pytest.approx(page.laid[0].size, abs=0.15)
    assert (one["dpi"], one["skew"]) == (300, pytest.approx(page.laid[0].angle, abs=0.05))
    assert "not a professional grade" in answer["caution"]
    assert main(["measure", *map(str, files)]) == 1
    text = capsys.readouterr().out
    assert "no even border all around" in text
    assert "none.jpg is missing" in text
    assert text.rstrip().endswith("not a professional grade.")

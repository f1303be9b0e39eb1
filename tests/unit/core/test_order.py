"""Feeding order, and which scan is which side of which card."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from natsort import natsort_keygen, ns

from tagger.core.feeding.order import (
    feeding_order,
    named_side,
    pair_up,
    recognise,
    scan_name,
    split_scan,
)
from tagger.core.model.side_order import SideOrder

ALTERNATE, BACK_FIRST, FRONT_ONLY = SideOrder.ALTERNATE, SideOrder.BACK_FIRST, SideOrder.FRONT_ONLY
NAMED, STACKS, STACKS_BACK = (
    SideOrder.NAMED,
    SideOrder.FRONTS_THEN_BACKS,
    SideOrder.FRONTS_THEN_BACKS_REVERSED,
)

PREFIXES = (
    "",
    "scan_",
    "Scan",
    "SCAN ",
    "IMG_",
    "box 12 - ",
    "2031-05-02 ",
    "lot3_",
    "é",
    "Ä_",
    "f",
)
SUFFIXES = ("", "a", "b", "_f", "_B", " (2)", "-front", " copy", "é", "Z")
stems = st.builds(
    lambda prefix, number, width, suffix: f"{prefix}{number:0{width}d}{suffix}",
    st.sampled_from(PREFIXES),
    st.integers(0, 12_000),
    st.integers(1, 6),
    st.sampled_from(SUFFIXES),
)


def numbered(*numbers: int, pattern: str = "scan_{}.jpg") -> list[str]:
    """File names with these numbers."""
    return [pattern.format(number) for number in numbers]


@given(st.lists(stems, max_size=40, unique=True), st.randoms())
def test_order_is_that_of_natsort_with_case_ignored(some, random):
    """Compared by natsort's key, so that stems which natsort holds for equal may stand either
    way."""
    names = [f"{stem}.jpg" for stem in some]
    key = natsort_keygen(key=lambda name: name[: -len(".jpg")], alg=ns.IGNORECASE)
    expected = sorted(names, key=key)
    random.shuffle(names)
    ordered = feeding_order(names)
    assert sorted(ordered) == sorted(names)
    assert [key(name) for name in ordered] == [key(name) for name in expected]


@given(st.lists(stems, max_size=30, unique=True), st.randoms())
def test_order_does_not_depend_on_how_the_folder_lists_its_files(some, random):
    names = [f"{stem}{ending}" for stem in some for ending in (".jpg", ".PNG")]
    shuffled = list(names)
    random.shuffle(shuffled)
    assert feeding_order(shuffled) == feeding_order(names)


def test_nine_comes_before_ten():
    assert feeding_order(["scan_10.jpg", "scan_9.jpg", "scan_100.jpg"]) == numbered(9, 10, 100)


def test_case_and_ending_do_not_part_a_run():
    names = ["SCAN_3.JPG", "scan_4.jpeg", "Scan_1.png", "scan_2.tif"]
    assert feeding_order(names) == ["Scan_1.png", "scan_2.tif", "SCAN_3.JPG", "scan_4.jpeg"]
    assert pair_up(names, ALTERNATE) == [
        ("Scan_1.png", "scan_2.tif"),
        ("SCAN_3.JPG", "scan_4.jpeg"),
    ]


def test_digits_beyond_a_machine_word_are_whole_numbers():
    small, large = f"{10**40}.jpg", f"{10**41}.jpg"
    assert feeding_order([large, small]) == [small, large]


@pytest.mark.parametrize("first", [0, 1, 2, 7, 998, 20310501])
def test_numbering_starts_anywhere(first):
    one, two, three, four = numbered(first, first + 1, first + 2, first + 3)
    assert pair_up([four, two, one, three], ALTERNATE) == [(one, two), (three, four)]


def test_a_gap_in_the_numbers_parts_no_pair():
    assert pair_up(numbered(4, 9, 12, 30), ALTERNATE) == [
        tuple(numbered(4, 9)),
        tuple(numbered(12, 30)),
    ]


def test_runs_of_different_stems_share_no_card():
    names = [*numbered(1, 2, 3, pattern="north_{}.jpg"), *numbered(1, 2, pattern="south_{}.jpg")]
    assert pair_up(names, ALTERNATE) == [
        ("north_1.jpg", "north_2.jpg"),
        ("north_3.jpg", None),
        ("south_1.jpg", "south_2.jpg"),
    ]


def test_a_number_inside_the_stem_tells_runs_apart():
    names = [*numbered(1, pattern="box2_{}.jpg"), *numbered(1, 2, pattern="box10_{}.jpg")]
    assert pair_up(names, ALTERNATE) == [("box2_1.jpg", None), ("box10_1.jpg", "box10_2.jpg")]


@pytest.mark.parametrize(
    ("first", "pattern"),
    [("Scan.jpg", "Scan ({}).jpg"), ("Image.jpeg", "Image {}.jpeg"), ("page.png", "page_{}.png")],
)
def test_a_first_scan_without_a_number_belongs_to_the_run(first, pattern):
    """How the scan programs that come with desktop systems count (common practice, no source)."""
    two, three, four = numbered(2, 3, 4, pattern=pattern)
    assert pair_up([two, three, four, first], ALTERNATE) == [(first, two), (three, four)]


@pytest.mark.parametrize(
    "names",
    [
        [
            f"Scan 2031-05-02 12-{time}.jpg"
            for time in ("30-57", "30-58", "30-59", "31-01", "31-02", "31-04")
        ],
        [
            f"2031.05.02_12.{time}.jpg"
            for time in ("30.57", "30.58", "30.59", "31.01", "31.02", "31.04")
        ],
        [
            f"20310502_12{time}_{at:04d}.jpg"
            for at, time in enumerate((3057, 3058, 3059, 3101, 3102, 3104), 1)
        ],
    ],
)
def test_scans_named_by_the_time_are_one_run(names):
    """How many scanners name their files (common practice, no source); a minute that ends parts no
    card."""
    assert pair_up(names, ALTERNATE) == list(zip(names[::2], names[1::2], strict=True))


def test_backs_first():
    names = numbered(1, 2, 3)
    assert pair_up(names, BACK_FIRST) == [("scan_2.jpg", "scan_1.jpg"), (None, "scan_3.jpg")]


def test_fronts_only():
    names = numbered(1, 2, 3)
    assert pair_up(names, FRONT_ONLY) == [(name, None) for name in names]


def test_an_odd_scan_stays_without_a_partner():
    names = numbered(1, 2, 3)
    assert pair_up(names, ALTERNATE) == [("scan_1.jpg", "scan_2.jpg"), ("scan_3.jpg", None)]


def test_all_fronts_then_all_backs():
    names = numbered(1, 2, 3, 8, 9, 10)
    assert pair_up(names, STACKS) == list(zip(numbered(1, 2, 3), numbered(8, 9, 10), strict=True))


def test_all_fronts_then_all_backs_in_reverse():
    """The turned stack goes through the feeder last card first (common practice, no source)."""
    names = numbered(1, 2, 3, 8, 9, 10)
    assert pair_up(names, STACKS_BACK) == list(
        zip(numbered(1, 2, 3), numbered(10, 9, 8), strict=True)
    )


@pytest.mark.parametrize("sides", [STACKS, STACKS_BACK])
def test_two_stacks_of_odd_number_leave_the_last_front_alone(sides):
    cards = pair_up(numbered(1, 2, 3, 4, 5), sides)
    assert [front for front, _ in cards] == numbered(1, 2, 3)
    assert cards[-1] == ("scan_3.jpg", None)


@given(st.lists(stems, max_size=30, unique=True), st.sampled_from(SideOrder))
def test_every_scan_is_on_one_card_once(some, sides):
    names = [f"{stem}.jpg" for stem in some]
    cards = pair_up(names, sides)
    assert sorted(name for card in cards for name in card if name is not None) == sorted(names)
    assert all(card != (None, None) for card in cards)


@given(st.integers(0, 40), st.sampled_from([ALTERNATE, BACK_FIRST, STACKS, STACKS_BACK]))
def test_one_run_gives_half_as_many_cards_rounded_up(count, sides):
    assert len(pair_up(numbered(*range(count)), sides)) == (count + 1) // 2


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("7_f.jpg", ("7", "front")),
        ("7_b.jpg", ("7", "back")),
        ("Lot 3-front.PNG", ("lot 3", "front")),
        ("Lot 3-BACK.PNG", ("lot 3", "back")),
        ("7a.jpg", ("7", "front")),
        ("7b.jpg", ("7", "back")),
        ("0012.front.tif", ("0012", "front")),
        ("front_001.jpg", ("001", "front")),
        ("back_001.jpg", ("001", "back")),
        ("Backs 12.jpg", ("12", "back")),
    ],
)
def test_a_name_says_its_side(name, expected):
    assert named_side(name) == expected


@pytest.mark.parametrize(
    "name", ["scan_12.jpg", "Feedback.jpg", "Ava.jpg", "front.jpg", "club.png", "12c.jpg"]
)
def test_a_name_that_only_looks_so_says_no_side(name):
    assert named_side(name) is None


@pytest.mark.parametrize(
    "patterns", [("{}_f.jpg", "{}_b.jpg"), ("{}-front.jpg", "{}-back.jpg"), ("{}a.jpg", "{}b.jpg"),
                 ("front_{:03d}.jpg", "back_{:03d}.jpg")],
)  # fmt: skip
def test_scans_named_by_side_are_recognised_and_paired(patterns):
    front, back = patterns
    names = [pattern.format(number) for number in (1, 2, 9, 10) for pattern in (back, front)]
    assert recognise(names) is NAMED
    assert pair_up(names, NAMED) == [(front.format(n), back.format(n)) for n in (1, 2, 9, 10)]


def test_a_card_named_without_its_back_keeps_its_place():
    names = ["back_1.jpg", "back_3.jpg", "front_1.jpg", "front_2.jpg", "front_3.jpg"]
    assert pair_up(names, NAMED) == [
        ("front_1.jpg", "back_1.jpg"),
        ("front_2.jpg", None),
        ("front_3.jpg", "back_3.jpg"),
    ]


def test_a_back_alone_is_a_card_with_no_front():
    assert pair_up(["1_f.jpg", "1_b.jpg", "2_b.jpg"], NAMED) == [
        ("1_f.jpg", "1_b.jpg"),
        (None, "2_b.jpg"),
    ]


def test_a_side_scanned_twice_gets_a_card_of_its_own():
    names = ["7_b.jpg", "7_f.jpg", "7_f.png"]
    assert pair_up(names, NAMED) == [("7_f.jpg", "7_b.jpg"), ("7_f.png", None)]


@pytest.mark.parametrize(
    "names",
    [
        [],
        numbered(1, 2, 3, 4),
        ["12a.jpg", "13.jpg", "14.jpg"],
        ["1_f.jpg", "1_b.jpg", *numbered(*range(2, 30))],
        ["1_f.jpg", "2_f.jpg", "3_f.jpg"],
    ],
)
def test_other_lots_alternate(names):
    assert recognise(names) is ALTERNATE


def test_pages_of_one_file_follow_each_other_and_pair_among_themselves():
    pages = [scan_name("lot.tif", page) for page in (1, 2, 3, 10)]
    names = [*reversed(pages), "lot2.tif#page=1", "lot2.tif#page=2"]
    assert feeding_order(names) == [*pages, "lot2.tif#page=1", "lot2.tif#page=2"]
    assert pair_up(names, ALTERNATE) == [
        ("lot.tif#page=1", "lot.tif#page=2"),
        ("lot.tif#page=3", "lot.tif#page=10"),
        ("lot2.tif#page=1", "lot2.tif#page=2"),
    ]


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("a.jpg", ("a.jpg", 0)),
        ("a.tif", ("a.tif", 0)),
        ("a.TIFF#page=1", ("a.TIFF", 0)),
        ("a.tif#page=12", ("a.tif", 11)),
        ("a.jpg#page=2", ("a.jpg#page=2", 0)),
    ],
)
def test_a_scan_names_its_file_and_page(name, expected):
    assert split_scan(name) == expected


@given(st.integers(1, 10_000))
def test_a_page_name_comes_apart_as_it_was_put_together(page):
    assert split_scan(scan_name("box 3.tif", page)) == ("box 3.tif", page - 1)

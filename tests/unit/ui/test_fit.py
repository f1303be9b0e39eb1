"""The one rule by which every screen is laid out."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tagger.ui.fit import ALWAYS, Part, apart, fit, fit_columns, middle


def measured(counts: list[int]) -> tuple[str, ...]:
    return tuple("x" * count for count in sorted(counts, reverse=True))


forms = st.lists(st.integers(0, 6), min_size=1, max_size=4).map(measured)
parts_of = st.lists(st.builds(Part, forms, st.sampled_from((1, 2, ALWAYS))), min_size=1, max_size=6)


def size_of(shown: list[str]) -> int:
    return sum(map(len, shown))


@given(parts_of)
def test_law_what_has_room_is_shown_in_full(parts):
    full = sum(len(part.forms[0]) for part in parts)
    assert fit(parts, full, len) == [part.forms[0] for part in parts]


@given(parts_of, st.integers(0, 30))
def test_law_it_fits_or_every_part_is_at_its_least(parts, room):
    shown = fit(parts, room, len)
    assert size_of(shown) <= room or shown == [part.forms[-1] for part in parts]


@given(parts_of, st.integers(0, 30))
def test_law_no_room_is_left_in_which_something_could_be_shown(parts, room):
    shown = fit(parts, room, len)
    spare = room - size_of(shown)
    for part, form in zip(parts, shown, strict=True):
        fuller = [other for other in part.forms if len(other) > len(form)]
        assert all(len(other) - len(form) > spare for other in fuller)


@given(parts_of, st.integers(0, 30))
def test_law_what_is_worth_more_gives_way_only_where_the_rest_is_not_enough(parts, room):
    shown = fit(parts, room, len)
    for part, form in zip(parts, shown, strict=True):
        if len(form) == len(part.forms[0]):
            continue
        least = [other.forms[-1] for other in parts if other.worth < part.worth]
        full = [other.forms[0] for other in parts if other.worth >= part.worth]
        assert size_of(least) + size_of(full) > room


def test_each_step_has_its_own_cost():
    carried = Part(("xxxx", "xx", ""), (1, 9))
    figures = Part(("yyy", ""), 5)
    assert [fit([carried, figures], room, len) for room in (7, 5, 4, 2, 1)] == [
        ["xxxx", "yyy"], ["xx", "yyy"], ["xxxx", ""], ["xx", ""], ["", ""],
    ]  # fmt: skip


@given(
    st.lists(st.tuples(st.integers(0, 40), st.integers(1, 12)), min_size=1, max_size=6),
    st.integers(1, 160),
)
def test_law_columns_fit_or_are_at_their_least(wanted, room):
    needs, least = zip(*wanted, strict=True)
    shares = fit_columns(needs, least, room)
    assert sum(shares) <= room or shares == list(least)
    assert all(low <= share for low, share in zip(least, shares, strict=True))
    if sum(map(max, needs, least)) <= room:
        assert shares == list(map(max, needs, least))


@given(st.text(alphabet="ab 灯ñ", max_size=30), st.integers(1, 30))
def test_law_a_text_is_shortened_into_its_room(text, width):
    short = middle(text, width)
    assert cell_len(short) <= width
    assert short == text or cell_len(text) > width


SISTERS = tuple(
    f"1991 Lantern Row Commemorative Anniversary Edition Series {at} Retail Issue"
    for at in range(1, 21)
)


def test_what_tells_sister_sets_apart_stays():
    for width in (9, 12, 18, 24, 36, 60):
        short = apart(SISTERS, width)
        assert len(set(short)) == len(SISTERS)
        for at, name in enumerate(short, start=1):
            assert cell_len(name) <= width
            assert f"{at}…" in name or f"{at} Retail Issue" in name
            assert name.startswith("1991")


def test_sets_of_several_families_keep_what_tells_each_from_its_sisters():
    names = (*SISTERS[:3], "1983 Mill Pond", "1984 Mill Pond")
    short = apart(names, 18)
    assert short[3:] == names[3:]
    assert [name[-10:] for name in short[:3]] == ["…Series 1…", "…Series 2…", "…Series 3…"]


@given(
    st.lists(
        st.text(alphabet="ab1 ", min_size=1, max_size=24), min_size=1, max_size=6, unique=True
    ),
    st.integers(4, 30),
)
def test_law_names_fit_in_their_room(names, width):
    short = apart(tuple(names), width)
    assert all(cell_len(name) <= width for name in short)
    assert all(a == b or cell_len(b) > width for a, b in zip(short, names, strict=True))

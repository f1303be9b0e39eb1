"""The panel is laid out by what its blocks are worth."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from rich.text import Text

from tagger.ui.desk.panel import Block, Worth, fit


def lines(count: int) -> list[Text]:
    return [Text(str(at)) for at in range(count)]


shrinking = st.lists(st.integers(0, 6), min_size=1, max_size=4).map(
    lambda counts: tuple(lines(count) for count in sorted(counts, reverse=True))
)
blocks = st.lists(st.builds(Block, shrinking, st.sampled_from(Worth)), min_size=1, max_size=6)


def height_of(shown) -> int:
    return sum(map(len, shown))


@given(blocks)
def test_law_what_has_room_is_shown_in_full(given_blocks):
    full = sum(len(block.forms[0]) for block in given_blocks)
    shown = fit(given_blocks, full)
    assert [len(one) for one in shown] == [len(block.forms[0]) for block in given_blocks]


@given(blocks, st.integers(0, 30))
def test_law_it_fits_or_every_block_is_at_its_least(given_blocks, height):
    shown = fit(given_blocks, height)
    least = [block.forms[-1] for block in given_blocks]
    assert height_of(shown) <= height or [len(one) for one in shown] == [len(one) for one in least]


@given(blocks, st.integers(0, 30))
def test_law_nothing_gives_way_before_all_that_is_worth_less(given_blocks, height):
    shown = fit(given_blocks, height)
    for block, lines_of_it in zip(given_blocks, shown, strict=True):
        if lines_of_it is block.forms[0]:
            continue
        for other, others in zip(given_blocks, shown, strict=True):
            assert other.worth >= block.worth or len(others) == len(other.forms[-1])


def test_the_large_figures_go_after_what_is_carried_and_before_the_rest():
    gap, figures = [Text()], lines(3)
    number = Block(([*gap, *figures], figures, gap), Worth.NUMBER)
    carried = Block((lines(4), lines(1)), Worth.CARRIED)
    name = Block((lines(2),))
    heights = {
        height: [len(one) for one in fit([number, name, carried], height)]
        for height in range(4, 11)
    }
    assert heights[10] == [4, 2, 4]
    assert heights[9] == heights[7] == [4, 2, 1]
    assert heights[6] == [3, 2, 1]
    assert heights[5] == heights[4] == [1, 2, 1]

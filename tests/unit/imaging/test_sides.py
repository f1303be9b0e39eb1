"""Whether sides of cards show one picture, whatever sizes they have."""

from __future__ import annotations

import random

import pytest
from PIL import Image, ImageDraw
from support.fronts.backs import one_back

from tagger.imaging.survey.sides import Side, one_picture


@pytest.mark.parametrize(
    ("sizes", "one"),
    [((536, 536, 536), True), ((536, 400, 536), False), ((200, 536, 540), False)],
)
def test_sides_are_compared_whatever_sizes_they_have(sizes, one):
    back = one_back(random.Random(2))
    assert one_picture([Side.of(back.resize((width, 740))) for width in sizes]) is one


def test_a_speck_on_one_side_does_not_make_another_picture_and_print_does():
    """The speck is on one of three; the print differs on all."""

    def sides(marks: list[str]) -> list[Side]:
        shown = []
        for mark in marks:
            side = Image.new("RGB", (536, 740), "#c0b090")
            pen = ImageDraw.Draw(side)
            pen.text((268, 600), "TIDE WAR", "black", font_size=40, anchor="mm")
            pen.text((200, 300), mark, "black", font_size=16)
            shown.append(Side.of(side))
        return shown

    assert one_picture(sides(["", ".", ""]))
    assert not one_picture(sides(["3", "4", "5"]))

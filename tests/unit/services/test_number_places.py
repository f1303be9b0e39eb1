"""Which side of a card the loupe looks at by itself: the back, unless that is one picture on every
card."""

from __future__ import annotations

import random
from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path

import pytest
from PIL import Image, ImageDraw, ImageFont
from support.backs.numbered import NumberedSide, cards_of
from support.backs.stamped import stamped
from support.card_art import full_bleed
from support.fronts.backs import one_back
from support.fronts.captioned import captioned
from support.scanned import Scanner, fed, jpeg

from tagger.core.audit.number_place import NumberPlace
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.services.scans.number_places import DesignsOfCards

CARDS = 3
SCANNER = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)


class AtOnce:
    """Work is done where it is asked for."""

    def submit(self, work: Callable[..., object], *given: object) -> Future[object]:
        done: Future[object] = Future()
        done.set_result(work(*given))
        return done


def places(
    folder: Path, fronts: list[Image.Image], backs: list[Image.Image] | None
) -> dict[str, NumberPlace]:
    """What is known at last of cards with these sides, by scan: f0, b0, f1 and so on."""
    rng = random.Random("places")
    designs = DesignsOfCards(folder, AtOnce())  # type: ignore[arg-type]
    sides = {f"f{at}": art for at, art in enumerate(fronts)}
    sides |= {f"b{at}": art for at, art in enumerate(backs or [])}
    for scan, art in sides.items():
        (folder / scan).write_bytes(jpeg(fed(art, rng, scanner=SCANNER, skew=1.0).picture))
    pairs = [Pair(at, f"f{at}", f"b{at}" if backs else None) for at in range(len(fronts))]
    designs.begin(Arrangement(pairs=tuple(pairs)))
    known: dict[str, NumberPlace] = {}
    for pair in pairs:
        for scan in pair.scans:
            designs.learn(scan, measure_scan(folder, scan))
        designs.ask()
        known |= designs.news()
    designs.ask(to_the_end=True)
    return known | designs.news()


def art(seed: str, count: int = CARDS) -> list[Image.Image]:
    """Fronts without a number, each another."""
    rng = random.Random(seed)
    return [full_bleed(rng, "held").picture for _ in range(count)]


def holds(place: NumberPlace, side: NumberedSide) -> bool:
    """Whether the number is at the likeliest place."""
    left, top, right, lower = side.box
    spot = place.spots[0]
    near = abs(spot.x - (left + right) / 1500) < 0.06, abs(spot.y - (top + lower) / 2100) < 0.03
    return all(near)


@pytest.fixture(scope="module")
def numbered() -> list[NumberedSide]:
    return cards_of(captioned, "game 3", CARDS)


def pictures(sides: list[NumberedSide]) -> list[Image.Image]:
    return [side.picture for side in sides]


def test_where_every_back_is_one_picture_the_number_is_on_the_front(tmp_path, numbered):
    found = places(tmp_path, pictures(numbered), [one_back(random.Random(2))] * CARDS)
    assert [bool(found[f"b{at}"].spots) for at in range(CARDS)] == [False] * CARDS
    assert all(holds(found[f"f{at}"], side) for at, side in enumerate(numbered))
    assert len({place.design for place in found.values()}) == 1


def test_where_cards_have_no_backs_the_number_is_on_the_front(tmp_path, numbered):
    found = places(tmp_path, pictures(numbered), None)
    assert all(holds(found[f"f{at}"], side) for at, side in enumerate(numbered))


def test_backs_that_differ_are_never_left_for_the_front(tmp_path):
    backs = cards_of(stamped, "sport 1", CARDS)
    found = places(tmp_path, art("sport"), pictures(backs))
    assert not any(found[f"f{at}"].spots for at in range(CARDS))
    assert all(found[f"b{at}"].spots for at in range(CARDS))


def test_backs_that_differ_in_nothing_but_a_small_number_are_not_one_picture(tmp_path):
    backs = []
    for number in ("18", "13", "16"):
        back = one_back(random.Random(5))
        spot, font = (650, 60), ImageFont.load_default(30)
        ImageDraw.Draw(back).text(spot, number, "white", font, "mm")
        backs.append(back)
    found = places(tmp_path, art("album"), backs)
    assert not any(found[f"f{at}"].spots for at in range(CARDS))
    assert found["b0"].spots


def test_copies_of_one_card_do_not_tell_that_its_back_is_that_of_all(tmp_path):
    back = cards_of(stamped, "sport 2", 1)[0].picture
    found = places(tmp_path, art("one", 1) * CARDS, [back] * CARDS)
    assert not any(found[f"f{at}"].spots for at in range(CARDS))
    assert all(found[f"b{at}"].spots for at in range(CARDS))

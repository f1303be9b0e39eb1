"""What the benchmark of the matcher takes for granted: hints mean a card that is on the checklist,
slips are one edit, trays go on as they are said to, and what is reported was never worked with."""

from __future__ import annotations

import csv
import io
import random
from collections import Counter
from itertools import pairwise

import pytest
from bench.common.world import World
from bench.hints.seeds import HELD_OUT, TUNING
from bench.hints.trays import presorted
from bench.hints.typist import KINDS, Typed, Typist, edit_shares, slip
from rapidfuzz.distance import OSA

WORLD = World(4000, seed=1)


def typed(count: int) -> list[Typed]:
    source, typist = random.Random(2), Typist(2)
    sets = source.choices(WORLD.sets, k=count)
    return [typist.mixed(cards, source.choice(cards.cards)) for cards in sets]


def test_what_is_meant_is_on_the_checklist() -> None:
    lines = csv.DictReader(io.StringIO(WORLD.csv().decode()))
    parallels = {
        (line["set"], line["number"], line["subject"]): line["parallels"].split("; ")
        for line in lines
    }
    assert len(parallels) == WORLD.rows >= 4000
    for hint in typed(1000):
        listed = parallels[hint.set, hint.card.number, hint.card.person.name]
        assert not hint.parallel or any(one.split(" /")[0] == hint.parallel for one in listed)
        if hint.serial:
            serial, run = map(int, hint.serial.split("/"))
            assert 1 <= serial <= run
            assert f"{hint.parallel} /{run}" in listed


def test_most_hints_hold_the_number_and_each_card_with_a_letter_has_it() -> None:
    assert sum(KINDS.values()) == 100
    held = Counter[bool]()
    for hint in typed(2000):
        number = "".join(c for c in hint.card.number.lower() if c.isalnum())
        held[number in hint.text.replace("-", "").replace(" ", "")] += 1
        assert hint.card.number.isdigit() or number in hint.text.replace("-", "").replace(" ", "")
    assert held[True] / held.total() == pytest.approx(0.74, abs=0.05)


def test_a_slip_is_one_edit_in_one_long_word() -> None:
    source = random.Random(3)
    for word in ("marsh", "gold", "aaaa", "oolong"):
        assert {OSA.distance(word, slip(word, source)) for _ in range(200)} == {1}
    typist, slipped = Typist(4), 0
    for hint in typed(1000):
        before, after = hint.text.split(), typist.slipped(hint).text.split()
        changed = [(one, other) for one, other in zip(before, after, strict=True) if one != other]
        slipped += len(changed)
        assert len(changed) == any(len(word) >= 4 and word.isalpha() for word in before)
        assert all(len(one) >= 4 and OSA.distance(one, other) == 1 for one, other in changed)
    assert slipped > 200


def test_each_kind_of_edit_has_its_share_of_the_misspellings() -> None:
    shares = edit_shares()
    assert sum(shares.values()) == pytest.approx(1)
    assert min(shares.values()) > 0.1


def test_a_presorted_tray_goes_on_as_it_is_said_to() -> None:
    source = random.Random(5)
    trays = [presorted(400, 200, source) for _ in range(60)]
    steps = Counter(other - one for tray in trays for one, other in pairwise(tray))
    assert steps[0] / steps.total() == pytest.approx(0.22, abs=0.02)
    assert steps[1] / steps.total() == pytest.approx(0.48, abs=0.02)
    assert {at for tray in trays for at in tray} <= set(range(400))


def test_what_is_reported_was_never_worked_with() -> None:
    reported, worked_with = (
        {seed for seeds in by_size for seed in seeds} for by_size in (HELD_OUT, TUNING)
    )
    assert reported.isdisjoint(worked_with)
    one, other = World(2000, seed=1), World(2000, seed=11)
    assert World(2000, seed=1).csv() == one.csv()
    assert len(set(one.texts()) & set(other.texts())) == 0

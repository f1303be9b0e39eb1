"""Cards whose frame is unlike those around them are asked about; designs without a frame, and sets
that change over, are not."""

from __future__ import annotations

import random

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.frames.frame_colours import frame_colour
from tagger.core.audit.frames.frame_findings import frame_findings, without_answered
from tagger.core.audit.measured import Measured
from tagger.core.lot.lot import LotState
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.tags import Mark, State, Tags

WHITE, GOLD, SILVER, RED = (236, 232, 224), (206, 168, 66), (150, 152, 160), (190, 40, 44)
CORNERS = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))


def front(frame: tuple[int, int, int] | None, seed: int) -> Measured:
    """A front with a frame of this colour, as one scan after the other differs; None: with art to
    its edges."""
    rng, fields = random.Random(seed), []
    light = rng.uniform(0.95, 1.05)
    for at in range(20 * 28):
        across, down = at % 20, at // 20
        rim = across in (0, 19) or down in (0, 27)
        colour = frame if rim and frame is not None else [rng.randrange(256) for _ in range(3)]
        fields += [min(255, max(0, round(level * light + rng.gauss(0, 3)))) for level in colour]
    return Measured("whole", fields=bytes(fields), corners=CORNERS)


def found(frames, others=()) -> list[Finding]:
    pairs = [Pair(at, f"{at}a.png", f"{at}b.png") for at in range(1, len(frames) + 1)]
    known = {pair.front: front(frame, pair.id) for pair, frame in zip(pairs, frames, strict=True)}
    return frame_findings(pairs, known, others)


def test_a_card_in_another_frame_is_asked_about_and_alike_ones_in_a_row_once() -> None:
    frames = [WHITE] * 50
    frames[7], frames[20:23], frames[33], frames[34] = GOLD, [SILVER] * 3, RED, GOLD
    asked = found(frames)
    assert [one.position for one in asked] == [8, 21, 34, 35]
    assert asked[0].detail == (
        "the frame of card 8 has another colour than those of the cards around it"
    )
    assert asked[1].scans == ("21a.png", "22a.png", "23a.png")
    assert all(one.ask and not one.certain and one.kind is FindingKind.FRAME for one in asked)


def test_nothing_is_asked_where_frames_say_nothing() -> None:
    assert found([WHITE] * 50) == []
    assert found([None] * 50) == []
    assert frame_colour(b"") is None
    # a set after another one, sets in turn, a colour for each team, and too few to compare
    assert found([WHITE] * 25 + [GOLD] * 25) == []
    assert found([WHITE, GOLD, RED] * 16) == []
    assert found([random.Random(at).choice((WHITE, GOLD, RED, SILVER)) for at in range(50)]) == []
    assert found([WHITE] * 8 + [GOLD]) == []
    # the rim of one card's art is of one colour, and a set with a frame follows further on
    assert found([*[None] * 20, GOLD, *[None] * 20, *[WHITE] * 30]) == []


def test_what_the_feeder_got_wrong_comes_first() -> None:
    frames = [WHITE] * 30
    frames[7] = GOLD
    turned = Finding(FindingKind.UPSIDE_DOWN, ("8a.png",), 8, "front of card 8", "Rotate 180°.")
    slipped = Finding(FindingKind.SLIPPED, ("3b.png",), 3, "from card 3 on", "Shift.")
    assert found(frames, [turned]) == found(frames, [slipped]) == []


def test_a_card_with_a_parallel_is_answered() -> None:
    frames = [WHITE] * 30
    frames[7] = frames[8] = GOLD
    asked = found(frames)
    pairs = tuple(Pair(at, f"{at}a.png", f"{at}b.png") for at in range(1, 31))
    gold = Mark(State.TAGGED, Tags(set="1987 Harbor Light", parallel="Gold"))
    base = Mark(State.TAGGED, Tags(set="1987 Harbor Light"))

    def left(marks: dict[int, Mark]) -> list[Finding]:
        return without_answered(LotState(Arrangement(pairs=pairs), marks=marks), asked)

    assert left({}) == left({8: base, 9: gold}) == asked
    assert left({8: gold, 9: gold}) == []

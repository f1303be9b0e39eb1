"""Dividers: what their codes say, what is meant by a request, and what is carried behind them."""

from __future__ import annotations

import random

import pytest

from tagger.core.dividers.divider import (
    BACK,
    BLANK,
    FRONT,
    Divider,
    DividerKind,
    payload_text,
    read_payload,
)
from tagger.core.dividers.request import Listed, read_request
from tagger.core.feeding.groups import groups_of
from tagger.core.feeding.pairing import first_intake, later_intake, rearranged
from tagger.core.fixes.dividers import LeaveOutDividers
from tagger.core.fixes.fix import apply_fix
from tagger.core.lot.carried import Carried
from tagger.core.lot.divided import carried_at
from tagger.core.model.arrangement import Arrangement, PlacedDivider
from tagger.core.model.condition import Scale
from tagger.core.model.side_order import SideOrder
from tagger.errors import UsageError
from tagger.store.lot.documents import arrangement_document, read_arrangement

LISTED = Listed(
    ("1986 Harbor Light", "1987 Harbor Light"),
    lambda name: ("Gold", "Silver Foil") if "1987" in name else ("Gold",),
)
GOLD = Divider("1987 Harbor Light", "Gold", "Near Mint", "box 3, row 2")


def scan(number: int) -> str:
    return f"scan_{number:04d}.jpg"


def placed(divider: Divider, *numbers: int) -> PlacedDivider:
    front, *back = map(scan, numbers)
    return PlacedDivider(front, "".join(back), payload_text(divider, FRONT))


def left_out(scans: int, *dividers: PlacedDivider) -> Arrangement:
    lot, next_id = first_intake([scan(number) for number in range(1, scans + 1)])
    return apply_fix(lot, {}, LeaveOutDividers(dividers), next_id)[0]


def sides(lot: Arrangement) -> list[tuple[str | None, str | None]]:
    return [pair.sides for pair in lot.pairs]


def numbers(lot: Arrangement) -> list[list[int]]:
    return [[int(one[5:9]) for one in pair.scans] for pair in lot.pairs]


def test_a_code_says_all_fields_and_nothing_else_is_one_of_ours() -> None:
    rng = random.Random("codes")
    kinds = [Divider(kind=kind) for kind in BLANK]
    for divider in (GOLD, Divider(place="Kiste 7, Ñandú"), *kinds):
        for side in (FRONT, BACK):
            text = payload_text(divider, side)
            assert read_payload(text) == (divider, side)
            for _ in range(200):
                at = rng.randrange(len(text))
                other = text[:at] + chr(rng.randrange(32, 127)) + text[at + 1 :]
                assert other == text or read_payload(other) is None
    for foreign in ("", "https://example.com/1", "TGR1F00000000\nSx", "TGR1", "x" * 5000, "\n"):
        assert read_payload(foreign) is None


def test_a_request_is_made_exact_or_refused_with_what_it_may_mean() -> None:
    typed = "set=1987 harbor parallel=gold condition=nm at=box 3, row 2"
    assert read_request(typed, LISTED, Scale()) == GOLD
    assert read_request("End of  group", LISTED, Scale()).kind is DividerKind.END
    refused = {
        "set=harbor light": "fits 2 sets: 1986 Harbor Light, 1987 Harbor Light",
        "set=1986 harbor parallel=silver": "Unknown parallel 'silver'; 1986 Harbor Light has: Gold",
        "set=mill pond": "Unknown set 'mill pond'",
        "condition=shiny": "Unknown condition 'shiny'",
        "23 g": "'23 g' is not a field",
        "set=": "needs a set",
        "at=" + "row " * 60: "too long",
    }
    for typed, said in refused.items():
        with pytest.raises(UsageError, match=said.replace("(", "\\(")):
            read_request(typed, LISTED, Scale())


def test_behind_a_divider_cards_are_made_afresh_and_stay_so() -> None:
    # of the card of scan 7 the back is missing
    lot = left_out(20, placed(GOLD, 1, 2), placed(Divider("1986 Harbor Light"), 8, 9))
    made = [[3, 4], [5, 6], [7], [10, 11], [12, 13], [14, 15], [16, 17], [18, 19], [20]]
    assert numbers(lot) == made
    assert [(group.first, group.last) for group in groups_of(lot)] == [(1, 0), (1, 3), (4, 9)]
    assert read_arrangement(arrangement_document(lot)) == lot
    more, _ = later_intake(lot, {}, [scan(number) for number in range(1, 23)], 30)
    assert numbers(more) == [*made[:-1], [20, 21], [22]]
    other, _ = rearranged(lot, {}, SideOrder.BACK_FIRST, 30)
    assert numbers(other)[:4] == [[4, 3], [6, 5], [7], [11, 10]]
    # the last scan of a group waits for no scan behind the divider
    lot = left_out(9, placed(GOLD, 1, 2), placed(Divider("1986 Harbor Light"), 8, 9))
    more, _ = later_intake(lot, {}, [scan(number) for number in range(1, 12)], 30)
    assert numbers(more)[-2:] == [[7], [10, 11]]


def test_what_is_carried_behind_a_divider() -> None:
    lot = left_out(
        18, placed(GOLD, 3, 4), placed(Divider("1986 Harbor Light"), 9, 10),
        placed(Divider(kind=DividerKind.BOX), 13, 14), placed(Divider(parallel="Gold"), 15, 16),
    )  # fmt: skip
    groups, carried = groups_of(lot), Carried((("note", "mine"),))
    assert [group.cards for group in groups] == [1, 2, 1, 0, 1]
    carried = carried_at(groups, 1, carried)
    assert carried.pairs == (("note", "mine"),)
    carried = carried_at(groups, 2, carried)
    gold = dict(GOLD.carried())
    assert dict(carried.pairs) == {"note": "mine", **gold}
    # by hand until the next divider
    carried = carried_at(groups, 3, carried.put("parallel", "Silver Foil"))
    assert carried.get("parallel") == "Silver Foil"
    carried = carried_at(groups, 4, carried)
    year = {"set": "1986 Harbor Light", "condition": "Near Mint", "place": "box 3, row 2"}
    assert dict(carried.pairs) == {"note": "mine", **year}
    behind = carried_at(groups, 5, carried)
    assert behind.get("parallel") == "Gold"
    assert behind.get("place") == ""
    # at an earlier card, what its own divider says; before all of them, nothing of it
    assert dict(carried_at(groups, 2, behind).pairs) == {"note": "mine", **gold}
    assert carried_at(groups, 1, behind).pairs[0] == ("note", "mine")
    assert carried_at(groups, 1, behind).get("set") == ""


def test_of_two_different_ones_in_a_row_the_last_counts() -> None:
    lot = left_out(8, placed(GOLD, 1, 2), placed(Divider("1986 Harbor Light"), 3, 4))
    assert carried_at(groups_of(lot), 1, Carried()).pairs == (("set", "1986 Harbor Light"),)


@pytest.mark.parametrize("said", ["87_harbor", "87", "light_1987"])
def test_a_part_of_a_set_is_enough_as_in_a_hint(said: str) -> None:
    assert read_request(f"set={said}", LISTED, Scale()).set == "1987 Harbor Light"

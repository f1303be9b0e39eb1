"""What was read on cards tells what measuring can't: a whole set upside down, another year."""

from __future__ import annotations

from support.read_cards import card

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.printed.print_findings import print_findings
from tagger.core.fixes.display import Turn
from tagger.core.model.arrangement import Arrangement, Fixes, Pair
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.reading.printed import CardReading

PAIRS = tuple(Pair(at, f"{at}a.png", f"{at}b.png") for at in range(1, 7))
ADA = card("22", "Ada Marsh", "Harbor Light")
TAGGED = {
    1: Mark(State.TAGGED, Tags(set="1987 Harbor Light")),
    2: Mark(State.TAGGED, Tags(set="1988 Harbor Light")),
    3: Mark(State.TAGGED, Tags(set="1988 Harbor Light")),
    4: Mark(State.TAGGED, Tags(set="Harbor Light")),
}


def found(readings: dict[int, CardReading], accepted: tuple[str, ...] = (), known=()):
    arrangement = Arrangement(pairs=PAIRS, mending=Fixes(accepted=accepted))
    return print_findings(
        arrangement, lambda id: TAGGED.get(id, Mark()), lambda pair: readings.get(pair.id), known
    )


def test_sides_upside_down_are_told_in_runs_each_with_its_fix() -> None:
    over = CardReading(ADA.texts, True, frozenset({"back"}))
    readings = {1: over, 5: over, 6: over, 4: CardReading(ADA.texts, True, frozenset())}
    one, run = found(readings)
    assert one.detail == "back of card 1 is upside down, by the print on it"
    assert run.detail == "backs of cards 5 to 6 are upside down, by the print on it"
    assert run.fixes == (Turn(("5b.png", "6b.png"), 180),)
    assert run.certain
    # what was measured is not told twice, nor what was accepted
    measured = Finding(FindingKind.UPSIDE_DOWN, ("5b.png", "6b.png"), 5, "measured", "Rotate.")
    assert found(readings, (one.key,), [measured]) == []


def test_cards_of_another_year_than_their_set_are_asked_about_once_a_set() -> None:
    (asked,) = found(dict.fromkeys(range(1, 7), ADA))
    assert asked.kind is FindingKind.OTHER_YEAR
    assert asked.ask
    assert asked.detail == (
        "2 cards are tagged 1988 Harbor Light and say © 1987, starting with card 2"
    )
    two_years = card("22", "Ada Marsh", "Harbor Light", "© 1987, 1988 Lantern Card Works")
    assert found({2: two_years, 3: CardReading()}) == []

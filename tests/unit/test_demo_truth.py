"""What the unattended demo holds against the truth."""

from __future__ import annotations

from unattended import differences

TRUTH = [{"position": "1", "number": "23"}, {"position": "2", "number": "24"}]


def test_a_wrong_tag_is_told_and_a_further_column_is_none() -> None:
    exported = [{**row, "stock number": "HL-0001-A"} for row in TRUTH]
    assert differences(TRUTH, exported) == []
    exported[1]["number"] = "25"
    assert differences(TRUTH, exported) == ["card 2: number is '25', not '24'"]
    assert differences(TRUTH, exported[:1]) == ["1 rows were exported, not 2"]
    assert differences(TRUTH[:1], [{"position": "1"}]) == ["card 1: number is None, not '23'"]

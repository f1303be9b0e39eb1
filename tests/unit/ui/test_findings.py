"""The problems that the desk counts: what tagging answers is none any more, until it is undone."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest
from support.at_work import opened, take

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.frames.frame_findings import is_answered
from tagger.ui.desk.findings import Findings
from tagger.ui.desk.modes.findings_panel import findings_panel
from tagger.ui.keys import Keymap


def _frame(position: int, scan: str) -> Finding:
    return Finding(FindingKind.FRAME, (scan,), position, "another colour", "Which?", ask=True)


def test_a_question_that_tagging_answered_is_no_problem_until_it_is_undone(tmp_path: Path) -> None:
    session = opened(tmp_path)
    fronts = [pair.front or "" for pair in session.view.arrangement.pairs]
    found = Findings()
    found.came([_frame(1, fronts[0]), _frame(2, fronts[1])])
    answered = partial(is_answered, session.view)
    take(session, "set=87 2 gold")
    found.weigh(answered)
    assert [one.position for one in found.left] == [2]
    assert found.tell(Keymap()) == "1 problem F12"
    session.undo()
    found.weigh(answered)
    assert [one.position for one in found.left] == [1, 2]
    session.close()


@pytest.mark.parametrize(("back", "said"), [(2, "card 2"), (7, "the end of the lot")])
def test_the_way_back_from_the_problems_names_a_card_that_there_is(
    tmp_path: Path, back: int, said: str
) -> None:
    session = opened(tmp_path)
    assert session.view.cards == 6
    found = Findings(back=back, whole=True)
    lines = findings_panel(found, session.view.arrangement, Keymap(), 60, 20)
    assert f"F12 returns to {said}" in "\n".join(line.plain for line in lines)
    session.close()

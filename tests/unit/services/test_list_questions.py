"""Lists that nobody has looked at: asked about once, and what is odd in them told there alone."""

from __future__ import annotations

from pathlib import Path

import openpyxl

from tagger.core.checklist.oddities import Problem
from tagger.services.lists.list_reading import ListQuestions
from tagger.services.lists.lot_checklists import index_of
from tagger.services.lists.naming import list_names

ODD = "Year/Set;Card #;Player\n1979 Orchard Road;1;Ada Marsh\n1979 Orchard Road;2;Bo Lund\n"


def test_what_is_odd_in_a_list_is_told_by_its_question_alone(tmp_path: Path) -> None:
    path = tmp_path / "orchard.csv"
    path.write_text(ODD, encoding="utf-8")
    lists, questions = [str(path)], ListQuestions(list_names())
    odd = index_of(lists).problems
    gone = Problem("gone.csv", 0, "the file is not there")
    assert odd

    (summary,), left = questions.of(lists, [*odd, gone])
    assert odd[0].problem in summary.lines[-1]
    assert left == [gone]
    questions.seen(summary)
    assert questions.of(lists, [*odd, gone]) == ([], [gone])

    # another content is another list
    path.write_text(ODD + "1979 Orchard Road;3;Cy Orr\n", encoding="utf-8")
    (again,), _ = questions.of(lists, odd)
    assert again.fingerprint != summary.fingerprint


def test_what_is_odd_in_a_sheet_is_told_by_the_question_of_its_workbook(tmp_path: Path) -> None:
    path = tmp_path / "orchard.xlsx"
    book = openpyxl.Workbook()
    for name in ("Orchard 1979", "Orchard 1983"):
        page = book.create_sheet(name)
        for row in (["Card #", "Player"], [1, "Ada Marsh"], [2, ""], [3, "Bo Lund"]):
            page.append(row)
    book.save(path)
    lists, questions = [str(path)], ListQuestions(list_names())
    odd = index_of(lists).problems
    assert any(", sheet Orchard 1983" in problem.file for problem in odd)
    (summary,), left = questions.of(lists, odd)
    assert left == []
    questions.seen(summary)
    assert questions.of(lists, odd) == ([], [])


def test_a_list_that_was_renamed_is_not_asked_about_again(tmp_path: Path) -> None:
    path, other = tmp_path / "orchard.csv", tmp_path / "orchard fair.csv"
    path.write_text(ODD, encoding="utf-8")
    questions = ListQuestions(list_names())
    odd = index_of([str(path)]).problems
    (summary,), _ = questions.of([str(path)], odd)
    questions.seen(summary)
    path.rename(other)
    odd = index_of([str(other)]).problems
    assert odd
    assert questions.of([str(other)], odd) == ([], [])


def test_a_list_that_names_its_set_by_its_file_is_another_one_under_another_name(
    tmp_path: Path,
) -> None:
    path, other = tmp_path / "1979 Orchard.csv", tmp_path / "1983 Orchard.csv"
    path.write_text("No.;Player\n1;Ada Marsh\n;Bo Lund\n3;Cy Orr\n4;\n", encoding="utf-8")
    questions = ListQuestions(list_names())
    (summary,), _ = questions.of([str(path)], index_of([str(path)]).problems)
    questions.seen(summary)
    path.rename(other)
    (again,), _ = questions.of([str(other)], index_of([str(other)]).problems)
    assert "1983 Orchard" in again.lines[0]

"""The README says what the program does."""

from __future__ import annotations

import re
from pathlib import Path

from tagger.cli import VERBS
from tagger.ui.find.keys import FindAction
from tagger.ui.keys import Action, key_name

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def table(heading: str) -> list[tuple[str, ...]]:
    """The rows of the first table below a heading, without its head."""
    section = README.partition(f"\n## {heading}\n")[2].partition("\n## ")[0]
    rows = [line for line in section.splitlines() if line.startswith("|")]
    return [tuple(cell.strip() for cell in row.strip("|").split("|")) for row in rows[2:]]


def test_the_key_table_is_the_program_s() -> None:
    declared = [(", ".join(key_name(key) for key in c.keys), c.help) for c in Action]
    assert table("Keys") == declared


def test_the_find_screen_s_keys_are_the_program_s() -> None:
    declared = [(", ".join(key_name(key) for key in c.keys), c.help) for c in FindAction]
    assert table("Find a card again") == declared


def test_every_command_can_be_named_in_the_settings_example() -> None:
    example = README.partition("[keys]")[2].partition("```")[0]
    assert set(re.findall(r"[a-z_]+", example)) >= {action.id for action in Action}


def test_every_verb_stands_in_the_table_of_commands() -> None:
    named = {row[0].split()[1] for row in table("Commands")}
    assert named == set(VERBS)


def test_the_job_is_the_first_paragraph() -> None:
    paragraphs = README.split("\n\n")
    assert paragraphs[0] == "# tagger"
    assert "inventory" in paragraphs[1]
    assert "scanner" in paragraphs[1]

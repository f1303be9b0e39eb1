"""The help: everything that is declared stands in it once, and a search leaves just what has its
words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tagger.ui.help import CAUTIONS, HINTS, help_lines
from tagger.ui.hint_line import EDITING
from tagger.ui.keys import Action, Group, Keymap, key_name

KEYS = Keymap()
HEADS = [
    "Useful here now",
    *map(str, Group),
    "Editing the hint",
    "Hints: words in any order, each may be cut short",
]


def text(
    search: str = "", useful: tuple[Action, ...] = (), width: int = 400, keys: Keymap = KEYS
) -> str:
    """The help on a screen so wide that nothing wraps."""
    return "\n".join(line.plain.rstrip() for line in help_lines(keys, width, useful, search))


@pytest.mark.parametrize("useful", [(), (Action.TAKE, Action.HELP, Action.LEAVE), (Action.UNDO,)])
def test_each_command_stands_in_it_once(useful):
    shown = text("", useful)
    for action in Action:
        line = f"  {', '.join(key_name(key) for key in action.keys):<16} {action.help}"
        assert shown.splitlines().count(line) == 1


def test_what_is_of_use_here_stands_first_in_its_order_then_group_by_group():
    shown = text("", (Action.UNDO, Action.TAKE))
    first = shown.partition("\n\n")[0].splitlines()
    assert first[0] == " Useful here now"
    assert [line.split()[0] for line in first[1:]] == ["Ctrl+Z,", "Enter,"]
    heads = [line.strip() for line in shown.splitlines() if line.strip() in (*HEADS, "Cautions")]
    assert heads == [*HEADS, "Cautions"]


def test_every_command_but_a_few_has_a_group():
    rest = {action.id for action in Action if action.group is Group.REST}
    assert rest == {"help", "copy", "redraw", "leave"}


def test_a_search_finds_keys_labels_and_words_whatever_their_case():
    assert "leave the card for later" in text("SET ASIDE")
    assert text("f2").count("\n") == 1
    assert "move the loupe up" in text("ctrl+↑")
    assert "number, parallel, serial number, condition" in text("12/99")


def test_a_key_of_the_user_s_own_is_found():
    assert "leave the card for later" in text(
        "insert", keys=Keymap({"choose": [], "set_aside": ["insert"]})
    )


def test_a_search_in_vain_says_so_with_what_can_be_printed_of_it():
    assert text("qq\x1b[31m") == r" Nothing here has 'qq\x1b[31m'; Backspace shows more."


def test_the_help_page_of_the_place_is_named_at_the_end_of_the_whole_list():
    def last(search: str) -> str:
        return help_lines(KEYS, 80, (), search, topic="overview")[-1].plain

    assert last("") == " More about this: tagger help overview"
    assert "tagger help" not in last("loupe")
    assert "tagger help" not in last("qq")


@given(st.text(st.sampled_from("aeiorstnlc= +/12"), max_size=8), st.sampled_from("aeiorst="))
def test_law_each_letter_leaves_a_part_of_what_was_there(search, letter):
    def entries(shown: str) -> set[str]:
        heads = {"", "Cautions", *HEADS}
        return {
            line
            for line in shown.splitlines()
            if line.strip() not in heads and "Nothing here has" not in line
        }

    assert entries(text(search + letter)) <= entries(text(search))
    assert len(entries(text())) >= len(Action) + len(EDITING) + len(HINTS) + len(CAUTIONS)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_is_wider_than_the_screen(width):
    assert max(line.cell_len for line in help_lines(KEYS, width, (Action.TAKE,), "")) <= max(
        width, 78
    )

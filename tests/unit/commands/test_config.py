"""The user's settings: what can be set, and that an entry that cannot be used is named."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest

from tagger.config import Settings, load_settings
from tagger.core.model.condition import DEFAULT_SCALE
from tagger.errors import ConfigError
from tagger.preview.drawings import DRAWINGS as BY_NAME
from tagger.preview.terminal_capabilities import DRAWINGS, Depth
from tagger.ui.keys import Action, Keymap


def settings(tmp_path: Path, text: str | bytes) -> Settings:
    path = tmp_path / "config.toml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return load_settings(path)


def keymap(tmp_path: Path, text: str) -> Keymap:
    return Keymap(settings(tmp_path, text).keys)


def test_without_a_file_all_is_as_usual(tmp_path):
    assert load_settings(tmp_path / "config.toml") == Settings()
    assert settings(tmp_path, "") == Settings()
    assert settings(tmp_path, "# nothing yet\n[keys]\n").scale.steps == DEFAULT_SCALE


# Measured over plain SSH, tmux and screen; the others are taken by a multiplexer, a desktop or the
# terminal itself.
SURVIVING = {
    "enter", "tab", "shift+tab", "up", "down", "left", "right", "pageup", "pagedown", "home",
    "end", "insert",
    "delete", "equals_sign", "plus", *(f"f{number}" for number in (2, 3, 4, 5, 6, 7, 8, 9, 12)),
    *(f"ctrl+{letter}" for letter in "defgjklnorstuvwxyz"),
    *(f"{with_}+{arrow}" for with_ in ("ctrl", "shift") for arrow in ("up", "down", "left",
    "right")),
}  # fmt: skip


def test_all_default_keys_survive_the_way_to_the_program():
    defaults = [key for action in Action for key in action.keys]
    assert len(defaults) == len(set(defaults))
    assert set(defaults) <= SURVIVING
    assert len({action.id for action in Action}) == len(Action)


def test_every_default_key_does_its_command():
    keys = Keymap()
    for action in Action:
        assert all(keys.action(key) is action for key in action.keys)
        assert keys.shown(action)
    assert keys.action("f11") is None


def test_keys_are_bound_anew(tmp_path):
    settings = (
        '[keys]\nreview = []\nhistory = []\nchoose = []\nundo = ["ctrl+v", '
        '"Shift+Left"]\nagain = "insert"\n'
    )
    keys = keymap(tmp_path, settings)
    assert keys.action("ctrl+v").id == "undo"
    assert keys.action("shift+left").id == "undo"
    assert keys.action("ctrl+z") is None
    assert keys.action("insert").id == "again"
    assert keys.shown(Action.UNDO) == "Ctrl+V"


def test_two_keys_change_places(tmp_path):
    keys = keymap(tmp_path, '[keys]\nundo = ["ctrl+y"]\nredo = ["ctrl+z"]\n')
    assert (keys.action("ctrl+y").id, keys.action("ctrl+z").id) == ("undo", "redo")


@pytest.mark.parametrize(
    ("spelled", "key"), [("=", "equals_sign"), ("PgUp", "pageup"), ("Ctrl+V", "ctrl+v")]
)
def test_keys_may_be_spelled_as_the_help_shows_them(tmp_path, spelled, key):
    keys = keymap(
        tmp_path, f'[keys]\nreview = []\nagain = []\nprevious_card = []\nflip = ["{spelled}"]\n'
    )
    assert keys.action(key).id == "flip"


def test_a_command_may_go_without_a_key(tmp_path):
    keys = keymap(tmp_path, "[keys]\nredraw = []\n")
    assert keys.action("ctrl+l") is None
    assert keys.shown(Action.REDRAW) == ""


@pytest.mark.parametrize("command", ["take", "leave"])
def test_a_command_that_is_needed_cannot_go_without(tmp_path, command):
    with pytest.raises(ConfigError, match=rf"keys\.{command}: this command needs a key"):
        keymap(tmp_path, f"[keys]\n{command} = []\n")


@pytest.mark.parametrize(
    "key",
    ["ctrl+h", "ctrl+i", "ctrl+m", "ctrl+a", "ctrl+b", "ctrl+q", "ctrl+p", "escape", "alt+x", "a",
    "7", " ", "", "f1",
     "f10", "f11", "ctrl+enter", "shift+enter", "ctrl+1", "backspace", "ctrl+w", "ctrl+c", "f2 f3"],
)  # fmt: skip
def test_a_key_that_is_not_sure_to_arrive_is_refused(tmp_path, key):
    with pytest.raises(ConfigError) as refusal:
        keymap(tmp_path, f'[keys]\nundo = ["{key}"]\n')
    assert str(refusal.value).startswith(f"keys.undo: '{key}'")
    assert "use F2 to F9" in str(refusal.value)


def test_a_key_for_two_commands_is_refused_with_both_named(tmp_path):
    with pytest.raises(ConfigError, match=r"keys\.clear: F2 already belongs to set_aside"):
        keymap(tmp_path, '[keys]\nclear = "f2"\n')


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[key]\nundo = "f12"\n', "unknown setting key; did you mean keys?"),
        (
            "zzz = 1\n",
            "unknown setting zzz; there are keys, conditions, preview, reading, reasons, value, "
            "orders, columns, lists, hub and exports.",
        ),
        ("[condition]\n", "did you mean conditions?"),
        ("keys = 5\n", "keys must be a table"),
        ("keys = []\n", "keys must be a table"),
        ("[keys]\nundo = 5\n", "keys.undo must be a text or a list of texts"),
        ('[keys]\nundo = ["f2", 5]\n', "keys.undo must be a text or a list of texts"),
        ('[keys.undo]\na = "f2"\n', "keys.undo must be a text or a list of texts"),
        ("[conditions]\nMint = 1\n", "conditions.Mint must be a text or a list of texts"),
        ("[conditions]\n", "name at least one condition"),
        ('[conditions]\n"  " = []\n', "a condition needs a name"),
        (
            '[conditions]\nMint = ["m"]\nMeh = ["M"]\n',
            "conditions.Meh: 'm' already stands for Mint",
        ),
        (
            '[conditions]\nMint = []\nFine = ["mint"]\n',
            "conditions.Fine: 'mint' already stands for Mint",
        ),
        ('[conditions]\nMint = [""]\n', "conditions.Mint"),
        ('[conditions]\nMint = ["-"]\n', "conditions.Mint"),
        ('[conditions]\nMint = ["9"]\n', "conditions.Mint"),
        ("preview = 1\n", "preview must be a table"),
        (
            '[preview]\ndrawings = "sextants"\n',
            "unknown setting preview.drawings; did you mean drawing?",
        ),
        (
            '[preview]\nx = "sextants"\n',
            "unknown setting preview.x; there are drawing, colours, crop, look_alikes and",
        ),
        (
            '[preview]\ndrawing = "braille"\n',
            'preview.drawing must be one of "half blocks", "quadrants", "sextants"',
        ),
        ('[preview]\ndrawing = ["sextants"]\n', "preview.drawing must be one of"),
        ("[preview]\ncolours = 88\n", 'preview.colours must be one of "true", "256", "16", "grey"'),
        ("[reasons]\nd = 1\n", "reasons.d must be a text"),
        ('[reasons]\nd = " "\n', "reasons.d must be a text"),
        ('[reasons]\n"d e" = "damaged"\n', "reasons.d e: use one word only"),
        ('[reasons]\n"" = "damaged"\n', "use one word only"),
        ('[reasons]\nd = "damaged"\nD = "dull"\n', "reasons.D: 'd' already stands for damaged"),
        (
            '[value]\ncloser = "5"\n',
            "value.closer is not a condition of the scale; did you mean closer_look?",
        ),
        ("[value]\ncloser_look = 5.0\n", 'must be a price as a text, such as "5.00"'),
        ('[value]\ncloser_look = "five"\n', "value.closer_look must be a price"),
        ('[value]\ncloser_look = "-1"\n', "value.closer_look must be a price"),
        ('[value]\ncloser_look = "Infinity"\n', "value.closer_look must be a price"),
        ("[keys\n", "is not TOML"),
        ('[keys]\nundo = "f2"\nundo = "f3"\n', "is not TOML"),
        (b'[keys]\nundo = "\xff"\n', "is not UTF-8"),
    ],
)
def test_an_entry_that_cannot_be_used_is_named_with_the_file(tmp_path, text, said):
    """A short form without a letter would be read where a number or nothing was meant."""
    with pytest.raises(ConfigError) as refusal:
        settings(tmp_path, text)
    assert re.match(re.escape(f"{tmp_path / 'config.toml'}, line ") + "[1-3]: ", str(refusal.value))
    assert said in str(refusal.value)


def test_an_entry_that_cannot_be_used_is_named_with_its_line(tmp_path):
    with pytest.raises(ConfigError, match=r"config\.toml, line 4: preview\.crop must be true or"):
        settings(tmp_path, "# mine\n[keys]\n[preview]\ncrop = 1\n")


def test_an_unknown_command_is_named_with_the_nearest(tmp_path):
    with pytest.raises(ConfigError, match=r"keys\.undoo: unknown command; did you mean undo\?"):
        keymap(tmp_path, '[keys]\nundoo = "f12"\n')


def test_a_folder_in_place_of_the_file_is_named(tmp_path):
    with pytest.raises(ConfigError, match="cannot be read"):
        load_settings(tmp_path)


def test_the_scale_of_conditions_is_the_users(tmp_path):
    scale = settings(
        tmp_path, '[conditions]\n"As New" = ["an", "A-N-1"]\nHandled = "hd"\n"Not So Good" = []\n'
    ).scale
    assert [step.name for step in scale.steps] == ["As New", "Handled", "Not So Good"]
    assert scale.read("an") == ("As New", True)
    assert scale.read("an1") == ("As New", True)
    assert scale.read("hd") == ("Handled", True)
    assert scale.read("asnew") == ("As New", True)
    assert scale.read("hand") == ("Handled", False)
    assert scale.read("nm") is None
    assert scale.read_several(["not", "so", "good"]) == ("Not So Good", 3)


def test_a_condition_with_a_hyphen_is_one_word_of_the_scale_and_has_its_factor(tmp_path):
    text = '[conditions]\nMint = ["mt"]\n"EX-MT" = ["exmt"]\n[value]\n"ex-mt" = 0.8\n'
    found = settings(tmp_path, text)
    assert found.scale.read("ex-mt") == ("EX-MT", True)
    assert found.value.factors == {"EX-MT": Decimal("0.8")}
    with pytest.raises(ConfigError, match="'exmt' already stands for EX-MT"):
        settings(tmp_path, '[conditions]\n"EX-MT" = []\n"Excellent" = ["exmt"]\n')


def test_short_words_stand_for_the_users_reasons_and_a_price_for_a_closer_look(tmp_path):
    found = settings(
        tmp_path, '[reasons]\nB = "bent  corner"\n"?" = "who?"\n[value]\ncloser_look = "5.00"\n'
    )
    assert found.reasons.by_word == {"b": "bent corner", "?": "who?"}
    assert found.closer_look == Decimal("5")
    assert settings(tmp_path, "[reasons]\n[value]\n").reasons.by_word == {}
    assert settings(tmp_path, "").reasons.meant("v") == "worth a closer look"
    assert settings(tmp_path, "").closer_look is None


def test_previews_are_drawn_as_the_user_says(tmp_path):
    found = settings(tmp_path, '[preview]\ndrawing = "quadrants"\ncolours = "true"\n')
    assert (found.drawing, found.colours) == ("quadrants", Depth.TRUE)
    assert settings(tmp_path, "[preview]\ncolours = 256\n").colours is Depth.C256
    assert settings(tmp_path, "[preview]\n") == Settings()


def test_the_names_of_the_drawings_are_those_that_can_be_drawn():
    assert list(BY_NAME) == list(DRAWINGS)
    assert all(drawing.name == name for name, drawing in BY_NAME.items())

"""Previews printed by `tagger show`, and the sample by which a terminal's drawing is chosen."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pyte
import pytest
from PIL import Image
from support.small_card import card

from tagger.cli import main
from tagger.preview.terminal_capabilities import Depth, depth_of, terminal_of
from tagger.services.drawing import chosen_drawing, print_drawing


@pytest.fixture
def scan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A scan of a card, in a terminal of 256 colours."""
    for name in ("NO_COLOR", "COLORTERM", "TERM_PROGRAM", "TMUX", "STY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    card().resize((400, 560)).save(tmp_path / "scan_1.jpg", quality=95)
    return tmp_path / "scan_1.jpg"


def printed(capfd: pytest.CaptureFixture[str], *arguments: str, status: int = 0) -> list[str]:
    """The lines that `tagger show` prints."""
    assert main(["show", *arguments]) == status
    return capfd.readouterr().out.splitlines()


def plain(line: str) -> str:
    return re.sub(r"\x1b\[[0-9;]*m", "", line)


@pytest.mark.parametrize("width", [10, 33])
@pytest.mark.parametrize("drawing", ["half blocks", "quadrants", "sextants"])
def test_a_preview_has_the_width_that_is_asked_for(scan, capfd, drawing, width):
    lines = printed(capfd, str(scan), "--width", str(width), "--drawing", drawing)
    assert {len(plain(line)) for line in lines} == {width}
    assert len(lines) == pytest.approx(width * 560 / 400 / 2, abs=1)
    screen = pyte.Screen(width + 1, len(lines))
    pyte.Stream(screen).feed("\r\n".join(lines))
    assert screen.buffer[len(lines) - 1][width].bg == "default"


@pytest.mark.parametrize(
    ("colours", "sent"),
    [("true", "38;2;"), ("256", "38;5;"), ("16", r"\b3[0-7][;m]"), ("grey", "38;5;2[34]")],
)
def test_colours_are_those_that_are_asked_for(scan, capfd, colours, sent):
    assert re.search(
        sent, "".join(printed(capfd, str(scan), "--width", "20", "--colours", colours))
    )


def test_no_color_is_grey_until_colours_are_asked_for(scan, capfd, monkeypatch):
    """https://no-color.org: what a command line says goes before the variable."""
    monkeypatch.setenv("NO_COLOR", "1")
    grey = "".join(printed(capfd, str(scan), "--width", "20"))
    assert {int(index) for index in re.findall(r"[34]8;5;(\d+)", grey)} <= {
        16,
        231,
        *range(232, 256),
    }
    assert "48;2;" in "".join(printed(capfd, str(scan), "--width", "20", "--colours", "true"))


def test_the_settings_say_how_where_nothing_else_does(scan, capfd, own_folders, monkeypatch):
    settings = own_folders / "config" / "tagger" / "config.toml"
    settings.parent.mkdir(parents=True)
    settings.write_text('[preview]\ndrawing = "quadrants"\ncolours = "true"\n')
    text = "".join(printed(capfd, str(scan), "--width", "20"))
    assert set(plain(text)) & set("▘▝▖▗▚▞▛▜▙▟▌▐")
    assert "48;2;" in text
    monkeypatch.setenv("NO_COLOR", "1")
    assert "48;2;" not in "".join(printed(capfd, str(scan), "--width", "20"))


def test_what_cannot_be_shown_is_named_and_the_rest_is_shown(scan, tmp_path, capfd):
    (tmp_path / "bad\x1b[2J.jpg").write_bytes(b"x" * 50)
    names = [str(tmp_path / "bad\x1b[2J.jpg"), str(scan), str(tmp_path / "none.jpg")]
    assert main(["show", *names, "--width", "12"]) == 1
    said = capfd.readouterr()
    assert "is not a readable image" in said.err
    assert "none.jpg is missing" in said.err
    assert "\x1b[2J" not in said.out + said.err
    assert any(set(plain(line)) & set("▀▄") for line in said.out.splitlines())
    assert main(["show", names[0]]) == 3


def test_a_page_of_a_tiff_can_be_named(tmp_path, scan, capfd):
    pages = [Image.new("RGB", (20, 28), colour) for colour in ((250, 0, 0), (0, 250, 0))]
    pages[0].save(tmp_path / "lot.tif", save_all=True, append_images=pages[1:])
    first, second = (
        printed(capfd, f"{tmp_path}/lot.tif#page={page}", "--colours", "true") for page in (1, 2)
    )
    assert first != second


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--width", "0"], "--width"),
        (["--drawing", "dots"], "half blocks"),
        (["--colours", "many"], "256"),
    ],
)
def test_wrong_use_is_a_sentence(scan, capfd, arguments, said):
    assert main(["show", str(scan), *arguments]) == 2
    assert said in capfd.readouterr().err


def test_graphics_without_their_library_are_half_blocks_and_a_sentence(scan, capfd, monkeypatch):
    monkeypatch.setattr("tagger.commands.maintain.graphics.find_spec", lambda name: None)
    assert main(["show", str(scan), "--width", "12", "--drawing", "sixel"]) == 0
    said = capfd.readouterr()
    assert "needs the extra graphics, which is not installed" in said.err
    assert set(plain(said.out)) & set("▀▄")


@pytest.mark.parametrize(("way", "start"), [("sixel", "\x1bP"), ("kitty", "\x1b_G")])
def test_graphics_are_drawn_by_their_library(scan, tagger, way, start):
    """Sixel is a DCS of DEC's (VT330/VT340 Programmer Reference Manual, 14); kitty's is an APC with
    G."""
    run = subprocess.run(
        [*tagger, "show", scan, "--width", "10", "--drawing", way], capture_output=True, check=True
    )
    assert start in run.stdout.decode()


def test_it_goes_through_a_pipe_in_any_locale(scan, tagger):
    env = {**os.environ, "PYTHONIOENCODING": "ascii", "LC_ALL": "C"}
    run = subprocess.run(
        [*tagger, "show", scan, "--width", "12"], capture_output=True, env=env, check=True
    )
    assert "▄" in run.stdout.decode("utf-8")
    assert run.stderr == b""


def test_a_command_that_needs_no_pixels_loads_none():
    code = "import sys, tagger.config, tagger.store.machine.terminals; print('PIL' in sys.modules)"
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout
        == "False\n"
    )


@pytest.mark.parametrize(
    ("environment", "depth"),
    [({"TERM": "xterm-256color"}, Depth.C256), ({"TERM": "xterm"}, Depth.C16), ({}, Depth.C16),
     ({"TERM": "screen-256color", "COLORTERM": "truecolor"}, Depth.TRUE), ({"COLORTERM": "24bit"},
     Depth.TRUE),
     ({"TERM": "xterm-256color", "NO_COLOR": "1", "COLORTERM": "truecolor"}, Depth.GREY),
     ({"TERM": "xterm-256color", "NO_COLOR": ""}, Depth.C256)],
)  # fmt: skip
def test_colours_are_those_that_the_terminal_says(environment, depth):
    assert depth_of(environment) is depth


# The sample


def test_without_an_answer_previews_are_half_blocks(scan):
    assert chosen_drawing("") == ("half blocks", "")
    assert chosen_drawing("quadrants") == ("quadrants", "")


def test_print_is_cut_out_finer_where_nothing_else_was_chosen(scan, monkeypatch):
    monkeypatch.setenv("TERM", "xterm-256color")
    assert print_drawing("") == "quadrants"
    assert print_drawing("half blocks") == "half blocks"
    assert main(["preview-test", "--use", "half blocks"]) == 0
    assert print_drawing("") == "half blocks"
    monkeypatch.setenv("TERM", "linux")
    assert print_drawing("") == "half blocks"


def test_sextants_wait_for_the_sample_whatever_the_settings_say(scan, capfd):
    drawing, said = chosen_drawing("sextants")
    assert drawing == "half blocks"
    assert "tagger preview-test" in said
    assert main(["preview-test", "--use", "sextants"]) == 0
    assert chosen_drawing("sextants") == chosen_drawing("") == ("sextants", "")
    assert chosen_drawing("quadrants") == ("quadrants", "")


def test_the_answer_is_for_this_terminal_only(scan, monkeypatch):
    assert main(["preview-test", "--use", "sextants"]) == 0
    for name, value in (
        ("TMUX", "/tmp/tmux"),
        ("STY", "1.pts"),
        ("TERM_PROGRAM", "other"),
        ("TERM", "tmux-256color"),
    ):
        with monkeypatch.context() as patch:
            patch.setenv(name, value)
            assert chosen_drawing("")[0] == "half blocks"
    assert chosen_drawing("")[0] == "sextants"
    names = {
        terminal_of({"TERM": "a", name: "x"}) for name in ("TMUX", "STY", "TERM_PROGRAM", "LANG")
    }
    assert len(names) == 4


def test_a_damaged_answer_is_as_none(scan, own_folders):
    assert main(["preview-test", "--use", "sextants"]) == 0
    path = own_folders / "data" / "tagger" / "terminals.json"
    for text in ("{", path.read_text().replace("sextants", "lines")):
        path.write_text(text)
        assert chosen_drawing("") == ("half blocks", "")


def test_through_a_pipe_the_samples_are_printed_and_nothing_is_asked(scan, capfd, monkeypatch):
    monkeypatch.setattr("sys.stdin", open(os.devnull))  # noqa: SIM115
    assert main(["preview-test"]) == 0
    said = capfd.readouterr()
    assert [word in said.out for word in ("half blocks", "quadrants", "sextants", "▀", "▚")] == [
        True
    ] * 5
    assert re.search("[\U0001fb00-\U0001fb3b]", said.out)
    assert said.err == ""


def test_wrong_use_of_the_sample_is_a_sentence(scan, capfd):
    assert main(["preview-test", "--use", "dots"]) == 2
    assert "half blocks, quadrants, sextants" in capfd.readouterr().err


def test_a_dealer_is_asked_and_the_answer_is_kept(scan, tagger):
    from support.terminal import Terminal

    for keys, kept in (
        ("\r", "half blocks"),
        ("3\r", "sextants"),
        ("\r", "sextants"),
        ("2\r", "quadrants"),
    ):
        with Terminal([*tagger, "preview-test"], rows=60) as terminal:
            terminal.wait_for("Which one looks right")
            terminal.send(keys)
            terminal.wait_for(f"drawn with {kept} in this terminal")
            assert terminal.wait_exit() == 0

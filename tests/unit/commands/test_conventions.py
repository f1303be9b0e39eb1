"""What every command does alike: `-`, --quiet, --version, completion for shells."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from support import drawn

from tagger.cli import main
from tagger.commands.grammar import VERBS
from tagger.commands.maintain.completion import SHELLS

LIST = b"set,number,name\n1987 Harbor Light,23,Ada Marsh\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    drawn.draw_scans(tmp_path / "box", 2, size=(60, 84))
    return tmp_path / "box"


def fed(monkeypatch: pytest.MonkeyPatch, data: bytes) -> None:
    """What comes in on standard input."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))


def test_a_checklist_is_read_from_standard_input(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    fed(monkeypatch, LIST)
    assert main(["checklist", "-"]) == 0
    assert "1987 Harbor Light: 1 card, 23" in capsys.readouterr().out
    fed(monkeypatch, b"number,name\n1,a,b,c\n")
    assert main(["checklist", "-"]) == 1
    assert "line 2: " in capsys.readouterr().out
    fed(monkeypatch, LIST)
    assert main(["match", "23", "--checklist", "-"]) == 0
    assert "#23 Ada Marsh" in capsys.readouterr().out


def test_an_export_goes_to_standard_output_and_comes_back_from_it(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["export", str(folder), "--to", "-"]) == 0
    out, err = capfdbinary.readouterr()
    assert err == b"2 cards written to standard output, 2 of them not tagged.\n"
    head, *rows = csv.reader(io.StringIO(out.decode(), newline=""))
    assert (head[0], len(rows)) == ("position", 2)
    assert main(["export", str(folder), "--to", "-", "--format", "json"]) == 0
    document = json.loads(capfdbinary.readouterr().out)
    assert len(document["cards"]) == 2
    assert main(["fix", str(folder), "1", "swap"]) == 0  # keeps the lot
    assert main(["export", str(folder), "--to", "-", "--format", "jsonl"]) == 0
    lines = capfdbinary.readouterr().out.splitlines()[-2:]
    cards = [json.loads(line) for line in lines]
    cards[1]["number"] = "23"
    fed(monkeypatch, "\n".join(map(json.dumps, cards)).encode())
    words = ["import", str(folder), "-", "--format", "jsonl"]
    assert main(words) == 1
    capfdbinary.readouterr()
    fed(monkeypatch, "\n".join(map(json.dumps, cards)).encode())
    assert main([*words, "--yes"]) == 0
    assert b'card 2: number "" ' in capfdbinary.readouterr().out


@pytest.mark.parametrize(("command", "begins"), [("page", b"<!DOCTYPE html>"), ("sheet", b"%PDF")])
def test_pages_and_sheets_go_to_standard_output(
    command: str, begins: bytes, folder: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main([command, str(folder), "--to", "-"]) == 0
    out, err = capfdbinary.readouterr()
    assert out[: len(begins)].lower() == begins.lower()
    assert b"to standard output" in err


def test_the_format_goes_before_the_extension(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "box.txt"
    assert main(["export", str(folder), "--to", str(target)]) == 2
    assert main(["export", str(folder), "--to", str(target), "--format", "csv"]) == 0
    assert target.read_bytes().startswith(b"position,")
    assert main(["export", str(folder), "--images", str(tmp_path / "i"), "--format", "csv"]) == 2
    assert "--format goes with --to" in capsys.readouterr().err


def test_quiet_leaves_errors_only(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["export", str(folder), "--to", str(tmp_path / "box.csv")]
    assert main([*words, "--quiet"]) == 0
    assert capsys.readouterr() == ("", "")
    assert main(["export", str(tmp_path / "none"), "--to", "a.csv", "--quiet"]) == 3
    assert capsys.readouterr().err.startswith("tagger: There is no folder ")
    assert main(words) == 0  # not quiet for ever
    assert "2 cards written to" in capsys.readouterr().err


def test_the_version_loads_nothing_else(tagger: list[str]) -> None:
    code = (
        "import sys; before = set(sys.modules); from tagger.cli import main; main(['--version']); "
        "print(sorted(set(sys.modules) - before))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = done.stdout.splitlines()[-1]
    assert set(re.findall(r"'(tagger[\w.]*)'", loaded)) == {"tagger", "tagger.cli"}
    assert "argparse" not in loaded


@pytest.mark.parametrize("shell", SHELLS)
def test_a_shell_completes_every_command(
    shell: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    for verb in VERBS:
        assert verb in script
    for word in ("side-by-side", "read-only", "quiet", "recovery"):
        assert word in script
    if shutil.which(shell):
        file = tmp_path / "completion"
        file.write_text(script)
        # the shell itself finds the script well formed
        subprocess.run([shell, "-n", str(file)], check=True)


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
def test_bash_completes_commands_options_and_topics(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", "bash"]) == 0
    script = capsys.readouterr().out
    (function,) = re.findall(r"^complete .*-F (\w+) tagger$", script, re.MULTILINE)

    def completed(*words: str) -> list[str]:
        line = " ".join(map(repr, words))
        ask = f"COMP_WORDS=({line}); COMP_CWORD={len(words) - 1}; {function}; "
        shown = 'printf "%s\\n" "${COMPREPLY[@]}"'
        done = subprocess.run(
            ["bash", "-c", f"{script}\n{ask}{shown}"], capture_output=True, text=True, check=True
        )
        return done.stdout.split()

    assert completed("tagger", "im") == ["import"]
    assert completed("tagger", "repair", "--ap") == ["--apply"]
    assert completed("tagger", "help", "reco") == ["recovery"]

"""The command line: what each command prints, its exit status, and that no error is more than a
sentence."""

from __future__ import annotations

import json
import os
import pty
import re
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from support import drawn

import tagger as package
from tagger.cli import main
from tagger.commands.grammar import VERBS
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder, lot_place, make_home

ROWS = drawn.set_rows("1987 Harbor Light", 30, seed=5) + drawn.set_rows(
    "1985 Mill Pond", 20, seed=6
)


@pytest.fixture
def checklist(tmp_path: Path) -> Path:
    path = tmp_path / "harbor.csv"
    path.write_text(drawn.checklist_csv(ROWS))
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Six scans in a folder that was never opened."""
    drawn.draw_scans(tmp_path / "box 12", 3, size=(60, 84))
    return tmp_path / "box 12"


def work(folder: Path, state: Path | None = None) -> None:
    """Tag the first card, set the second aside, and stand at the third."""
    place = lot_place(folder, state)
    make_home(place)
    session = Session(LotFile(place.home, place.name))
    session.take_in([f"scan_000{number}.jpg" for number in range(1, 7)], ["/lists/harbor.csv"])
    session.take_unlisted("7 marsh")
    session.set_aside("torn")
    session.close()
    LotList(data_folder()).opened(place)


def answer(capsys: pytest.CaptureFixture[str], *arguments: str, status: int = 0) -> object:
    assert main([*arguments, "--json"]) == status
    said = capsys.readouterr()
    assert said.err == ""
    return json.loads(said.out)


def sentence(capsys: pytest.CaptureFixture[str], *arguments: str, status: int) -> str:
    """The one line that a command says when it cannot."""
    assert main(list(arguments)) == status
    said = capsys.readouterr()
    assert said.out == ""
    assert re.fullmatch(r"tagger: [^\n]+[.?]\n", said.err)
    return said.err


def test_the_version(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"tagger {package.__version__}\n"


def test_help_names_every_command_and_the_exit_statuses(capsys):
    with pytest.raises(SystemExit) as ending:
        main(["--help"])
    assert ending.value.code == 0
    text = capsys.readouterr().out
    assert all(re.search(rf"^ +{verb}\b", text, re.MULTILINE) for verb in VERBS)
    assert (
        "Exit status: 0 done; 1 done, but something needs your attention; 2 usage error; 3 failed."
        in " ".join(text.split())
    )
    found = re.findall(r"^  ([A-Z][a-z ]+)$", text, re.MULTILINE)
    assert found == [
        "Tag",
        "Check and fix",
        "Export and import",
        "Look up",
        "Sell",
        "Shop",
        "Maintain",
    ]
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize("command", list(VERBS))
def test_help_of_a_command_has_examples(capsys, command):
    with pytest.raises(SystemExit) as ending:
        main([command, "--help"])
    assert ending.value.code == 0
    assert re.search(rf"examples:\n  tagger {command}\b", capsys.readouterr().out)


@pytest.mark.parametrize(
    "arguments",
    [["--no"], ["status"], ["status", "a", "--jsn"], ["match", "23"], ["import"], ["checklist"],
     ["match", "23", "--checklist", "a", "--limit", "many"]],
)  # fmt: skip
def test_wrong_use_is_told_with_the_usage(capsys, arguments):
    with pytest.raises(SystemExit) as ending:
        main(arguments)
    assert ending.value.code == 2
    assert "usage: tagger" in capsys.readouterr().err


def test_without_a_command_the_first_steps_are_told(capsys):
    assert main([]) == 2
    said = capsys.readouterr()
    assert "\n  tagger open FOLDER --checklist FILE " in said.out
    assert "\\x" not in said.out
    assert "tagger demo" in said.out
    named = set(re.findall(r"^  tagger ([a-z]+)", said.out, re.MULTILINE))
    assert named <= set(VERBS)


def test_a_command_that_is_none_is_told_with_the_one_that_was_meant(capsys, tmp_path):
    for word, said in (
        ("opn", "unknown command 'opn'; did you mean open?"),
        ("xyzzy", "unknown command 'xyzzy'; tagger --help lists all commands."),
        (str(tmp_path), f"to open that folder: tagger open {tmp_path}"),
        ("\x1b[2J", "unknown command"),
    ):
        assert main([word]) == 2
        told = capsys.readouterr().err
        assert said in told
        assert "\x1b" not in told


def test_status_of_a_lot_that_was_never_opened_writes_nothing(folder, capsys, own_folders):
    before = sorted(path.name for path in folder.iterdir())
    assert answer(capsys, "status", str(folder)) == {
        "format": 1,
        "lot": "box 12",
        "cards": 3,
        "tagged": 0,
        "set_aside": 0,
        "untagged": 3,
        "stock": {"in stock": 0, "listed": 0, "reserved": 0, "sold": 0, "pulled": 0},
        "read": 0,
        "position": 1,
        "scans": 6,
        "checklists": [],
        "sittings": [],
    }
    assert sorted(path.name for path in folder.iterdir()) == before
    assert [path for path in own_folders.rglob("*") if path.is_file()] == []


def test_status_of_a_lot_at_work(folder, capsys):
    work(folder)
    found = answer(capsys, "status", str(folder))
    (sitting,), stock = found.pop("sittings"), found["stock"]
    assert list(found) == [
        "format",
        "lot",
        "cards",
        "tagged",
        "set_aside",
        "untagged",
        "stock",
        "read",
        "position",
        "scans",
        "checklists",
    ]
    assert list(found.values()) == [1, "box 12", 3, 1, 1, 1, stock, 0, 3, 6, ["/lists/harbor.csv"]]
    assert stock == {"in stock": 1, "listed": 0, "reserved": 0, "sold": 0, "pulled": 0}
    assert (list(sitting), sitting["cards"]) == (["date", "cards", "minutes", "keys"], 1)
    assert datetime.now().astimezone() - datetime.fromisoformat(sitting["date"]) < timedelta(
        minutes=5
    )


def test_status_counts_scans_that_came_since(folder, capsys):
    work(folder)
    drawn.draw_scans(folder, 4, size=(60, 84))
    found = answer(capsys, "status", str(folder))
    assert (found["cards"], found["scans"], found["untagged"], found["tagged"]) == (4, 8, 2, 1)


def test_status_in_words(folder, capsys):
    work(folder)
    assert main(["status", str(folder)]) == 0
    text = capsys.readouterr().out
    assert "1 tagged, 1 set aside, 1 untagged" in text
    assert "card 3" in text
    assert re.search(
        r"\n  sitting of \d{4}-\d\d-\d\d \d\d:\d\d: 1 card in less than a minute.* 1 set aside\n",
        text,
    )


def test_a_lot_kept_elsewhere_is_found_with_and_without_saying_where(folder, tmp_path, capsys):
    work(folder, tmp_path / "state")
    assert answer(capsys, "status", str(folder), "--state", str(tmp_path / "state"))["tagged"] == 1
    assert answer(capsys, "status", str(folder))["tagged"] == 1
    assert not (folder / "lot.json").exists()


def test_status_of_an_empty_folder(tmp_path, capsys):
    found = answer(capsys, "status", str(tmp_path))
    assert (found["cards"], found["scans"], found["position"]) == (0, 0, 1)


@pytest.mark.parametrize("command", [["status"], ["export", "--to", "/tmp/never.csv"]])
def test_a_folder_that_is_missing_or_none_is_named(tmp_path, capsys, command):
    (tmp_path / "scan.jpg").write_bytes(b"x")
    assert "There is no folder" in sentence(capsys, *command, str(tmp_path / "nowhere"), status=3)
    assert "is a file" in sentence(capsys, *command, str(tmp_path / "scan.jpg"), status=3)


def test_a_damaged_lot_is_named(folder, capsys):
    (folder / "lot.json").write_bytes(b"{")
    assert "is damaged" in sentence(capsys, "status", str(folder), status=3)


def test_match_tells_what_a_hint_means(checklist, capsys):
    arguments = ("--checklist", str(checklist), "--set", "harbor", "--after", "22")
    found = answer(capsys, "match", "23 g 12/99 nm", *arguments)["candidates"]
    assert [list(candidate) for candidate in found] == [
        ["set", "number", "subject", "team", "parallel", "serial", "condition", "confidence"]
    ] * len(found)
    card = ROWS[22]
    assert list(found[0].values())[:-1] == [
        card.set,
        "23",
        card.subject,
        card.team,
        "Gold",
        "12/99",
        "Near Mint",
    ]
    assert 0.9 < found[0]["confidence"] <= 1
    following = answer(capsys, "match", "", *arguments, "--limit", "2")["candidates"]
    assert [candidate["number"] for candidate in following] == ["23", "22"]


def test_match_takes_a_set_as_it_is_typed_on_a_plain_keyboard(tmp_path, capsys):
    path = tmp_path / "list.csv"
    path.write_text("set,number,subject\n1999 Pémaru,1,Ada\n1987 Harbor,1,Bo\n", encoding="utf-8")
    for typed in ("pemaru", "1999 pem", "PÉMARU 1999"):
        found = answer(capsys, "match", "1", "--checklist", str(path), "--set", typed)
        assert found["candidates"][0]["set"] == "1999 Pémaru"


def test_match_without_a_candidate_is_an_empty_list(checklist, capsys):
    found = answer(capsys, "match", "zzqx", "--checklist", str(checklist))
    assert found == {"format": 1, "candidates": []}


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--limit", "0"], "--limit"),
        (["--set", "sea"], "unknown set"),
        (["--set", "198"], "fits more than one set"),
        (["--after", "22"], "--after needs --set"),
    ],
)
def test_wrong_use_of_match_is_a_sentence(checklist, capsys, arguments, said):
    assert said in sentence(
        capsys, "match", "23", "--checklist", str(checklist), *arguments, status=2
    )


def test_the_same_problem_on_many_lines_is_said_once(tmp_path, capsys):
    path = tmp_path / "list.csv"
    lines = ["1;Ada;Gold /5; Tin", "2;Bo;Gold /5; Tin", "3;Cyr;", "4;Dela;Gold /5; Tin"]
    path.write_text("\n".join(["number;name;parallels", *lines]))
    assert main(["checklist", str(path)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert said.endswith(
        "odd 3 lines have more cells than the 3 column names and are skipped (a cell that holds a "
        "';' needs quotation marks): lines 2–3, 5"
    )


@pytest.mark.parametrize("command", [["match", "23", "--checklist"], ["checklist"]])
def test_a_checklist_that_cannot_be_read_is_named(tmp_path, capsys, command):
    assert "There is no checklist" in sentence(
        capsys, *command, str(tmp_path / "nowhere.csv"), status=3
    )
    assert "no checklists in" in sentence(capsys, *command, str(tmp_path), status=3)


def test_lots_lists_how_far_each_lot_is(folder, tmp_path, capsys):
    assert answer(capsys, "lots") == {"format": 1, "lots": []}
    work(folder)
    (found,) = answer(capsys, "lots")["lots"]
    assert list(found) == ["lot", "folder", "opened", "cards", "tagged", "set_aside"]
    assert (found["lot"], found["folder"], found["cards"]) == ("box 12", str(folder), 3)
    assert (found["tagged"], found["set_aside"]) == (1, 1)
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", found["opened"])  # RFC 3339
    folder.rename(tmp_path / "away")
    (found,) = answer(capsys, "lots")["lots"]
    assert (found["cards"], found["tagged"], found["set_aside"]) == (None, None, None)


def test_settings_that_cannot_be_used_are_named(checklist, capsys, own_folders):
    settings = own_folders / "config" / "tagger" / "config.toml"
    settings.parent.mkdir(parents=True)
    settings.write_text("[condition]\n")
    assert "config.toml" in sentence(capsys, "match", "23", "--checklist", str(checklist), status=2)


def test_the_terminal_program_needs_a_terminal(folder, capsys):
    said = sentence(capsys, "open", str(folder), status=2)
    assert "needs a terminal" in said
    assert sorted(path.suffix for path in folder.iterdir()) == [".jpg"] * 6


def in_terminal(command: list[str], *arguments: str, term: str) -> tuple[int, str, bytes]:
    """Run the program in a terminal of its own: exit status, what it said on stderr, what it wrote
    to the screen."""
    ours, theirs = pty.openpty()
    run = subprocess.Popen(
        [*command, *arguments],
        stdin=theirs,
        stdout=theirs,
        stderr=subprocess.PIPE,
        env={**os.environ, "TERM": term},
    )
    os.close(theirs)
    _, said = run.communicate(timeout=120)
    os.set_blocking(ours, False)
    try:
        screen = os.read(ours, 1 << 16)
    except OSError:
        screen = b""
    os.close(ours)
    return run.returncode, said.decode(), screen


@pytest.mark.parametrize("term", ["dumb", "", "unknown"])
def test_a_terminal_that_cannot_place_text_is_refused_by_a_sentence(folder, tagger, term):
    status, said, screen = in_terminal(tagger, "open", str(folder), term=term)
    assert status == 2
    assert re.fullmatch(r"tagger: This terminal is not supported [^\n]+\.\n", said)
    assert screen == b""


def test_a_folder_without_scans_is_not_opened(tmp_path, tagger):
    (tmp_path / "scans").mkdir()
    (tmp_path / "scans" / "notes.txt").write_text("x")
    status, said, screen = in_terminal(
        tagger, "open", str(tmp_path / "scans"), term="xterm-256color"
    )
    assert status == 3
    assert re.fullmatch(r"tagger: [^\n]+ has no scans [^\n]+\.\n", said)
    assert screen == b""
    assert [path.name for path in (tmp_path / "scans").iterdir()] == ["notes.txt"]


def test_the_package_runs_as_a_program(tagger):
    run = subprocess.run([*tagger, "--version"], capture_output=True, text=True, check=True)
    assert run.stdout == f"tagger {package.__version__}\n"


COMMANDS = (["checklist"], ["--help"], ["--version"], ["help", "hints"], ["completion", "fish"])


def lost(command: list[str], stdout: int) -> None:
    """A command whose output cannot be written says so in one sentence."""
    run = subprocess.run(command, stdout=stdout, stderr=subprocess.PIPE, text=True)
    assert run.returncode == 3
    assert re.fullmatch(r"tagger: The output [^\n]+\.\n", run.stderr)


@pytest.mark.parametrize("words", COMMANDS)
def test_a_reader_that_goes_away_gets_no_traceback(checklist, tagger, words):
    reader, writer = os.pipe()
    os.close(reader)
    lost([*tagger, *words, *([str(checklist)] if words == ["checklist"] else [])], writer)
    os.close(writer)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
@pytest.mark.parametrize("words", COMMANDS)
def test_a_full_disk_gets_no_traceback(checklist, tagger, words):
    with open("/dev/full", "w") as full:
        command = [*tagger, *words, *([str(checklist)] if words == ["checklist"] else [])]
        lost(command, full.fileno())


def test_standard_output_may_be_closed(checklist, tagger):
    command = " ".join([*tagger, "checklist", f"'{checklist}'"])
    run = subprocess.run(["sh", "-c", f"{command} >&-"], stderr=subprocess.PIPE, text=True)
    assert (run.returncode, run.stderr) == (3, "tagger: Standard output is closed.\n")


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_output_fits_any_locale(tmp_path, encoding):
    path = tmp_path / "núñez.csv"
    path.write_text("number,name,parallels\n7,Łukasz,Złoty\n,,\n8,x,y,z,q,r\n", encoding="utf-8")
    env = {**os.environ, "PYTHONIOENCODING": encoding}
    run = subprocess.run(
        [sys.executable, "-m", "tagger", "checklist", path], capture_output=True, env=env
    )
    assert run.returncode == 1
    assert run.stderr == b""
    assert b"1 card in 1 set" in run.stdout
    run.stdout.decode(encoding)

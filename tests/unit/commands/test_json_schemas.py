"""Each JSON document is valid by the schema that its command publishes, and begins with its
format."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from support import drawn

from tagger.cli import main
from tagger.commands.grammar import VERBS, parser
from tagger.commands.renderers.findings import CODES
from tagger.config import load_settings
from tagger.core.audit.findings import FindingKind
from tagger.core.session.session import Session
from tagger.services.guide.json_schemas import schema_text
from tagger.services.opening import change
from tagger.store.machine.paths import config_file, lot_place

LIST = """set,number,name,team,parallels,price
1987 Harbor Light,1,Ada Marsh,Gulls,Gold /99,$0.10
1987 Harbor Light,2,Bo Lund,Foxes,Gold /99,"1,250"
1985 Mill Pond,7,Cyr Torwick,,,
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Three cards: a gold one, one with another condition, one set aside; a scan is cut short."""
    drawn.draw_scans(tmp_path / "box", 3, size=(60, 84))
    (tmp_path / "list.csv").write_text(LIST)
    place = lot_place(tmp_path / "box", None)
    with change(place, load_settings(config_file()), [tmp_path / "list.csv"]) as session:
        _tag(session)
    cut = tmp_path / "box" / "scan_0005.jpg"
    cut.write_bytes(cut.read_bytes()[:300])
    return tmp_path / "box"


def _tag(session: Session) -> None:
    session.take_unlisted("set=87 #1 ada_marsh nm")
    session.take_unlisted("#900 nobody")
    session.set_aside("torn")


def schema(verb: str, capsys: pytest.CaptureFixture[str]) -> Draft202012Validator:
    with pytest.raises(SystemExit) as end:
        main([verb, "--schema"])
    assert end.value.code == 0
    text = capsys.readouterr().out
    assert text == schema_text(verb)
    found = json.loads(text)
    Draft202012Validator.check_schema(found)
    return Draft202012Validator(found)


DOCUMENTS = [
    ["status", "box"],
    ["audit", "box"],
    ["checklist", "list.csv", "bad.csv"],
    ["match", "1 g", "--checklist", "list.csv"],
    ["match", "1 g", "--checklist", "list.csv", "--explain"],
    ["find", "nobody"],
    ["find", "1"],
    ["sets"],
    ["sets", "--wants", "--parallels"],
    ["value"],
    ["lots"],
    ["stock"],
    ["stock", "--counted", "counted.csv"],
    ["pick"],
    ["sales"],
    ["hub", "status"],
    ["read", "box"],
    ["measure", "box/scan_0001.jpg", "box/scan_0005.jpg", "none.jpg"],
    ["import", "box", "edited.csv"],
    ["import", "box", "edited.csv", "--yes"],
]


@pytest.mark.parametrize("words", DOCUMENTS, ids=" ".join)
def test_a_document_is_valid_by_its_schema(
    words: list[str],
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(folder.parent)
    Path("bad.csv").write_text("number,name\n1\n")
    assert main(["sold", "box", "1", "--order", "7", "--price", "$2"]) == 0
    assert main(["export", "box", "--to", "box.csv"]) == 0
    Path("edited.csv").write_bytes(Path("box.csv").read_bytes().replace(b"torn", b"bent"))
    Path("counted.csv").write_text("stock number\nK7TQX-0042-E\n")
    capsys.readouterr()
    validator = schema(words[0], capsys)
    assert main([*words, "--json"]) in (0, 1)
    document = json.loads(capsys.readouterr().out)
    assert [error.message for error in validator.iter_errors(document)] == []
    assert next(iter(document.items())) == ("format", 1)
    assert not validator.is_valid({**document, "format": 2})
    assert not validator.is_valid({**document, "other": 1})


def test_each_command_with_json_has_a_schema() -> None:
    (commands,) = (a.choices for a in parser()._actions if a.dest == "==SUPPRESS==" and a.choices)
    with_json = {
        verb
        for verb in VERBS
        if any("--json" in action.option_strings for action in commands[verb]._actions)
    }
    assert with_json == {words[0] for words in DOCUMENTS}


def test_each_kind_of_problem_has_a_code_of_its_own() -> None:
    assert set(CODES) == set(FindingKind)
    assert len(set(CODES.values())) == len(FindingKind)
    kinds = json.loads(schema_text("audit"))["properties"]["findings"]["items"]["properties"]
    assert kinds["kind"]["enum"] == sorted(CODES.values())

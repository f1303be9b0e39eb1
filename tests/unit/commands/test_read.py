"""`tagger read`: cards are read without the desk, once, and nothing is tagged."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from PIL import Image, ImageDraw, ImageFont

from tagger.cli import main
from tagger.errors import DONE, FAILED
from tagger.extras import installing
from tagger.imaging.reading import asked
from tagger.services.guide.json_schemas import schema_text
from tagger.services.reading import reading_process


def side(*lines: tuple[int, int, int, str]) -> Image.Image:
    made = Image.new("RGB", (415, 565), (22, 23, 26))
    made.paste((238, 234, 222), (20, 20, 395, 545))
    pen = ImageDraw.Draw(made)
    for x, y, size, text in lines:
        pen.text((x, y), text, (20, 24, 40), ImageFont.load_default(size))
    return made


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    folder = tmp_path / "box 12"
    folder.mkdir()
    side((80, 440, 34, "ADA MARSH")).save(folder / "scan_1.png")
    side((50, 50, 26, "22"), (150, 50, 26, "Ada Marsh"), (50, 500, 17, "© 1987 Harbor Light")).save(
        folder / "scan_2.png"
    )
    rows = ["Set,Number,Name", "1987 Harbor Light,22,Ada Marsh", "1987 Harbor Light,23,Ivo Lund"]
    (tmp_path / "list.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return folder


def test_a_lot_is_read_once(
    lot: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    line = ["read", str(lot), "--checklist", str(lot.parent / "list.csv")]
    assert main(["status", str(lot)]) == DONE
    assert "print read" not in capsys.readouterr().out
    # in this process: a test need not wait for another one to start
    monkeypatch.setattr(
        reading_process.Workers, "submit", lambda self, work, *given: Done(work(*given))
    )
    assert main(line) == DONE
    assert capsys.readouterr().out == (
        "box 12: 1 untagged card read\n  1 sure, 0 likely, 0 not recognized\n"
    )
    # no second reading: there is nobody who could
    monkeypatch.setattr(reading_process.ReadingProcess, "read", None)
    assert main([*line, "--json"]) == DONE
    document = json.loads(capsys.readouterr().out)
    jsonschema.validate(document, json.loads(schema_text("read")))
    (card,) = document["cards"]
    assert (card["reading"], card["number"], card["subject"]) == ("sure", "22", "Ada Marsh")
    assert main(["status", str(lot)]) == DONE
    out = capsys.readouterr().out
    assert "print read on 1 of 1 card" in out
    assert "0 tagged" in out


class Done:
    """What a process would have answered."""

    def __init__(self, answer: object) -> None:
        self._answer = answer

    def result(self, seconds: float) -> object:
        return self._answer


def test_what_is_missing_is_said(
    lot: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert main(["read", str(lot)]) == FAILED
    assert "name one with --checklist" in capsys.readouterr().err
    monkeypatch.setattr(asked, "find_spec", lambda name: None)
    assert main(["read", str(lot), "--checklist", str(lot.parent / "list.csv")]) == FAILED
    assert installing("reading") in capsys.readouterr().err
    assert main(["read", str(lot), "--checklist", str(lot.parent / "gone.csv")]) == FAILED

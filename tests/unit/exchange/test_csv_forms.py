"""CSV in the forms that other programs want: read by Python's csv and by clevercsv, and brought
back by an import without a difference."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import clevercsv
import pytest
from support.tabled import as_bytes, lot_folder

from tagger.cli import main
from tagger.core.session.session import Session
from tagger.errors import LotError, UsageError
from tagger.exchange.csv_form import CsvForm, read_csv_form
from tagger.exchange.price_cells import with_decimal_sign
from tagger.exchange.table import Table
from tagger.exchange.table_writer import write_csv
from tagger.store.lot.lot_file import LotFile

FORMS = (
    (",", ",", "utf-8"),
    (";,", ";", "utf-8"),
    (";, utf-8-bom quoted", ";", "utf-8-sig"),
    ("tab, cp1252", "\t", "cp1252"),
    (",. utf-16 quoted", ",", "utf-16"),
    ("quoted", ",", "utf-8"),
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = lot_folder(tmp_path_factory.mktemp("forms"))
    session = Session(LotFile(folder, "box 12"))
    session.go(4)
    session.take_unlisted("9 =é\"; 'x, y; $=1")
    session.close()
    return folder


@pytest.mark.parametrize("guard", [True, False])
@pytest.mark.parametrize(("words", "delimiter", "encoding"), FORMS)
def test_each_form_is_read_by_others_and_comes_back(
    folder: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    words: str,
    delimiter: str,
    encoding: str,
    guard: bool,
) -> None:
    target = tmp_path / "out.csv"
    more = ["--csv", words, *([] if guard else ["--no-guard"])]
    assert main(["export", str(folder), "--to", str(target), *more]) == 0
    text = target.read_bytes().decode(encoding)
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    assert text.endswith("\r\n")  # RFC 4180, section 2: each record on a line of its own
    assert {len(row) for row in rows} == {len(rows[0])}
    dialect = clevercsv.dialect.SimpleDialect(delimiter, '"', "")
    assert list(clevercsv.reader(io.StringIO(text, newline=""), dialect)) == rows
    prices = [row[rows[0].index("Price")] for row in rows[1:]]
    assert prices[0] == ("1,50" if words[1:2] == "," or "tab," in words else "1.50")
    subject = rows[3][rows[0].index("subject")]
    assert subject == ("'" if guard else "") + '=Bo "Bear" Lund'
    assert ('"position"' in text) == ("quoted" in words)
    capsys.readouterr()
    assert main(["import", str(folder), str(target)]) == 0
    assert "there is nothing to import" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (",,", "must differ"),
        ("|", "give a delimiter"),
        (";x", "give a delimiter"),
        ("", "give a delimiter"),
        ("; cp1253", "did you mean cp1252"),
    ],
)
def test_what_is_not_a_form_is_refused(words: str, said: str) -> None:
    with pytest.raises(UsageError, match=said):
        read_csv_form(words)


def test_signs_are_for_csv_only(folder: Path, tmp_path: Path) -> None:
    for more in (["--csv", ";"], ["--no-guard"]):
        target = ["--to", str(tmp_path / "out.json")]
        assert main(["export", str(folder), *target, *more]) == 2
        assert main(["export", str(folder), "--images", str(tmp_path / "p"), *more]) == 2
    assert not list(tmp_path.iterdir())


def test_a_letter_that_the_encoding_lacks_is_told() -> None:
    with pytest.raises(LotError, match="cp1252 does not have the letter 'Ł' in 'Łuk'"):
        write_csv(Table(("a",), (("Łuk",),)), "lot", bytes, CsvForm(encoding="cp1252"))
    assert as_bytes(Table(("a",), (("Łuk",),)), ".csv") == "a\r\nŁuk\r\n".encode()


@pytest.mark.parametrize(
    ("text", "sign", "price"),
    [
        ("$1.50", ",", "$1,50"),
        ("1,50 EUR", ".", "1.50 EUR"),
        ("1,234.50", ",", "1234,50"),
        ("ask, please", ".", "ask, please"),
        ("2", ",", "2"),
    ],
)
def test_the_decimal_sign_of_a_price(text: str, sign: str, price: str) -> None:
    assert with_decimal_sign(text, sign) == price

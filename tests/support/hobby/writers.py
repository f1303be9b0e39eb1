"""Files as other programs write them."""

from __future__ import annotations

import csv
import importlib.util
import io
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

Rows = Sequence[Sequence[object]]

HAS_OFFICE = shutil.which("soffice") is not None
HAS_PANDAS = importlib.util.find_spec("pandas") is not None


def delimited(rows: Rows, delimiter: str = ",", encoding: str = "utf-8", **how: Any) -> bytes:
    """A delimited text in a dialect of the csv module."""
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, **how).writerows(rows)
    return out.getvalue().encode(encoding)


def typed(lines: Iterable[str], encoding: str = "utf-8", end: str = "\n") -> bytes:
    """A typed text."""
    return (end.join(lines) + end).encode(encoding)


def book(sheets: Mapping[str, Rows] | Rows, after: Callable[[Any], None] | None = None) -> bytes:
    """A workbook by openpyxl; `after` merges, colours or hides before it is saved."""
    from openpyxl import Workbook

    made = Workbook()
    made.remove(made.active)
    named = sheets if isinstance(sheets, Mapping) else {"Sheet1": sheets}
    for title, rows in named.items():
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append([numeric(cell) for cell in row])
    if after is not None:
        after(made)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def numeric(cell: object) -> object:
    """What a spreadsheet makes of typed text: a number where it is one, nothing of none."""
    if not isinstance(cell, str) or cell == "":
        return cell or None
    if cell.startswith("0") and cell.isdigit():
        return cell
    for kind in (int, float):
        try:
            return kind(cell)
        except ValueError:
            continue
    return cell


def by_office(files: Mapping[str, bytes], form: str) -> dict[str, bytes]:
    """The files, by name, as LibreOffice saves them in another form; one start for all of them."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for name, data in files.items():
            (folder / name).write_bytes(data)
        out = folder / "out"
        for ending in sorted({Path(name).suffix for name in files}):
            command = ["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless"]
            if ending == ".csv":
                command.append("--infilter=Text - txt - csv (StarCalc):44,34,76")
            names = [str(folder / name) for name in files if name.endswith(ending)]
            command += ["--convert-to", form, "--outdir", str(out), *names]
            subprocess.run(command, check=True, capture_output=True, timeout=300)
        return {
            name: (out / Path(name).with_suffix(f".{form}").name).read_bytes() for name in files
        }

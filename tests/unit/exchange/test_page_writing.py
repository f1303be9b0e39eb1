"""The page as a file: where it may go, what is left when a write fails; its colours, and its
chart's figures."""

from __future__ import annotations

import errno
import html
import os
import re
from concurrent.futures.process import BrokenProcessPool
from fractions import Fraction
from importlib import resources
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support import drawn

from tagger.cli import main
from tagger.core.model.text import printable
from tagger.exchange.shown.chart import SetProgress, chart
from tagger.exchange.shown.html_parts import Html, HtmlParts
from tagger.services.output import thumbnails
from tagger.store.files import SystemFiles


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """Two cards, not tagged."""
    drawn.draw_scans(tmp_path / "box", 2)
    return tmp_path / "box"


def test_findings_can_be_left_out(lot, tmp_path):
    assert main(["page", str(lot), "--to", str(tmp_path / "out.html"), "--no-findings"]) == 0
    text = (tmp_path / "out.html").read_text(encoding="utf-8")
    assert "Scan problems" not in text
    assert 'id="card-2"' in text
    assert main(["page", str(lot), "--to", str(tmp_path / "out.html")]) == 0
    assert "Scan problems" in (tmp_path / "out.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("longest", [64, 150])
def test_no_picture_is_larger_than_asked_for(lot, tmp_path, longest):
    assert (
        main(["page", str(lot), "--to", str(tmp_path / "out.html"), "--max-size", str(longest)])
        == 0
    )
    text = (tmp_path / "out.html").read_text(encoding="utf-8")
    sizes = re.findall(r'width="(\d+)" height="(\d+)" loading', text)
    assert len(sizes) == 4
    assert {max(int(side) for side in size) for size in sizes} == {longest}


@pytest.mark.parametrize(
    ("target", "options", "status"),
    [
        ("out.pdf", [], 2),
        ("box/scan_0001.jpg", [], 2),
        ("none/out.html", [], 3),
        ("box", [], 2),
        ("out.html", ["--max-size", "63"], 2),
        ("out.html", ["--max-size", "2001"], 2),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(lot, tmp_path, capsys, target, options, status):
    before = {path: path.read_bytes() for path in lot.iterdir()}
    assert main(["page", str(lot), "--to", str(tmp_path / target), *options]) == status
    assert re.fullmatch(r"tagger: [^\n]+\n", capsys.readouterr().err)
    assert {path: path.read_bytes() for path in lot.iterdir()} == before
    assert [path.name for path in tmp_path.iterdir()] == ["box"]


def test_a_folder_without_scans_has_no_page(tmp_path, capsys):
    (tmp_path / "empty").mkdir()
    assert main(["page", str(tmp_path / "empty"), "--to", str(tmp_path / "out.html")]) == 3
    assert "has no scans" in capsys.readouterr().err
    assert not (tmp_path / "out.html").exists()


@pytest.mark.parametrize("call", ["write_at", "sync", "replace"])
def test_a_write_that_fails_leaves_the_old_page_whole(lot, tmp_path, capsys, monkeypatch, call):
    target = tmp_path / "out.html"
    target.write_bytes(b"old and whole")

    def fail(files: object, *rest: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    main(["audit", str(lot)])  # what is measured is kept before the disk fails
    capsys.readouterr()
    monkeypatch.setattr(SystemFiles, call, fail)
    assert main(["page", str(lot), "--to", str(target), "--force"]) == 3
    assert "out.html cannot be written: No space left on device." in capsys.readouterr().err
    assert target.read_bytes() == b"old and whole"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["box", "out.html"]


def test_a_process_that_ends_at_work_is_told_and_leaves_no_page(lot, tmp_path, capsys, monkeypatch):
    def ended(*_: object) -> None:
        raise BrokenProcessPool

    monkeypatch.setattr(thumbnails, "rendered", ended)
    assert main(["page", str(lot), "--to", str(tmp_path / "out.html")]) == 3
    assert "tagger: A worker process died" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["box"]


@given(st.integers(1, 5000).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))))
def test_percent_is_never_rounded_up(both: tuple[int, int]) -> None:
    """Against Python's own fractions."""
    have, of = both
    said = re.fullmatch(
        r"(\d+) of (\d+), ([\d.]+)%", SetProgress("Mill Pond", have, have, of).words
    )
    assert said
    assert (int(said[1]), int(said[2])) == both
    assert 0 <= Fraction(100 * have, of) - Fraction(said[3]) < Fraction(1, 10)


def test_a_long_name_fits_into_the_chart_and_a_set_in_no_checklist_has_no_bar():
    shown = chart(
        [SetProgress("山" * 60, 1, 1, 2), SetProgress("A" * 41, 1, 1, 2), SetProgress("Odd", 3)]
    )
    names = re.findall(r'<text x="0"[^>]*>([^<]*)<', shown)
    assert names == ["山" * 20 + "…", "A" * 40 + "…"]
    assert "Odd" not in shown
    assert chart([SetProgress("Odd", 3)]) == chart([]) == ""


def _luminance(colour: str) -> float:
    """WCAG 2.2, "relative luminance"."""
    digits = colour if len(colour) == 6 else "".join(2 * digit for digit in colour)
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _contrast(one: str, other: str) -> float:
    """WCAG 2.2, "contrast ratio"."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_text_stands_out_by_day_by_night_and_on_paper():
    """WCAG 2.2, 1.4.3 (text: 4.5:1) and 1.4.11 (parts of graphics: 3:1)."""
    assert _contrast("000000", "ffffff") == pytest.approx(21)
    style = resources.files("tagger.exchange.shown").joinpath("page.css").read_text("utf-8")
    looks = [
        dict(re.findall(r"--(\w+):#([0-9a-f]+)", look))
        for look in re.findall(r":root\{([^}]*)\}", style)
    ]
    assert len(looks) == 3
    for look in looks:
        for text in ("ink", "pale", "link"):
            assert _contrast(look[text], look["ground"]) >= 4.5
        assert _contrast(look["bar"], look["rest"]) >= 3


@given(st.text())
def test_a_value_is_text_in_the_page_and_never_a_part_of_it(value: str) -> None:
    made = HtmlParts("page.html", 2000).fill("told item", label=value, value=Html("<b>$x</b>"))
    inside = made.removeprefix("<dt>").removesuffix("</dt><dd><b>$x</b></dd>\n")
    assert not set(inside) & set("<>\"'")
    assert html.unescape(inside) == printable(value, 2000)

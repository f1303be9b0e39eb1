"""The page of a lot: valid, harmless, complete, and true."""

from __future__ import annotations

import base64
import hashlib
import io
import json
import re
import unicodedata
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote

import pytest
from justhtml import JustHTML
from PIL import Image
from support.folders import own_folders
from support.shop import lot_of
from support.shown_lot import (
    BASE,
    CODE,
    COUNTS,
    CUT_SHORT,
    HARBOR,
    HOSTILE,
    IMAGE,
    REASON,
    shown_lot,
)

from tagger.cli import main
from tagger.core.model.tags import Tags
from tagger.core.model.text import printable

pytestmark = pytest.mark.usefixtures("work_at_hand")

ELEMENTS = """
html head meta title style body a header h1 h2 h3 bdi nav ul li main section dl div dt dd svg desc
text rect table caption thead tbody tr th td b form p label br input output ol img footer script
select option dialog button
"""
# Unicode Standard Annex 9, table 4
BIDI = {
    "LRE",
    "RLE",
    "LRO",
    "RLO",
    "PDF",
    "LRI",
    "RLI",
    "FSI",
    "PDI",
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The lot's folder and its page."""
    top = tmp_path_factory.mktemp("page")
    with pytest.MonkeyPatch.context() as patch:
        for name, own in own_folders(top).items():
            patch.setenv(name, own)
        folder = shown_lot(top)
        # one front cannot be shown
        assert main(["page", str(folder), "--all", "--prices", "--to", str(top / "out.html")]) == 1
        assert main(["page", str(folder), "--to", str(folder.parent / "stock.html")]) == 1
    return folder, (top / "out.html").read_bytes().decode("utf-8")


def test_what_was_sold_is_not_on_the_page_unless_asked_for(made: tuple[Path, str]) -> None:
    folder, whole = made
    page = (folder.parent / "stock.html").read_text(encoding="utf-8")
    ids = [set(re.findall(r'id="(card-[0-9]+)"', text)) for text in (whole, page)]
    assert ids[0] - ids[1] == {"card-4"}
    assert "#card-4" not in page


@pytest.fixture(scope="module")
def page(made: tuple[Path, str]) -> JustHTML:
    """The page as a tree. Any parse error of the HTML Living Standard, section 13.2.2, is
    raised."""
    return JustHTML(made[1], strict=True, sanitize=False)


def text(node: object) -> str:
    return " ".join(node.to_text(separator="").split())  # type: ignore[attr-defined]


def cells(page: JustHTML, section: str) -> list[list[str]]:
    return [
        [text(cell) for cell in row.query("th, td")]
        for row in page.query(f"section[aria-labelledby={section}] tr")
    ]


def test_ids_are_unique_and_all_that_is_referred_to_is_there(page):
    ids = [node.attrs["id"] for node in page.query("[id]")]
    assert len(ids) == len(set(ids)) > COUNTS["cards"]
    named = [
        name
        for node in page.query("[aria-labelledby]")
        for name in node.attrs["aria-labelledby"].split()
    ]
    named += [name for node in page.query("[for]") for name in node.attrs["for"].split()]
    named += [node.attrs["href"].removeprefix("#") for node in page.query("a")]
    assert set(named) <= set(ids)


def test_pictures_say_what_they_are_and_how_large(page):
    """WCAG 2.2, 1.1.1; HTML Living Standard, 4.8.16 (width and height)."""
    pictures = page.query("img")
    assert len(pictures) == 2 * COUNTS["cards"] - 2
    alternatives = [picture.attrs["alt"] for picture in pictures]
    assert len(set(alternatives)) == len(alternatives)
    assert alternatives[0] == "Front of card 1, #1 Ada"
    for picture in pictures:
        data = base64.b64decode(
            picture.attrs["src"].removeprefix("data:image/jpeg;base64,"), validate=True
        )
        with Image.open(io.BytesIO(data)) as shown:
            assert shown.format == "JPEG"
            assert shown.size == (int(picture.attrs["width"]), int(picture.attrs["height"]))
            assert not shown.getexif()


def test_headings_make_an_outline_and_tables_have_heads(page):
    """WCAG 2.2, 1.3.1 and 2.4.6; techniques H42 and H63."""
    levels = [int(node.name[1]) for node in page.query("h1, h2, h3")]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    heads = page.query("th")
    assert heads
    assert all(head.attrs.get("scope") in ("col", "row") for head in heads)
    assert page.query("html")[0].attrs["lang"] == "en"
    assert page.query("svg")[0].attrs["role"] == "img"


def test_only_the_page_s_own_style_and_script_may_take_effect(made, page):
    """W3C, Content Security Policy Level 3, 6.7.3.3: the digest is that of the element's text, in
    base64."""
    policy = page.query("meta[http-equiv=Content-Security-Policy]")[0].attrs["content"]
    rules = {
        name: rest.split()
        for name, *rests in (r.strip().split(" ", 1) for r in policy.split(";"))
        for rest in rests
    }
    assert rules["default-src"] == ["'none'"]
    assert rules["img-src"] == ["data:"]
    assert (rules["base-uri"], rules["form-action"]) == (["'none'"], ["'none'"])
    for name in ("style", "script"):
        (inside,) = re.findall(rf"<{name}>(.*?)</{name}>", made[1], re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(inside.encode("utf-8")).digest()).decode()
        assert rules[f"{name}-src"] == [f"'sha256-{digest}'"]
        assert len(page.query(name)) == 1


def test_the_page_needs_nothing_from_elsewhere(made, page):
    for node in page.query("[href]"):
        assert node.attrs["href"].startswith("#")
    assert all(
        node.attrs["src"].startswith("data:image/jpeg;base64,") for node in page.query("[src]")
    )
    assert set(re.findall(r"\w+://[^\"'\s<]+", made[1])) == {"http://www.w3.org/2000/svg"}
    style = made[1].partition("<style>")[2].partition("</style>")[0]
    assert "body{" in style
    assert "@import" not in style
    assert "url(" not in style


def test_text_from_files_is_shown_and_does_nothing(made, page):
    """OWASP, Cross Site Scripting Prevention: no element or attribute comes of it; none of its
    signs moves others."""
    assert {node.name for node in page.query("*")} <= set(ELEMENTS.split())
    names = {name for node in page.query("*") for name in node.attrs}
    assert not [
        name for name in names if name.startswith("on") or name in ("style", "srcdoc", "srcset")
    ]
    assert not {char for char in set(made[1]) if unicodedata.bidirectional(char) in BIDI}
    shown = {text(node) for node in page.query("bdi, dd")}
    assert {
        f"#1 {IMAGE}",
        f"#77 {CODE}",
        REASON,
        printable(HOSTILE),
        "#4 محمد علي",
        "box <i>12",
    } <= shown


def test_counts_are_those_of_the_lot(page):
    counts = page.query("dl.counts div")
    assert {text(one.query("dt")[0]): int(text(one.query("dd")[0])) for one in counts} == COUNTS
    assert text(page.query("title")[0]) == "box <i>12: 10 cards"
    assert len(page.query("ol.cards > li")) == COUNTS["cards"]


def test_bars_are_as_long_as_what_is_there(page):
    rest, bars = (page.query(f"svg rect.{name}") for name in ("rest", "bar"))
    assert len(bars) == len(rest) == len(BASE)
    for (have, of), bar, whole in zip(BASE.values(), bars, rest, strict=True):
        assert float(bar.attrs["width"]) / float(whole.attrs["width"]) == pytest.approx(
            have / of, abs=0.001
        )
    head, *rows = cells(page, "sets")
    assert head == ["Set", "Cards in this lot", "Base cards"]
    assert rows == [
        [HARBOR, "4", "2 of 5, 40%"],
        [printable(HOSTILE), "1", "1 of 3, 33.3%"],
        ["Odd", "1", "in no checklist"],
    ]
    told = text(page.query("svg desc")[0])
    assert f"{HARBOR}: 2 of 5, 40%" in told


def test_findings_are_those_of_the_audit(made, page, capsys):
    assert main(["audit", str(made[0]), "--json"]) == 1
    found = json.loads(capsys.readouterr().out)["findings"]
    assert any(one["kind"] == "truncated" and one["scans"] == [CUT_SHORT] for one in found)
    _, *rows = cells(page, "found")
    assert rows == [
        [str(one["position"]), f"{one['problem']}: {one['detail']}.", one["remedy"]]
        for one in found
    ]  # fmt: skip
    assert f"({len(found)})" in text(page.query("nav")[0])


def test_tags_stand_with_their_card(page):
    told = {
        text(dt): text(dd)
        for dt, dd in zip(*(page.query(f"#card-1 {n}") for n in ("dt", "dd")), strict=True)
    }
    assert told == {
        "Set": HARBOR,
        "Number": "1",
        "Team": "Gulls",
        "Parallel": "base",
        "Condition (estimate)": "Near Mint",
        "Place": "box 3",
        "Price (estimate)": "1.50",
    }
    gold = [text(node) for node in page.query("#card-2 dd")]
    assert "Gold" in gold
    assert "12/99" in gold
    assert "sold" in [text(node) for node in page.query("#card-4 dd")]
    assert text(page.query("#card-8 .none")[0]) == "no front"
    assert text(page.query("#card-10 .none")[0]) == "no back"


def test_prices_are_shown_only_where_they_are_asked_for(made: tuple[Path, str]) -> None:
    folder, whole = made
    page = (folder.parent / "stock.html").read_text(encoding="utf-8")
    for said in ("Price (estimate)", "A price is the seller", 'data-price="1.50"', 'id="low"'):
        assert said in whole
        assert said not in page
    assert not re.search(r"rice|1\.50", page.partition("<main>")[2].partition("<script>")[0])


def test_each_card_says_what_the_filters_look_for(page):
    review = {
        node.attrs["id"]: set(node.attrs["data-review"].split())
        for node in page.query("ol.cards > li")
    }
    assert "gone" in review["card-4"]
    assert set().union(*review.values()) <= {"aside", "untagged", "unlisted", "problem", "gone"}
    values = {one.attrs["value"] for one in page.query("#review option")}
    assert values == {"", "aside", "untagged", "unlisted", "problem", "gone"}
    for state, count in (
        ("aside", "set aside"),
        ("untagged", "untagged"),
        ("gone", "sold or pulled"),
    ):
        assert sum(state in one for one in review.values()) == COUNTS[count]
    (card,) = page.query("#card-1")
    assert (card.attrs["data-set"], card.attrs["data-price"]) == (HARBOR, "1.50")


def test_words_are_found_as_they_are_typed_on_a_plain_keyboard(tmp_path: Path) -> None:
    names = "Søren Łukasz", "Groß", "O'Neil", "Ada Marsh"
    folder = lot_of(tmp_path / "lot", [Tags(HARBOR, "1", name) for name in names])
    target = tmp_path / "page.html"
    assert main(["page", str(folder), "--to", str(target)]) == 1  # without its pictures
    page = JustHTML(target.read_text(encoding="utf-8"), sanitize=False)
    cards = [node.attrs.get("data-words", "") for node in page.query("ol.cards > li")]
    assert [set(words.split()) for words in cards] == [
        {"soren", "lukasz", "sorenlukasz"},
        {"gross"},
        {"oneil"},
        {"adamarsh"},
    ]


def test_pictures_may_lie_in_a_folder_beside_the_page(made: tuple[Path, str], capsys) -> None:
    folder, whole = made
    target = folder.parent / "a b.html"
    assert main(["page", str(folder), "--folder", "--all", "--to", str(target)]) == 1
    assert "with their pictures in" in capsys.readouterr().err
    page = JustHTML(target.read_text(encoding="utf-8"), strict=True, sanitize=False)
    sources = [node.attrs["src"] for node in page.query("img")]
    assert len(sources) == whole.count("<img ")
    for node in page.query("img"):
        assert node.attrs["src"].startswith("a%20b-pictures/")
        with Image.open(target.parent / unquote(node.attrs["src"])) as shown:
            assert shown.size == (int(node.attrs["width"]), int(node.attrs["height"]))
    (policy,) = page.query("meta[http-equiv=Content-Security-Policy]")
    assert "img-src 'self' file:;" in policy.attrs["content"]
    assert target.stat().st_size < 40_000
    assert main(["page", str(folder), "--folder", "--to", "-"]) == 2


def test_conditions_and_prices_are_called_estimates(page):
    labels = {text(node) for node in page.query("li dt")}
    assert {one for one in labels if "ondition" in one or "rice" in one} == {
        "Condition (estimate)",
        "Price (estimate)",
    }
    said = text(page.query("footer")[0])
    assert "A condition seen on a scan is an estimate, not a professional grade." in said
    assert "A price is the seller's own or a checklist's: an estimate" in said

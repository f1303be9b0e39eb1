"""The page in a browser: the Nu checker finds no error, and axe no obstacle, with the page as it
opens, a card that is open large, in the dark and on a telephone."""

from __future__ import annotations

import json
import os
import subprocess

import pytest
from outside.conftest import Files
from support.outside import NODE, node_package, program, said

pytestmark = pytest.mark.nightly
PAGES = ("p.html", "f.html")


@pytest.mark.parametrize("name", PAGES)
def test_the_checker_of_html_finds_no_error(files: Files, name: str) -> None:
    java = program("java", "default-jre-headless")
    checker = node_package("vnu-jar") / "build" / "dist" / "vnu.jar"
    # its status is 1 where there is any error
    assert said([java, "-jar", checker, "--errors-only", files.folder / name]) == ""


def test_nothing_bars_the_way_of_a_screen_reader(files: Files) -> None:
    browser, node = program("chromium", "chromium"), program("node", "nodejs")
    for package in ("axe-core", "playwright-core"):
        node_package(package)
    pages = [str(files.folder / name) for name in PAGES]
    done = subprocess.run(
        [node, "accessible.cjs", *pages],
        cwd=NODE,
        env={**os.environ, "BROWSER_PATH": browser},
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )
    found = json.loads(done.stdout)
    assert len(found) == 2 * 2 * 2 * 2
    for seen in found:
        assert seen["passes"] > 10, seen
        assert (seen["errors"], seen["violations"]) == ([], []), seen
    assert {seen["large"] for seen in found} == {True, False}

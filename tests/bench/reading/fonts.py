"""Fonts that Debian packages, for cards that are drawn: fetched once into the cache, never kept
with the program."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

CACHE = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache")) / "tagger-bench-fonts"

# Package, and what of it is used. Each half of the cards has fonts of its own.
TUNING = {
    "fonts-lato": "Lato-Bold.ttf",
    "fonts-cabin": "Cabin-Regular.otf",
    "fonts-bebas-neue": "BebasNeue-Regular.otf",
    "fonts-courier-prime": "Courier Prime Bold.otf",
    "fonts-crosextra-caladea": "Caladea-Regular.ttf",
    "fonts-ebgaramond": "EBGaramond12-Regular.otf",
    "fonts-karla": "Karla-Regular.otf",
    "fonts-linuxlibertine": "LinLibertine_RB.otf",
    "fonts-oldstandard": "OldStandard-Regular.ttf",
    "fonts-play": "Play-Bold.ttf",
    "fonts-sil-andika": "Andika-Regular.ttf",
    "fonts-yanone-kaffeesatz": "YanoneKaffeesatz-Regular.otf",
    "fonts-adf-tribun": "TribunADFStd-BoldCond.otf",
    "fonts-lobster": "lobster.otf",
}
HELD = {
    "fonts-open-sans": "OpenSans-Semibold.ttf",
    "fonts-vollkorn": "Vollkorn-Bold.ttf",
    "fonts-league-spartan": "LeagueSpartan-Bold.otf",
    "fonts-liberation": "LiberationSansNarrow-Bold.ttf",
    "fonts-gfs-didot": "GFSDidot.otf",
    "fonts-quattrocento": "Quattrocento-Regular.otf",
    "fonts-clear-sans": "ClearSans-Regular.ttf",
    "fonts-roadgeek": "RG2014D.ttf",
    "fonts-paratype": "PTN77F.ttf",
    "fonts-averia-serif-gwf": "AveriaSerifGWF-Regular.ttf",
    "fonts-adf-universalis": "UniversalisADFStd-BoldCond.otf",
    "fonts-sil-charis": "CharisSIL-Bold.ttf",
    "fonts-national-park": "NationalPark-Heavy.otf",
    "fonts-gnutypewriter": "GNUTypewriter.ttf",
    "fonts-comfortaa": "Comfortaa-Bold.ttf",
    "fonts-goudybookletter": "GoudyBookletter1911.otf",
}


def fonts_of(half: str) -> list[Path]:
    """The fonts of a half, fetched where they are not there yet. Ends the program where the
    machine cannot fetch them."""
    wanted = TUNING if half == "tuning" else HELD
    found = _found(wanted)
    if len(found) < len(wanted):
        _fetch(wanted)
        found = _found(wanted)
    if len(found) < len(wanted):
        print("Some fonts of Debian could not be fetched (apt-get download).", file=sys.stderr)
    if not found:
        raise SystemExit(3)
    return found


def _found(wanted: dict[str, str]) -> list[Path]:
    there = {path.name: path for path in CACHE.glob("x/**/*") if path.is_file()}
    return [there[name] for name in wanted.values() if name in there]


def _fetch(wanted: dict[str, str]) -> None:
    CACHE.mkdir(parents=True, exist_ok=True)
    subprocess.run(["apt-get", "download", "-q", *wanted], cwd=CACHE, check=False)
    for package in CACHE.glob("*.deb"):
        subprocess.run(["dpkg-deb", "-x", package, CACHE / "x"], check=False)
        package.unlink()

"""Fonts of the second press, all packaged by Debian; none of the first press is among them."""

from __future__ import annotations

import subprocess
import sys
from functools import lru_cache
from pathlib import Path

from fontTools.ttLib import TTFont
from PIL import ImageFont

from bench.reading.fonts import CACHE

PLACE = CACHE / "press"
BOLD = {
    "fonts-adf-gillius": "GilliusADF-BoldCond.otf",
    "fonts-adf-switzera": "SwitzeraADF-BoldExt.otf",
    "fonts-crosextra-carlito": "Carlito-Bold.ttf",
    "fonts-tiresias": "tiresias_signfont_bold.ttf",
    "fonts-okolaks": "okolaksBold.ttf",
    "fonts-sora": "Sora-ExtraBold.otf",
    "fonts-comic-neue": "ComicNeue-Bold.otf",
    "fonts-adf-romande": "RomandeADFStd-DemiBold.otf",
    "fonts-rocknroll": "RocknRollOne-Regular.ttf",
    "fonts-texgyre": "texgyreheroscn-bold.otf",
    "fonts-urw-base35": "URWBookman-Demi.otf",
    "fonts-adf-berenis": "BerenisADFPro-Bold.otf",
}
SCRIPT = {
    "fonts-dancingscript": "DancingScript-Bold.otf",
    "fonts-kaushanscript": "KaushanScript-Regular.otf",
    "fonts-leckerli-one": "LeckerliOne-Regular.ttf",
    "fonts-lobstertwo": "LobsterTwo-Bold.otf",
}
TEXT = {
    "fonts-junction": "Junction.otf",
    "fonts-tuffy": "tuffy_regular.ttf",
    "fonts-go": "Go-Medium.ttf",
    "fonts-routed-gothic": "routed-gothic.ttf",
    "fonts-oxygen": "Oxygen-Sans.ttf",
    "fonts-adf-accanthis": "AccanthisADFStd-Bold.otf",
    "fonts-adf-baskervald": "BaskervaldADFStd-Bold.otf",
    "fonts-lindenhill": "LindenHill.otf",
    "fonts-sil-gentium-basic": "GenBkBasR.ttf",
    "fonts-essays1743": "Essays1743-Bold.ttf",
    "fonts-yrsa-rasa": "Yrsa-Medium.ttf",
    "fonts-elstob": "ElstobD-Medium.otf",
    "fonts-cmu": "cmuntb.ttf",
    "fonts-anonymous-pro": "Anonymous Pro B.ttf",
    "fonts-gfs-artemisia": "GFSArtemisiaBold.otf",
    "fonts-adf-solothurn": "Solothurn-Bold.otf",
}


@lru_cache
def faces(kind: str) -> tuple[Path, ...]:
    """The fonts of a kind: "bold", "script" or "text". Ends the program where the machine cannot
    fetch any."""
    wanted = {"bold": BOLD, "script": SCRIPT, "text": TEXT}[kind]
    found = _found(wanted)
    if len(found) < len(wanted):
        _fetch(wanted)
        found = _found(wanted)
    if not found:
        print("The fonts of Debian could not be fetched (apt-get download).", file=sys.stderr)
        raise SystemExit(3)
    return tuple(found)


@lru_cache(512)
def face(path: Path, pixels: int) -> ImageFont.FreeTypeFont:
    """A font at a size."""
    return ImageFont.truetype(str(path), pixels)


@lru_cache
def letters_of(path: Path) -> frozenset[str]:
    """The characters that a font can print."""
    with TTFont(path, lazy=True) as font:
        return frozenset(map(chr, font.getBestCmap()))


def _found(wanted: dict[str, str]) -> list[Path]:
    there = {path.name: path for path in PLACE.glob("x/**/*") if path.is_file()}
    return [there[name] for name in wanted.values() if name in there]


def _fetch(wanted: dict[str, str]) -> None:
    PLACE.mkdir(parents=True, exist_ok=True)
    subprocess.run(["apt-get", "download", "-q", *wanted], cwd=PLACE, check=False)
    for package in PLACE.glob("*.deb"):
        subprocess.run(["dpkg-deb", "-x", package, PLACE / "x"], check=False)
        package.unlink()

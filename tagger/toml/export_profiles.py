"""The profiles of `tagger export` in the settings: options under a name.

[exports.shop]
to = ["shop.csv", "counts.xlsx"]
layout = ["shop.toml", "counts"]
all-lots = true
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.toml.document import TomlTable


def _number(given: TomlTable, name: str) -> float:
    number = given.number(name)
    if number is None:
        raise given.must(name, "a number")
    return float(number)


def _whole(given: TomlTable, name: str) -> int:
    number = given.whole(name)
    if number is None:
        raise given.must(name, "a whole number")
    return number


def _several(given: TomlTable, name: str) -> list[str]:
    return list(given.texts(name))


def _text(given: TomlTable, name: str) -> str:
    return given.text(name)


def _flag(given: TomlTable, name: str) -> bool:
    return given.flag(name)


OPTIONS: Mapping[str, Callable[[TomlTable, str], object]] = {
    "to": _several, "layout": _several, "only": _several,
    "format": _text, "csv": _text, "mark-listed": _text, "images": _text, "name": _text,
    "all-lots": _flag, "all": _flag, "no-guard": _flag, "side-by-side": _flag, "srgb": _flag,
    "thumbnails": _flag,
    "max-size": _whole, "quality": _whole,
    "margin": _number,
}  # fmt: skip
"""What reads the value of each option that a profile may have."""


def read_profile(given: TomlTable) -> Mapping[str, object]:
    """The options of one profile with their values. Raises ConfigError."""
    given.check_names([*OPTIONS], "option of an export")
    return {name: OPTIONS[name](given, name) for name in given}

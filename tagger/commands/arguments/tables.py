"""The arguments of `tagger export` that say which tables are written, of which lots, and the
profiles in the settings, which stand for such arguments."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.arguments.layouts import csv_form, ending_of
from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.core.overview.selection import Filter, read_filter_of_lots
from tagger.errors import UsageError
from tagger.exchange.csv_form import PLAIN
from tagger.exchange.table_writer import FORMS
from tagger.services.lot_places import place_of_folder
from tagger.services.output.layouts import named_layout
from tagger.services.output.tables import TablePlan
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import config_file, data_folder
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.model.condition import Scale
    from tagger.exchange.layout.layout import Layout
    from tagger.store.machine.paths import LotPlace

_PATHS = ("to", "images")


def lots_arguments(parser: argparse.ArgumentParser) -> None:
    """FOLDER, any number of them, --all-lots and --state."""
    options.path(parser, "folders", "FOLDER", "the folders of scans, one or several", nargs="*")
    options.flag(parser, "--all-lots", "export all lots opened on this machine")
    said = "store lot.json in DIR (for a scan folder that you cannot write to)"
    options.path(parser, "--state", "DIR", said)


def table_arguments(parser: argparse.ArgumentParser) -> None:
    """--to, --layout, --only and --profile."""
    endings = ", ".join(FORMS)
    said = f"the file to write: {endings}; - for standard output; repeat it for several tables"
    options.path(parser, "--to", "FILE", said, action="append")
    said = "a layout file, or the name of a built-in layout; one for all tables, or one for each"
    options.text(parser, "--layout", "FILE.toml", said, action="append")
    said = "only these cards: words as in the overview, such as 'rc gold over 5'"
    options.text(parser, "--only", "WORDS", said, action="append")
    said = "use the options of [exports.NAME] in the settings; those you type go before them"
    options.text(parser, "--profile", "NAME", said)


def fill_from_profile(given: argparse.Namespace, settings: Settings) -> None:
    """Put the options of a profile where none was typed. Raises UsageError."""
    if given.profile is None:
        return
    known = settings.exports
    if given.profile not in known:
        shown = printable(given.profile, 60)
        raise UsageError(f"'{shown}' is not a profile{_near_profile(given.profile, [*known])}")
    for name, value in known[given.profile].items():
        typed = getattr(given, name.replace("-", "_"))
        # by identity, because 0 is equal to False: `--margin 0` was typed
        if typed is None or typed is False:
            setattr(given, name.replace("-", "_"), _as_typed(name, value))


def _near_profile(name: str, known: Sequence[str]) -> str:
    if not known:
        return f"; add [exports.NAME] to {printable(str(config_file()))}."
    # a sentence about one that is not near names at least two
    return meant(name, known) if len(known) > 1 else f"; there is {printable(known[0], 60)}."


def _as_typed(name: str, value: object) -> object:
    if name == "to" and isinstance(value, list):
        return [_path(one) for one in value]
    if name == "layout" and isinstance(value, list):
        return [_layout(one) for one in value]
    return _path(str(value)) if name in _PATHS else value


def _path(text: str) -> Path:
    return Path(text).expanduser()


def _layout(text: str) -> str:
    """A layout's file beside the settings goes before a name."""
    beside = config_file().parent / _path(text)
    return os.fspath(beside) if os.path.exists(beside) else text


def named_layouts(given: argparse.Namespace, shop: str, scale: Scale) -> dict[str, Layout]:
    """The layouts that are named, for a shop and a scale of conditions. Raises UsageError and
    LotError."""
    names = given.layout or ()
    return {name: named_layout(name).in_shop(shop).in_scale(scale) for name in names}


def table_plans(given: argparse.Namespace, layouts: Mapping[str, Layout]) -> list[TablePlan]:
    """The tables that are asked for. Raises UsageError."""
    targets, named = given.to or [], given.layout or []
    _check_tables(given, targets, named)
    # one layout is for each of the tables
    names = named * len(targets) if len(named) == 1 else named
    return [
        _plan(given, target, layouts[names[at]] if names else None)
        for at, target in enumerate(targets)
    ]


def _check_tables(given: argparse.Namespace, targets: Sequence[Path], named: Sequence[str]) -> None:
    if len(named) > 1 and len(named) != len(targets):
        raise UsageError("Give one --layout for all tables, or one for each --to, in order.")
    _check_different(targets)
    if given.thumbnails and ".xlsx" not in (ending_of(one, given.format) for one in targets):
        raise UsageError("--thumbnails goes with --to FILE.xlsx.")


def _plan(given: argparse.Namespace, target: Path, layout: Layout | None) -> TablePlan:
    ending = ending_of(target, given.format)
    # of several tables --csv is for those that are one
    others = {ending_of(one, given.format) for one in given.to} - {ending}
    form = PLAIN if ".csv" in others else csv_form(given, ending)
    return TablePlan(target, ending, layout, form)


def _check_different(targets: Sequence[Path]) -> None:
    real = [target if target == STDIO else Path(os.path.realpath(target)) for target in targets]
    for at, path in enumerate(real):
        if path in real[:at]:
            raise UsageError(
                f"{printable(str(targets[at]))} is named twice; give each table a file."
            )


def filters(given: argparse.Namespace, scale: Scale) -> tuple[Filter, ...]:
    """What --only says. Raises UsageError where it cannot be read."""
    found = tuple(read_filter_of_lots(words, scale) for words in given.only or ())
    for one in found:
        if one.unclear:
            raise UsageError(f"--only: {one.unclear}.")
    return found


def lot_places(given: argparse.Namespace) -> list[LotPlace]:
    """The lots that are named, each once. Raises UsageError and LotError."""
    if given.all_lots:
        return _all_places(given)
    if not given.folders:
        raise UsageError("Name the folders of the lots, or say --all-lots.")
    if given.state is not None and len(given.folders) > 1:
        raise UsageError("--state goes with one folder.")
    return [*dict.fromkeys(place_of_folder(folder, given.state) for folder in given.folders)]


def _all_places(given: argparse.Namespace) -> list[LotPlace]:
    if given.folders or given.state is not None:
        raise UsageError("Say --all-lots or name folders, not both.")
    return LotList(data_folder()).places()

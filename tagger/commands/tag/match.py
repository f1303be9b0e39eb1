"""`tagger match`: what a hint means, for scripts and for trying hints out."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.common import Command, json_argument
from tagger.commands.renderers import candidates
from tagger.config import load_settings
from tagger.core.lot.carried import Carried
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Tags
from tagger.core.model.text import printable
from tagger.core.reports.completion import sets_named
from tagger.errors import DONE, UsageError
from tagger.services.console import out_lines, print_json, tell
from tagger.services.lists.lot_checklists import indexed
from tagger.services.lists.naming import list_names
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from tagger.core.index.index import Index

LIMIT = 9


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("hint", metavar="HINT", help="what you would type for the card, in quotes")
    said = "a checklist, or a folder of them; - for standard input"
    options.checklists(parser, said, required=True)
    said = "the carried set, by its name or part of it"
    options.text(parser, "--set", "SET", said, default="")
    options.text(parser, "--after", "NUMBER", "the number of the previous card", default="")
    said = f"show at most N candidates (default {LIMIT})"
    options.number(parser, "--limit", "N", said, default=LIMIT)
    options.flag(parser, "--explain", "say how each word was read")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    if given.limit < 1:
        raise UsageError("--limit takes a whole number from 1.")
    # Strict: a script would take what half of the lists say for the whole answer.
    settings = load_settings(config_file())
    names = list_names(settings)
    index = indexed(given.checklist, names, strict=True).index
    matcher = Matcher(index, settings.scale)
    found = matcher.rank(given.hint, _context(index, given.set, given.after), given.limit)
    if given.json:
        print_json(candidates.as_json(found, given.explain))
        return DONE
    out_lines(candidates.as_text(found, given.explain))
    if not found:
        tell("No checklist card matches this hint.")
    return DONE


def _context(index: Index, given_set: str, after: str) -> Context:
    """What is known of the card besides the hint. Raises UsageError."""
    name = _set_name(index, given_set)
    # Numbers begin anew in each set, so a number alone says nothing.
    if after and not name and len(index.sets) > 1:
        raise UsageError("--after needs --set: say which set the number is in.")
    before = None
    if after and index.sets:
        before = Tags(set=name or index.sets[0], number=after)
    return Context(Carried().put("set", name), before, frozenset(filter(None, [name])))


def _set_name(index: Index, given: str) -> str:
    """The set that a name or a part of it means. Raises UsageError."""
    if not given:
        return ""
    # A whole name goes before a part: `1987 Harbor` may begin other sets' names.
    whole = index.set_id(given)
    if whole is not None:
        return index.sets[whole]
    near = [index.sets[id] for id in sets_named(index, given)]
    if len(near) == 1:
        return near[0]
    raise UsageError(_unclear_set(given, near, index.sets))


def _unclear_set(given: str, near: Sequence[str], every: Sequence[str]) -> str:
    """Why a name means no set: it is part of several (`near`), or of none."""
    listed = ", ".join(printable(name, 60) for name in (near or every)[:12])
    shown = printable(given, 60)
    if near:
        return f"'{shown}' fits more than one set: {listed}. Type more of the name."
    return f"unknown set '{shown}'; the checklists have: {listed}."


HELP = "show which cards a hint matches"
EXAMPLES = (
    'tagger match "23 g" --checklist harbor-1987.csv',
    'tagger match "" --checklist harbor-1987.csv --set "1987 Harbor Light" --after 22 --json',
)
COMMAND = Command("match", HELP, EXAMPLES, _arguments, _run)

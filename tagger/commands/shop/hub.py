"""`tagger hub`: several stations as one inventory, on a PostgreSQL database."""

from __future__ import annotations

import argparse
import time
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, json_argument
from tagger.commands.renderers import hub as renderer
from tagger.config import load_settings
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.errors import DONE, HubError, UsageError
from tagger.services.console import complain, out_lines, print_json, tell
from tagger.services.hub.hub import NO_HUB, Hub, hub_of, named_hub
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.services.hub.sending import PublishReport

ACTIONS = ("setup", "publish", "pull", "status")
EVERY = 15.0  # seconds between two looks with --watch


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = (
        "setup makes the tables, publish sends your lots, pull gets the others', status shows all"
    )
    parser.add_argument("action", metavar="ACTION", choices=ACTIONS, help=f"{ACTIONS}: {said}")
    said = "with setup: the database, as postgresql://owner@machine/shop"
    parser.add_argument("url", metavar="URL", nargs="?", help=said)
    options.flag(parser, "--watch", "with publish: go on, and publish what changes")
    options.flag(parser, "--prices", "with publish: send today's prices of your checklists")
    options.flag(parser, "--lists", "with publish, pull: share checklists and loupes too")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    _check(given)
    if given.action == "setup":
        return _set_up(given.url)
    settings = load_settings(config_file())
    if given.action == "status":
        return _status(settings, given.json)
    hub = named_hub(settings)
    if given.action == "pull":
        return _pull(hub, given.lists)
    if given.watch:
        return _watch(hub, settings, given.prices)
    return _publish(hub, settings, given)


def _check(given: argparse.Namespace) -> None:
    """Raises UsageError where words do not go together."""
    if (given.action == "setup") != (given.url is not None):
        raise UsageError("Name the database with setup, and only there: tagger hub setup URL.")
    if (given.watch or given.prices) and given.action != "publish":
        raise UsageError("--watch and --prices go with tagger hub publish.")
    if given.lists and (given.watch or given.action not in ("publish", "pull")):
        raise UsageError("--lists goes with tagger hub publish, without --watch, and with pull.")
    if given.json and given.action != "status":
        raise UsageError("--json goes with tagger hub status.")


def _set_up(url: str) -> int:
    from tagger.store.hub.connection import connected
    from tagger.store.hub.schema import set_up

    with connected(url) as line:
        before, now = set_up(line)
    if before == now:
        tell(f"The hub was set up before (version {now}); nothing was changed.")
    else:
        tell(f"The hub is set up (version {now}).")
    tell(
        "Each station's user needs a role, given by the owner: GRANT tagger_publish TO north; "
        "tagger_read is for who only looks. Name the hub in each station's settings: [hub] "
        'url = "postgresql://north@machine/shop"; see tagger help stations.'
    )
    return DONE


def _publish(hub: Hub, settings: Settings, given: argparse.Namespace) -> int:
    from tagger.services.hub.publishing import publish

    report = publish(hub, settings, given.prices, given.lists)
    _tell(report)
    tell(
        f"{counted(report.lots, 'lot')} published ({counted(report.cards, 'card')}), "
        f"{report.unchanged} unchanged."
    )
    if given.lists:
        tell(f"Checklists and loupes that are new to the hub: {report.shared}.")
    return attention_if(report.problems)


def _tell(report: PublishReport) -> None:
    out_lines(report.sales)
    for sentence in report.problems:
        complain(sentence)


def _watch(hub: Hub, settings: Settings, prices: bool) -> int:
    """Until it is stopped. What goes wrong is said once, and tried again."""
    from tagger.services.hub.publishing import publish

    tell("Publishing what changes; Ctrl+C ends it.")
    said: set[str] = set()
    while True:
        problems: set[str] = set()
        try:
            report = publish(hub, settings, prices)
            problems.update(report.problems)
            report.problems = [one for one in report.problems if one not in said]
            _tell(report)
            if report.lots:
                tell(f"{counted(report.lots, 'lot')} published.")
        except HubError as error:
            problems.add(error.message)
            if error.message not in said:
                complain(error.message)
        said = problems
        time.sleep(EVERY)


def _pull(hub: Hub, lists: bool) -> int:
    from tagger.services.hub.ages import tell_ages
    from tagger.services.hub.own_wishes import own_answers
    from tagger.store.hub.pulling import pull
    from tagger.store.hub.shared import get_shared, lists_folder

    # who may only read has asked for nothing
    with hub.line() as line:
        told = own_answers(line, hub)
        pulled = pull(line, hub.station)
        shared = get_shared(line, hub.station) if lists else 0
    out_lines(told.good)
    problems = (*told.bad, *pulled.problems)
    for sentence in problems:
        complain(sentence)
    gone = f", {pulled.gone} gone" if pulled.gone else ""
    tell(f"{counted(pulled.lots, 'lot')} pulled ({counted(pulled.cards, 'card')}){gone}.")
    if lists:
        where = printable(str(lists_folder()))
        tell(f"Checklists and loupes that are new here: {shared}; the checklists are in {where}.")
    tell_ages()
    return attention_if(problems)


def _status(settings: Settings, as_json: bool) -> int:
    from tagger.services.hub.status import hub_status

    status = hub_status(hub_of(settings))
    if status.hub is None:
        complain(NO_HUB)
    if as_json:
        print_json(renderer.as_json(status))
    else:
        out_lines(renderer.as_text(status))
    if status.problem and not as_json:
        complain(status.problem)
    return attention_if(status.problem or status.hub is None)


HELP = "make the lots of several machines one inventory"
EXAMPLES = (
    "tagger hub setup postgresql://owner@machine/shop",
    "tagger hub publish",
    "tagger hub publish --watch",
    "tagger hub pull",
    "tagger hub status --json",
)
COMMAND = Command("hub", HELP, EXAMPLES, _arguments, _run)

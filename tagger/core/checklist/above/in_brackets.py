"""What headings say in brackets behind their names: how often cards are found, their print run,
parallels that they have or lack."""

from __future__ import annotations

import re

from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.raw.odds import ODDS, ODDS_HELD
from tagger.core.checklist.raw.print_runs import split_run

_ALSO = re.compile(
    r"^\s*(?:also(?: in| as| comes in)?|auch(?: in| als)?|aussi(?: en)?|también(?: en)?|"
    r"anche(?: in)?|ook(?: in)?|parallels?:|parallelen:|exists? in|comes? in)\s+",
    re.IGNORECASE,
)


def without_also(text: str) -> str:
    """`also Chrome /250 and Ice` without the word that leads in."""
    return _ALSO.sub("", text)


def also_said(text: str) -> str:
    """The parallels that a heading lists in brackets: `Night Games (1:8; also Gold, numbered to
    250)`; empty where it lists none."""
    held = text[text.find("(") + 1 : -1].split(";") if text.endswith(")") else []
    listed = [bare.strip() for one in held if (bare := without_also(one)) != one]
    return listed[0] if len(listed) == 1 and is_finish(listed[0]) else ""


def run_held(text: str) -> int:
    """The print run that a heading says beside how often its cards are found: `Night Games (1:12;
    all #'d /25)`; 0 where it says none."""
    match = ODDS_HELD.search(text)
    said = re.split(r"[;,]\s", match[0].strip(" ()[]"))[1:] if match else []
    return next((run for one in said if (run := split_run(one)[1])), 0)


def without_held(text: str) -> str:
    """A heading without what it says behind its numbers in brackets: `Rookies 61-70 (no Gold)`."""
    return _LACKING.sub("", ODDS_HELD.sub("", ODDS.sub("", text)))


_LACKING = re.compile(
    r"\s*[(\[](?:[^()\[\]]*[;,]\s*)?(?:no|not in|without|keine?|ohne|nicht in|sans|pas de|sin|"
    r"no en|senza|non in|geen|zonder|niet in)\s+(?P<names>[^()\[\]]+)[)\]]$",
    re.IGNORECASE,
)


def parallels_lacking(text: str) -> list[str]:
    """The parallels that a heading says its cards have not: `Rookies (no Silver or Red)`."""
    match = _LACKING.search(text)
    between = r",|;|\s(?:or|and|nor|oder|und|ou|et|ni|o|y|e|of|en)\s"
    return [one.strip() for one in re.split(between, match["names"])] if match else []

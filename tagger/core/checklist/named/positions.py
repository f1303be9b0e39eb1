"""Where players stand in the field, as lists write it behind names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

# common practice, no source
_POSITIONS = frozenset(
    ["QB", "RB", "FB", "HB", "TB", "WR", "TE", "FL", "OT", "OG", "OL", "C", "G", "T", "DE", "DT",
     "DL", "NT", "LB", "ILB", "OLB", "MLB", "CB", "S", "SS", "FS", "DB", "K", "P", "PK", "KR",
     "1B", "2B", "3B", "LF", "CF", "RF", "OF", "DH", "UT", "IF", "LHP", "RHP", "GK", "DF", "MF",
     "FW", "D", "M", "F", "RW", "LW", "PG", "SG", "SF", "PF", "MID", "FWD", "GKP", "OH", "OP", "MB",
     "POR", "DEF", "MED", "DEL", "LAT", "CEN", "EXT", "TOR", "TW", "ABW", "MIT", "STU", "TRW",
     "MIL", "GAR", "ATT", "DIF", "ALL", "GR", "AVA", "AVD", "PL", "DOE", "VER", "AAN",
     "MV", "ENT", "TRA"]
)  # fmt: skip
POSITION_BEHIND = re.compile(
    r"^(?P<name>.*[^\s,])(?:,\s+|\s+[-–—]\s+|\s+(?=[(\[]))"
    r"[(\[]?(?P<position>[A-Z0-9]{1,3}(?:[/-][A-Z0-9]{1,3})?)[)\]]?$"
)


def positions_among(teams: Iterable[str]) -> set[str]:
    """What stands in brackets where teams do and is where players stand: several such, and not
    fewer than there are other short forms."""
    short = {team for team in teams if team.isupper() and len(team) < _LONGEST}
    places = short & _POSITIONS
    return places if len(places) > 2 and len(places) * 2 > len(short) else set()


_LONGEST = 4  # characters, with which it is a word


def are_positions(found: Sequence[str], count: int) -> bool:
    """Whether what nearly all of so many names have behind them is positions, and no short forms of
    teams."""
    places = {place for one in found for place in re.split("[/-]", one)}
    return len(places) > 2 and places <= _POSITIONS and len(found) * 10 >= count * 8

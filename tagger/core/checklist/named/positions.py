"""Where players stand in the field, as lists write it behind names."""

from __future__ import annotations

import re
from collections.abc import Sequence

# common practice, no source
_POSITIONS = frozenset(
    ["QB", "RB", "FB", "HB", "TB", "WR", "TE", "FL", "OT", "OG", "OL", "C", "G", "T", "DE", "DT",
     "DL", "NT", "LB", "ILB", "OLB", "MLB", "CB", "S", "SS", "FS", "DB", "K", "P", "PK", "KR",
     "1B", "2B", "3B", "LF", "CF", "RF", "OF", "DH", "UT", "IF", "LHP", "RHP", "GK", "DF", "MF",
     "FW", "D", "M", "F", "RW", "LW", "PG", "SG", "SF", "PF"]
)  # fmt: skip
POSITION_BEHIND = re.compile(
    r"^(?P<name>.*[^\s,])(?:,\s+|\s+[-–—]\s+|\s+(?=[(\[]))"
    r"[(\[]?(?P<position>[A-Z0-9]{1,3}(?:[/-][A-Z0-9]{1,3})?)[)\]]?$"
)


def are_positions(found: Sequence[str], count: int) -> bool:
    """Whether what nearly all of so many names have behind them is positions, and no short forms of
    teams."""
    places = {place for one in found for place in re.split("[/-]", one)}
    return len(places) > 2 and places <= _POSITIONS and len(found) * 10 >= count * 8

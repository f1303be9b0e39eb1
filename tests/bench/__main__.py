"""Runs topics, each in a process of its own: what one has loaded or drawn would be measured with
the next. Exit status 1 where an aim is missed or a table could not be made, 2 where there is no
such topic."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
GROUPS = {
    "working": ("pace", "overview", "recognition"),
    "leaving": ("export", "images", "find", "page"),
}


def topics() -> dict[str, str]:
    """Name and one line of each topic. The line is read, not imported: some topics load numpy."""
    return {
        main.parent.name: ast.get_docstring(ast.parse(main.with_name("__init__.py").read_text()))
        or ""
        for main in sorted(HERE.glob("*/__main__.py"))
    }


def listed() -> str:
    """The topics and groups, a line each."""
    lines = ["tests/bench/run TOPIC [--quick] prints the table of one topic or of a group:", ""]
    lines += [f"    {name:<12} {line}" for name, line in topics().items()]
    lines += [f"    {name:<12} all of: {', '.join(parts)}" for name, parts in GROUPS.items()]
    return "\n".join(lines)


def main(arguments: list[str]) -> int:
    """Returns the exit status."""
    if not arguments or arguments[0] in ("-h", "--help"):
        print(listed())
        return 0
    name, *further = arguments
    if name not in GROUPS and name not in topics():
        print(f"There is no topic {name!r}.\n\n{listed()}", file=sys.stderr)
        return 2
    worst = 0
    for topic in GROUPS.get(name, (name,)):
        if name in GROUPS:
            print(f"\n{topic}", flush=True)
        done = subprocess.run([sys.executable, "-m", f"bench.{topic}", *further])
        worst = max(worst, abs(done.returncode))
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

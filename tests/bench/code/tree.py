"""A package as its files stand: text, lines and syntax tree of each module, parsed once."""

from __future__ import annotations

import ast
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path


@dataclass(frozen=True)
class Module:
    """One source file; `name` is its path below the package."""

    name: str
    source: str

    @cached_property
    def tree(self) -> ast.Module:
        """Its syntax tree."""
        return ast.parse(self.source)

    @property
    def lines(self) -> int:
        """How many lines it has."""
        return self.source.count("\n")

    @property
    def folder(self) -> str:
        """The folder it stands in, as a path below the package."""
        return Path(self.name).parent.as_posix()

    @property
    def in_demo(self) -> bool:
        """Whether it draws the demo: pictures in code, which some measures leave out."""
        return self.name.startswith("demo/")


def modules(package: Path) -> list[Module]:
    """All modules of a package on disk, in the order of their paths."""
    return [
        Module(path.relative_to(package).as_posix(), path.read_text(encoding="utf-8"))
        for path in sorted(package.rglob("*.py"))
    ]

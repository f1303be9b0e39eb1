"""What is counted in the text of the modules: sizes, complexity, names, comments."""

from __future__ import annotations

import ast
import io
import re
import tokenize
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from radon.complexity import cc_visit
from radon.visitors import Class

from bench.code.tree import Module

# They speak to a tool and give no reason.
_TOOL = re.compile(r"#\s*(noqa|type:|fmt:|pragma)")


class Function(NamedTuple):
    """A function or method, where it stands, its cyclomatic complexity and its lines."""

    module: str
    name: str
    complexity: int
    lines: int


def fullest_folder(modules: Sequence[Module]) -> tuple[str, int]:
    """The folder with the most files in it, and how many."""
    return Counter(module.folder for module in modules).most_common(1)[0]


def functions(modules: Sequence[Module]) -> list[Function]:
    """All functions and methods; what is defined in another function counts with it."""
    return [found for module in modules for found in _functions(module)]


def _functions(module: Module) -> Iterator[Function]:
    for block in cc_visit(module.source):
        if not isinstance(block, Class):
            yield Function(
                module.name, block.name, block.complexity, block.endline - block.lineno + 1
            )


def if_expressions(modules: Sequence[Module]) -> float:
    """`a if c else b` in 1,000 lines."""
    found = sum(isinstance(node, ast.IfExp) for module in modules for node in ast.walk(module.tree))
    return 1000 * found / sum(module.lines for module in modules)


def comments(modules: Sequence[Module]) -> float:
    """Comments in 100 lines, those for tools left out; one that goes on over lines is as many."""
    found = sum(
        token.type == tokenize.COMMENT and not _TOOL.match(token.string)
        for module in modules
        for token in tokenize.generate_tokens(io.StringIO(module.source).readline)
    )
    return 100 * found / sum(module.lines for module in modules)


def shared_class_names(modules: Sequence[Module]) -> tuple[dict[str, list[str]], int]:
    """Class names that stand in two modules or more with those modules, and how many names there
    are in all."""
    named: dict[str, list[str]] = defaultdict(list)
    for module in modules:
        for name in sorted({node.name for node in _classes(module)}):
            named[name].append(module.name)
    return {name: where for name, where in named.items() if len(where) > 1}, len(named)


def largest_class(modules: Sequence[Module]) -> tuple[str, int]:
    """The class with the most methods of its own and from its bases in the package, and how many:
    what is spread over mixins is one class to whoever reads it."""
    own = {node.name: node for module in modules for node in _classes(module)}

    def methods(node: ast.ClassDef) -> set[str]:
        bases = [
            own[base.id] for base in node.bases if isinstance(base, ast.Name) and base.id in own
        ]
        here = {each.name for each in node.body if isinstance(each, _FUNCTION)}
        return here.union(*(methods(base) for base in bases if base is not node))

    counted = {name: len(methods(node)) for name, node in own.items()}
    return max(counted.items(), key=lambda item: item[1])


_FUNCTION = (ast.FunctionDef, ast.AsyncFunctionDef)


def _classes(module: Module) -> Iterator[ast.ClassDef]:
    return (node for node in ast.walk(module.tree) if isinstance(node, ast.ClassDef))

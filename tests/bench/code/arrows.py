"""Imports between modules: circles, arrows back up, and the longest chain."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import grimp


def circles_and_arrows(package: str) -> tuple[list[frozenset[str]], list[tuple[str, str]]]:
    """Of each folder the groups of files and folders in it that import each other in a circle, and
    the imports (importer, imported) that would have to go so that there is none: those that go back
    up. An import that only a type checker sees counts as well: it is the same knowledge."""
    graph = grimp.build_graph(package, cache_dir=None)
    circles: list[frozenset[str]] = []
    arrows: list[tuple[str, str]] = []
    for parent in sorted(graph.modules):
        children = sorted(graph.find_children(parent))
        if children:
            circles += _circles(graph, children)
            arrows += graph.nominate_cycle_breakers(parent)
    return circles, arrows


def _circles(graph: grimp.ImportGraph, children: list[str]) -> list[frozenset[str]]:
    """The strongly connected components of more than one child: all that reach each other."""
    reached = {child: _reached(graph, child, children) for child in children}
    groups = {
        frozenset(other for other in reached[child] if child in reached[other])
        for child in children
    }
    return sorted((group for group in groups if len(group) > 1), key=sorted)


def _reached(graph: grimp.ImportGraph, start: str, children: list[str]) -> set[str]:
    """The children that one of them imports, by way of other children too, itself included."""
    found, waiting = {start}, [start]
    while waiting:
        importer = waiting.pop()
        for other in children:
            if other not in found and graph.direct_import_exists(
                importer=importer, imported=other, as_packages=True
            ):
                found.add(other)
                waiting.append(other)
    return found


def longest_chain(package: str) -> list[str]:
    """The longest way from a module to what it imports, each by the one before, with the imports
    that are made when the program runs."""
    graph = grimp.build_graph(package, cache_dir=None, exclude_type_checking_imports=True)

    @cache
    def below(module: str) -> tuple[str, ...]:
        open_.add(module)
        imported = graph.find_modules_directly_imported_by(module) - open_
        longest = _longest(below(other) for other in sorted(imported))
        open_.discard(module)
        return (module, *longest)

    open_: set[str] = set()  # where there is a circle, the chain ends before it closes
    return list(_longest(below(module) for module in sorted(graph.modules)))


def _longest(chains: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return max(chains, key=len, default=())

"""Measures the shape of the code in `tagger` and prints one table. Exit status 1 where a figure is
not what it must be.

`before` are the figures of the tree that had 75 files in one folder and the screen in one class
with seven mixins. What each line counts stands with the function that counts it. `--list` shows
what lies behind each figure."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from bench.code import shape, waits
from bench.code.arrows import circles_and_arrows, longest_chain
from bench.code.repeats import repeats
from bench.code.tree import Module, modules
from bench.common.report import machine
from bench.common.table import aligned

PACKAGE = Path(__file__).parents[3] / "tagger"
HEAD = ("measure", "before", "now", "must show", "")
COMPLEX, LONG = 10, 45  # above these, a function counts: McCabe's number, lines


class Figure(NamedTuple):
    """One line of the table: one number or two, each with what it must be, and what they are made
    of."""

    measure: str
    before: str
    now: tuple[float, ...]
    must: tuple[float, ...]
    behind: Sequence[str] = ()
    at_least: bool = False
    form: str = "{:.0f}"

    @property
    def met(self) -> bool:
        """Whether it is as it must be. What is printed decides: 2.94 is 2.9."""
        pairs = zip(self.shown.split(" / "), self.must, strict=True)
        if self.at_least:
            return all(float(now.split()[0].rstrip("%")) >= must for now, must in pairs)
        return all(float(now.split()[0].rstrip("%")) <= must for now, must in pairs)

    @property
    def shown(self) -> str:
        """The numbers as text."""
        return self.form.format(*self.now)

    @property
    def cells(self) -> tuple[str, ...]:
        """The cells of its line."""
        bound = ("at most", "at least")[self.at_least]
        aim = f"{bound} {self.form.format(*self.must)}"
        return self.measure, self.before, self.shown, aim, ("missed", "met")[self.met]


def import_figures() -> Iterator[Figure]:
    """How the modules hang together."""
    circles, arrows = circles_and_arrows(PACKAGE.name)
    behind = [f"circle: {', '.join(sorted(circle))}" for circle in circles]
    behind += [f"back up: {importer} > {imported}" for importer, imported in arrows]
    yield Figure(
        "import circles / arrows back up",
        "2 / 4",
        (len(circles), len(arrows)),
        (0, 0),
        behind,
        form="{:.0f} / {:.0f}",
    )
    chain = longest_chain(PACKAGE.name)
    yield Figure("longest import chain", "24", (len(chain),), (14,), [" > ".join(chain)])


def size_figures(every: Sequence[Module], house: Sequence[Module]) -> Iterator[Figure]:
    """How much stands in one place. `house` is all but the demo."""
    folder, files = shape.fullest_folder(house)
    yield Figure("files in the fullest folder, demo apart", "75", (files,), (20,), [folder])
    functions = sorted(shape.functions(every), key=lambda each: -each.complexity)
    hard = [each for each in functions if each.complexity > COMPLEX]
    mean = sum(each.complexity for each in functions) / len(functions)
    yield Figure(
        f"functions with cyclomatic complexity over {COMPLEX} / mean",
        "144 / 3.9",
        (len(hard), mean),
        (40, 2.9),
        [f"{each.complexity} {each.module} {each.name}" for each in hard],
        form="{:.0f} / {:.1f}",
    )
    long = sorted((each for each in functions if each.lines > LONG), key=lambda each: -each.lines)
    largest, methods = shape.largest_class(every)
    yield Figure(
        f"methods of the largest class / functions over {LONG} lines",
        "102 / 5",
        (methods, len(long)),
        (30, 3),
        [largest, *(f"{each.lines} {each.module} {each.name}" for each in long)],
        form="{:.0f} / {:.0f}",
    )


def text_figures(every: Sequence[Module], house: Sequence[Module]) -> Iterator[Figure]:
    """How the lines read."""
    yield Figure(
        "if-expressions in 1,000 lines, demo apart", "42", (shape.if_expressions(house),), (15,)
    )
    yield Figure("the same, with the demo", "30", (shape.if_expressions(every),), (15,))
    yield Figure(
        "comments in 100 lines",
        "1.7",
        (shape.comments(every),),
        (4.0,),
        at_least=True,
        form="{:.1f}",
    )
    shared, names = shape.shared_class_names(every)
    yield Figure(
        "class names used in two modules or more",
        "20%",
        (100 * len(shared) / names,),
        (3,),
        [f"{name}: {', '.join(where)}" for name, where in shared.items()],
        form="{:.1f}%",
    )
    twice = repeats(every)
    yield Figure(
        "stretches of six like lines or more that stand twice",
        "13",
        (len(twice),),
        (8,),
        [f"{one.module}:{one.line} ~ {one.other}:{one.other_line}, {one.lines}" for one in twice],
    )


def wait_figures(quick: bool) -> Iterator[Figure]:
    """What the dealer feels of it."""
    starts, entered = (2, 8) if quick else (7, 80)
    first, enter = waits.waits(starts, entered)
    yield Figure(
        "first card over a bare Textual app's first paint",
        "1.9 x",
        (first,),
        (1.3,),
        form="{:.2f} x",
    )
    yield Figure(
        "Enter to next pair painted over its own CPU time",
        "3.1 x",
        (enter,),
        (1.5,),
        form="{:.2f} x",
    )


def table_text(figures: Iterable[Figure], listed: bool) -> str:
    """The table; under it, where it is wanted, what lies behind each figure."""
    figures = list(figures)
    lines = [aligned([HEAD, *(figure.cells for figure in figures)])]
    if listed:
        for figure in figures:
            lines += ["", f"{figure.measure}:", *(f"    {line}" for line in figure.behind)]
    return "\n".join(lines)


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tests/bench/run code", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="the waits measured a few times only")
    parser.add_argument(
        "--still", action="store_true", help="only what is counted: nothing is run or timed"
    )
    parser.add_argument("--list", action="store_true", help="what lies behind each figure")
    options = parser.parse_args()
    every = modules(PACKAGE)
    house = [module for module in every if not module.in_demo]
    figures = [*import_figures(), *size_figures(every, house), *text_figures(every, house)]
    if not options.still:
        figures += wait_figures(options.quick)
    print(machine())
    print(table_text(figures, options.list))
    return int(not all(figure.met for figure in figures))


if __name__ == "__main__":
    sys.exit(main())

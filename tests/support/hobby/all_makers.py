"""All makers: importing their files enters them."""

from __future__ import annotations

from support.hobby import (  # noqa: F401
    books,
    cells,
    dialects,
    kinds,
    later_tables,
    later_typed,
    shapes,
    tongues,
    typed,
)
from support.hobby.latest import THIRD
from support.hobby.world import LATER, MAKERS, Made, World
from support.hobby.writers import by_office

ROUNDS = (MAKERS, LATER, THIRD)


def all_made(at: int = 0) -> dict[str, Made]:
    """Every list of a round by its maker's name, those for LibreOffice converted by one start a
    form."""
    makers = ROUNDS[at]
    made = {name: maker(World(name)) for name, maker in makers.items()}
    for form in ("xlsx", "ods"):
        wanted = {name: each for name, each in made.items() if each.convert == form}
        if not wanted:
            continue
        files = {
            f"{name}.{each.name.rsplit('.', 1)[1]}": each.data for name, each in wanted.items()
        }
        done = by_office(files, form)
        for (name, each), data in zip(wanted.items(), done.values(), strict=True):
            made[name] = Made(f"{each.name.rsplit('.', 1)[0]}.{form}", data, each.cards, each.tells)
    return made

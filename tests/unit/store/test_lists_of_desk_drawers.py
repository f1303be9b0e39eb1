"""Lists that lay in desk drawers: trackers, stock, mails, pages of friends
(common practice, no source; invented names)."""

from __future__ import annotations

import pytest
from support.read_lists import read

from tagger.core.model.tags import Row


def kinds(row: Row) -> list[tuple[str, int | None]]:
    return [(one.name, one.run) for one in row.parallels]


@pytest.mark.parametrize(
    ("run", "listed", "meant"),
    [
        ("149", "Red /25; Black 1/1", [("/149", 149), ("Red", 25), ("Black", 1)]),
        ("/99", "Red /25 | Teal /10", [("/99", 99), ("Red", 25), ("Teal", 10)]),
        ("99", "Gold, Silver", [("/99", 99), ("Gold", None), ("Silver", None)]),
        # said twice, or the run of the one parallel
        ("25", "Red /25; Black 1/1", [("Red", 25), ("Black", 1)]),
        ("50", "Gold", [("Gold", 50)]),
        ("", "Red /25; Black 1/1", [("Red", 25), ("Black", 1)]),
    ],
)
def test_a_print_run_beside_several_parallels_is_that_of_the_card(
    run: str, listed: str, meant: list[tuple[str, int | None]]
) -> None:
    found = read(
        "Set,Number,Player,Print Run,Parallels\n"
        f'1987 Harbor,S-1,Ada Marsh,{run},"{listed}"\n1987 Harbor,S-2,Bo Finn,,Gold /50\n'
    )
    assert kinds(found.rows[0]) == meant

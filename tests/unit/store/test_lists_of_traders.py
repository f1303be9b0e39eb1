"""Lists as traders and clubs keep them, and what is told of one that does not look like what it
was read as. All names are invented."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.clubs.judged import judged
from support.traders.lots import LOTS

from tagger.store.read_lists import read_checklist

NUMBERED = "No.,Player,Team\n"


def told(tmp_path: Path, text: str, name: str = "1987 Harbor Light.csv") -> str:
    """What is odd about a list, on one line."""
    (tmp_path / name).write_text(text, encoding="utf-8")
    return " ".join(one.problem for one in read_checklist(tmp_path / name).problems)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (
            "No.,Player\n" + "".join(f"{n},Ada{n} Marsh Harbor Gulls\n" for n in range(1, 9)),
            "many names end alike ('Harbor Gulls')",
        ),
        (
            "No.,Player\n" + "".join(f"{n},HAR Ada Marsh{n}\n" for n in range(1, 9)),
            "many names begin with one of a few short forms ('HAR')",
        ),
        (
            NUMBERED + "".join(f"{n % 4},Ada Marsh{n},Gulls\n" for n in range(8)),
            "8 cards share their numbers with others",
        ),
        (
            NUMBERED + "".join(f"{n},Ada Marsh,Bo Finn{n}\n" for n in range(12)),
            "the names come again and again",
        ),
        (
            "No.,Player,Asked\n" + "".join(f"{n},Ada Marsh{n},{n}.50\n" for n in range(4)),
            "'Asked' is not known as a heading; by its cells it is the price",
        ),
        (
            "No.,Player,Fellows\n"
            + "".join(f"{n},Ada Marsh{n},Harbor {'GKO'[n % 3]}ulls\n" for n in range(9)),
            "'Fellows' is not known as a heading; by its cells it is the team",
        ),
        (
            "Set,No.,Player\n" + "".join(f"1987 Harbor {n},{n},Ada Marsh\n" for n in range(9)),
            "nearly each card has a set of its own",
        ),
        ("No.,First,Last,End\n1,Ada,Marsh,Jr.\n2,Bo,Finn,\n", "'End' holds ends of names"),
        (f"Harbor Light | all of it\n{NUMBERED}1,Ada Marsh,Gulls\n", "is read as a set"),
    ],
    ids=["behind", "before", "numbers", "turned", "price", "team", "sets", "ends", "title"],
)
def test_what_looks_otherwise_is_told(rows: str, said: str, tmp_path: Path) -> None:
    assert said in told(tmp_path, rows)


def test_a_plain_list_has_nothing_odd(tmp_path: Path) -> None:
    names = [f"Ada Marsh{'abcdefghijklmnopqrstuvwxyz'[n % 26]}" for n in range(30)]
    rows = "".join(f"{n},{name},{'Gulls' if n % 2 else 'Owls'}\n" for n, name in enumerate(names))
    assert told(tmp_path, NUMBERED + rows) == ""


_CHEAP = ("facts_in_one_line_above", "cards_in_an_object", "team_below_the_name", "index_of_names")


@pytest.mark.parametrize("name", _CHEAP)
def test_some_shapes_are_read_as_they_are_meant(name: str, tmp_path: Path) -> None:
    said = judged(tmp_path, LOTS["first"].made(name, seed=5))
    assert said.right, said.why


@pytest.mark.parametrize("name", LOTS["sixth"])
def test_shapes_of_strangers_are_read_as_they_are_meant(name: str, tmp_path: Path) -> None:
    said = judged(tmp_path, LOTS["sixth"].made(name, seed=5))
    assert said.right, said.why


@pytest.mark.nightly
@pytest.mark.parametrize("lot", LOTS)
def test_no_shape_is_read_wrong_in_silence(lot: str, tmp_path: Path) -> None:
    for seed in range(3):
        for name in LOTS[lot]:
            said = judged(tmp_path, LOTS[lot].made(name, seed))
            assert said.right or said.told, f"{name} {seed}: {said.why}"

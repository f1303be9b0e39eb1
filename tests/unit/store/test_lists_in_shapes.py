"""Lists in the shapes that hobby spreadsheets have: read as they are meant, nothing wrong in
silence. The lists are made by openpyxl, the csv module and by hand (`tests/bench/lists`)."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import clevercsv
import pytest
from bench.checklist.habits import habits
from bench.checklist.later import later
from bench.checklist.latest import latest
from bench.checklist.mixed import mixed
from bench.checklist.read import read_batch
from bench.checklist.shelves import shelves
from bench.lists import by_hand, combined, dealt, drawn, held_out, held_out_more
from bench.lists.judged import verdict

from tagger.core.checklist.files import parse_checklist
from tagger.core.checklist.header import beginning_of
from tagger.core.checklist.headings.meaning import meaning_of
from tagger.store.read_lists import read_checklist


@pytest.mark.parametrize(
    ("made", "count"),
    [
        (drawn.drawn, len(drawn.SHAPES)),
        (held_out.held_out, len(held_out.MAKERS)),
        (held_out_more.held_out_more, len(held_out_more.MAKERS)),
        (combined.combined, 40),
    ],
    ids=["worked on", "held out", "later", "at random"],
)
def test_one_list_of_each_shape_is_read_as_it_is_meant(made, count, tmp_path: Path) -> None:
    right = 0
    for one in made(count, seed=7):
        path = tmp_path / one.name
        path.write_bytes(one.data)
        said = verdict(read_checklist(path), one)
        assert said.right or said.told, f"{one.shape}: {said.why}"
        right += said.right
    assert right >= count - 1


@pytest.mark.parametrize(
    ("made", "count", "told"),
    [
        (dealt.dealt, len(dealt.MAKERS), 5),
        (by_hand.by_hand, len(by_hand.MAKERS), 6),
        (by_hand.by_hand_more, len(by_hand.MORE), 12),
    ],
    ids=["of many dealers", "by hand", "by hand later"],
)
def test_what_is_not_read_right_is_told(made, count, told, tmp_path: Path) -> None:
    """`told`: how many of the lists are known to be beyond what can be read."""
    wrong = 0
    for one in made(count, seed=7):
        path = tmp_path / one.name
        path.write_bytes(one.data)
        said = verdict(read_checklist(path), one)
        assert said.right or said.told, f"{one.shape}: {said.why}"
        wrong += not said.right
    assert wrong <= told


def test_cells_are_parted_as_other_readers_part_them() -> None:
    """Peers: the csv module's Sniffer and clevercsv, where they find a mark at all."""
    asked = agreed = 0
    for one in drawn.drawn(len(drawn.SHAPES), seed=9):
        if b"\0" in one.data or not one.name.endswith("csv"):
            continue
        text = one.data.decode("utf-8-sig", "replace")
        mark = beginning_of(list(enumerate(text.split("\n"), 1))[:40]).mark
        peers = {_sniffed(text), clevercsv.detect.Detector().detect(text).delimiter}
        asked += 1
        agreed += mark in peers
    assert agreed >= asked - 2, (agreed, asked)  # they go astray where a title stands above


def _sniffed(text: str) -> str:
    try:
        return csv.Sniffer().sniff(text, "\t;,|").delimiter
    except csv.Error:
        return ""


def test_names_are_one_name_in_either_normal_form() -> None:
    """UAX #15: NFD and NFC of a text are canonically equivalent."""
    found = parse_checklist(
        "Set,No,Player\nNu\u0301n\u0303ar,1,Zoe\u0308 Lund\nNúñar,2,Zoë Lund\n".encode(),
        "a.csv",
        "a",
    )
    assert list(found.sets) == ["Núñar"]
    assert {row.subject for row in found.rows} == {"Zoë Lund"}


FACTS = {
    "two years are two sets": (
        "Year,Set,No,Player\n1987,Harbor Light,1,Ada Marsh\n1988,Harbor Light,1,Bo Lund\n",
        ["1987 Harbor Light #1 Ada Marsh", "1988 Harbor Light #1 Bo Lund"],
    ),
    "a merged set counts for all its rows": (
        "Set,No,Player\n1987 Harbor,1,Ada Marsh\n,2,Bo Lund\n,3,Cy Dun\n",
        ["1987 Harbor #1 Ada Marsh", "1987 Harbor #2 Bo Lund", "1987 Harbor #3 Cy Dun"],
    ),
    "a title names the set, a total is no card": (
        "1987 Harbor (2 cards)\n\nNo,Player\n1,Ada Marsh\n2,Bo Lund\nTotal,2\n",
        ["1987 Harbor #1 Ada Marsh", "1987 Harbor #2 Bo Lund"],
    ),
    "a variation is a parallel, with its own price": (
        "No,Player,Variation,Price\n1,Ada Marsh,,1\n1,Ada Marsh,No Cap,9\n",
        ["list #1 Ada Marsh; No Cap; Price 1, Price No Cap 9"],
    ),
    "a heading begins a subset": (
        "No,Player,Team\n1,Ada Marsh,Gulls\nRookies 2–2,,\n2,Bo Lund,Gulls\n",
        ["list #1 Ada Marsh, Gulls", "list #2 Bo Lund, Gulls; subset Rookies"],
    ),
    "a cross and a run make parallels": (
        "No,Player,Gold /50,Silver,Have\n1,Ada Marsh,x,/25,x\n2,Bo Lund,,x,\n",
        ["list #1 Ada Marsh; Gold /50, Silver /25; Have x", "list #2 Bo Lund; Silver"],
    ),
    "marks and print runs behind a name are apart": (
        "No,Player\n1,Ada Marsh RC SP\n2,Bo Lund (#'d to 99)\n3,Cy Dun\n",
        [
            "list #1 Ada Marsh; rookie RC, marks SP",
            "list #2 Bo Lund; /99",
            "list #3 Cy Dun",
        ],
    ),
    "a line of parallels holds for its part": (
        "1987 Harbor\nBase\nParallels: Gold /50, Red\n1 Ada Marsh\nStars\nS1 Bo Lund\n",
        ["1987 Harbor #1 Ada Marsh; Gold /50, Red", "1987 Harbor #S1 Bo Lund; subset Stars"],
    ),
    "ditto marks are the cell above": (
        "Set;No;Player;Team\n1987 Harbor;1;Ada Marsh;Gulls\ndo.;2;Bo Lund;do.\n",
        ["1987 Harbor #1 Ada Marsh, Gulls", "1987 Harbor #2 Bo Lund, Gulls"],
    ),
    "columns may be parted by spaces": (
        "No.  Player      Team\n1    Ada Marsh   Gulls\n2    Bo Lund     Owls\n",
        ["list #1 Ada Marsh, Gulls", "list #2 Bo Lund, Owls"],
    ),
    "no team is invented for a single bracket": (
        "No,Player\n1,Ada Marsh (twins)\n2,Bo Lund\n3,Cy Dun\n",
        ["list #1 Ada Marsh (twins)", "list #2 Bo Lund", "list #3 Cy Dun"],
    ),
}


@pytest.mark.parametrize("name", FACTS)
def test_facts_of_one_shape(name: str) -> None:
    from tagger.services.lists.list_reading import row_told

    content, expected = FACTS[name]
    found = parse_checklist(content.encode(), "list.csv", "list")
    assert [row_told(row) for row in found.rows] == expected
    assert not found.problems


TOLD = {
    "a date": ("No,Player\n1,Ada Marsh\n2-Jan,Bo Lund\n", 3, "a date where the number was"),
    "a fraction": ("No,Player\n0.5,Ada Marsh\n2,Bo Lund\n", 2, "a fraction"),
    "a power": ("No,Player\n1,Ada Marsh\n1E+05,Bo Lund\n", 3, "a power of ten"),
    "a count": ("Harbor (220 cards)\nNo,Player\n1,Ada Marsh\n", 1, "says 220 cards"),
    "a total": ("No,Player\n1,Ada Marsh\n2,Bo Lund\nTotal,3\n", 4, "differs from the 2 rows"),
    "crosses": (
        "No,Player,Thing\n1,Ada Marsh,x\n2,Bo Lund,\n",
        1,
        "--columns 'Thing=one parallel'",
    ),
    "a range": ("No,Player,Team\nStars 1–9,,\n1,Ada Marsh,Gulls\n", 2, "says 9 cards"),
    "no names": ("1;Ada Marsh;Gulls\n2;Bo Lund;Owls\n", 1, "by their cells column 1 is read as"),
    "a code": (
        "Set Code,No,Name\nALM,001/110,Ash\nALM,002/110,Bog\nBEM,001/90,Cy\nBEM,002/90,Dun\n",
        1,
        "'Set Code' is read as the set: numbers repeat without it",
    ),
    "doubles": ("No,Player,Box\n1,Ada Marsh,1\n1,Ada Marsh,2\n", 3, "its 'Box' is 2 here"),
}


@pytest.mark.parametrize("name", TOLD)
def test_what_is_unsure_is_told(name: str) -> None:
    content, line, said = TOLD[name]
    problems = parse_checklist(content.encode(), "list.csv", "list").problems
    assert [(problem.line, said in problem.problem) for problem in problems] == [(line, True)]


def test_rows_with_the_same_oddity_are_told_once() -> None:
    rows = [f"{number},Player {number},X" for number in range(1, 12)]
    rows += [f",Person {number},X" for number in range(41)]
    content = "\n".join(["No,Player,Team", *rows])
    (problem,) = parse_checklist(content.encode(), "list.csv", "list").problems
    assert problem.problem == "41 rows have no number (found by subject only): lines 13–53"


def test_a_list_reads_the_same_by_blocks_and_line_by_line() -> None:
    """A quotation mark makes a block be read line by line."""
    header = "Year,Set,No,Player,Gold,Finish\n"
    lines = "".join(
        f"198{n % 9},Harbor,{n},Player {n} RC,{'x' * (n % 2)},Foil\n" for n in range(400)
    )
    quoted = lines.replace("Harbor", '"Harbor"')
    fast = parse_checklist((header + lines).encode(), "list.csv", "list")
    slow = parse_checklist((header + quoted).encode(), "list.csv", "list")
    assert fast == slow
    assert len(fast.rows) == 400
    assert len(fast.sets) == len({row[0] for row in csv.reader(io.StringIO(lines))})


@pytest.mark.parametrize(
    ("made", "count", "told"),
    [(shelves, 63, 0), (mixed, 40, 0), (habits, 22, 0), (later, 24, 1), (latest, 24, 0)],
    ids=["seven languages", "mixed", "habits", "later", "latest"],
)
def test_lists_of_seven_languages_are_read_as_they_are_meant(made, count, told) -> None:
    """`told`: a heading of a section that says a print run, which is told and not used."""
    found = read_batch(made(count, seed=9))
    assert (found.silent, found.told) == (0, told)
    assert found.right == count - told


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [
        ("est. €", "price"), ("Wert (€)", "price"), ("€", "price"), ("Schätzpreis", "price"),
        ("Jugador/a", "subject"), ("Name des Spielers", "subject"), ("選手氏名", "subject"),
        ("カードNo.", "number"), ("Aufl.", "run"), ("Vereinsname", "team"),
        # what was paid is not what it is worth, and these say neither
        ("Paid $", ""), ("Einkaufspreis", ""), ("About", ""), ("in", ""), ("Rel.", ""),
    ],
)  # fmt: skip
def test_headings_cut_short_joined_or_with_a_sign_of_money(heading, meaning) -> None:
    assert meaning_of(heading)[0] == meaning

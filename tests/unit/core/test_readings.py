"""Every reading of a hint, on a checklist that has the card that is meant and one that could be
taken for it.

The checklist is in `harbor.py`. A card is written with the year of its set: `1987 #23 Ada Marsh,
base`."""

from __future__ import annotations

import pytest
from support.harbor import (
    AFTER_22,
    IN_POND,
    IN_SQUALL,
    LIGHT,
    MATCHER,
    NOWHERE,
    POND,
    ROWS,
    after,
    carrying,
    named,
    rank,
)

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Parallel, Row

START = Context(Carried().put("set", LIGHT))
GOLD, GOOD = carrying(parallel="Gold"), carrying(condition="Good")
MARSH, BASE_MARSH = "1987 #23 Ada Marsh", "1987 #23 Ada Marsh, base"

# Hint, lot, the card that is meant, and the card that could be taken for it.
NUMBERS = [
    ("23", AFTER_22, BASE_MARSH, "1985 #23 Lee Torbel, base"),
    ("23", AFTER_22, BASE_MARSH, "1987 #123 Abe Marsden, base"),
    ("23", IN_POND, "1985 #23 Lee Torbel, base", BASE_MARSH),
    ("23", after(LIGHT, "117"), BASE_MARSH, "1987 #230 Ove Torden, base"),
    ("023", AFTER_22, BASE_MARSH, "1987 #230 Ove Torden, base"),
    ("7", AFTER_22, "1987 #7 Fenn Renell, base", "1987 #RC-7 Nils Vos, base"),
    ("007", AFTER_22, "1987 #7 Fenn Renell, base", "1987 #70 Verla Marsh, base"),
    ("117", AFTER_22, "1987 #117 Abe Tarn, base", "1987 #117a Abe Tarn, base"),
    ("117", after(LIGHT, "117"), "1987 #117 Abe Tarn, base", "1987 #117a Abe Tarn, base"),
    ("117a", after(LIGHT, "117"), "1987 #117a Abe Tarn, base", "1987 #117 Abe Tarn, base"),
    ("117 a", AFTER_22, "1987 #117a Abe Tarn, base", "1987 #117 Abe Tarn, base"),
    ("117A", AFTER_22, "1987 #117a Abe Tarn, base", "1987 #117 Abe Tarn, base"),
    ("rc 7", AFTER_22, "1987 #RC-7 Nils Vos, base", "1987 #57 Rolf Corden, base"),
    ("rc 7", AFTER_22, "1987 #RC-7 Nils Vos, base", "1987 #7 Fenn Renell, base"),
    ("RC-7", AFTER_22, "1987 #RC-7 Nils Vos, base", "1987 #RC-70 Nils Marshall, base"),
    ("rc07", AFTER_22, "1987 #RC-7 Nils Vos, base", "1987 #RC-70 Nils Marshall, base"),
    ("907", AFTER_22, "1985 #907 Mara Kasell, base", "1987 #9 Ona Vosell, base"),
]
NAMES = [
    ("marsh", AFTER_22, BASE_MARSH, "1987 #70 Verla Marsh, base"),
    ("marsh", START, BASE_MARSH, "1987 #RC-70 Nils Marshall, base"),
    ("MARSH", AFTER_22, BASE_MARSH, "1987 #24 Bo Marlow, base"),
    ("mrash", AFTER_22, BASE_MARSH, "1987 #24 Bo Marlow, base"),
    ("23 mar", AFTER_22, BASE_MARSH, "1987 #24 Bo Marlow, base"),
    ("23 mar", NOWHERE, BASE_MARSH, "1985 #23 Leeva Golder, base"),
    ("22 i", IN_SQUALL, "1987 #22 Ivo Lund, base", "1985 #22 Cyr Halden, base"),
    ("mar 23", AFTER_22, BASE_MARSH, "1987 #123 Abe Marsden, base"),
    ("marsh23", AFTER_22, BASE_MARSH, "1987 #24 Bo Marlow, base"),
    ("marsh23", IN_POND, BASE_MARSH, "1985 #23 Lee Torbel, base"),
    ("23marsh", IN_POND, BASE_MARSH, "1985 #23 Lee Torbel, base"),
    ("am", AFTER_22, BASE_MARSH, "1987 #34 Amos Fenlund, base"),
    ("am", after(LIGHT, "33"), "1987 #34 Amos Fenlund, base", BASE_MARSH),
    ("23 am", START, BASE_MARSH, "1987 #123 Abe Marsden, base"),
    ("smith jr", AFTER_22, "1987 #38 Nattor Smith Jr., base", "1987 #37 Nattor Smith, base"),
    ("smith jr", IN_SQUALL, "1992 #5 NATTOR SMITH JR, base", "1987 #38 Nattor Smith Jr., base"),
    ("smith", AFTER_22, "1987 #37 Nattor Smith, base", "1987 #38 Nattor Smith Jr., base"),
    ("jr", AFTER_22, "1987 #38 Nattor Smith Jr., base", "1987 #39 Junna Rask, base"),
    ("oneil", AFTER_22, "1987 #29 Timlo O'Neil, base", "1987 #35 Neil Orrasby, base"),
    ("o neil", AFTER_22, "1987 #29 Timlo O'Neil, base", "1987 #35 Neil Orrasby, base"),
    ("O'Neil", AFTER_22, "1987 #29 Timlo O'Neil, base", "1987 #35 Neil Orrasby, base"),
    ("o’neil", AFTER_22, "1987 #29 Timlo O'Neil, base", "1987 #35 Neil Orrasby, base"),
    ("neil", AFTER_22, "1987 #29 Timlo O'Neil, base", "1987 #35 Neil Orrasby, base"),
    ("stclair", AFTER_22, "1987 #140 Evka St. Clair, base", "1987 #55 Stella Clairvont, base"),
    ("st clair", AFTER_22, "1987 #140 Evka St. Clair, base", "1987 #55 Stella Clairvont, base"),
    ("kay", AFTER_22, "1987 #30 Jorrin McKay, base", "1987 #36 Kay Dunholm, base"),
    ("mckay", AFTER_22, "1987 #30 Jorrin McKay, base", "1992 #1 CARVA MCKAY, base"),
    ("de la cruz", AFTER_22, "1987 #40 Anvora de la Cruz, base", "1987 #41 Della Crum, base"),
    ("la cruz", AFTER_22, "1987 #40 Anvora de la Cruz, base", "1987 #41 Della Crum, base"),
    ("delacruz", AFTER_22, "1987 #40 Anvora de la Cruz, base", "1987 #41 Della Crum, base"),
    (
        "delacruz",
        after(LIGHT, "40"),
        "1987 #40 Anvora de la Cruz, base",
        "1987 #41 Della Crum, base",
    ),
    ("cruz", AFTER_22, "1987 #40 Anvora de la Cruz, base", "1987 #41 Della Crum, base"),
    ("saint-lo", AFTER_22, "1987 #42 Eva Saint-Lo, base", "1987 #43 Lo Sainter, base"),
    ("saintlo", AFTER_22, "1987 #42 Eva Saint-Lo, base", "1987 #43 Lo Sainter, base"),
    ("saint lo", AFTER_22, "1987 #42 Eva Saint-Lo, base", "1987 #43 Lo Sainter, base"),
    # A list that is all capitals.
    ("mckay", IN_SQUALL, "1992 #1 CARVA MCKAY, base", "1987 #30 Jorrin McKay, base"),
    ("kay", IN_SQUALL, "1992 #1 CARVA MCKAY, base", "1987 #30 Jorrin McKay, base"),
    ("oneil", IN_SQUALL, "1992 #2 UWEN O'NEIL, base", "1987 #29 Timlo O'Neil, base"),
    ("o neil", IN_SQUALL, "1992 #2 UWEN O'NEIL, base", "1987 #35 Neil Orrasby, base"),
    (
        "de la cruz",
        IN_SQUALL,
        "1992 #3 LEAVIN DE LA CRUZ, base",
        "1987 #40 Anvora de la Cruz, base",
    ),
    ("delacruz", IN_SQUALL, "1992 #3 LEAVIN DE LA CRUZ, base", "1987 #40 Anvora de la Cruz, base"),
    ("saintlo", IN_SQUALL, "1992 #4 MAX SAINT-LO, base", "1987 #42 Eva Saint-Lo, base"),
    ("nunez", IN_SQUALL, "1992 #6 INOLDA NÚÑEZ, base", "1987 #25 Anvela Núñez, base"),
    # Letters that a plain keyboard does not have.
    ("nunez", AFTER_22, "1987 #25 Anvela Núñez, base", "1992 #6 INOLDA NÚÑEZ, base"),
    ("Nun\u0303ez", AFTER_22, "1987 #25 Anvela Núñez, base", "1992 #6 INOLDA NÚÑEZ, base"),
    ("orsted", AFTER_22, "1987 #27 Pertil Ørsted, base", "1987 #35 Neil Orrasby, base"),
    ("lukasz", AFTER_22, "1987 #26 Łukasz Wirthal, base", "1987 #17 Hana Lunley, base"),
    ("weiss", AFTER_22, "1987 #28 Ottmo Weiß, base", "1987 #56 Tomlo Weisz, base"),
    ("isik", AFTER_22, "1987 #44 Umutan Işık, base", "1987 #45 Ísak Þórvaksson, base"),
    ("isak", AFTER_22, "1987 #45 Ísak Þórvaksson, base", "1987 #44 Umutan Işık, base"),
    ("thorvaksson", AFTER_22, "1987 #45 Ísak Þórvaksson, base", "1987 #49 Gil Torman, base"),
    # Names in their own script, and by the column that has them in Latin letters.
    ("雲田", AFTER_22, "1987 #50 雲田 磯丸, base", "1987 #59 雲本 藻花, base"),
    ("磯丸", AFTER_22, "1987 #50 雲田 磯丸, base", "1987 #59 雲本 藻花, base"),
    ("雲田 磯丸", AFTER_22, "1987 #50 雲田 磯丸, base", "1987 #59 雲本 藻花, base"),
    ("kumoda", AFTER_22, "1987 #50 雲田 磯丸, base", "1987 #59 雲本 藻花, base"),
    ("морошун", AFTER_22, "1987 #51 Ладра Морошун, base", "1987 #60 Ладей Моревун, base"),
    ("МОРОШУН", AFTER_22, "1987 #51 Ладра Морошун, base", "1987 #60 Ладей Моревун, base"),
    ("moroshun", AFTER_22, "1987 #51 Ладра Морошун, base", "1987 #60 Ладей Моревун, base"),
    ("λαππορας", AFTER_22, "1987 #52 Νίκη Λαππόρας, base", "1987 #61 Νίκος Λαπόρας, base"),
    ("ΛΑΠΠΟΡΑΣ", AFTER_22, "1987 #52 Νίκη Λαππόρας, base", "1987 #61 Νίκος Λαπόρας, base"),
    ("lapporas", AFTER_22, "1987 #52 Νίκη Λαππόρας, base", "1987 #61 Νίκος Λαπόρας, base"),
    ("구하뮬", AFTER_22, "1987 #53 구하뮬, base", "1987 #62 구하무, base"),
    ("hamyul", AFTER_22, "1987 #53 구하뮬, base", "1987 #62 구하무, base"),
    ("gh", after(LIGHT, "53"), "1987 #53 구하뮬, base", "1987 #62 구하무, base"),
    ("دورخ", AFTER_22, "1987 #54 سلمى دورخ, base", "1987 #63 سليم دورخي, base"),
    ("سلمى دورخ", AFTER_22, "1987 #54 سلمى دورخ, base", "1987 #63 سليم دورخي, base"),
    ("salma", AFTER_22, "1987 #54 سلمى دورخ, base", "1987 #63 سليم دورخي, base"),
    # Two people on one card.
    (
        "golding",
        AFTER_22,
        "1987 #48 Idra Golding / Gil Torvald, base",
        "1985 #23 Leeva Golder, base",
    ),
    ("torvald", AFTER_22, "1987 #48 Idra Golding / Gil Torvald, base", "1987 #49 Gil Torman, base"),
    (
        "gil torvald",
        AFTER_22,
        "1987 #48 Idra Golding / Gil Torvald, base",
        "1987 #49 Gil Torman, base",
    ),
    (
        "torvald golding",
        AFTER_22,
        "1987 #48 Idra Golding / Gil Torvald, base",
        "1987 #49 Gil Torman, base",
    ),
    (
        "gt",
        after(LIGHT, "47"),
        "1987 #48 Idra Golding / Gil Torvald, base",
        "1987 #49 Gil Torman, base",
    ),
    # Names that are conditions as well.
    ("cora mint", AFTER_22, "1987 #31 Cora Mint, base", "1987 #57 Rolf Corden, base"),
    ("lena ex", AFTER_22, "1987 #46 Lena Ex, base", "1987 #47 Ned Exley, base"),
    ("46 ex", AFTER_22, "1987 #46 Lena Ex, base", "1987 #47 Ned Exley, base"),
    ("31 mint", AFTER_22, "1987 #31 Cora Mint, base", "1987 #32 Annlo Gray, base"),
    ("team=gulls", AFTER_22, BASE_MARSH, "1987 #22 Ivo Lund, base"),
    ("gulls", AFTER_22, BASE_MARSH, "1987 #22 Ivo Lund, base"),
]
VARIANTS = [
    ("23g", AFTER_22, f"{MARSH}, Gold", f"{MARSH}, Gold Wave"),
    ("23 g", AFTER_22, f"{MARSH}, Gold", f"{MARSH}, Gold Wave"),
    ("23 gold", AFTER_22, f"{MARSH}, Gold", "1985 #23 Leeva Golder, base"),
    ("23 gold", IN_POND, "1985 #23 Lee Torbel, Gold", f"{MARSH}, Gold"),
    ("23 si", AFTER_22, f"{MARSH}, Silver", f"{MARSH}, Gold"),
    ("23 gw", AFTER_22, f"{MARSH}, Gold Wave", f"{MARSH}, Gold"),
    ("23 gold wave", AFTER_22, f"{MARSH}, Gold Wave", f"{MARSH}, Gold"),
    ("23 wave", AFTER_22, f"{MARSH}, Gold Wave", f"{MARSH}, Gold"),
    ("23 base", GOLD, BASE_MARSH, f"{MARSH}, Gold"),
    ("23", GOLD, f"{MARSH}, Gold", BASE_MARSH),
    ("marsh gold ex", AFTER_22, f"{MARSH}, Gold, Excellent", "1987 #33 Samlo Gold, base"),
    ("marsh gold ex", AFTER_22, f"{MARSH}, Gold, Excellent", "1987 #70 Verla Marsh, Gold"),
    ("12/99", AFTER_22, f"{MARSH}, Gold 12/99", f"{MARSH}, Gold Wave"),
    ("12/25", AFTER_22, f"{MARSH}, Gold Wave 12/25", f"{MARSH}, Gold"),
    ("12/50", AFTER_22, "1987 #33 Samlo Gold, Gray 12/50", "1985 #23 Lee Torbel, Gold"),
    ("/99", AFTER_22, f"{MARSH}, Gold", f"{MARSH}, Gold Wave"),
    ("/25", AFTER_22, f"{MARSH}, Gold Wave", f"{MARSH}, Gold"),
    ("/50", AFTER_22, "1987 #33 Samlo Gold, Gray", "1987 #50 雲田 磯丸, base"),
    ("/25", after(LIGHT, "24"), "1987 #25 Anvela Núñez, Gold Wave", "1987 #25 Anvela Núñez, base"),
    ("23 12/25", AFTER_22, f"{MARSH}, Gold Wave 12/25", f"{MARSH}, Gold"),
    ("23 1/99", AFTER_22, f"{MARSH}, Gold 1/99", "1987 #1 Edo Ferolm, base"),
    ("23 99/99", AFTER_22, f"{MARSH}, Gold 99/99", f"{MARSH}, Gold Wave"),
    (
        "12/99 nm gold marsh 23",
        AFTER_22,
        f"{MARSH}, Gold 12/99, Near Mint",
        "1987 #33 Samlo Gold, base",
    ),
    ("green", AFTER_22, "1987 #70 Verla Marsh, Green", "1987 #23 Ada Marsh, Gold"),
    ("marsh green", AFTER_22, "1987 #70 Verla Marsh, Green", f"{MARSH}, Gold"),
    ("23 ex", AFTER_22, "1987 #23 Ada Marsh, base, Excellent", "1987 #46 Lena Ex, base"),
    ("23 mint", AFTER_22, "1987 #23 Ada Marsh, base, Mint", "1987 #31 Cora Mint, base"),
    ("23 near mint", AFTER_22, "1987 #23 Ada Marsh, base, Near Mint", "1987 #31 Cora Mint, base"),
    ("23 very good", AFTER_22, "1987 #23 Ada Marsh, base, Very Good", BASE_MARSH),
    ("23 vg", AFTER_22, "1987 #23 Ada Marsh, base, Very Good", BASE_MARSH),
    ("23 exc", AFTER_22, "1987 #23 Ada Marsh, base, Excellent", "1987 #47 Ned Exley, base"),
    ("23 nm", GOOD, "1987 #23 Ada Marsh, base, Near Mint", "1987 #23 Ada Marsh, base, Good"),
    ("mint mint", AFTER_22, "1987 #31 Cora Mint, base, Mint", "1987 #23 Ada Marsh, base, Mint"),
    ("ex ex", AFTER_22, "1987 #46 Lena Ex, base, Excellent", "1987 #47 Ned Exley, base"),
    ("lena ex ex", AFTER_22, "1987 #46 Lena Ex, base, Excellent", "1987 #46 Lena Ex, base"),
]
SETS = [
    ("85 23 torb", AFTER_22, "1985 #23 Lee Torbel, base", BASE_MARSH),
    ("87 23", AFTER_22, BASE_MARSH, "1987 #87 Pia Quill, base"),
    ("87 23", IN_POND, BASE_MARSH, "1985 #87 Ike Dorn, base"),
    ("87 23", NOWHERE, BASE_MARSH, "1985 #23 Leeva Golder, base"),
    ("1987 23", IN_POND, BASE_MARSH, "1985 #23 Lee Torbel, base"),
    ("87", AFTER_22, "1987 #87 Pia Quill, base", BASE_MARSH),
    ("87", IN_POND, "1985 #87 Ike Dorn, base", "1987 #87 Pia Quill, base"),
    ("1987", IN_POND, "1987 #1 Edo Ferolm, base", "1985 #87 Ike Dorn, base"),
    ("1987", NOWHERE, "1987 #1 Edo Ferolm, base", "1987 #87 Pia Quill, base"),
    ("hl 23", AFTER_22, BASE_MARSH, "1985 #23 Leeva Golder, base"),
    ("hl 23", AFTER_22, BASE_MARSH, "1987 #58 Hugo Lorn, base"),
    ("87 hl 23", IN_POND, BASE_MARSH, "1985 #23 Leeva Golder, base"),
    ("87 hl 23", NOWHERE, BASE_MARSH, "1987 #87 Pia Quill, base"),
    ("85 hl 23", AFTER_22, "1985 #23 Leeva Golder, base", "1985 #23 Lee Torbel, base"),
    ("mp 23", AFTER_22, "1985 #23 Lee Torbel, base", "1985 #23 Leeva Golder, base"),
    ("sl 2", AFTER_22, "1992 #2 UWEN O'NEIL, base", "1987 #2 Mara Wimsh, base"),
    ("squall", AFTER_22, "1992 #1 CARVA MCKAY, base", BASE_MARSH),
]
PINNED = [
    ("#23", AFTER_22, BASE_MARSH, "1987 #230 Ove Torden, base"),
    ("number=23", AFTER_22, BASE_MARSH, "1987 #230 Ove Torden, base"),
    ("#87", AFTER_22, "1987 #87 Pia Quill, base", "1987 #1 Edo Ferolm, base"),
    ("name=gold", AFTER_22, "1987 #33 Samlo Gold, base", f"{MARSH}, Gold"),
    ("name=gold parallel=gray", AFTER_22, "1987 #33 Samlo Gold, Gray", "1987 #32 Annlo Gray, Gold"),
    ("name=gray parallel=gold", AFTER_22, "1987 #32 Annlo Gray, Gold", "1987 #33 Samlo Gold, Gray"),
    ("name=ada_marsh", AFTER_22, BASE_MARSH, "1987 #70 Verla Marsh, base"),
    ("name=mint", AFTER_22, "1987 #31 Cora Mint, base", "1987 #23 Ada Marsh, base, Mint"),
    ("name=ex", AFTER_22, "1987 #46 Lena Ex, base", "1987 #23 Ada Marsh, base, Excellent"),
    ("name=am", AFTER_22, BASE_MARSH, "1987 #34 Amos Fenlund, base"),
    ("set=85 23 gold", AFTER_22, "1985 #23 Lee Torbel, Gold", f"{MARSH}, Gold"),
    ("set=mill_pond 23", AFTER_22, "1985 #23 Lee Torbel, base", "1985 #23 Leeva Golder, base"),
    ("set=harbor_light 23", AFTER_22, BASE_MARSH, "1985 #23 Leeva Golder, base"),
    ("set=hl 907", AFTER_22, "", "1985 #907 Mara Kasell, base"),
    ("team=gulls", AFTER_22, BASE_MARSH, "1987 #22 Ivo Lund, base"),
    ("team=herons 23", AFTER_22, "1985 #23 Lee Torbel, base", BASE_MARSH),
    ("parallel=gold", AFTER_22, f"{MARSH}, Gold", "1987 #33 Samlo Gold, base"),
    ("parallel=gold 33", AFTER_22, "", "1987 #33 Samlo Gold, base"),
    ("23 parallel=base", GOLD, BASE_MARSH, f"{MARSH}, Gold"),
    ("23 parallel=", GOLD, BASE_MARSH, f"{MARSH}, Gold"),
    ("condition=ex", AFTER_22, "1987 #23 Ada Marsh, base, Excellent", "1987 #46 Lena Ex, base"),
    ("31 condition=mint", AFTER_22, "1987 #31 Cora Mint, base, Mint", "1987 #31 Cora Mint, base"),
    (
        "23 condition=near_mint",
        AFTER_22,
        "1987 #23 Ada Marsh, base, Near Mint",
        "1987 #31 Cora Mint, base",
    ),
    (
        "23 condition=nm",
        GOOD,
        "1987 #23 Ada Marsh, base, Near Mint",
        "1987 #23 Ada Marsh, base, Good",
    ),
    ("serial=12/99", AFTER_22, f"{MARSH}, Gold 12/99", f"{MARSH}, Gold Wave"),
    ("23 serial=12/25", AFTER_22, f"{MARSH}, Gold Wave 12/25", f"{MARSH}, Gold"),
    ("23 gold serial=12", AFTER_22, f"{MARSH}, Gold 12/99", f"{MARSH}, Gold Wave"),
]
NOTHING = [
    ("", AFTER_22, BASE_MARSH, "1987 #22 Ivo Lund, base"),
    ("", START, "1987 #1 Edo Ferolm, base", "1987 #2 Mara Wimsh, base"),
    ("", IN_POND, "1985 #23 Lee Torbel, base", BASE_MARSH),
    ("", after(LIGHT, "87"), "1987 #117 Abe Tarn, base", "1987 #117a Abe Tarn, base"),
    ("", GOLD, f"{MARSH}, Gold", BASE_MARSH),
]


def stands_in_the_checklist(card: str) -> bool:
    """Whether the checklist has the card and the parallel."""
    head, _, kind = card.partition(", ")
    parallel = kind.partition(",")[0]
    listed = [row for row in ROWS if f"{row.set.split()[0]} #{row.number} {row.subject}" == head]
    return any(
        parallel == "base" or any(parallel == p.name for p in row.parallels) for row in listed
    )


@pytest.mark.parametrize(
    ("hint", "context", "meant", "mistaken"),
    [*NUMBERS, *NAMES, *VARIANTS, *SETS, *PINNED, *NOTHING],
)
def test_the_card_that_is_meant_comes_first(
    hint: str, context: Context, meant: str, mistaken: str
) -> None:
    """Where none is meant (an empty text), the one that could be taken for it must not be taken."""
    assert stands_in_the_checklist(mistaken)
    found = [(named(candidate), candidate.problem) for candidate in rank(hint, context)]
    if meant:
        assert found[0] == (meant, "")
    assert (mistaken, "") not in found[:1]


@pytest.mark.parametrize(
    ("hint", "context", "both"),
    [
        ("23", NOWHERE, {BASE_MARSH, "1985 #23 Leeva Golder, base", "1985 #23 Lee Torbel, base"}),
        ("marsh", NOWHERE, {BASE_MARSH, "1987 #70 Verla Marsh, base"}),
        ("am", NOWHERE, {BASE_MARSH, "1987 #34 Amos Fenlund, base"}),
        ("kay", AFTER_22, {"1987 #30 Jorrin McKay, base", "1987 #36 Kay Dunholm, base"}),
        (
            "gt",
            AFTER_22,
            {"1987 #48 Idra Golding / Gil Torvald, base", "1987 #49 Gil Torman, base"},
        ),
        ("gray gold", AFTER_22, {"1987 #32 Annlo Gray, Gold", "1987 #33 Samlo Gold, Gray"}),
        ("gold gray", AFTER_22, {"1987 #32 Annlo Gray, Gold", "1987 #33 Samlo Gold, Gray"}),
        ("gold", after(LIGHT, "30"), {"1987 #30 Jorrin McKay, Gold", "1987 #33 Samlo Gold, base"}),
        ("mint", AFTER_22, {"1987 #23 Ada Marsh, base, Mint", "1987 #31 Cora Mint, base"}),
        ("ex", AFTER_22, {"1987 #23 Ada Marsh, base, Excellent", "1987 #46 Lena Ex, base"}),
        ("31 mint", AFTER_22, {"1987 #31 Cora Mint, base", "1987 #31 Cora Mint, base, Mint"}),
        ("46 ex", AFTER_22, {"1987 #46 Lena Ex, base", "1987 #46 Lena Ex, base, Excellent"}),
        ("70 g", AFTER_22, {"1987 #70 Verla Marsh, Gold", "1987 #70 Verla Marsh, Green"}),
        (
            "70 12/99",
            AFTER_22,
            {"1987 #70 Verla Marsh, Gold 12/99", "1987 #70 Verla Marsh, Green 12/99"},
        ),
        (
            "marsh serial=12",
            IN_SQUALL,
            {f"{MARSH}, Gold 12/99", "1987 #70 Verla Marsh, Gold 12/99"},
        ),
        ("hl 23", IN_POND, {BASE_MARSH, "1985 #23 Leeva Golder, base"}),
        ("85 23", AFTER_22, {"1985 #23 Leeva Golder, base", "1985 #23 Lee Torbel, base"}),
        ("1985", NOWHERE, {"1985 #1 Wim Sarley, base", "1985 #22 Cyr Halden, base"}),
        ("set=85 23", AFTER_22, {"1985 #23 Leeva Golder, base", "1985 #23 Lee Torbel, base"}),
    ],
)
def test_where_two_are_meant_both_are_shown(hint: str, context: Context, both: set[str]) -> None:
    """And none of them can be taken without a second look."""
    found = rank(hint, context)
    assert both <= {named(candidate) for candidate in found if not candidate.problem}
    assert not found[0].sure


@pytest.mark.parametrize(
    ("hint", "context", "by_number", "by_name"),
    [
        ("23 marlow", AFTER_22, BASE_MARSH, "1987 #24 Bo Marlow, base"),
        ("marlow 23", AFTER_22, BASE_MARSH, "1987 #24 Bo Marlow, base"),
        ("23 marlow", NOWHERE, BASE_MARSH, "1987 #24 Bo Marlow, base"),
        ("23 mckay", AFTER_22, BASE_MARSH, "1987 #30 Jorrin McKay, base"),
        ("140 lund", AFTER_22, "1987 #140 Evka St. Clair, base", "1987 #22 Ivo Lund, base"),
        # The name is nearly that of the card with the number.
        ("24 marsh", AFTER_22, "1987 #24 Bo Marlow, base", BASE_MARSH),
        # The number is the start of the one on the card with the name.
        ("12 marsden", AFTER_22, "1987 #12 Jun Rengren, base", "1987 #123 Abe Marsden, base"),
        # The number is also the year of the set.
        ("87 marsh", AFTER_22, "1987 #87 Pia Quill, base", BASE_MARSH),
        # One of the two is in another set.
        ("23 halden", AFTER_22, BASE_MARSH, "1985 #22 Cyr Halden, base"),
        ("907 marsh", AFTER_22, "1985 #907 Mara Kasell, base", BASE_MARSH),
    ],
)
def test_a_number_and_a_name_that_disagree_warn_and_show_both_cards(
    hint: str, context: Context, by_number: str, by_name: str
) -> None:
    found = rank(hint, context)
    assert not found[0].sure
    assert {by_number, by_name} <= {named(candidate) for candidate in found}


@pytest.mark.parametrize(
    "hint",
    ["nunez", "lukasz", "orsted", "weiss", "isik", "thorvaksson", "oneil", "kay", "stclair",
    "saintlo", "delacruz",
     "морошун", "λαππορας", "λαππόρας", "구하뮬", "구", "雲", "سلمى", "kumoda", "moroshun",
     "lapporas", "hamyul",
     "salma"],
)  # fmt: skip
def test_a_name_typed_plainly_is_no_slip(hint: str) -> None:
    best = rank(hint)[0]
    assert best.reasons in (((hint, "subject"),), ((hint, "start of the subject"),))


@pytest.mark.parametrize(
    ("hint", "context"),
    [
        *(
            (hint, AFTER_22)
            for hint in (
                "23",
                "marsh",
                "23 g",
                "set=harbor_light 23",
                "23 12/99",
                "ada marsh",
                "RC-7",
            )
        ),
        *(
            (hint, AFTER_22)
            for hint in ("117", "230", "saint-lo", "torvald", "구하뮬", "salma", "117a", "orsted")
        ),
        *(
            (hint, NOWHERE)
            for hint in (
                "87 hl 23",
                "23 mar",
                "torvald",
                "117",
                "907",
                "kasell 907",
                "salma",
                "mp 22",
            )
        ),
    ],
)
def test_a_plain_reading_is_sure(hint: str, context: Context) -> None:
    """One card alone is meant, so it can be taken with no second look; a jump in a tray that has
    shown none is likely at least."""
    first = rank(hint, context)[0]
    jumps = {"23 g", "RC-7", "117", "230", "saint-lo", "구하뮬", "salma", "117a"}
    assert first.confidence > 0.9
    assert not first.problem
    assert first.sure or (context == AFTER_22 and hint in jumps)


@pytest.mark.parametrize(
    ("hint", "context"),
    [row[:2] for row in (*NUMBERS, *NAMES, *VARIANTS, *SETS, *PINNED)] + [("m 907", AFTER_22)],
)
def test_all_that_is_shown_shares_in_one_probability(hint: str, context: Context) -> None:
    assert sum(candidate.confidence for candidate in rank(hint, context)) <= 1 + 1e-9


def test_the_checklist_is_the_one_that_was_given() -> None:
    rows = [MATCHER.index.row(step) for step in range(len(MATCHER.index))]
    assert sorted(rows) == sorted(ROWS)
    assert [row.number for row in rows if row.set == POND] == ["22", "23", "87", "907"]
    assert Parallel("Gold", 99) in ROWS[0].parallels


def test_a_parallel_is_meant_where_the_carried_set_has_the_same_word():
    sets = ("1994 Copperline Series One", "1994 Copperline Series Two")
    both = (Parallel("Copper Foil"), Parallel("Gold Rush", 10))
    rows = [Row(name, str(n), f"N{n} {name[-3:]}", "", both) for name in sets for n in range(1, 60)]
    matcher = Matcher(Index(Checklist(rows)))
    before = matcher.rank("set=one 46")[0].tags
    context = Context(Carried((("set", sets[0]),)), before, frozenset(sets))
    for hint, parallel in (("47 cop", "Copper Foil"), ("47 copper", "Copper Foil"), ("47", "")):
        best = matcher.rank(hint, context)[0]
        assert (best.tags.set, best.tags.number, best.tags.parallel) == (sets[0], "47", parallel)
    best = matcher.rank("two 47", context)[0]
    assert (best.tags.set, best.tags.parallel) == (sets[1], "")

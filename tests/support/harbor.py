"""A small invented checklist with much that can be mistaken for one another, and hints tried on
it."""

from __future__ import annotations

from support import drawn
from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Parallel, Row, Tags

LIGHT, OLD_LIGHT = "1987 Harbor Light", "1985 Harbor Light"
POND, SQUALL = "1985 Mill Pond", "1992 SQUALL LINE"
ALL = (Parallel("Gold", 99), Parallel("Silver"), Parallel("Gold Wave", 25))
ROWS = (
    *(
        Row(LIGHT, str(n), truth.subject, "Mill Otters", ALL)
        for n, truth in enumerate(drawn.set_rows("", 20, 5), 1)
    ),
    Row(LIGHT, "22", "Ivo Lund", "Sand Foxes", ALL),
    Row(LIGHT, "23", "Ada Marsh", "Harbor Gulls", ALL),
    Row(LIGHT, "24", "Bo Marlow", "Sand Foxes", ALL),
    Row(LIGHT, "25", "Anvela Núñez", "Sand Foxes", ALL),
    Row(LIGHT, "26", "Łukasz Wirthal", "", ALL),
    Row(LIGHT, "27", "Pertil Ørsted", "", ALL),
    Row(LIGHT, "28", "Ottmo Weiß", "", ALL),
    Row(LIGHT, "29", "Timlo O'Neil", "", ALL),
    Row(LIGHT, "30", "Jorrin McKay", "", ALL),
    Row(LIGHT, "31", "Cora Mint"),
    Row(LIGHT, "32", "Annlo Gray", "", (Parallel("Gold", 99),)),
    Row(LIGHT, "33", "Samlo Gold", "", (Parallel("Gray", 50), Parallel("Base"))),
    Row(LIGHT, "34", "Amos Fenlund", "", ALL),
    Row(LIGHT, "35", "Neil Orrasby", "", ALL),
    Row(LIGHT, "36", "Kay Dunholm", "", ALL),
    Row(LIGHT, "37", "Nattor Smith", "", ALL),
    Row(LIGHT, "38", "Nattor Smith Jr.", "", ALL),
    Row(LIGHT, "39", "Junna Rask", "", ALL),
    Row(LIGHT, "40", "Anvora de la Cruz", "", ALL),
    Row(LIGHT, "41", "Della Crum", "", ALL),
    Row(LIGHT, "42", "Eva Saint-Lo", "", ALL),
    Row(LIGHT, "43", "Lo Sainter", "", ALL),
    Row(LIGHT, "44", "Umutan Işık", "", ALL),
    Row(LIGHT, "45", "Ísak Þórvaksson", "", ALL),
    Row(LIGHT, "46", "Lena Ex", "", ALL),
    Row(LIGHT, "47", "Ned Exley", "", ALL),
    Row(LIGHT, "48", "Idra Golding / Gil Torvald", "", ALL),
    Row(LIGHT, "49", "Gil Torman", "", ALL),
    Row(LIGHT, "50", "雲田 磯丸", "", ALL, (), "Kumoda Isomaru"),
    Row(LIGHT, "51", "Ладра Морошун", "", ALL, (), "Ladra Moroshun"),
    Row(LIGHT, "52", "Νίκη Λαππόρας", "", ALL, (), "Niki Lapporas"),
    Row(LIGHT, "53", "구하뮬", "", ALL, (), "Gu Hamyul"),
    Row(LIGHT, "54", "سلمى دورخ", "", ALL, (), "Salma Durakh"),
    Row(LIGHT, "55", "Stella Clairvont", "", ALL),
    Row(LIGHT, "56", "Tomlo Weisz", "", ALL),
    Row(LIGHT, "57", "Rolf Corden", "", ALL),
    Row(LIGHT, "58", "Hugo Lorn", "", ALL),
    Row(LIGHT, "59", "雲本 藻花", "", ALL, (), "Kumomoto Moka"),
    Row(LIGHT, "60", "Ладей Моревун", "", ALL, (), "Ladey Morevun"),
    Row(LIGHT, "61", "Νίκος Λαπόρας", "", ALL, (), "Nikos Laporas"),
    Row(LIGHT, "62", "구하무", "", ALL, (), "Gu Hamu"),
    Row(LIGHT, "63", "سليم دورخي", "", ALL, (), "Salim Durakhi"),
    Row(LIGHT, "70", "Verla Marsh", "", (Parallel("Green", 99), Parallel("Gold", 99))),
    Row(LIGHT, "87", "Pia Quill", "", ALL),
    Row(LIGHT, "117", "Abe Tarn"),
    Row(LIGHT, "117a", "Abe Tarn"),
    Row(LIGHT, "123", "Abe Marsden", "", ALL),
    Row(LIGHT, "RC-7", "Nils Vos", "", ALL),
    Row(LIGHT, "RC-70", "Nils Marshall", "", ALL),
    Row(LIGHT, "140", "Evka St. Clair", "", ALL),
    Row(LIGHT, "230", "Ove Torden", "", ALL),
    Row(OLD_LIGHT, "1", "Wim Sarley"),
    Row(OLD_LIGHT, "23", "Leeva Golder"),
    Row(OLD_LIGHT, "87", "Rod Fenn"),
    Row(POND, "22", "Cyr Halden"),
    Row(POND, "23", "Lee Torbel", "Pine Herons", (Parallel("Gold", 50),)),
    Row(POND, "87", "Ike Dorn"),
    Row(POND, "907", "Mara Kasell"),
    Row(SQUALL, "1", "CARVA MCKAY"),
    Row(SQUALL, "2", "UWEN O'NEIL"),
    Row(SQUALL, "3", "LEAVIN DE LA CRUZ"),
    Row(SQUALL, "4", "MAX SAINT-LO"),
    Row(SQUALL, "5", "NATTOR SMITH JR"),
    Row(SQUALL, "6", "INOLDA NÚÑEZ"),
)
MATCHER = Matcher(Index(Checklist(ROWS)))


def after(set: str, number: str, *seen: str) -> Context:
    """The lot behind a card of a set, with the sets that were seen before it."""
    return Context(Carried().put("set", set), Tags(set=set, number=number), frozenset({set, *seen}))


NOWHERE = Context()
AFTER_22 = after(LIGHT, "22")
IN_POND = after(POND, "22")
IN_SQUALL = after(SQUALL, "1")


def rank(hint: str, context: Context = AFTER_22, limit: int = 9) -> list[Candidate]:
    """Candidates on this checklist."""
    return MATCHER.rank(hint, context, limit)


def carrying(**fields: str) -> Context:
    """Behind card 22, with more carried than the set."""
    carried = AFTER_22.carried
    for name, value in fields.items():
        carried = carried.put(name, value)
    return Context(carried, AFTER_22.before, AFTER_22.seen)


def named(candidate: Candidate) -> str:
    """`1987 #23 Ada Marsh, base`: a candidate with the year of its set."""
    return f"{candidate.tags.set.split()[0]} {candidate.tags.brief()}"

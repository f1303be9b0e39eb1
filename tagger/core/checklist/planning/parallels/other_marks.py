"""Headings of crosses that tell something else than a parallel."""

from __future__ import annotations

import re

from tagger.core.checklist.headings.meaning import heading_key
from tagger.core.model.text import fold

# common practice, no source
_OTHER_MARKS = frozenset(
    [
        "rc", "rookie", "rookies", "auto", "autograph", "autographs", "autogramm", "relic", "mem",
        "memorabilia", "patch", "sp", "ssp", "hof", "have", "own", "owned", "need", "needed",
        "want", "wanted", "got", "missing", "qty", "quantity", "count", "stock", "collected",
        "checked", "check", "done", "sold", "listed", "trade", "dupes", "doubles", "extra",
        "extras", "traded", "error", "err", "cor", "ec", "short", "print", "shortprint", "graded",
        "page", "box", "pos", "position", "anzahl", "bestand", "vorhanden", "habe", "fehlt",
        "doppelt", "menge", "possede", "manque", "tengo", "falta", "cantidad", "posseduto",
        "manca", "ho", "vorh", "hp", "kp", "pv", "ps", "atk",
        "def", "attack", "defense", "defence", "power", "level", "mana", "cost", "speed", "heb",
        "mist", "gezocht", "zoek", "gesucht", "suche", "cherche",
        "recherche",
        "busco", "cerco", "dubbel", "dubbele", "doppie", "repes", "notes", "note", "remarks",
        "age", "born", "weight",
        "height", "wins", "losses", "games", "stuck", "stk", "qte", "nb", "cant", "qta", "quantita",
        "aantal", "stuks", "uds", "unidades", "pz", "pezzi", "枚", "所持", "所持数",
    ]
)  # fmt: skip


def is_other_mark(name: str) -> bool:
    """Whether a heading is that of a mark which says something else than a parallel."""
    # `Q.tà` is one word, though a point parts it
    return not _OTHER_MARKS.isdisjoint([heading_key(name), *re.findall(r"[^\W_]+", fold(name))])

"""What columns are called that several rooms know by name."""

from __future__ import annotations

# the dealer's own price, and a list's further column; `price gold` is that of a parallel
PRICE = "price"

# A further column that tells cards of one number apart (common practice, no source). Letters and
# digits alone are compared, so `Sub-Set` and `subset` are one.
SERIES = frozenset(
    [
        "series", "subseries", "suit", "palo", "seme", "enseigne",
        "subset", "subsets", "subsetname", "insert", "inserts",
        "insertset", "insertname", "section", "seccion", "sezione", "sektion", "sectie",
        "untersatz", "unterserie", "teilserie", "einleger",
        "beilage", "sousensemble", "sousserie", "subserie", "subconjunto", "inserto", "inserti",
        "insertserie",
        "einlegeserie", "einsteckserie", "einsatz", "settype", "subsettype", "inserttype",
        "sottoserie",
        "untergruppe", "subgruppe", "sousgroupe", "sottogruppe", "subgrupo", "subgroep", "subgroup",
        "seriespeciale", "seriespeciali", "specialseries", "specialset", "sonderserie",
        "serieespecial", "serieinseree", "seriesinserees", "serieinserita", "serieinsertada",
        "sottoinsieme", "deelserie", "deelset", "deelreeks", "subreeks", "teilreihe",
        "serie", "reeks",
        "ins", "インサート", "シリーズ", "サブセット",
    ]
)  # fmt: skip

SERIES_NAME = "subset"
"""What a series is kept under that has no column of its own."""

"""What the columns of a list are called: one table of spellings, and how a heading is looked up in
it. Users add to it in the settings, `[columns]`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from tagger.core.model.column_names import PRICE
from tagger.core.model.series import SERIES, is_series
from tagger.core.model.text import fold

ONE_PARALLEL = "one parallel"  # a column of crosses or print runs; its heading is the parallel
FURTHER = "further"  # only kept

# By meaning, the likeliest first: of two columns with one meaning the first here is taken. English,
# then German, French, Spanish, Italian, Dutch, Japanese, and some words of further languages
# (common practice, no source).
SPELLINGS: Mapping[str, tuple[str, ...]] = {
    "set": (
        "set", "set name", "release", "product", "set title", "card set", "series", "collection",
        "edition", "expansion", "satz", "setname", "ausgabe", "sammlung", "serie", "coleccion",
        "collezione", "collectie", "ensemble", "conjunto", "insieme", "card series", "kollektion",
        "セット", "商品", "シリーズ", "colecao", "kollektion", "samling", "saett", "sett",
        "sarja", "setti", "zestaw", "kolekcja", "seria", "sada", "kolekce", "sorozat", "keszlet",
        "koleksiyon", "seri", "набор", "серия", "коллекция", "сет", "набір", "серія", "σετ",
        "σειρα", "συλλογη", "系列", "套装", "套裝", "卡组", "产品", "產品", "세트", "시리즈",
        "제품", "סט", "סדרה", "المجموعة", "السلسلة", "album", "reeks", "raccolta", "album name",
    ),
    "year": (
        "year", "years", "season", "release year", "set year", "yr", "jahr", "jahrgang", "saison",
        "annee", "ano", "año", "temporada", "anno", "annata", "stagione", "jaar", "jaargang",
        "seizoen", "年", "年度", "発売年", "ar", "sasong", "saeson", "sesong", "vuosi", "kausi",
        "rok", "sezon", "sezona", "ev", "yil", "год", "сезон", "рік", "ετος", "年份", "赛季",
        "erscheinungsjahr", "賽季", "연도", "년도", "시즌", "שנה", "السنة", "card year",
    ),
    "maker": (
        "maker", "brand", "manufacturer", "publisher", "company", "hersteller", "marke", "verlag",
        "fabricant", "editeur", "marque", "fabricante", "marca", "editorial", "produttore",
        "editore", "fabrikant", "merk", "uitgever", "メーカー", "tillverkare", "producent",
        "produsent", "valmistaja", "wydawca", "vyrobce", "gyarto", "uretici", "производитель",
        "издатель", "品牌", "厂商", "제조사", "브랜드",
    ),
    "number": (
        "card number", "card no", "card nr", "card num", "card#", "number", "#", "no", "nr",
        "num", "card numbers", "numbers", "no#", "number on card", "checklist number", "cn",
        "nbr", "cardno", "kartennummer", "karten nr", "karte nr", "kartennr", "nummer", "nummern",
        "numero", "numero de carte", "numero carte", "n", "no de carte", "num carte",
        "numero de carta", "numero de tarjeta", "numero di carta", "numero carta", "nro", "num.",
        "kaartnummer", "kaart nr", "kaartnr", "番号", "カード番号", "ナンバー", "card", "cards",
        "karte", "carte", "carta", "kaart", "cromo", "kortnummer", "nro", "kortin numero",
        "numer", "numer karty", "nr karty", "cislo", "cislo karty", "szam", "sorszam",
        "kartyaszam", "numara", "kart no", "номер", "номер карты", "номер карточки",
        "номер карти", "αριθμος", "编号", "編號", "卡号", "卡號", "号码", "번호", "카드번호",
        "카드 번호", "מספר", "الرقم", "رقم", "number in set", "card id", "c", "figurina", "bild",
        "bildnummer", "sticker", "sticker number",
    ),
    "subject": (
        "subject", "subjects", "player", "players", "player name", "player names", "athlete",
        "athletes", "card subject", "character", "pictured", "name", "names", "full name",
        "spieler", "spielername", "spieler name", "person", "joueur", "joueurs", "nom du joueur",
        "nom", "jugador", "jugadores", "nombre del jugador", "nombre", "giocatore", "giocatori",
        "nome giocatore", "nome", "speler", "spelers", "spelersnaam", "naam", "選手", "選手名",
        "名前", "氏名", "人物", "title", "card title", "card name", "titel", "description",
        "kartenname", "motiv", "titre", "titulo", "titolo", "beschreibung", "カード名", "jogador",
        "nome do jogador", "spelare", "namn", "spiller", "navn", "pelaaja", "nimi", "zawodnik",
        "gracz", "imie i nazwisko", "hrac", "jmeno", "meno", "jatekos", "nev", "oyuncu", "isim",
        "игрок", "имя", "персонаж", "гравець", "παικτης", "ονομα", "球员", "球員", "姓名", "名字",
        "人物", "선수", "선수명", "이름", "שחקן", "שם", "اللاعب", "الاسم", "plyr",
        "featured player", "featuring", "sportler", "calciatore", "futbolista", "spielerin",
        "voetballer", "footballeur", "bezeichnung", "who", "item", "item title", "listing",
        "listing title", "product title", "card details",
    ),
    "first": ("first name", "first", "given name", "vorname", "prenom", "voornaam"),
    "last": (
        "last name", "last", "surname", "family name", "nachname", "nom de famille", "apellido",
        "apellidos", "cognome", "achternaam", "fornamn", "fornavn", "etunimi", "imie",
        "krestni jmeno", "keresztnev", "nombre de pila", "efternamn", "efternavn", "etternavn",
        "sukunimi", "nazwisko", "prijmeni", "priezvisko", "vezeteknev", "soyad", "фамилия",
        "sobrenome",
    ),
    "team": (
        "team", "teams", "club", "clubs", "team name", "franchise", "mannschaft", "verein",
        "equipe", "equipo", "squadra", "ploeg", "チーム", "チーム名", "球団", "所属", "equipa",
        "clube", "lag", "klubb", "klub", "hold", "joukkue", "seura", "druzyna", "zespol", "tym",
        "muzstvo", "csapat", "takim", "kulup", "команда", "клуб", "ομαδα", "球队", "球隊", "队伍",
        "俱乐部", "팀", "팀명", "구단", "קבוצה", "الفريق", "النادي", "tm", "organization",
    ),
    "parallels": (
        "parallels", "parallel", "parallel name", "parallel type", "variant", "variants",
        "variation", "variations", "version", "versions", "finish", "foil", "finishes", "foils",
        "parallelen", "variante", "varianten", "ausfuhrung", "folie", "paralleles", "variantes",
        "finition", "paralelas", "paralelo", "paralela", "acabado", "parallele", "paralleli",
        "varianti", "versione", "finitura", "parallellen", "afwerking", "folies", "パラレル",
        "バリエーション", "仕様", "variacao", "variacoes", "parallell", "parallellsett",
        "wariant", "wersja", "varianta", "verze", "valtozat", "varyasyon", "paralel", "вариант",
        "вариация", "версия", "параллель", "παραλλαγη", "平行", "平行版", "版本", "패러렐",
        "버전", "treatment", "printing",
    ),
    "run": (
        "print run", "print runs", "run", "numbered to", "serial to", "numbered", "numbering",
        "serial numbered", "serial number", "serial", "limited to", "limit", "/", "edition size",
        "auflage", "limitierung", "limitiert", "nummeriert", "tirage", "numerote", "tirada",
        "numerado", "tiratura", "numerata", "numerato", "oplage", "genummerd", "限定", "限定数",
        "シリアル", "枚数", "sn", "serial no", "serial nr", "serial #", "serial #'d", "# d",
        "#d to", "numbered out of", "out of", "serial run", "copies made",
        "sequentially numbered", "stated print run", "limited edition", "tiragem", "upplaga",
        "oplag", "opplag", "painos", "naklad", "peldanyszam", "baski", "тираж", "наклад", "限量",
        "限编", "印量", "한정", "넘버링", "edicao limitada", "edicion limitada",
        "edition limitee", "limitierte auflage", "edizione limitata", "tiratura limitata",
        "numerotee a", "numerote a", "numerotee", "numerotation", "nummeriert auf",
        "limitiert auf", "numerado a", "numerata a", "genummerd tot", "oplage van",
    ),
    "alias": (
        "alias", "aliases", "also known as", "aka", "romanized", "romanised", "latin", "romaji",
        "english name", "reading", "ローマ字", "英名", "英語名",
    ),
    "series": (
        *sorted(SERIES),
    ),
    PRICE: (
        "price", "prices", "est value", "estimated value", "value", "book value", "unit price",
        "list price", "preis", "wert", "stuckpreis", "prix", "valeur", "precio", "valor",
        "prezzo", "valore", "prijs", "waarde", "価格", "値段", "価値", "preco", "pris", "varde",
        "vaerdi", "verdi", "hinta", "arvo", "cena", "wartosc", "hodnota", "ar ft", "ertek",
        "fiyat", "deger", "цена", "стоимость", "ціна", "τιμη", "价格", "價格", "가격", "시세",
        "מחיר", "السعر", "market price", "market value", "asking price", "ask",
    ),
}  # fmt: skip
_SAID = {"first name": "first", "last name": "last", "subset": "series"}
MEANINGS = (
    *(meaning for meaning in SPELLINGS if meaning not in _SAID.values()),
    *_SAID,
    ONE_PARALLEL,
    FURTHER,
)
"""What users can say that a column is."""

_UNITS = re.compile(
    r"\((?:[^()]{0,12})\)|\[(?:[^\[\]]{0,12})\]|[$€£¥₤₩₱₹₺₽%*:†]|\b(?:usd|eur|gbp|jpy|cad|aud|chf)\b"
)
# meanings that several columns may have
_SEVERAL = frozenset(["series", "parallels", ONE_PARALLEL, FURTHER])


def heading_key(name: str) -> str:
    """A heading as it is compared: folded, letters and digits, `#` and a lone `/`."""
    folded = fold(name)
    key = "".join(c for c in folded if c.isalnum() or c == "#")
    return key or folded.strip()


def _keyed() -> dict[str, tuple[str, int]]:
    found: dict[str, tuple[str, int]] = {}
    for meaning, spellings in SPELLINGS.items():
        for place, spelling in enumerate(spellings):
            found.setdefault(heading_key(spelling), (meaning, place))
    return found


_MEANT = MappingProxyType(_keyed())
_PARALLEL_WORDS = frozenset(
    ["parallels", "parallelen", "paralleles", "paralelas", "paralleli", "parallellen"]
)
# words that say nothing of what a column holds
_FILLERS = frozenset(
    ["card", "crd", "cards", "name", "full", "official", "collector", "collectors", "text", "on",
     "the", "of", "in", "s", "list", "figurina", "figurine", "cromo", "plaatje", "bild", "sticker",
     "carte", "karte", "carta", "カード"]
)  # fmt: skip
_PLURAL_CARDS = frozenset(["cards", "karten", "cartes", "cartas", "kaarten"])
_CAPITAL = re.compile(r"(?<=[a-z])(?=[A-Z])")
# where kana, Han or Hangul meet Latin letters: `カードNo.`
_SCRIPTS = re.compile(r"(?<=[\u3040-\u9fff\uac00-\ud7a3])(?=[A-Za-z])")
_LESS_LIKELY = 1000
# of two meanings in one heading, the one that tells what it holds: `Player First Name`
_CLOSER = MappingProxyType(
    {
        frozenset(["subject", "first"]): "first",
        frozenset(["subject", "last"]): "last",
        frozenset(["subject", "team"]): "team",
        frozenset(["number", "run"]): "run",
        frozenset(["parallels", "run"]): "run",
        frozenset(["set", "series"]): "series",
        frozenset(["set", "maker"]): "set",
    }
)
NO_MORE: Mapping[str, str] = MappingProxyType({})


def meaning_of(name: str, more: Mapping[str, str] = NO_MORE) -> tuple[str, int]:
    """What a heading means, and how likely that is among the spellings of the meaning (0 is the
    likeliest); empty where it means nothing that is known. `more` has the user's own by their
    keys, which go first."""
    if (own := more.get(heading_key(name))) is not None:
        return own, -1
    plain = _UNITS.sub(" ", fold(name))
    for text in (name, plain):
        if found := _MEANT.get(heading_key(text)):
            return found
    if not _PARALLEL_WORDS.isdisjoint(re.findall(r"[^\W_]+", plain)) and PRICE not in plain:
        return "parallels", len(SPELLINGS["parallels"])  # `Available Parallels`
    found = _of_parts(plain)
    return found if found[0] else _of_words(name)


def _of_parts(plain: str) -> tuple[str, int]:
    """`Player / Name` and `Name(s)` mean what their parts do, where these mean one thing."""
    parts = [part for part in re.split(r"[/|&,]|\bor\b|\band\b|\boder\b", plain) if part.strip()]
    found = [_MEANT.get(heading_key(part), ("", 0)) for part in parts]
    meant = {meaning for meaning, _ in found}
    if len(parts) > 1 and len(meant) == 1:
        return found[0]
    if meant in ({"subject", "first"}, {"last", "first"}):
        return "subject", 0  # `Name, Vorname`
    return "", 0


def _of_words(name: str) -> tuple[str, int]:
    """`card.player.name`, `Collector Number`, `printRun` mean what their words do, where these mean
    one thing or one tells what the other is."""
    kept = _telling_words(heading_words(name))
    if not kept:
        return "", 0
    if found := _MEANT.get("".join(kept)):
        return found[0], found[1] + _LESS_LIKELY
    meant = {_MEANT.get(word, ("", 0))[0] for word in kept}
    if _MEANT.get(kept[-1], ("",))[0] == "parallels":
        return "parallels", _LESS_LIKELY  # `Image Variation`
    meaning = meant.pop() if len(meant) == 1 else _CLOSER.get(frozenset(meant), "")
    return meaning, _LESS_LIKELY


def _telling_words(words: list[str]) -> list[str]:
    """Those words of a heading that can say what its column holds."""
    if len(words) > 1 and words[-1].isdigit():
        words = words[:-1]  # `Player 2`
    if len(words) > 1 and not _PLURAL_CARDS.isdisjoint(words):
        return []  # `Number of Cards` counts them
    return [word for word in words if word not in _FILLERS]


def heading_words(name: str) -> list[str]:
    """The words of a heading, folded; `#` is one, and capitals begin one."""
    found = re.findall(r"[^\W_]+|#", fold(_CAPITAL.sub(" ", _SCRIPTS.sub(" ", name))))
    return [word.removesuffix("名") or word for word in found]


def columns_of(names: Sequence[str], more: Mapping[str, str] = NO_MORE) -> list[str]:
    """What each column means, each meaning once but for series, parallels and columns that are
    numbered; empty for a further column. A `series` beside another name of the set tells cards of
    the set apart."""
    meant = [meaning_of(name, more) for name in names]
    for meaning in dict.fromkeys(meaning for meaning, _ in meant):
        if meaning and meaning not in _SEVERAL:
            _only_likeliest(names, meant, meaning)
    found = ["" if meaning == FURTHER else meaning for meaning, _ in meant]
    # `Name` beside `First name` is the last one
    if "first" in found and "last" not in found and "subject" in found:
        found[found.index("subject")] = "last"
    return found


def _only_likeliest(names: Sequence[str], meant: list[tuple[str, int]], meaning: str) -> None:
    """Leave the meaning to one column: the others tell series apart, or are only kept."""
    at = [place for place, (each, _) in enumerate(meant) if each == meaning]
    if meaning in _NUMBERED and len({_unnumbered(names[place]) for place in at}) == 1:
        return  # `Player 1`, `Player 2`
    best = min(at, key=lambda place: meant[place][1])
    for place in at:
        if place != best:
            tells_apart = meaning == "set" and is_series(names[place])
            meant[place] = ("series" if tells_apart else "", 0)


_NUMBERED = frozenset(["subject", "team", "run"])


def _unnumbered(name: str) -> str:
    words = heading_words(name)
    return " ".join(words[:-1] if words and words[-1].isdigit() else [*words, name])


def user_meaning(said: str) -> str | None:
    """The meaning that a user named; None where there is none of that name."""
    text = " ".join(fold(said).split())
    if text in _SAID.values():
        return text
    if text in MEANINGS:
        return _SAID.get(text, text)
    return meaning_of(text)[0] or None


def shown_meaning(meaning: str) -> str:
    """A meaning as users read and say it."""
    return next((said for said, meant in _SAID.items() if meant == meaning), meaning)

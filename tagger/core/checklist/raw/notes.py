"""Lines that name nothing: notes, remarks, numbers of pages, totals; and how a year is written."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from tagger.core.checklist.named.list_words import CARDS, LIST_WORDS
from tagger.core.checklist.raw.counts import COUNT_PART, count_said
from tagger.core.checklist.raw.years import has_year
from tagger.core.model.text import SMALL_WORDS, fold, whole_number

_NOTE = re.compile(
    r"https?:|www\.|@|©|^\(c\)\s|"
    r"\b(?:source|updated|as of|stand|quelle|compiled|copied|page|printed|note|notes|"
    r"download(?:ed)?|legend|key|disclaimer|subject to change|thanks|sheet|version|"
    r"unofficial|inoffiziell|non officielle|no oficial|non ufficiale|geen officiele|ohne gewahr|"
    r"corrections welcome|abgetippt|transcribed|transcrit|trascritt[oa]|overgetypt|"
    r"mise a jour|actualizad[oa]|aggiornat[oa]|bijgewerkt|aktualisiert)\b|"
    r"^(?:postage|shipping|porto|versandkosten|frais de port|gastos de envio|verzendkosten)\b|"
    r"^[※＊]|^[0-9]{4}年[0-9]{1,2}月(?:[0-9]{1,2}日)?(?:現在|更新|時点|版)?$"
)
_TOTALS = re.compile(
    r"^(?:(?:grand|sub|check ?list|list|set|cards?|overall|page|team|box|section|year|lot)[\s-]*)?"
    r"(?:total|totals|total in (?:this |the )?(?:box|binder|lot|page|tin|album|row)|sum|average|"
    r"avg|mean|durchschnitt|moyenne|count|"
    r"summe|gesamt|gesamtzahl|anzahl|totale|"
    r"totaal|aantal|somme|suma|nombre de cartes|cards total|合計|計|総数)\b\s*(?:of\s+)?"
    r"(?:number\s+of\s+)?(?:cards?|karten|cartes?|cartas|carte|kaarten)?\s*[:=]?\s*[0-9., ]*"
    r"(?:cards?|karten|cartes?|cartas|carte|kaarten|figurine|cromos|plaatjes|stickers?|bilder|"
    r"枚)?\.?$|"
    r"^(?:sub-?\s?total|zwischensumme|sous-total|subtotale?|subtotaal|小計)\b"
)
_CARDS_COUNTED = re.compile(
    r"^(?:set size|size|cards?|karten|cartes|cartas|kaarten)\s*[:=]\s*[0-9]+(?: cards)?\.?$"
)
_COMMENT = re.compile(r"\s*(?:#|//|;|--)\s*[^\W\d_A-Z]")
_PAGE = re.compile(
    r"(?:page|seite|pagina|p\.|s\.|-)\s*[0-9]{1,3}(?:\s*(?:of|/|von|de|di)\s*[0-9]{1,3})?\s*-?"
)
_LONGEST_HEADING = 70  # characters


# `36 packs per box`, `Release date: March 3`: what is said of the product
_PRODUCT = re.compile(
    r"\b(?:packs?|cards?|boxes|box|hits?|autographs?|inserts?) per (?:pack|box|case|hobby)\b"
    r"|^[0-9]{1,3} packs? (?:with|of) \w+ cards\b|\bcards (?:a|each) pack\b"
    r"|^(?:release(?:d| date)|street date|erscheinung\w*|date de sortie|fecha de)\b"
)


def is_of_product(text: str) -> bool:
    """Whether a line says how the cards are sold."""
    return _PRODUCT.search(fold(text)) is not None


def is_packing(text: str) -> bool:
    """Whether the number in front of a line counts packs, and is no card's: `36 packs per box`."""
    return text[:1].isdigit() and is_of_product(text)


def is_note(text: str) -> bool:
    """Whether a line speaks to the reader and names nothing."""
    if _LEGEND.match(text) or any(says(text) for says in _SAYS_NOTHING):
        return True
    starred = (
        text[:1] in "*†" and not _OUTLINED.match(text) and text.rstrip()[-1:] not in "*†"
    )  # `*** Stars ***` is a heading
    if len(text) > _LONGEST_HEADING or starred or _NOTE.search(fold(text)):
        return True
    return _is_sentence(text)


def _is_sentence(text: str) -> bool:
    ends = text.rstrip().endswith((".", "!", "?")) or _SENTENCES.search(text) or _talks(text)
    return _is_aside(text) or (bool(ends) and len(text.split()) > 4)


def _talks(text: str) -> bool:
    """`Still looking for the last few of these, ask Harold`, `Cards are listed by name`: a comma
    or a verb among many small words."""
    words = [word for word in text.split() if any(map(str.isalpha, word))]
    small = sum(map(str.islower, words))
    if small * 10 < len(words) * 6 or has_year(text):
        return False
    return ("," in text and len(words) > 6) or not _VERBS.isdisjoint(map(str.lower, words))


_VERBS = frozenset(
    ["are", "is", "was", "were", "have", "has", "sind", "ist", "haben", "fehlen", "sont", "est",
     "ont", "manquent", "son", "están", "tienen", "faltan", "sono", "hanno", "mancano", "zijn",
     "hebben", "ontbreken"]
)  # fmt: skip


_SENTENCES = re.compile(r"[a-z]{3}[.!?]\s+[A-Z]")


def _is_aside(text: str) -> bool:
    """Whether all of a line stands in brackets, and says more than a name: `(cards are
    unnumbered)`."""
    inner = text.strip()[1:-1]
    if f"({inner})" != text.strip() or "(" in inner or ")" in inner:
        return False
    return len(inner.split()) > (3 if any(map(str.isdigit, inner)) else 2)


def is_imprint(text: str) -> bool:
    """Whether a line says where its list is from, or how old it is, or is an aside in brackets."""
    return _is_aside(text) or _NOTE.search(fold(text)) is not None


# `HG = Harbor Gulls`, `(* = short print)`, `** denotes an error`
_LEGEND = re.compile(
    r"^[(\[]?\s*(?:\[[x✓ ]?\]\s*=|[^\W\d_]{1,5}\s*=|x\s*:\s|[✓✔☑✗✘☒☐●○]\s*[=:–—-]|"
    r"[*†‡§+^#]{1,3}\s*(?:=|:|[–—-]|denotes\b|means\b|indicates\b))\s*\S",
    re.IGNORECASE,
)


def is_legend(text: str) -> bool:
    """Whether a text explains a short form or a sign: `RC = rookie card`."""
    return "=" in text and _LEGEND.match(text) is not None


_OUTLINED = re.compile(r"^\*+\s+(?:1[89]|20)[0-9]{2}\b[^.]*$")  # a heading of an outline


def is_comment(text: str) -> bool:
    """Whether a line is the remark of a program or a person: `# exported on Monday`."""
    return _COMMENT.match(text) is not None and not has_year(text)


def is_page_mark(text: str) -> bool:
    """Whether a line is nothing but the number of a page."""
    return _PAGE.fullmatch(fold(text).strip()) is not None


def without_page_marks(texts: Sequence[str]) -> list[str]:
    """The texts of a line without the number of its page."""
    return [text for text in texts if not is_page_mark(text)]


# the date and the number of a page, below its cards
_PAGE_FOOT = re.compile(r"[\W\d]*(?<!\d)\d{1,4}([./-])\d{1,2}\1\d{2,4}(?!\d)[\W\d]*")


def is_page_foot(text: str) -> bool:
    """Whether a line has nothing but a date, and maybe the number of its page."""
    return _PAGE_FOOT.fullmatch(text) is not None


# what stands in the place of a card that there is not
_NOT_ISSUED = re.compile(
    r"^\W*(?:(?:was |were )?(?:never|not) (?:issued|printed|released|made|produced)|no such card|"
    r"(?:does not|doesn'?t) exist|unissued|nicht (?:erschienen|ausgegeben|gedruckt|vergeben)|"
    r"gibt es nicht|existiert nicht|non (?:emess[ao]|uscit[ao]|pubblicat[ao]|esiste|paru)|"
    r"n.?existe pas|jamais (?:paru|emis|imprime)e?|no (?:existe|editad[ao]|emitid[ao])|"
    r"niet (?:verschenen|uitgegeven|uitgebracht)|bestaat niet|欠番)(?![^\W\d_])"
)


def is_not_issued(text: str) -> bool:
    """Whether a text in the place of a name says that there is no card of this number."""
    return _NOT_ISSUED.match(fold(text)) is not None


_OF_ALL = re.compile(r"(?:[0-9]{1,4} )?(?:of|von|de|di|van|sur) [0-9]{1,4}\.?")  # `of 40`


def is_total(texts: Iterable[str]) -> bool:
    """Whether the cells of a line are a total: `Total`, `220 cards`."""
    given = list(texts)
    if not given:
        return False
    plain = fold(given[0]).strip()
    if len(given) == 1 and _OF_ALL.fullmatch(plain):
        return True
    if _TOTALS.match(plain) or _CARDS_COUNTED.match(plain) or _is_sum_of_cards(plain):
        return True
    return len(given) == 1 and count_said(plain) > 0 and _is_of_a_set(COUNT_PART.sub("", plain))


# what a line says around the number of cards: `A set of 50 cards`, `Colección de 14 cromos`
_OF_A_SET = re.compile(
    r"(?:(?:an?|the|la|le|il|el|die|der|eine?|una?|de) )?(?:(?:complete|full|whole) )?"
    r"(?:set|series|collection|coleccion|colleccio|collezione|collectie|serie|raccolta|sammlung|"
    r"album|deck)?(?: complet[ae]?)? ?:? ?(?:of|de|di|von|van|aus|mit|with|con|avec|met)?"
)


def _is_of_a_set(plain: str) -> bool:
    """Whether what a line says beside a count of cards names nothing."""
    return _OF_A_SET.fullmatch(plain.strip(" .")) is not None


# what web pages have below their text
_FURNITURE = re.compile(
    r"(?:back|go|return) to (?:the )?(?:top|list|overview|contents)|nach oben|"
    r"zum seitenanfang|haut de page|"
    r"retour (?:en haut|au sommaire)|volver arriba|torna su|terug naar boven|rate this set|"
    r"(?:add|save) to (?:cart|favou?rites|collection|wishlist)|"
    r"(?:previous|prev)[\W0-9]*(?:next)?|"
    r"next(?: page)?|log ?in|sign in|share this|print this(?: page)?"
)


def is_furniture(text: str) -> bool:
    """Whether a line is nothing but a link or a button of a web page: `Back to top`."""
    return _FURNITURE.fullmatch(fold(text).strip(" .>»↑^|\t")) is not None


# `Home > Sets > Checklists`, `Share | Print | Edit`: the way to a page, and what to do with it
_MENU = re.compile(r"(?:[^\W\d_]+(?:[ '-][^\W\d_]+){0,2}\s*(?:[>»›|·•→]|::)\s*){2,}\S[^|>»›]*")
_CRUMBS = re.compile(r"[^\W\d_][^>»›]*(?:[>»›][^>»›]+){2,}")


def is_menu(text: str) -> bool:
    """Whether a line is what web pages have above their text."""
    text = text.strip()
    return _MENU.fullmatch(text) is not None or _CRUMBS.fullmatch(text) is not None


_GREETING = re.compile(
    r"(?i)^(?:hi|hello|hey|dear|good (?:morning|evening)|hallo|liebe[rs]?|moin|servus|bonjour|"
    r"salut|ch[eè]re?|hola|buenas|querid[oa]|estimad[oa]|ciao|car[oa]|gentile|beste|hoi|geachte|"
    r"sehr geehrte[rs]?|guten (?:tag|morgen|abend)|egregi[oa]|buongiorno)\b"
    r"[^,!:\d]{0,30}[,!:]$"
)


def is_greeting(text: str) -> bool:
    """Whether a line only greets who is written to: `Hi Dale,`."""
    return _GREETING.match(text.strip()) is not None


_SAYS_NOTHING = (is_menu, is_of_product, is_greeting, is_furniture)


# `13 of 20`, `Showing 1 to 20 of 20 entries`: how many of all there are
_SHARE = re.compile(
    r"\W*(?:[^\W\d_]+\s+)?(?:[0-9]{1,4}\s*(?:to|[-–—])\s*)?[0-9]{1,4}\s*"
    r"(?:of|out of|von|de|di|van|sur|/)\s*[0-9]{1,4}(?:\s+[^\W\d_]+)?\W*",
    re.IGNORECASE,
)


def is_share(text: str) -> bool:
    """Whether a line says nothing but how many of all cards there are."""
    return _SHARE.fullmatch(text.strip()) is not None


# `La liste complète / Complete list`: words that a list is called by, whatever it lists
_LIST_LITTLE = SMALL_WORDS | {"all", "aller", "alle", "delle"}


_OF_COUNT = re.compile(r"\b(?:of|de|von|di|van)\s+[0-9]{1,4}\b")  # `A set of 12`


def names_list(text: str) -> bool:
    """Whether a line of several words, or with a count of cards, has none but those that any list
    is called by."""
    bare = _OF_COUNT.sub("", COUNT_PART.sub("", text))
    said = set(re.findall(r"[^\W_]+", fold(bare)))
    if not said <= LIST_WORDS | _LIST_LITTLE:
        return False
    # `Cards` and `Set` may be a part, `set of 12` is none
    telling = LIST_WORDS if bare != text else LIST_WORDS - {"set", "card", "cards"}
    several = len(said) > 1 or bare != text or text.endswith(":")
    return several and not said.isdisjoint(telling)


_SUMS = frozenset(
    ["total", "totals", "totale", "totaal", "gesamt", "gesamtzahl", "insgesamt", "summe", "sum",
     "somme", "suma", "generale", "general"]
)  # fmt: skip
_COUNTS = frozenset(["number", "nombre", "numero", "anzahl", "aantal", "count", "cantidad"])
_LITTLE = SMALL_WORDS | {"all", "aller", "delle", "set", "this", "list", "subset", "team"}


def _is_sum_of_cards(plain: str) -> bool:
    """Whether all words of a folded text say that it counts cards: `totale delle carte: 220`."""
    said = set(re.findall(r"[^\W\d_]+", plain))
    if not said <= _SUMS | _COUNTS | CARDS | _LITTLE:
        return False
    counts = not said.isdisjoint(_COUNTS) and any(map(str.isdigit, plain))
    # `Cards in this set:`, with its count in the next cell
    counts = counts or (len(said) > 1 and plain.endswith((":", "=")))
    return not said.isdisjoint(CARDS) and (counts or not said.isdisjoint(_SUMS))


_TOTAL_BEGINS = re.compile(
    r"(?:total|totale|totaal|gesamt\w*|summe|somme|suma|sum|grand total|合計|総計|"
    r"(?:complete|full|entire) set|(?:commons?|common cards?|semi-?stars?|unlisted stars?|"
    r"minor stars?|typical card|einzelkarten?|cartes? communes?|carte comuni)|"
    r"set (?:complete|price)|komplett\w*|(?:serie|set) comple\w+|"
    r"(?:set|series) of [0-9]+|(?:in )?(?:%|percent|prozent|pourcent))(?!\w)"
)
_STATE_OF_COPY = re.compile(r"[A-Z]{1,2}(?:[-/+ ][A-Z]{1,2})?\+?")  # `VG`, `VG-EX`


def begins_total(texts: Sequence[str]) -> bool:
    """Whether a line is a total of something that it names: `Total stock`, with an amount, and for
    a set maybe the state of its cards."""
    # `60 cards`, `Total`, and what they are worth
    if len(texts) > 2 and is_total(texts[:1]):
        texts = texts[1:]
    if len(texts) < 2 or _TOTAL_BEGINS.match(fold(texts[0])) is None:
        return False
    beside = (text.strip() for text in texts[1:])
    return not any(
        map(str.isalpha, "".join(text for text in beside if not _STATE_OF_COPY.fullmatch(text)))
    )


_MONEY = re.compile(
    r"[$€£¥]|[0-9][.,][0-9]{1,2}(?![0-9])|[0-9]\.[0-9]{4,}|\b(?:usd|eur|gbp)\b", re.IGNORECASE
)


def total_of(texts: Iterable[str]) -> int:
    """The number of cards in a total, 0 where it has none, or an amount of money."""
    given = list(texts)
    # `Total stock` counts copies, and not cards
    if begins_total(given) and not is_total(given):
        return 0
    for text in given:
        if _MONEY.search(text):
            continue
        if digits := re.search(r"[0-9]{1,3}(?:[.,'][0-9]{3})+(?![0-9])|[0-9]+", text):
            return whole_number(re.sub(r"\D", "", digits[0])) or 0
    return 0

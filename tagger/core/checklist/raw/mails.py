"""Lines of mails and pages that say who wrote and when, and nothing of cards."""

from __future__ import annotations

import re

from tagger.core.model.text import fold

# who wrote a mail, to whom and when, in the languages of lists; and a day that is written out
_MAIL_HEAD = re.compile(
    r"^(?:from|to|cc|sent|date|subject|von|an|gesendet|datum|betreff|de|à|a|envoyé|objet|para|"
    r"enviado|fecha|asunto|da|inviato|oggetto|van|aan|verzonden|onderwerp)\s?:\s",
    re.IGNORECASE,
)
_MONTHS = (
    "jan", "fev", "feb", "mar", "apr", "avr", "abr", "mai", "may", "maj", "jun", "jui", "jul",
    "aou", "aug", "ago", "sep", "set", "oct", "okt", "nov", "dez", "dec", "dic", "gen", "mag",
    "giu", "lug", "ott", "ene",
)  # fmt: skip
_DAY = re.compile(
    r"^(?:[^\W\d_]+,?\s+(?:den\s+)?|le\s+)?(?:[0-9]{1,2}(?:\.|er|st|nd|rd|th)?\s+(?:de\s+)?"
    r"(?P<month>[^\W\d_]{3,10})\.?|(?P<first>[^\W\d_]{3,10})\.?\s+[0-9]{1,2}(?:st|nd|rd|th)?),?\s+"
    r"(?:de\s+)?(?:19|20)[0-9]{2}(?:[\s,]+(?:at|um|à|om)?\s*[0-9]{1,2}[:.h][0-9]{2}.*)?$"
)


def is_mail_head(text: str) -> bool:
    """Whether a line is of the head of a mail, or a day that is written out: it names no set."""
    return _MAIL_HEAD.match(text) is not None or is_day(text)


def is_day(text: str) -> bool:
    """Whether a line is a day with its month in letters: `Sunday, 14 March 2010`."""
    match = _DAY.match(fold(text))
    return match is not None and any(
        (match["month"] or match["first"]).startswith(month) for month in _MONTHS
    )

"""The user's settings: a TOML file in the XDG config folder. An entry that cannot be used is
named."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any

from tagger.core.model.condition import Condition, Scale
from tagger.core.model.money import amount
from tagger.core.model.reasons import Reasons
from tagger.core.model.suggestions import meant
from tagger.core.model.text import fold, printable
from tagger.core.model.valuation_settings import ValuationSettings
from tagger.errors import ConfigError
from tagger.preview.terminal_capabilities import DRAWINGS, Depth


@dataclass(frozen=True)
class Settings:
    """What the user can set."""

    keys: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Keys by command: `[keys]`, `undo = ["ctrl+z"]`. See the key table in the README for the
    commands."""

    scale: Scale = field(default_factory=Scale)
    """The conditions, best first: `[conditions]`, `"Near Mint" = ["nm", "nrmt"]`."""

    drawing: str = ""
    """How previews are drawn: `[preview]`, `drawing = "quadrants"`; empty for what the terminal is
    known to show."""

    colours: Depth | None = None
    """The colours of previews: `[preview]`, `colours = "256"`; None for those that the terminal
    says it has."""

    crop: bool = True
    """Whether a card is shown straight and without the scanner's bed, once its edges are known:
    `[preview]`."""

    margin: float = 2.0
    """Mm of the bed that are kept around it: `[preview]`, `margin = 0.5`."""

    look_alikes: bool = True
    """Whether a card is proposed by its look, where it looks like one tagged before:
    `[preview]`."""

    reasons: Reasons = field(default_factory=Reasons)
    """Short words for the reasons that cards are set aside with: `[reasons]`, `d = "damaged"`;
    replaces the usual."""

    closer_look: Decimal | None = None
    """The checklist's price from which a card is worth a closer look: `[value]`, `closer_look =
    "5.00"`."""

    value: ValuationSettings = field(default_factory=ValuationSettings)
    """How a list's price becomes an estimate: `[value]`, `"Very Good" = 0.5` for the condition's
    factor (from 0 to 100; 1 where none is given), `bounds = [0.25, 1, 5, 20]` for the stacks."""


def load_settings(path: Path) -> Settings:
    """Settings from a file; the defaults where there is none. Raises ConfigError naming file and
    entry."""
    shown = printable(str(path))
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return Settings()
    except OSError as error:
        raise ConfigError(f"{shown} cannot be read: {error.strerror}.") from None
    try:
        given = tomllib.loads(data.decode("utf-8"), parse_float=_decimal)
        return _settings(given)
    except UnicodeDecodeError:
        raise ConfigError(f"{shown} is not UTF-8; save it as UTF-8.") from None
    except tomllib.TOMLDecodeError as error:
        raise ConfigError(f"{shown} is no TOML: {error}.") from None
    except ConfigError as error:
        raise ConfigError(f"{shown}: {error.message}") from None


MOST_MARGIN = 20
TABLES = ("keys", "conditions", "preview", "reasons", "value")
SWITCHES = ("crop", "look_alikes")
BOUNDS, CLOSER = "bounds", "closer_look"
LARGEST_FACTOR, PLACES = 100, 6  # of a factor: its largest value, and its digits behind the point


def _settings(given: Mapping[str, Any]) -> Settings:
    for name, value in given.items():
        if name not in TABLES:
            raise ConfigError(f"'{printable(name)}' is no setting{meant(name, TABLES)}")
        if not isinstance(value, dict):
            raise ConfigError(f"{name} must be a table: [{name}].")
    keys: dict[str, tuple[str, ...]] = {}
    for id, value in given.get("keys", {}).items():
        keys[id] = _texts(f"keys.{printable(id)}", value)
    scale = _scale(given["conditions"]) if "conditions" in given else Scale()
    worth = dict(given.get("value", {}))
    more = _preview(given.get("preview", {})) | {
        "closer_look": _closer_look(worth.pop(CLOSER, None))
    }
    if "reasons" in given:
        more["reasons"] = Reasons(_reasons(given["reasons"]))
    return Settings(keys, scale, **more, value=_value(worth, scale))


def _reasons(given: Mapping[str, Any]) -> dict[str, str]:
    found: dict[str, str] = {}
    for word, reason in given.items():
        where = f"reasons.{printable(word)}"
        if not word or len(word.split()) != 1 or word != word.strip():
            raise ConfigError(f"{where}: a short word is one word.")
        if not isinstance(reason, str) or not reason.strip():
            raise ConfigError(f'{where} must be a text, such as "damaged".')
        if fold(word) in found:
            raise ConfigError(
                f"{where}: '{printable(fold(word))}' already stands for "
                f"{printable(found[fold(word)])}."
            )
        found[fold(word)] = " ".join(reason.split())
    return found


def _closer_look(value: object) -> Decimal | None:
    if value is None:
        return None
    price = amount(value) if isinstance(value, str) else None
    if price is None:
        raise ConfigError('value.closer_look must be a price as a text, such as "5.00".')
    return price


def _preview(given: Mapping[str, Any]) -> dict[str, Any]:
    choices = {"drawing": DRAWINGS, "colours": tuple(Depth)}
    found: dict[str, Any] = {}
    for name, value in given.items():
        if name in SWITCHES:
            if not isinstance(value, bool):
                raise ConfigError(f"preview.{name} must be true or false.")
            found[name] = value
            continue
        if name == "margin":
            if (
                isinstance(value, bool)
                or not isinstance(value, int | Decimal)
                or not 0 <= value <= MOST_MARGIN
            ):
                raise ConfigError(f"preview.margin must be a number of mm from 0 to {MOST_MARGIN}.")
            found[name] = float(value)
            continue
        if name not in choices:
            raise ConfigError(
                f"preview.{printable(name)} is no "
                f"setting{meant(name, (*choices, *SWITCHES, 'margin'))}"
            )
        if str(value) not in choices[name]:
            wanted = ", ".join(f'"{choice}"' for choice in choices[name])
            raise ConfigError(f"preview.{name} must be one of {wanted}.")
        found[name] = str(value)
    if "colours" in found:
        found["colours"] = Depth(found["colours"])
    return found


def _value(given: Mapping[str, Any], scale: Scale) -> ValuationSettings:
    names = {fold(step.name): step.name for step in scale.steps}
    factors: dict[str, Decimal] = {}
    bounds = ValuationSettings().bounds
    for name, value in given.items():
        where = f"value.{printable(name)}"
        if name == BOUNDS:
            bounds = tuple(
                _number(where, each) for each in (value if isinstance(value, list) else [value])
            )
            if list(bounds) != sorted(set(bounds)) or not all(bounds):
                raise ConfigError(f"{where} must rise and be above 0, such as [0.25, 1, 5, 20].")
        elif fold(name) not in names:
            raise ConfigError(
                f"{where} is no condition of the "
                f"scale{meant(name, (*names.values(), BOUNDS, CLOSER))}"
            )
        else:
            factors[names[fold(name)]] = factor = _number(where, value)
            if factor > LARGEST_FACTOR:
                raise ConfigError(f"{where} must be at most {LARGEST_FACTOR}.")
    return ValuationSettings(factors, bounds)


def _number(where: str, value: object) -> Decimal:
    """A number from 0 on with few digits, so that sums of prices stay exact."""
    number = Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value
    if not isinstance(number, Decimal) or not number.is_finite() or not 0 <= number < 10**9:
        raise ConfigError(f"{where} must be a number from 0 on, such as 0.5.")
    if number != round(number, PLACES):
        raise ConfigError(f"{where} has more than {PLACES} digits behind the point.")
    return number


def _decimal(text: str) -> Decimal:
    """A number of the file, exactly as it is written there."""
    return Decimal(text.replace("_", ""))


def _scale(given: Mapping[str, Any]) -> Scale:
    steps: list[Condition] = []
    owner: dict[str, str] = {}
    for name, value in given.items():
        short = tuple(
            fold(text).replace(" ", "").replace("-", "")
            for text in _texts(f"conditions.{printable(name)}", value)
        )
        for word in short:
            if not any(char.isalpha() for char in word):
                raise ConfigError(
                    f"conditions.{printable(name)}: a short form needs a letter; '{word}' has none."
                )
        for word in (fold(name).replace(" ", ""), *short):
            if word in owner:
                raise ConfigError(
                    f"conditions.{printable(name)}: '{word}' already stands for {owner[word]}."
                )
            owner[word] = printable(name)
        if not name.strip():
            raise ConfigError("conditions: a condition needs a name.")
        steps.append(Condition(" ".join(name.split()), short))
    if not steps:
        raise ConfigError("conditions: name at least one condition, or leave the table out.")
    return Scale(tuple(steps))


def _texts(where: str, value: object) -> tuple[str, ...]:
    if isinstance(value, str):
        return (value,)
    if isinstance(value, list) and all(isinstance(item, str) for item in value):
        return tuple(value)
    raise ConfigError(f'{where} must be a text or a list of texts, such as ["f2"].')

"""The user's settings: a TOML file in the XDG config folder. An entry that cannot be used is
named."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tagger.core.model.condition import Condition, Scale, squeezed
from tagger.core.model.copies import COPIES, NEAREST
from tagger.core.model.money import amount
from tagger.core.model.reasons import Reasons
from tagger.core.model.suggestions import meant
from tagger.core.model.text import fold, printable
from tagger.core.model.valuation_settings import ValuationSettings
from tagger.errors import ConfigError
from tagger.preview.terminal_capabilities import DRAWINGS, Depth
from tagger.store.files import read_bounded
from tagger.toml.export_profiles import read_profile

if TYPE_CHECKING:
    from tagger.toml.document import TomlTable


@dataclass(frozen=True)
class Settings:
    """What the user can set."""

    keys: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Keys by command: `[keys]`, `undo = ["ctrl+z"]`. See the help page `keys` for the
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

    read: bool = True
    """Whether cards are read ahead of the dealer where the extra is installed: `[reading]`, `read =
    false`."""

    model: str = ""
    """The file of another network that reads: `[reading]`, `model = "/home/ada/cyrillic.onnx"`;
    empty for the one of the extra."""

    reasons: Reasons = field(default_factory=Reasons)
    """Short words for the reasons that cards are set aside with: `[reasons]`, `d = "damaged"`;
    replaces the usual."""

    closer_look: Decimal | None = None
    """The checklist's price from which a card is worth a closer look: `[value]`, `closer_look =
    "5.00"`."""

    value: ValuationSettings = field(default_factory=ValuationSettings)
    """How a list's price becomes an estimate: `[value]`, `"Very Good" = 0.5` for the condition's
    factor (from 0 to 100; 1 where none is given), `bounds = [0.25, 1, 5, 20]` for the stacks."""

    copy: str = NEAREST
    """Which copy of a card is sold where an order does not say: `[orders]`, `copy = "worst"` for
    the worst condition that fits; the one nearest to hand where it is not set."""

    columns: Mapping[str, str] = field(default_factory=dict)
    """What headings of checklists mean: `[columns]`, `"Kartennr." = "number"`."""

    lists: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """The same for lists of one file name: `[lists."harbor.csv"]`."""

    hub: Mapping[str, str] = field(default_factory=dict)
    """The database that makes several stations' lots one inventory, by its `url`, and what this
    `station` is called there: `[hub]`, `url = "postgresql://north@machine/shop"`."""
    exports: Mapping[str, Mapping[str, object]] = field(default_factory=dict)
    """Options of `tagger export` by the name of a profile, with their values: `[exports.shop]`,
    `layout = "shop.toml"`."""


def load_settings(path: Path) -> Settings:
    """Settings from a file; the defaults where there is none. Raises ConfigError naming file, line
    and entry."""
    shown = printable(str(path))
    try:
        data = read_bounded(path, MOST_BYTES)
    except FileNotFoundError:
        return Settings()
    except OSError as error:
        raise ConfigError(f"{shown} cannot be read: {error.strerror}.") from None
    # most users have none, and the parser has patterns to compile
    from tagger.toml.document import TomlDocument

    return _settings(TomlDocument(data, shown, ConfigError).top)


# Some thousand times what a user writes: a wrong path must not read a picture as settings.
MOST_BYTES = 1 << 20
MOST_MARGIN = 20  # mm
TABLES = (
    "keys", "conditions", "preview", "reading", "reasons", "value", "orders", "columns", "lists",
    "hub", "exports",
)  # fmt: skip
CHOICES = {"drawing": DRAWINGS, "colours": tuple(Depth)}
SWITCHES = ("crop", "look_alikes")
BOUNDS, CLOSER = "bounds", "closer_look"
# Of a factor: its largest value, and its digits behind the point, so few that sums of prices stay
# exact.
LARGEST_FACTOR, PLACES = 100, 6
LARGEST = 10**9  # of a number that prices are multiplied by or held against


def _settings(given: TomlTable) -> Settings:
    given.check_names(TABLES, "setting")
    tables = {name: given.table(name) for name in TABLES}
    more = _preview(tables["preview"]) | _reading(tables["reading"])
    # These tables replace the usual ones, so an empty one is not the same as none.
    if "conditions" in given:
        more["scale"] = _scale(tables["conditions"])
    if "reasons" in given:
        more["reasons"] = _reasons(tables["reasons"])
    tables["orders"].check_names(("copy",), "setting")
    if "copy" in tables["orders"]:
        more["copy"] = tables["orders"].choice("copy", COPIES)
    tables["hub"].check_names(("url", "station"), "setting")
    worth = tables["value"]
    return Settings(
        # An empty list takes a command's keys away.
        keys={id: tables["keys"].texts(id, empty=True) for id in tables["keys"]},
        closer_look=_closer_look(worth),
        value=_value(worth, more.get("scale", Scale())),
        columns=_columns(tables["columns"]),
        lists={name: _columns(tables["lists"].table(name)) for name in tables["lists"]},
        hub={name: tables["hub"].text(name) for name in tables["hub"]},
        exports={name: read_profile(tables["exports"].table(name)) for name in tables["exports"]},
        **more,
    )


def _columns(given: TomlTable) -> Mapping[str, str]:
    """Headings with what they mean."""
    # a large table of spellings
    from tagger.core.checklist.headings.meaning import MEANINGS, user_meaning

    found: dict[str, str] = {}
    for heading in given:
        said = given.text(heading)
        meaning = user_meaning(said)
        if meaning is None:
            raise given.must(heading, f"one of {', '.join(MEANINGS)}")
        found[heading] = meaning
    return found


def _reasons(given: TomlTable) -> Reasons:
    found: dict[str, str] = {}
    for word in given:
        where, key = given.shown(word), fold(word)
        # What is typed for a reason is one word; another would never be read.
        if not word or len(word.split()) != 1 or word != word.strip():
            raise given.wrong(word, f"{where}: use one word only.")
        reason = _reason(given, word)
        if key in found:
            raise given.wrong(
                word, f"{where}: '{printable(key)}' already stands for {printable(found[key])}."
            )
        found[key] = reason
    return Reasons(found)


def _reason(given: TomlTable, word: str) -> str:
    """The reason that a word stands for, on one line."""
    reason = given[word]
    if not isinstance(reason, str) or not reason.strip():
        raise given.must(word, 'a text, such as "damaged"')
    return " ".join(reason.split())


def _closer_look(given: TomlTable) -> Decimal | None:
    """A price is a text here, as it is in a checklist."""
    if CLOSER not in given:
        return None
    text = given[CLOSER]
    price = amount(text) if isinstance(text, str) else None
    if price is None:
        raise given.must(CLOSER, 'a price as a text, such as "5.00"')
    return price


def _preview(given: TomlTable) -> dict[str, Any]:
    given.check_names((*CHOICES, *SWITCHES, "margin"), "setting")
    found: dict[str, Any] = {name: given.flag(name) for name in SWITCHES if name in given}
    found |= {name: given.choice(name, CHOICES[name]) for name in CHOICES if name in given}
    if "margin" in given:
        found["margin"] = _margin(given)
    if "colours" in found:
        found["colours"] = Depth(found["colours"])
    return found


def _reading(given: TomlTable) -> dict[str, Any]:
    given.check_names(("read", "model"), "setting")
    found: dict[str, Any] = {"read": given.flag("read")} if "read" in given else {}
    if "model" in given:
        found["model"] = given.text("model")
    return found


def _margin(given: TomlTable) -> float:
    value = given.number("margin")
    if value is None or not 0 <= value <= MOST_MARGIN:
        raise given.must("margin", f"a number of mm from 0 to {MOST_MARGIN}")
    return float(value)


def _value(given: TomlTable, scale: Scale) -> ValuationSettings:
    names = {squeezed(step.name): step.name for step in scale.steps}
    factors: dict[str, Decimal] = {}
    for name in given:
        if name in (BOUNDS, CLOSER):
            continue
        if squeezed(name) not in names:
            # The table has the scale's words and two of its own: a slip in any of them is told by
            # the nearest of all.
            near = meant(name, (*names.values(), BOUNDS, CLOSER))
            raise given.wrong(name, f"{given.shown(name)} is not a condition of the scale{near}")
        factors[names[squeezed(name)]] = _factor(given, name)
    return ValuationSettings(factors, _bounds(given))


def _factor(given: TomlTable, name: str) -> Decimal:
    factor = _exact(given, name, given[name])
    if factor > LARGEST_FACTOR:
        raise given.must(name, f"at most {LARGEST_FACTOR}")
    return factor


def _bounds(given: TomlTable) -> tuple[Decimal, ...]:
    if BOUNDS not in given:
        return ValuationSettings().bounds
    value = given[BOUNDS]
    several = value if isinstance(value, list) else [value]
    # A stack is between two bounds, so equal ones would have nothing between them.
    bounds = tuple(_exact(given, BOUNDS, each) for each in several)
    if list(bounds) != sorted(set(bounds)) or not all(bounds):
        raise given.wrong(
            BOUNDS,
            f"{given.shown(BOUNDS)} must be rising amounts above 0, such as [0.25, 1, 5, 20].",
        )
    return bounds


def _exact(given: TomlTable, name: str, value: object) -> Decimal:
    """A number from 0 on with few digits."""
    from tagger.toml.document import number_of

    number = number_of(value)
    if number is None or not 0 <= number < LARGEST:
        raise given.must(name, "a number from 0 on, such as 0.5")
    if number != round(number, PLACES):
        raise given.wrong(
            name, f"{given.shown(name)} has more than {PLACES} digits after the point."
        )
    return number


def _scale(given: TomlTable) -> Scale:
    owner: dict[str, str] = {}
    steps = tuple(_condition(given, name, owner) for name in given)
    if not steps:
        raise given.wrong("", "conditions: name at least one condition, or delete the table.")
    return Scale(steps)


def _condition(given: TomlTable, name: str, owner: dict[str, str]) -> Condition:
    """One step of the scale. `owner` has the condition of each word so far, and gets its words."""
    where = given.shown(name)
    short = tuple(map(squeezed, given.texts(name, empty=True)))
    for word in short:
        # Without a letter it would be read as a card's number, or as nothing.
        if not any(map(str.isalpha, word)):
            raise given.wrong(name, f"{where}: a short form needs a letter; '{word}' has none.")
    # One word for two steps would be read as the better of them, without a word being said.
    # Its own name once more says nothing new: `"NM-MT" = ["nmmt"]`.
    for word in dict.fromkeys((squeezed(name), *short)):
        if word in owner:
            raise given.wrong(name, f"{where}: '{word}' already stands for {owner[word]}.")
        owner[word] = printable(name)
    if not name.strip():
        raise given.wrong(name, "conditions: a condition needs a name.")
    return Condition(" ".join(name.split()), short)

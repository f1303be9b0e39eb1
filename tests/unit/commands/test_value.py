"""Estimates: prices are read as they are meant or named, sums are exact, and currencies stay apart.

Outside: Python's own decimal (General Decimal Arithmetic) and fractions.
"""

from __future__ import annotations

import json
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.listed import listed_lot

from tagger.cli import main
from tagger.config import load_settings
from tagger.core.model.condition import Scale
from tagger.core.model.money import Price, money, parse_price
from tagger.core.model.tags import Tags
from tagger.core.model.valuation_settings import BOUNDS, ValuationSettings
from tagger.core.reports.value import DEAREST, Valuation
from tagger.errors import ConfigError
from tagger.store.machine.paths import LotPlace, config_file


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("1.25", "1.25", ""),
        ("$1.25", "1.25", "$"),
        ("1,25", "1.25", ""),
        ("1.25 EUR", "1.25", "EUR"),
        ("eur 1,25", "1.25", "EUR"),
        ("1,25\u00a0€", "1.25", "EUR"),
        ("C$ .50", "0.50", "C$"),
        ("US$1.25", "1.25", "USD"),
        ("₹ 90", "90", "INR"),
        ("1,250.00", "1250.00", ""),
        ("1.250,00", "1250.00", ""),
        ("1'250", "1250", ""),
        ("1 250,5", "1250.5", ""),
        ("1,250,000", "1250000", ""),
        ("0,125", "0.125", ""),
        ("1234,567", "1234.567", ""),
        ("7", "7", ""),
    ],
)
def test_a_price_is_read_as_it_is_meant(text, amount, currency):
    assert parse_price(text) == Price(Decimal(amount), currency)


@pytest.mark.parametrize(
    "text",
    ["1,250", "12.500", "", "free", "-1", "1.25-", "$1.25 USD", "1..5", "1,2.5", "12 34", "5.",
    "1.2.3", "1/2", "٣",
     "1e5", "1,25,00", "1 2", "9" * 13, "0." + "1" * 13, "NaN", "Infinity", "1" + " " * 5000 + "x"],
)  # fmt: skip
def test_what_is_no_price_or_could_be_two_is_not_read(text):
    with pytest.raises(ValueError, match=r"price|could be|currenc|digits"):
        parse_price(text)


amounts = st.decimals(0, 10**7, places=2)


@given(amounts, st.sampled_from(("", "$", "£", "USD", "EUR")), st.booleans())
def test_what_python_writes_is_read_back(amount: Decimal, currency: str, before: bool) -> None:
    """Digits grouped and not, with a point and with a comma, by Python's own format."""
    for text in (f"{amount:f}", f"{amount:,f}"):
        swapped = text.translate(str.maketrans(".,", ",."))
        for written in (text, swapped):
            shown = f"{currency}{written}" if before else f"{written} {currency}"
            assert parse_price(shown) == Price(amount, currency)
    assert parse_price(money(amount, currency)) == Price(amount, currency)


@given(st.decimals(0, 10**6, places=5))
def test_money_is_rounded_as_python_s_decimal_does(amount: Decimal) -> None:
    expected = amount.quantize(Decimal("0.01"), ROUND_HALF_EVEN)
    assert money(amount, "") == format(expected, ",f")
    assert abs(Fraction(expected) - Fraction(amount)) <= Fraction(1, 200)


CONDITIONS = ("Mint", "Good", "")
cards = st.lists(
    st.tuples(
        amounts, st.sampled_from(("$", "EUR")), st.sampled_from(CONDITIONS), st.sampled_from("ab")
    ),
    max_size=30,
)
factors = st.dictionaries(st.sampled_from(CONDITIONS[:2]), st.decimals(0, 100, places=6))


@given(cards, factors)
def test_sums_are_exact_and_currencies_stay_apart(
    every: list, given_factors: dict[str, Decimal]
) -> None:
    """Against Python's fractions, which never round."""
    sum_of = Valuation(ValuationSettings(given_factors), Scale())
    for at, (amount, currency, condition, lot) in enumerate(every, start=1):
        sum_of.add(lot, at, Tags(condition=condition), [(("Price", f"{amount} {currency}"),)])
    values = [
        (Fraction(amount) * Fraction(given_factors.get(condition, Decimal(1))), currency, lot, at)
        for at, (amount, currency, condition, lot) in enumerate(every, start=1)
    ]
    assert set(sum_of.sums) == {currency for _, currency, _, _ in values}
    for currency, held in sum_of.sums.items():
        mine = [(value, lot, at) for value, other, lot, at in values if other == currency]
        assert Fraction(held.total) == sum(value for value, _, _ in mine)
        assert held.cards == len(mine) == sum(count for _, count in held.lots.values())
        for lot, (total, _) in held.lots.items():
            assert Fraction(total) == sum(value for value, other, _ in mine if other == lot)
        edges = [Fraction(0), *map(Fraction, BOUNDS), Fraction(10**12)]
        for (count, total), low, high in zip(held.stacks, edges[:-1], edges[1:], strict=True):
            inside = [value for value, _, _ in mine if low <= value < high]
            assert (count, Fraction(total)) == (len(inside), sum(inside))
        first = sorted(mine, key=lambda one: (-one[0], one[2]))[:DEAREST]
        assert [card.position for card in held.dearest] == [at for _, _, at in first]


def test_a_parallel_has_its_own_price_or_the_base_card_s_and_that_is_counted():
    sum_of = Valuation(ValuationSettings(), Scale())
    extra = (("price", "1"), ("Price  Gold", "5"), ("price silver", ""))
    for parallel in ("", "base", "Gold", "Silver"):
        sum_of.add("a", 1, Tags(parallel=parallel), [extra])
    assert (sum_of.sums[""].total, sum_of.at_base_price) == (Decimal(8), 1)


def test_the_list_as_it_is_now_goes_before_what_was_tagged():
    sum_of = Valuation(ValuationSettings(), Scale())
    sum_of.add("a", 1, Tags(), [(("price", "3"),), (("price", "1"),)])
    sum_of.add("a", 2, Tags(), [(("price", ""),), (("price", "1"),)])
    sum_of.add("a", 3, Tags(), [(), ()])
    assert (sum_of.sums[""].total, sum_of.without_price) == (Decimal(4), 1)


# Settings


def value_of(tmp_path: Path, text: str) -> ValuationSettings:
    path = tmp_path / "config.toml"
    path.write_text(text)
    return load_settings(path).value


def test_factors_are_read_exactly_as_they_are_written(tmp_path):
    terms = value_of(tmp_path, '[value]\n"near mint" = 0.1\nPoor = 2\nbounds = [0.1, 7]\n')
    assert terms == ValuationSettings(
        {"Near Mint": Decimal("0.1"), "Poor": Decimal(2)}, (Decimal("0.1"), Decimal(7))
    )
    assert value_of(tmp_path, "") == ValuationSettings(
        {}, tuple(map(Decimal, ("0.25", "1", "5", "20")))
    )


@pytest.mark.parametrize(
    ("line", "named"),
    [
        ("Mnit = 1", "did you mean Mint"),
        ("Mint = -1", "value.Mint"),
        ("Mint = 101", "value.Mint"),
        ("Mint = nan", "value.Mint"),
        ("Mint = inf", "value.Mint"),
        ("Mint = 1e400", "value.Mint"),
        ("Mint = 1e-400", "digits"),
        ("Mint = true", "value.Mint"),
        ('Mint = "1"', "value.Mint"),
        ("bounds = [5, 1]", "value.bounds"),
        ("bounds = [0, 1]", "value.bounds"),
        ("bounds = [1, 1]", "value.bounds"),
    ],
)
def test_a_factor_or_bound_that_cannot_be_used_is_named(tmp_path, line, named):
    with pytest.raises(ConfigError, match=named):
        value_of(tmp_path, f"[value]\n{line}\n")


# On disk

LIST = """set,number,name,parallels,price,price gold
1987 Harbor Light,1,Ada Marsh,Gold /99,$0.10,$4
1987 Harbor Light,2,Bo Lund,Gold /99,2 EUR,
1987 Harbor Light,3,Lee Gold,,"1,250",
1987 Harbor Light,4,Ivo Lund,,,
"""


@pytest.fixture
def lot(tmp_path: Path) -> LotPlace:
    hints = ("1 ada mint", "1 ada gold 5/99 poor", "2 bo", "2 bo gold 7/99", "3 lee", "4 ivo")
    place = listed_lot(tmp_path, LIST, 7, hints)
    config_file().parent.mkdir(parents=True, exist_ok=True)
    config_file().write_text("[value]\nPoor = 0.25\n")
    return place


def document(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict:
    assert main(["value", *arguments, "--json"]) == 1
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("named", [True, False])
def test_what_a_lot_comes_to(lot, capsys, named):
    found = document(capsys, *([str(lot.folder)] if named else []))
    dollars, euros = found["estimates"]
    assert (dollars["currency"], dollars["total"], dollars["cards"]) == ("$", "1.10", 2)
    assert (euros["currency"], euros["total"], euros["cards"]) == ("EUR", "4", 2)
    assert [(card["position"], card["estimate"]) for card in dollars["most_valuable"]] == [
        (2, "1.00"),
        (1, "0.10"),
    ]
    assert [stack["cards"] for stack in dollars["price_ranges"]] == [1, 0, 1, 0, 0]
    assert found["unreadable"] == [
        {"price": "1,250", "reason": "could be 1.250 or 1250", "cards": 1}
    ]
    assert (found["unpriced"], found["priced_as_base"]) == (2, 1)


def test_it_is_called_an_estimate_and_what_is_left_out_is_said(lot, capsys):
    assert main(["value"]) == 1
    told = capsys.readouterr()
    assert "Estimate: $1.10 for 2 cards" in told.out
    assert "check the card itself" in told.out
    assert "not added up" in told.out
    assert "The price '1,250' cannot be read" in told.err


def test_a_condition_that_is_not_on_the_scale_is_named(lot, capsys):
    config_file().write_text('[conditions]\n"Fine" = ["fn"]\n')
    assert document(capsys)["unknown_conditions"] == {"Mint": 1, "Poor": 1}


def test_cards_that_were_sold_do_not_count(lot, capsys):
    assert main(["sold", str(lot.folder), "2"]) == 0
    capsys.readouterr()
    assert document(capsys)["estimates"][0]["total"] == "0.10"


def test_a_price_that_was_changed_in_the_list_counts(lot, tmp_path, capsys):
    (tmp_path / "harbor.csv").write_text(LIST.replace("$0.10", "$3.10"))
    assert document(capsys)["estimates"][0]["total"] == "4.10"

"""Units: exact sizes from NIST SP 811 and 16 CFR 500.19, and the traps that a registry hides."""

import csv
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense, RinsebellError
from bot.trade.units import NAMES, Q, measure, plain, positive, quantity, ureg

ROWS = list(csv.DictReader((Path(__file__).parent / "reference" / "worked_units.csv").open()))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['value']} {row['unit']} in {row['in']}")
def test_unit_sizes(row: dict[str, str]) -> None:
    got = quantity({"value": float(row["value"]), "unit": row["unit"]}).to(row["in"]).magnitude
    assert got == pytest.approx(float(row["expected"]), rel=float(row["tolerance"]))


@given(st.sampled_from(sorted(NAMES)), st.floats(-1e6, 1e6))
def test_plain_round_trip(unit: str, value: float) -> None:
    assert plain(quantity({"value": value, "unit": unit})) == {"value": value, "unit": unit}


@given(st.sampled_from(["gal", "qt", "pt", "floz", "cup", "L", "mL", "bucket"]), st.floats(1e-3, 1e4))
def test_volume_round_trip(unit: str, value: float) -> None:
    there = quantity({"value": value, "unit": unit}).to("liter")
    assert there.to(NAMES[unit]).magnitude == pytest.approx(value, rel=1e-12)


def test_temperatures_are_offset_units() -> None:
    assert quantity({"value": 50, "unit": "F"}).to("degC").magnitude == pytest.approx(10)
    assert quantity({"value": -40, "unit": "C"}).to("degF").magnitude == pytest.approx(-40)


def test_fl_oz_is_a_fluid_ounce_not_femtolitre_ounces() -> None:
    assert ureg("4 fl oz").to("milliliter").magnitude == pytest.approx(118.294118)
    assert Q(4, "fl oz").is_compatible_with("gallon")


def test_a_fluid_ounce_is_never_a_weight() -> None:
    with pytest.raises(pint.DimensionalityError):
        quantity({"value": 4, "unit": "floz"}).to("ounce")
    with pytest.raises(Nonsense, match="wrong_kind"):
        measure(Q(4, "floz"), "ounce")


@pytest.mark.parametrize("unit", ["fl oz", "mil", "ct", "farad", "degF", "", "GAL", None, 3])
def test_unknown_units_are_nonsense(unit: object) -> None:
    with pytest.raises(Nonsense) as caught:
        quantity({"value": 4, "unit": unit})
    assert caught.value.key == "unit_unknown"
    assert caught.value.values == {"unit": unit}


@pytest.mark.parametrize("value", [float("nan"), float("inf"), "4", None, True])
def test_values_that_are_no_number_are_nonsense(value: object) -> None:
    with pytest.raises(Nonsense, match="value_not_a_number"):
        quantity({"value": value, "unit": "gal"})


def test_plain_of_a_unit_no_act_has() -> None:
    assert plain(Q(2, "gram/liter") * Q(3, "liter")) == {"value": 6.0, "unit": "g"}
    assert plain(Q(5, "gpm")) == {"value": 5.0, "unit": "gal/min"}
    assert plain(Q(12, "foot") * Q(16, "foot")) == {"value": 192.0, "unit": "ft2"}
    with pytest.raises(Nonsense):
        plain(Q(1, "volt"))


def test_nothing_is_not_positive_and_errors_are_ours() -> None:
    with pytest.raises(RinsebellError, match="not_positive"):
        positive(Q(0, "gallon"), "liter", "volume")

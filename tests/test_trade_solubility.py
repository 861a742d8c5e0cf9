"""Does it dissolve? The curves are judged in deviations_chemistry.py, the properties here."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade.solubility import dissolves, has_curve, most_in
from bot.trade.units import Q


def ratio(ounces: float) -> Q:
    return Q(ounces, "ounce/gallon")


def test_brightener_dissolves_in_any_tap_water() -> None:
    """4 oz/gal needs 21.3 g anhydrous a kg; ice water holds 35 (older handbook, from memory)."""
    assert dissolves("brightener", ratio(4), Q(34, "degF")).dissolves


def test_a_pound_a_gallon_needs_warm_water() -> None:
    """A public-domain navy manual (NAVEDTRA 14044) takes hot water for it."""
    cold = dissolves("oxalic", ratio(16), Q(50, "degF"), Q(2, "gal"))
    assert not cold.dissolves
    assert cold.volume.to("gallon").magnitude > 2
    assert dissolves("oxalic", ratio(16), Q(120, "degF")).dissolves


def test_the_bucket_cools_and_that_counts() -> None:
    got = dissolves("oxalic", ratio(12), Q(14, "degC"))
    assert got.above.magnitude < 14 < got.warm_to.magnitude
    assert not got.dissolves
    assert got.cooled_to.magnitude < 14


def test_the_hydrate_goes_further_than_the_anhydrous_acid() -> None:
    """1.40 g of dihydrate hold 1 g of acid, and its water helps: 139 against 95.5 g/kg at 20 degC."""
    dihydrate, anhydrous = (most_in(name, Q(20, "degC")).magnitude for name in ("oxalic", "oxalic anhydrous"))
    assert dihydrate / anhydrous == pytest.approx(139.0 / 95.5, rel=0.01)


@given(st.floats(1, 60), st.floats(0, 65), st.sampled_from(["oxalic", "oxalic anhydrous", "citric"]))
def test_what_would_dissolve_does(ounces: float, celsius: float, acid: str) -> None:
    got = dissolves(acid, ratio(ounces), Q(celsius, "degC"), Q(1, "gal"))
    weaker = ratio(ounces / got.volume.to("gallon").magnitude)
    assert dissolves(acid, weaker, Q(celsius, "degC")).dissolves
    if got.warm_to is not None and got.warm_to.magnitude < 99:
        assert dissolves(acid, ratio(ounces), Q(got.warm_to.magnitude + 0.01, "degC")).dissolves


@given(st.floats(1, 100), st.floats(0, 60))
def test_warmer_water_never_holds_less(ounces: float, celsius: float) -> None:
    if dissolves("oxalic", ratio(ounces), Q(celsius, "degC")).dissolves:
        assert dissolves("oxalic", ratio(ounces), Q(celsius + 5, "degC")).dissolves


def test_beyond_the_table_no_temperature_is_made_up() -> None:
    assert dissolves("oxalic", ratio(132), Q(20, "degC")).above is None


@pytest.mark.parametrize("celsius", [-5, 101, float("nan")])
def test_water_is_water(celsius: float) -> None:
    with pytest.raises(Nonsense):
        dissolves("oxalic", ratio(4), Q(celsius, "degC"))


def test_unknown_powders_are_named() -> None:
    assert has_curve("brightener")
    assert not has_curve("stripper")
    with pytest.raises(Nonsense, match="solubility_unknown"):
        dissolves("stripper", ratio(4), Q(20, "degC"))

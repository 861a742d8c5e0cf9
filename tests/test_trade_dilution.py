"""Liquid concentrates. Densities are judged in deviations_chemistry.py."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import dilution
from bot.trade.units import Q


@given(st.floats(0.1, 100), st.floats(0.1, 10), st.floats(0, 100))
def test_parts_add_up(volume: float, concentrate: float, water: float) -> None:
    made = dilution.parts(Q(volume, "gallon"), concentrate, water)
    assert made.concentrate.magnitude + made.water.magnitude == pytest.approx(volume)
    assert made.water.magnitude * concentrate == pytest.approx(made.concentrate.magnitude * water)


@given(st.floats(0.5, 50), st.floats(0.5, 50))
def test_the_active_mass_stays(have: float, want: float) -> None:
    """C1 V1 = C2 V2 in grams, and the two masses make the mass of the mix."""
    have, want = max(have, want), min(have, want)
    made = dilution.dilute(Q(10, "liter"), have, want)
    in_concentrate = made.concentrate.magnitude * dilution.grams_per_litre("caustic", have)
    in_mix = 10 * dilution.grams_per_litre("caustic", want)
    assert in_concentrate == pytest.approx(in_mix)
    assert made.active.magnitude == pytest.approx(in_mix)
    heavy = made.concentrate.magnitude * dilution.density("caustic", have).magnitude
    whole = 10 * dilution.density("caustic", want).magnitude
    assert heavy + made.water.magnitude * 998.21 == pytest.approx(whole, rel=1e-3)


def test_undiluted_is_itself() -> None:
    made = dilution.dilute(Q(2, "gal"), 10, 10)
    assert made.concentrate.magnitude == pytest.approx(2)
    assert made.water.magnitude == pytest.approx(0, abs=1e-9)


@given(st.floats(0, 49))
def test_density_rises_with_strength(percent: float) -> None:
    weaker, stronger = (dilution.density("caustic", value).magnitude for value in (percent, percent + 1))
    assert weaker < stronger


def test_nonsense_has_a_name() -> None:
    with pytest.raises(Nonsense, match="cannot_dilute_up"):
        dilution.dilute(Q(1, "gal"), 5, 10)
    with pytest.raises(Nonsense, match="density_unknown"):
        dilution.density("oxalic", 5)
    with pytest.raises(Nonsense, match="percent_out_of_range"):
        dilution.density("stripper", 60)
    with pytest.raises(Nonsense, match="parts_impossible"):
        dilution.parts(Q(1, "gal"), 0, 4)

"""Heat of dissolving. The rise is judged in deviations_chemistry.py (naoh_heat.csv)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import heat
from bot.trade.units import Q
from tests.deviations import rows


@pytest.mark.parametrize("row", rows("naoh_heat.csv"), ids=lambda row: row["g_per_kg_water"])
def test_the_rise_is_never_low(row: dict[str, str]) -> None:
    got = heat.rise(Q(float(row["g_per_kg_water"]), "gram"), Q(1 / 0.99821, "liter"))
    assert got.magnitude >= float(row["rise_K"])


@given(st.floats(1, 2000), st.floats(1, 100), st.floats(1.01, 5))
def test_twice_the_powder_twice_the_rise(grams: float, litres: float, times: float) -> None:
    once = heat.rise(Q(grams, "gram"), Q(litres, "liter")).magnitude
    assert heat.rise(Q(grams * times, "gram"), Q(litres, "liter")).magnitude == pytest.approx(once * times)
    assert heat.rise(Q(grams, "gram"), Q(litres * times, "liter")).magnitude < once


def test_an_ordinary_mix_is_fine_and_a_paste_is_refused() -> None:
    ordinary = heat.judge(Q(1, "lb"), Q(5, "gal"), Q(60, "degF"))
    assert (ordinary.verdict, ordinary.portions, ordinary.assumed) == ("ok", 2, False)
    staged = heat.judge(Q(5, "lb"), Q(5, "gal"), Q(60, "degF"))
    assert (staged.verdict, staged.limit) == ("stage", Q(40, "degC"))
    paste = heat.judge(Q(2, "lb"), Q(1, "gal"), Q(60, "degF"))
    assert (paste.verdict, paste.reason) == ("refuse", "caustic_too_hot")


def test_warm_water_is_refused_however_little_goes_in() -> None:
    got = heat.judge(Q(1, "oz"), Q(5, "gal"), Q(120, "degF"))
    assert (got.verdict, got.reason) == ("refuse", "caustic_into_warm_water")


def test_untold_water_counts_as_warm_tap_and_says_so() -> None:
    assert heat.judge(Q(1, "lb"), Q(5, "gal")).assumed


@given(st.floats(1, 5000), st.floats(5, 100), st.floats(0, 39), st.floats(0.1, 5))
def test_hotter_is_never_judged_milder(grams: float, litres: float, start: float, more: float) -> None:
    order = ("ok", "stage", "refuse")

    def verdict(mass: float, celsius: float) -> int:
        return order.index(heat.judge(Q(mass, "gram"), Q(litres, "liter"), Q(celsius, "degC")).verdict)

    assert verdict(grams, start) <= verdict(grams * (1 + more), start)
    assert verdict(grams, start) <= verdict(grams, start + more)


@given(st.floats(1, 5000), st.floats(5, 100))
def test_a_portion_warms_by_five_kelvin_at_most(grams: float, litres: float) -> None:
    got = heat.judge(Q(grams, "gram"), Q(litres, "liter"), Q(15, "degC"))
    assert got.rise.magnitude / got.portions <= 5 + 1e-6


def test_nonsense_has_a_name() -> None:
    with pytest.raises(Nonsense, match="water_temp_impossible"):
        heat.judge(Q(1, "lb"), Q(5, "gal"), Q(-3, "degC"))
    with pytest.raises(Nonsense, match="not_positive"):
        heat.rise(Q(1, "lb"), Q(0, "gal"))

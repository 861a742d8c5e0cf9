"""Dew point and the coating margin; the sweep against psychrolib is in deviations_outdoors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import psychrometrics
from bot.trade.units import Q
from tests.outdoors import fahrenheit

AIR = st.floats(-10, 45)


# ASHRAE Handbook Fundamentals 2017, chapter 1: example 1, 40 degC at 14 % is 7 degC within 0.5 K.
@pytest.mark.parametrize(
    ("temp", "percent", "dew", "give"),
    [(40, 14, 7, 0.5), (25, 60, 16.70, 0.05), (20, 50, 9.27, 0.05), (35, 30, 14.84, 0.05)],
    ids=["ASHRAE example 1", "psychrolib 25/60", "psychrolib 20/50", "psychrolib 35/30"],
)
def test_dew_point(temp: float, percent: float, dew: float, give: float) -> None:
    assert psychrometrics.dew_point(Q(temp, "degC"), percent).to("degC").magnitude == pytest.approx(
        dew, abs=give
    )


@given(AIR)
def test_saturated_air_is_at_its_dew_point(temp: float) -> None:
    assert psychrometrics.dew_point(Q(temp, "degC"), 100).magnitude == pytest.approx(temp, abs=0.01)


@given(AIR, st.floats(1, 99), st.floats(0.01, 1))
def test_damper_air_has_a_higher_dew_point(temp: float, percent: float, more: float) -> None:
    dry, damp = (psychrometrics.dew_point(Q(temp, "degC"), p).magnitude for p in (percent, percent + more))
    assert dry < damp <= temp + 0.01


# The rule is 5 degF (coating-inspection practice; ISO 8502-4 says 3 K; from memory).
@pytest.mark.parametrize(("surface", "enough"), [(67, False), (68, True)])
def test_margin_of_five_fahrenheit(surface: float, enough: bool) -> None:
    # 77 degF (25 degC) at 60 %: dew point 62.06 degF by psychrolib.
    margin = psychrometrics.coat_margin(fahrenheit(surface), fahrenheit(77), 60)
    assert margin.enough is enough
    assert margin.above.to("delta_degF").magnitude == pytest.approx(surface - 62.06, abs=0.1)


@pytest.mark.parametrize("percent", [0, -1, 101, 0.5, float("nan"), float("inf"), True, "60", None])
def test_nonsense_humidity(percent: object) -> None:
    with pytest.raises(Nonsense, match="humidity"):
        psychrometrics.dew_point(Q(20, "degC"), percent)  # type: ignore[arg-type]


@pytest.mark.parametrize("temp", [Q(200, "degF"), Q(-60, "degC"), Q(3, "foot"), Q(float("nan"), "degC")])
def test_nonsense_temperature(temp: Q) -> None:
    with pytest.raises(Nonsense):
        psychrometrics.dew_point(temp, 50)

"""Evaporation and the misting interval; the rates against their sources are in deviations_outdoors."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import evaporation
from bot.trade.evaporation import Conditions, rewet_every
from bot.trade.units import Q
from tests.outdoors import fahrenheit, minutes, mph, uno

COVERAGE = Q(100, "foot**2/gallon")
AIR, PERCENT, WIND, MORE = st.floats(30, 110), st.floats(1, 95), st.floats(0, 40), st.floats(0, 10)


def rate(surface: float, air: float, percent: float, wind: float) -> float:
    found = evaporation.rate(fahrenheit(surface), fahrenheit(air), percent, mph(wind))
    return float(found.to("pound/foot**2/hour").magnitude)


def every(conditions: Conditions | None, plain: float = 12, most: float = 20, **more: Q) -> evaporation.Rewet:
    return rewet_every(minutes(plain), minutes(most), COVERAGE, conditions, **more)


# Exact definitions (gallon, foot): 1 US gal over 100 ft2 is 0.40746 mm.
@pytest.mark.parametrize(("coverage", "mm"), [(50, 0.8149), (100, 0.4075), (150, 0.2716), (250, 0.1630)])
def test_film(coverage: float, mm: float) -> None:
    film = evaporation.film(Q(coverage, "foot**2/gallon"))
    assert film.to("millimeter").magnitude == pytest.approx(mm, abs=0.0001)


# Half of a 0.4075 mm film is 0.2037 kg/m2; the minutes follow from the published SI form (Uno 1998).
@pytest.mark.parametrize(
    ("surface", "air", "percent", "wind", "half"),
    [(25, 25, 50, 10, 28.8), (40, 28, 40, 8, 10.2), (45, 35, 25, 20, 3.9), (15, 15, 80, 2, 325.7)],
    ids=["mild", "sun on boards", "hot and windy", "cool and still"],
)
def test_interval_against_the_si_form(
    surface: float, air: float, percent: float, wind: float, half: float
) -> None:
    rated = Q(uno(surface, air, percent, wind), "kilogram/meter**2/hour")
    assert evaporation.interval(COVERAGE, 0.5, rated).magnitude == pytest.approx(half, rel=0.02)


def test_dew_is_no_evaporation() -> None:
    # 15 degC under air of 20 degC at 95 %: the published form goes below nothing.
    still = evaporation.rate(Q(15, "degC"), Q(20, "degC"), 95, Q(5, "kilometer/hour"))
    assert still.magnitude == 0
    assert math.isinf(evaporation.interval(COVERAGE, 0.5, still).magnitude)


@given(AIR, PERCENT, WIND, st.floats(0, 40), MORE)
def test_no_film_dries_later_when_it_is_hotter(
    air: float, percent: float, wind: float, above: float, more: float
) -> None:
    now = rate(air + above, air, percent, wind) - 1e-12
    assert rate(air + above + more, air + more, percent, wind) >= now
    assert rate(air + above + more, air, percent, wind) >= now


@given(AIR, PERCENT, WIND, st.floats(-20, 40), MORE)
def test_no_film_dries_later_when_it_is_drier_or_windier(
    air: float, percent: float, wind: float, above: float, more: float
) -> None:
    now = rate(air + above, air, percent, wind)
    assert rate(air + above, air, max(percent - more, 1), wind) >= now - 1e-12
    assert rate(air + above, air, percent, wind + more) >= now - 1e-12


@given(AIR, PERCENT, WIND, st.sampled_from([True, False, None]), MORE)
def test_nor_is_it_misted_later(
    air: float, percent: float, wind: float, sun: bool | None, more: float
) -> None:
    def told(air: float, percent: float, wind: float, sun: bool | None) -> float:
        return float(every(Conditions(fahrenheit(air), percent, mph(wind), sun=sun)).every.magnitude)

    now = told(air, percent, wind, sun) + 1e-9
    assert told(air + more, percent, wind, sun) <= now
    assert told(air, max(percent - more, 1), wind, sun) <= now
    assert told(air, percent, wind + more, sun) <= now
    assert told(air, percent, wind, True) <= now


# The rule itself, film x share / rate, with the film by exact definitions and the published SI form
# (Uno 1998, a rounded conversion: 5 % off). 28.8 and 10.2 min are those of the table above.
@pytest.mark.parametrize(
    ("surface", "air", "percent", "wind", "half"),
    [(25, 25, 50, 10, 28.8), (40, 28, 40, 8, 10.2)],
    ids=["mild", "sun on boards"],
)
def test_misting_is_film_by_share_over_rate(
    surface: float, air: float, percent: float, wind: float, half: float
) -> None:
    told = Conditions(Q(air, "degC"), percent, Q(wind, "kilometer/hour"), Q(surface, "degC"))
    rewet = every(told, plain=30, most=40)
    assert rewet.every.to("minute").magnitude == pytest.approx(half, rel=0.05)
    assert (rewet.source, rewet.capped) == ("conditions", None)


def test_the_forty_percent_are_told_and_not_hidden_in_the_interval() -> None:
    rewet = every(Conditions(fahrenheit(85), 40, mph(5), fahrenheit(95)))
    assert rewet.uncertainty == 0.4  # Hover 2020, ACI SP-338: within about 40 %
    assert rewet.rate is not None
    exact = evaporation.interval(COVERAGE, 0.5, rewet.rate)
    assert rewet.every.magnitude == pytest.approx(exact.magnitude)


@pytest.mark.parametrize(
    "told", [None, Conditions(), Conditions(air_temp=fahrenheit(90)), Conditions(humidity=40)]
)
def test_too_little_told_means_the_plain_interval(told: Conditions | None) -> None:
    rewet = every(told)
    assert (rewet.every, rewet.source, rewet.estimated) == (minutes(12), "product", False)
    assert "wind" in rewet.missing


def test_no_wind_told_shortens_but_never_lengthens() -> None:
    cool = every(Conditions(fahrenheit(55), 80, sun=False))
    assert (cool.every, cool.source, cool.missing) == (minutes(12), "product", ("wind",))
    hot = every(Conditions(fahrenheit(104), 10, surface_temp=fahrenheit(140)))
    assert hot.source == "conditions"
    assert hot.every < minutes(12)


def test_a_told_surface_is_not_an_estimate() -> None:
    air = Conditions(fahrenheit(80), 40, mph(5), sun=True)
    assert every(air).estimated
    measured = every(Conditions(fahrenheit(80), 40, mph(5), fahrenheit(95), sun=True))
    assert not measured.estimated
    assert measured.rate is not None
    # US form worked elsewhere: 0.19520 lb/(ft2 h).
    assert measured.rate.to("pound/foot**2/hour").magnitude == pytest.approx(0.19520, rel=0.005)


def test_bounds_and_their_names() -> None:
    fast = Conditions(fahrenheit(95), 15, mph(20), fahrenheit(130))
    assert every(fast).capped is None
    held = every(fast, least=minutes(5))
    assert (held.every, held.capped) == (minutes(5), "least")
    assert held.dries_in is not None
    assert held.dries_in < minutes(5)
    slow = every(Conditions(fahrenheit(50), 90, mph(0), sun=False))
    assert (slow.every, slow.capped) == (minutes(20), "most")


def test_a_shop_interval_over_the_shipped_bound_is_kept() -> None:
    assert every(None, plain=25, most=20).every == minutes(25)
    damp = Conditions(fahrenheit(50), 90, mph(0), sun=False)
    assert every(damp, plain=25, most=20).every == minutes(25)


def test_sun_not_told_counts_as_sun() -> None:
    told, untold, shade = (
        every(Conditions(fahrenheit(80), 40, mph(5), sun=sun)).every for sun in (True, None, False)
    )
    assert untold == told
    assert told < shade


@pytest.mark.parametrize(
    "told",
    [
        Conditions(air_temp=fahrenheit(300)),
        Conditions(surface_temp=fahrenheit(300)),
        Conditions(humidity=140),
        Conditions(wind=mph(-3)),
        Conditions(wind=fahrenheit(60)),
    ],
)
def test_weather_that_cannot_be(told: Conditions) -> None:
    with pytest.raises(Nonsense):
        evaporation.sane(told)


@given(AIR, PERCENT, WIND, st.floats(0, 60))
def test_sane_weather_never_trips_a_clock(air: float, percent: float, wind: float, above: float) -> None:
    told = Conditions(fahrenheit(air), percent, mph(wind), fahrenheit(air + above))
    evaporation.sane(told)
    assert every(told).every > minutes(0)


@pytest.mark.parametrize(
    "act",
    [
        lambda: rate(70, 70, 50, -1),
        lambda: rate(70, 70, 50, 500),
        lambda: rate(400, 70, 50, 5),
        lambda: rate(70, 70, 150, 5),
        lambda: evaporation.film(Q(0, "foot**2/gallon")),
        lambda: evaporation.film(Q(3, "gallon")),
        lambda: evaporation.interval(COVERAGE, 0, Q(1, "kilogram/meter**2/hour")),
        lambda: evaporation.interval(COVERAGE, 0.5, Q(-1, "kilogram/meter**2/hour")),
        lambda: every(None, plain=0),
        lambda: every(None, plain=-3),
    ],
)
def test_nonsense(act) -> None:
    with pytest.raises(Nonsense):
        act()

"""Equilibrium moisture and the drying forecast; the table and scipy's fits are in deviations_outdoors."""

import math
import random
from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import drying, fitting
from bot.trade.drying import Forecast, forecast
from bot.trade.units import Q
from tests.outdoors import fahrenheit

NEW_YORK = ZoneInfo("America/New_York")
RINSED = datetime(2026, 6, 10, 14, tzinfo=NEW_YORK)
START = datetime(2026, 6, 11, 8, tzinfo=NEW_YORK)
NICE, DAMP = (fahrenheit(70), 65.0), (fahrenheit(70), 80.0)


def after(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def told(*readings: tuple[float, Sequence[float]], weather: tuple[Q, float] = NICE, **more) -> Forecast:
    return forecast([(after(t), ys) for t, ys in readings], *weather, rinsed_at=RINSED, **more)


def curve(hours: float, m0: float = 28, me: float = 12, tau: float = 30) -> float:
    return me + (m0 - me) * math.exp(-hours / tau)


# Wood Handbook, Table 4-2: 12.0 at 70 degF / 65 %, 16.0 at 80 %, 15.7 at 80 degF / 80 %.
@pytest.mark.parametrize(("temp", "percent", "expected"), [(70, 65, 12.0), (70, 80, 16.0), (80, 80, 15.7)])
def test_emc(temp: float, percent: float, expected: float) -> None:
    assert drying.emc(fahrenheit(temp), percent) == pytest.approx(expected, abs=0.07)


@given(st.floats(0, 110), st.floats(1, 98), st.floats(0.1, 2))
def test_emc_rises_with_humidity(temp: float, percent: float, more: float) -> None:
    assert drying.emc(fahrenheit(temp), percent) < drying.emc(fahrenheit(temp), percent + more)


@given(st.floats(40, 110), st.floats(50, 95), st.floats(0.5, 10))
def test_emc_falls_with_heat(temp: float, percent: float, more: float) -> None:
    assert drying.emc(fahrenheit(temp + more), percent) <= drying.emc(fahrenheit(temp), percent)


def test_dry_air_leaves_nothing() -> None:
    assert drying.emc(fahrenheit(70), 0) == 0


# 24 then 20 % after 12 h towards 12 %: tau = 12 / ln(12/8) = 29.596 h, 15 % after 29.028 h more.
def test_two_readings_fix_the_curve_but_not_for_certain() -> None:
    found = told((0, [24]), (12, [20]))
    assert (found.state, found.basis) == ("forecast", "two_readings")
    assert found.fit is not None
    assert found.fit.tau.magnitude == pytest.approx(29.596, rel=0.01)
    assert found.ready_at is not None
    assert (found.ready_at - after(12)).total_seconds() / 3600 == pytest.approx(29.028, rel=0.02)
    assert found.ready_low < after(12 + 29 - 12)
    assert found.ready_high > after(12 + 29 + 48)


def test_more_readings_narrow_the_band() -> None:
    def width(found: Forecast) -> float:
        return (found.ready_high - found.ready_low).total_seconds()

    few = told(*((t, [curve(t)]) for t in (0, 12)))
    many = told(*((t, [curve(t)]) for t in (0, 6, 12, 24, 36)))
    assert width(many) < width(few) / 2


# The truth is 50.219 h for M0 28, Me 12, tau 30: the band of about 90 % must hold it about so often.
@pytest.mark.parametrize("hours", [(0, 12), (0, 6, 12, 24, 36), (0, 6, 12, 24, 36, 48)], ids=len)
def test_the_band_holds_the_truth_nine_times_in_ten(hours: Sequence[float]) -> None:
    held, draws = 0, 80
    for seed in range(draws):
        noise = random.Random(seed)
        pairs = [(after(t), curve(t) + noise.gauss(0, 0.7)) for t in hours]
        fitted = fitting.fit(pairs, 12, noise=0.7 * 1.645)
        _, low, high = fitting.ready_hours(fitting.points_of(pairs)[1], fitted, 15)
        held += low <= 50.219 <= high
    assert 0.85 <= held / draws <= 0.99


@settings(max_examples=40, deadline=None)
@given(st.floats(18, 30), st.floats(6, 200), st.floats(10, 70), st.integers(0, 999))
def test_drying_never_ends_below_equilibrium(m0: float, tau: float, percent: float, seed: int) -> None:
    me, noise = drying.emc(fahrenheit(70), percent), random.Random(seed)
    found = told(*((t, [curve(t, m0, me, tau) + noise.uniform(-1, 1)]) for t in (0, 10, 24, 40)),
                 weather=(fahrenheit(70), percent))  # fmt: skip
    if found.fit is not None:
        for hours in (0, 24, 100, 1000, 10000):
            assert found.fit.at(after(hours)) >= me - 1e-9
    if found.state == "forecast":
        assert found.ready_low <= found.ready_at <= found.ready_high
        assert found.ready_at >= after(40)


@pytest.mark.parametrize("readings", [(), ((0, [24]), (12, [20]))], ids=["none", "two"])
def test_never_where_the_air_is_too_damp(readings) -> None:
    found = told(*readings, weather=DAMP)
    assert (found.state, found.ready_at, found.ready_high) == ("never", None, None)
    assert found.emc == pytest.approx(16.0, abs=0.07)


def test_ready_only_when_every_spot_is() -> None:
    assert told((0, [24]), (40, [14.8, 15, 14])).state == "ready"
    assert told((0, [24]), (40, [14.8, 15, 14]), weather=DAMP).state == "ready"
    wet = told((0, [24, 24, 24]), (40, [13, 13, 18]))
    assert wet.state == "forecast"
    assert wet.ready_at > after(40)


def test_another_target() -> None:
    assert told((0, [24]), (40, [17.5]), target=18).state == "ready"
    assert told((0, [24]), weather=DAMP, target=18).state == "practice"


# Two to three good drying days: common practice, no source.
@pytest.mark.parametrize(
    ("readings", "basis"),
    [((), "no_readings"), (((0, [24]),), "one_reading"), (((0, [45]), (12, [38])), "above_saturation")],
)
def test_practice_counts_from_the_last_rinse(readings, basis: str) -> None:
    found = told(*readings)
    assert (found.state, found.basis) == ("practice", basis)
    assert found.ready_low == RINSED + timedelta(hours=48)
    assert found.ready_at == found.ready_high == RINSED + timedelta(hours=72)


def test_practice_without_any_start_gives_no_date() -> None:
    found = forecast([], *NICE)
    assert (found.state, found.ready_at) == ("practice", None)


def test_readings_without_weather() -> None:
    found = forecast([(after(0), [24]), (after(12), [20])], None, None, rinsed_at=RINSED)
    assert (found.state, found.basis, found.emc) == ("practice", "no_weather", None)


def test_readings_that_rise_start_the_days_anew() -> None:
    found = told((0, [18]), (12, [19]))
    assert (found.state, found.basis) == ("practice", "rising")
    assert found.ready_low == after(12 + 48)


@pytest.mark.parametrize(
    ("readings", "basis"),
    [(((0, [28]), (2, [18.9]), (4, [15.1])), "too_fast"), (((0, [20]), (12, [19.95])), "too_slow")],
)
def test_what_no_board_does_is_not_forecast(readings, basis: str) -> None:
    found = told(*readings)
    assert (found.state, found.basis) == ("practice", basis)


def test_practice_is_never_over_while_the_wood_is_wet() -> None:
    late = told((100, [20]), (112, [19.95]))
    assert late.ready_low == after(112 + 48)


def test_rain_resets() -> None:
    dry = [(t, [curve(t)]) for t in (0, 6, 12, 24)]
    assert told(*dry).state == "forecast"
    rained = told(*dry, rained_at=after(25))
    assert (rained.state, rained.basis) == ("practice", "no_readings")
    assert rained.ready_low == after(25 + 48)
    again = told(*dry, (30, [27]), (42, [21]), rained_at=after(25))
    assert again.basis == "two_readings"
    assert again.fit is not None
    assert again.fit.start == after(30)


def test_a_rise_that_no_noise_explains_resets_too() -> None:
    found = told((0, [24]), (12, [20]), (24, [26]), (36, [21]))
    assert found.fit is not None
    assert found.fit.start == after(24)


# One instrument manual: 0.1 point a kelvin from 20 degC; good to 1 point.
@pytest.mark.parametrize(("read", "temp", "expected"), [(18, 30, 17), (15, 10, 16), (15, 20, 15)])
def test_meter_correction(read: float, temp: float, expected: float) -> None:
    assert drying.corrected(read, Q(temp, "degC")) == pytest.approx(expected)


def test_the_whole_job_waits_for_its_last_section() -> None:
    early, late = told((0, [20]), (12, [17])), told((0, [26]), (12, [22]))
    ready, never = told((0, [14])), told((0, [24]), weather=DAMP)
    assert drying.whole_job({"A": early, "B": late, "C": ready}) == late
    assert drying.whole_job({"A": early, "B": never}) == never
    assert drying.whole_job({"C": ready}) == ready
    assert drying.whole_job({}) is None


def test_next_reading_is_useful_and_in_working_hours() -> None:
    found = told((0, [24]), (12, [20]))
    at = drying.next_reading(found, after(12))
    assert at is not None
    assert after(12) < at <= found.ready_at
    assert 8 <= at.hour < 18
    assert drying.next_reading(told((0, [14])), after(0)) is None
    assert drying.next_reading(told(), RINSED) == RINSED + timedelta(hours=24)


@pytest.mark.parametrize("reading", [-1, 101, float("nan"), True, "20"])
def test_nonsense_readings(reading: object) -> None:
    with pytest.raises(Nonsense):
        told((0, [reading]))


@pytest.mark.parametrize(
    "act",
    [
        lambda: drying.emc(fahrenheit(70), 180),
        lambda: drying.emc(fahrenheit(700), 50),
        lambda: drying.emc(fahrenheit(70), 0.5),
        lambda: told(target=0),
        lambda: told(target=80),
        lambda: fitting.fit([(START, 20)], 12),
        lambda: forecast([(START.replace(tzinfo=None), [20]), (START.replace(tzinfo=None), [18])], *NICE,
                         rained_at=START),
    ],
)  # fmt: skip
def test_nonsense(act) -> None:
    with pytest.raises(Nonsense):
        act()

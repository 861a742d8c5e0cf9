"""Sun and shade; positions, events and spans against skyfield, NREL and ephem are in deviations_outdoors."""

import math
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import sun
from bot.trade.sun import Position, direct_sun_intervals, latest_start, lit
from bot.trade.units import Q
from tests.outdoors import minutes, ray_lit

NEW_YORK = ZoneInfo("America/New_York")
JUNE = date(2026, 6, 21)


def at(hour: float) -> datetime:
    return datetime(2026, 6, 10, tzinfo=NEW_YORK) + timedelta(hours=hour)


# Geometry: the reach of a wall's shadow is height / tan(elevation) x cosine of the angle to it.
@pytest.mark.parametrize(
    ("elevation", "azimuth", "facing", "reach"),
    [(30, 0, 180, 17.32), (45, 0, 180, 10.0), (60, 0, 180, 5.77), (20, 250, 45, 24.90)],
)
def test_shadow_of_a_ten_foot_wall(elevation: float, azimuth: float, facing: float, reach: float) -> None:
    for out, shines in ((reach - 0.05, False), (reach + 0.05, True)):
        assert lit(Position(elevation, azimuth), facing, Q(10, "foot"), Q(out, "foot")) is shines


def test_sun_in_front_of_the_wall_is_not_shaded() -> None:
    assert lit(Position(20, 250), 180, Q(10, "foot"), Q(0, "foot"))


@given(st.floats(0.5, 89), st.floats(0, 360), st.floats(0, 360), st.floats(0.1, 40), st.floats(0.1, 40))
def test_shade_agrees_with_a_ray(el: float, az: float, facing: float, height: float, out: float) -> None:
    judged = {ray_lit(el, az, facing, height * f, out) for f in (0.999, 1.001)}
    assert lit(Position(el, az), facing, Q(height, "foot"), Q(out, "foot")) in judged


def test_polar_days_have_no_rise() -> None:
    oslo = ZoneInfo("Europe/Oslo")
    summer, winter = (sun.day(70, 25, date(2026, month, 21), oslo) for month in (6, 12))
    assert (summer.rise, summer.set, summer.up_all_day) == (None, None, True)
    assert (winter.rise, winter.set, winter.up_all_day) == (None, None, False)
    assert direct_sun_intervals(70, 25, date(2026, 12, 21), oslo) == ()
    (whole,) = direct_sun_intervals(70, 25, date(2026, 6, 21), oslo)
    assert whole[1] - whole[0] == timedelta(hours=24)


def test_open_deck_has_sun_from_rise_to_set() -> None:
    whole = sun.day(45, -69, JUNE, NEW_YORK)
    assert direct_sun_intervals(45, -69, JUNE, NEW_YORK) == ((whole.rise, whole.set),)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 359), st.floats(2, 30), st.floats(1, 30), st.floats(0.1, 10))
def test_further_from_the_wall_is_never_less_sun(facing: int, high: float, out: float, more: float) -> None:
    def hours(distance: float) -> float:
        spans = direct_sun_intervals(45, -69, JUNE, NEW_YORK, facing, Q(high, "foot"), Q(distance, "foot"))
        return sum((end - start).total_seconds() for start, end in spans) / 3600

    assert hours(out + more) >= hours(out) - 0.1


def test_latest_start_before_the_sun() -> None:
    found = latest_start(minutes(90), at(6), at(20), [(at(11), at(20))])
    assert found == sun.LatestStart(at(9.5), "sun", False)


def test_latest_start_in_evening_shade() -> None:
    found = latest_start(minutes(120), at(6), at(20), [(at(5), at(15))])
    assert found == sun.LatestStart(at(18), "daylight", False)


def test_latest_start_between_two_suns() -> None:
    found = latest_start(minutes(120), at(7), at(20), [(at(5), at(10)), (at(14), at(20))])
    assert found == sun.LatestStart(at(12), "sun", False)


def test_latest_start_where_times_of_sun_overlap() -> None:
    found = latest_start(minutes(240), at(6), at(20), [(at(5), at(15)), (at(6), at(10)), (at(16), at(17))])
    assert found == sun.LatestStart(at(16), "daylight", True)


def test_sun_after_dark_does_not_count() -> None:
    found = latest_start(minutes(60), at(6), at(20), [(at(21), at(22))])
    assert found == sun.LatestStart(at(19), "daylight", False)
    assert latest_start(minutes(180), at(18), at(20), [(at(21.5), at(22))]) is None


def test_latest_start_without_enough_shade() -> None:
    assert latest_start(minutes(180), at(6), at(20), [(at(5), at(21))]) == sun.LatestStart(
        at(17), "daylight", True
    )
    assert latest_start(minutes(180), at(18), at(20)) is None


@given(
    st.floats(1, 600), st.floats(4, 19), st.lists(st.tuples(st.floats(4, 20), st.floats(0.1, 6)), max_size=4)
)
def test_latest_start_is_never_in_the_sun_unless_it_says_so(
    needed: float, begin: float, suns: list[tuple[float, float]]
) -> None:
    spans = [(at(start), at(start + long)) for start, long in suns]
    found = latest_start(minutes(needed), at(begin), at(20), spans)
    if found is None:
        assert at(begin) + timedelta(minutes=needed) > at(20) - timedelta(seconds=1)
        return
    end = found.at + timedelta(minutes=needed)
    give = timedelta(seconds=1)
    assert at(begin) - give <= found.at
    assert end <= at(20) + give
    if not found.in_sun:
        assert all(end <= a + give or b <= found.at + give for a, b in spans)


def test_times_are_true_across_a_change_of_the_clocks() -> None:
    # Clocks go back on 1 November 2026 in New York: 26 hours, not 25, from 31 October 08:00 to 09:00.
    before = datetime(2026, 10, 31, 8, tzinfo=NEW_YORK)
    found = latest_start(minutes(60), before, datetime(2026, 11, 1, 9, tzinfo=NEW_YORK))
    assert found is not None
    assert math.isclose((found.at.timestamp() - before.timestamp()) / 3600, 25)


@pytest.mark.parametrize(("lat", "lon"), [(91, 0), (-91, 0), (0, 181), (float("nan"), 0)])
def test_nonsense_places(lat: float, lon: float) -> None:
    with pytest.raises(Nonsense):
        sun.position(lat, lon, at(12))


def test_nonsense_times_and_walls() -> None:
    with pytest.raises(Nonsense):
        sun.position(45, -69, datetime(2026, 6, 21, 12))  # noqa: DTZ001 - the point of the test
    with pytest.raises(Nonsense):
        direct_sun_intervals(45, -69, JUNE, NEW_YORK, 180, Q(-3, "foot"), Q(1, "foot"))
    with pytest.raises(Nonsense):
        latest_start(minutes(0), at(6), at(20))

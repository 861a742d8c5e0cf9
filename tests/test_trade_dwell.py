"""Dwell windows, edges and the largest section, judged by a stepping simulation of sprayer and hose."""

import math
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import dwell
from bot.trade.dwell import Window
from bot.trade.units import Q
from tests.outdoors import feet2, minutes

NEW_YORK = ZoneInfo("America/New_York")
T0 = datetime(2026, 6, 10, 9, 50, tzinfo=NEW_YORK)
PACES, LEASTS, WIDTHS = st.floats(4, 60), st.floats(2, 20), st.floats(2, 30)


def pace(value: float) -> Q:
    return Q(value, "foot**2/minute")


def window(least: float, most: float) -> Window:
    return Window(minutes(least), minutes(most))


def span(found: Window) -> tuple[float, float]:
    return (found.low, found.high)


def dwells(area: float, spread: float, rinse: float, begin: float, step: float = 0.05) -> tuple[float, float]:
    """(shortest, longest) dwell of any edge, stepping both fronts over the section by the clock."""
    cells = 60
    wet, rinsed, t = [math.nan] * cells, [math.nan] * cells, 0.0
    front, hose = 0, 0
    while hose < cells:
        while front < cells and front * area / (cells - 1) <= spread * t + 1e-9:
            wet[front], front = t, front + 1
        while hose < front and hose * area / (cells - 1) <= rinse * (t - begin) + 1e-9:
            rinsed[hose], hose = t, hose + 1
        t += step
    each = [b - a for a, b in zip(wet, rinsed, strict=True)]
    return min(each), max(each)


def holds(area: float, spread: float, rinse: float, held: Window, alone: bool) -> bool:
    """Whether any moment to begin the rinse keeps every edge inside the window, to the simulation's step."""
    first = area / spread if alone else 0.0
    begins = [
        first + k * 0.25 for k in range(int(held.high / 0.25) + 1) if first + k * 0.25 <= held.high + 0.25
    ]
    return any(
        held.low - 0.3 <= short and long <= held.high + 0.3
        for short, long in (dwells(area, spread, rinse, begin) for begin in begins)
    )


# The rule (common practice, no source): m to the lesser of the label's most and max(2 m, m + 10).
@pytest.mark.parametrize(
    ("label", "patch", "expected"),
    [
        ((10, 30), 12, (12, 24)),
        ((10, 30), 8, (10, 18)),
        ((5, 30), 7, (7, 17)),
        ((10, 20), 15, (15, 20)),
        ((15, 30), 2, (15, 20)),
        ((10, 20), 25, (20, 20)),
    ],
    ids=["twice", "label's least", "ten more", "label's most", "kept workable", "slower than the label"],
)
def test_window_from_a_patch(label: tuple[float, float], patch: float, expected: tuple[float, float]) -> None:
    assert span(dwell.from_patch(window(*label), minutes(patch))) == expected


@given(LEASTS, WIDTHS, st.floats(0.5, 60))
def test_a_patch_never_leaves_the_label(least: float, width: float, patch: float) -> None:
    label = window(least, least + width)
    found = dwell.from_patch(label, minutes(patch))
    assert label.low <= found.low <= found.high <= label.high
    assert found.low >= min(patch, label.high)


# Doubling per 10 K (rule of thumb, no source): 10 K hotter halves, 10 K colder doubles.
@pytest.mark.parametrize(
    ("now", "expected"), [(20, (12, 20)), (30, (6, 10)), (10, (24, 40)), (0, (45, 45)), (60, (5, 10))]
)
def test_correction_by_surface_temperature(now: float, expected: tuple[float, float]) -> None:
    found = dwell.correct(window(12, 20), Q(now, "degC"), Q(20, "degC"), window(5, 45))
    assert span(found) == pytest.approx(expected)


def test_the_shops_own_doubling() -> None:
    found = dwell.correct(window(12, 20), Q(40, "degC"), Q(20, "degC"), window(5, 45), Q(20, "delta_degC"))
    assert span(found) == pytest.approx((6, 10))


@given(LEASTS, WIDTHS, st.floats(0, 60), st.floats(0, 60), st.floats(0, 20))
def test_hotter_never_gives_longer(least: float, width: float, now: float, patch: float, more: float) -> None:
    label = window(least / 2, least + width * 2)
    told = window(least, least + width)
    cool, hot = (dwell.correct(told, Q(t, "degC"), Q(patch, "degC"), label) for t in (now, now + more))
    assert hot.low <= cool.low + 1e-9
    assert hot.high <= cool.high + 1e-9
    for found in (cool, hot):
        assert label.low <= found.low <= found.high <= label.high


def test_edges() -> None:
    assert dwell.covered_at(T0, feet2(150), pace(15)) == T0 + timedelta(minutes=10)
    assert dwell.earliest_rinse(T0 + timedelta(minutes=8), minutes(10)) == T0 + timedelta(minutes=18)
    assert dwell.latest_rinse(T0, minutes(30)) == T0 + timedelta(minutes=30)


def test_edges_over_a_change_of_the_clocks() -> None:
    before = datetime(2026, 3, 8, 1, 50, tzinfo=NEW_YORK)
    after = dwell.latest_rinse(before, minutes(20))
    assert (after.hour, after.minute) == (3, 10)
    assert dwell.elapsed(before, after).magnitude == pytest.approx(20)


# (20 - 10) / |1/20 - 1/15| = 600; 20 x 20 = 400; alone 15 x 20 = 300: arithmetic of the rule.
@pytest.mark.parametrize(
    ("spread", "rinse", "alone", "expected"),
    [
        (20, 15, False, 400),
        (20, 15, True, 300),
        (30, 10, False, 150),
        (15, 15, False, 300),
        (10, 40, True, 133.33),
    ],
)
def test_largest_section(spread: float, rinse: float, alone: bool, expected: float) -> None:
    found = dwell.largest_section(pace(spread), pace(rinse), window(10, 20), alone)
    assert found.magnitude == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize("alone", [False, True])
@pytest.mark.parametrize(
    ("spread", "rinse", "least", "most"),
    [
        (20, 15, 10, 20),
        (15, 15, 10, 20),
        (30, 10, 10, 25),
        (10, 30, 8, 18),
        (25, 20, 5, 30),
        (12, 40, 10, 14),
    ],
)
def test_largest_section_by_the_clock(
    spread: float, rinse: float, least: float, most: float, alone: bool
) -> None:
    held = window(least, most)
    largest = dwell.largest_section(pace(spread), pace(rinse), held, alone).magnitude
    assert holds(largest * 0.98, spread, rinse, held, alone)
    # Two people with even paces could go on for ever; the rule still stops them at the most dwell.
    if alone or largest < spread * most * 0.99:
        assert not holds(largest * 1.1 + 4, spread, rinse, held, alone)


@given(PACES, PACES, LEASTS, WIDTHS)
def test_a_section_inside_the_clocks_is_inside_the_largest(
    spread: float, rinse: float, least: float, width: float
) -> None:
    held = window(least, least + width)
    by_clock = dwell.clock_section(pace(spread), pace(rinse), held).magnitude
    assert by_clock <= dwell.largest_section(pace(spread), pace(rinse), held, alone=True).magnitude * 1.000001
    covered = by_clock / spread
    assert covered + held.low <= held.high + 1e-6  # earliest is not after latest
    short, long = dwells(by_clock, spread, rinse, covered + held.low)
    assert held.low - 0.2 <= short
    assert long <= held.high + 0.2


@given(st.floats(1, 5000), st.floats(5, 500))
def test_cutting(area: float, largest: float) -> None:
    parts = dwell.sections_to_cut(feet2(area), feet2(largest))
    assert sum(part.magnitude for part in parts) == pytest.approx(area)
    assert all(part.magnitude <= largest * (1 + 1e-6) for part in parts)
    assert len(set(parts)) == 1
    assume(len(parts) > 1)
    assert area / (len(parts) - 1) > largest


def test_pace_is_robust() -> None:
    done = [(feet2(150), minutes(10)), (feet2(160), minutes(10)), (feet2(140), minutes(1))]
    assert dwell.learn_pace(done).magnitude == pytest.approx(16)


@pytest.mark.parametrize(
    "act",
    [
        lambda: window(20, 10),
        lambda: window(-1, 10),
        lambda: window(0, 0),
        lambda: Window(Q(1, "foot"), minutes(3)),
        lambda: dwell.from_patch(window(10, 20), minutes(0)),
        lambda: dwell.correct(window(10, 20), Q(300, "degC"), Q(20, "degC"), window(5, 30)),
        lambda: dwell.correct(
            window(10, 20), Q(30, "degC"), Q(20, "degC"), window(5, 30), Q(0, "delta_degC")
        ),
        lambda: dwell.largest_section(pace(0), pace(10), window(10, 20)),
        lambda: dwell.largest_section(pace(10), pace(-1), window(10, 20)),
        lambda: dwell.sections_to_cut(feet2(0), feet2(10)),
        lambda: dwell.sections_to_cut(feet2(10), feet2(0)),
        lambda: dwell.learn_pace([]),
        lambda: dwell.learn_pace([(feet2(10), minutes(0))]),
        lambda: dwell.earliest_rinse(T0, minutes(-1)),
        lambda: dwell.latest_rinse(T0.replace(tzinfo=None), minutes(10)),
    ],
)
def test_nonsense(act) -> None:
    with pytest.raises(Nonsense):
        act()

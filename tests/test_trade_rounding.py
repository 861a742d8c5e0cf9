"""Rounding: to what gear shows, and never past the exact figure on the unsafe side."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import rounding
from bot.trade.units import Q

UNITS = st.sampled_from(["us", "metric"])
START = datetime(2026, 1, 1, tzinfo=UTC)
HAIR = 1 + 2e-9
masses = st.floats(0.01, 1e5).map(lambda value: Q(value, "gram"))
volumes = st.floats(0.001, 1000).map(lambda value: Q(value, "liter"))
moments = st.timedeltas(timedelta(0), timedelta(days=365)).map(lambda after: START + after)


@given(masses, UNITS)
def test_a_scale_rounds_to_the_side_it_is_told(mass: Q, units: str) -> None:
    up, down = (rounding.to_scale(mass, units, side).value.to("gram").magnitude for side in ("up", "down"))
    assert up * HAIR >= mass.magnitude
    assert down <= mass.magnitude * HAIR
    near = rounding.to_scale(mass, units, "nearest").value.to("gram").magnitude
    assert near == pytest.approx(up) or near == pytest.approx(down)


@given(volumes, UNITS)
def test_a_cup_rounds_to_the_side_it_is_told(volume: Q, units: str) -> None:
    up, down = (rounding.to_cup(volume, units, side).value.to("liter").magnitude for side in ("up", "down"))
    assert down <= volume.magnitude * HAIR
    assert up * HAIR >= volume.magnitude


@given(st.floats(30, 1e5), UNITS)
def test_what_is_weighed_is_within_a_few_percent(grams: float, units: str) -> None:
    for side in ("up", "down", "nearest"):
        got = rounding.to_scale(Q(grams, "gram"), units, side).value.to("gram").magnitude
        assert got == pytest.approx(grams, rel=0.1)


@given(masses, UNITS)
def test_rounding_twice_changes_nothing(mass: Q, units: str) -> None:
    once = rounding.to_scale(mass, units, "up")
    twice = rounding.to_scale(once.value, units, "up")
    assert twice.value == once.value
    assert not twice.was_rounded


@given(volumes, st.floats(0.5, 32), UNITS)
def test_caustic_is_never_stronger_and_acid_never_weaker(volume: Q, ounces: float, units: str) -> None:
    ratio = Q(ounces, "ounce/gallon").to("gram/liter").magnitude
    mass = Q(volume.magnitude * ratio, "gram")
    powder, water = rounding.batch_sides("caustic")
    told = rounding.to_scale(mass, units, powder).value.to("gram").magnitude
    into = rounding.to_cup(volume, units, water).value.to("liter").magnitude
    assert told / into <= ratio * HAIR * HAIR
    powder, _ = rounding.batch_sides("acid")
    assert rounding.to_scale(mass, units, powder).value.to("gram").magnitude * HAIR >= mass.magnitude


@given(moments)
def test_rinse_by_is_never_later_and_rinse_from_never_earlier(at: datetime) -> None:
    by, _ = rounding.to_minute(at, rounding.side_for("rinse by"))
    start, _ = rounding.to_minute(at, rounding.side_for("rinse from"))
    assert at - timedelta(minutes=1) < by <= at <= start < at + timedelta(minutes=1)
    assert by.second == start.second == by.microsecond == start.microsecond == 0


@given(st.floats(0.1, 600))
def test_a_dwell_is_never_longer(minutes: float) -> None:
    got = rounding.to_minutes(Q(minutes, "minute"), rounding.side_for("dwell")).value.magnitude
    assert minutes - 1 < got <= minutes * HAIR
    assert rounding.to_minutes(timedelta(minutes=minutes)).value.magnitude <= minutes + 1e-6


@pytest.mark.parametrize(
    ("got", "value", "unit", "changed"),
    [
        (rounding.to_scale(Q(453.59237, "gram"), "us", "down"), 16, "ounce", False),
        (rounding.to_scale(Q(453.59237, "gram"), "metric", "down"), 453, "gram", True),
        (rounding.to_scale(Q(10.4, "ounce"), "us", "up"), 10.5, "ounce", True),
        (rounding.to_scale(Q(40.2, "ounce"), "us", "up"), 41, "ounce", True),
        (rounding.to_cup(Q(4, "gallon"), "us", "up"), 4, "gallon", False),
        (rounding.to_cup(Q(2.6, "gallon"), "us", "up"), 2.75, "gallon", True),
        (rounding.to_cup(Q(9, "fluid_ounce"), "us", "up"), 10, "fluid_ounce", True),
        (rounding.to_cup(Q(2.63, "liter"), "metric", "up"), 2.65, "liter", True),
        (rounding.to_bucket(Q(6, "gallon")), 1.25, "bucket", True),
        (rounding.to_degree(Q(11.6, "degC"), "us", "up"), 53, "degF", True),
        (rounding.to_degree(Q(-3.5, "degC"), "metric", "down"), -4, "degC", True),
        (rounding.to_area(Q(17.84, "m2"), "metric"), 17.8, "m2", True),
        (rounding.to_flow(Q(3.97, "gpm"), "us"), 3.9, "gallon/minute", True),
    ],
)
def test_marks_of_ordinary_gear(got: rounding.Rounded, value: float, unit: str, changed: bool) -> None:
    """Scale by 0.25 oz, 1 oz from 2 lb or 1 g; buckets by quarts: common practice, no source."""
    assert (got.value, got.was_rounded) == (Q(value, unit), changed)


def test_a_figure_on_its_mark_keeps_its_exact_one() -> None:
    got = rounding.to_scale(Q(451, "gram"), "us", "down")
    assert got.exact == Q(451, "gram")


def test_purchases_and_batches_go_up() -> None:
    assert {rounding.side_for(what) for what in ("purchase", "batch volume", "rinse water")} == {"up"}


def test_nonsense_has_a_name() -> None:
    with pytest.raises(Nonsense, match="units_unknown"):
        rounding.to_scale(Q(1, "lb"), "stone")
    with pytest.raises(Nonsense, match="side_unknown"):
        rounding.side_for("tea")
    with pytest.raises(Nonsense, match="negative"):
        rounding.to_cup(Q(-1, "gal"))
    with pytest.raises(Nonsense, match="wrong_kind"):
        rounding.to_scale(Q(1, "gal"))

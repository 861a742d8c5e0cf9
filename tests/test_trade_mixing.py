"""Mixing: linear in the volume, one strength in every vessel, never short. Sources: worked_mixing.csv."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import mixing
from bot.trade.units import Q

FOUR = Q(4, "ounce/gallon")
volumes = st.floats(0.1, 250).map(lambda value: Q(value, "gallon"))
ratios = st.floats(0.5, 32).map(lambda value: Q(value, "ounce/gallon"))
vessels = st.lists(st.floats(1, 55).map(lambda value: Q(value, "gallon")), min_size=1, max_size=5)


def oz(q: Q) -> float:
    return q.to("ounce").magnitude


def test_four_gallons_of_brightener() -> None:
    """Four ounces a gallon, four such measures a pound: common practice, no source."""
    made = mixing.batch(Q(4, "gal"), FOUR, "brightener")
    assert oz(made.powder) == pytest.approx(16)
    assert made.powder.to("pound").magnitude == pytest.approx(1)
    assert (made.substance, made.water) == ("oxalic", Q(4, "gal"))


@given(volumes, ratios, st.floats(0.1, 10))
def test_scaling_is_linear(volume: Q, ratio: Q, times: float) -> None:
    made = mixing.batch(volume, ratio, "oxalic")
    more = mixing.scale(made, volume * times)
    assert oz(more.powder) == pytest.approx(oz(made.powder) * times)
    assert more.percent_by_weight == pytest.approx(made.percent_by_weight)
    assert more.own_volume.magnitude == pytest.approx(made.own_volume.magnitude * times)


@given(volumes, ratios)
def test_the_powder_of_a_batch_makes_the_batch(volume: Q, ratio: Q) -> None:
    made = mixing.batch(volume, ratio)
    again = mixing.from_powder(made.powder, ratio)
    assert again.water.to("gallon").magnitude == pytest.approx(volume.magnitude)


@given(volumes, ratios, vessels)
def test_split_loses_nothing_and_overfills_nothing(volume: Q, ratio: Q, room: list[Q]) -> None:
    made = mixing.batch(volume, ratio, "oxalic")
    fills = mixing.split(made, room)
    assert sum(oz(fill.powder) for fill in fills) == pytest.approx(oz(made.powder))
    assert sum(fill.water.to("gallon").magnitude for fill in fills) == pytest.approx(volume.magnitude)
    for fill in fills:
        assert fill.water.to("gallon").magnitude <= fill.vessel.magnitude * (1 + 1e-6)
        assert oz(fill.powder) / fill.water.to("gallon").magnitude == pytest.approx(ratio.magnitude)


def test_a_bucket_holds_its_name_and_no_more() -> None:
    made = mixing.batch(Q(5, "gal"), FOUR, "oxalic")
    assert len(mixing.split(made, [Q(5, "gal")])) == 1
    assert len(mixing.split(mixing.scale(made, Q(12, "gal")), [Q(5, "gal")])) == 3
    assert len(mixing.split(mixing.scale(made, Q(12, "gal")), [Q(5, "gal")] * 3)) == 3
    # 32 oz/gal swells by more than the room above the mark: a second fill, never over the brim.
    assert len(mixing.split(mixing.batch(Q(5, "gal"), Q(32, "oz/gal"), "oxalic"), [Q(5, "gal")])) == 2


@given(st.floats(10, 3000), st.floats(30, 400), st.integers(1, 4), st.floats(0, 0.5))
def test_volume_for_covers_every_pass(feet: float, coverage: float, passes: int, over: float) -> None:
    got = mixing.volume_for(Q(feet, "ft2"), Q(coverage, "ft2/gal"), passes, over).to("gallon").magnitude
    assert got == pytest.approx(feet / coverage * passes * (1 + over))


def test_rough_wood_takes_more() -> None:
    def gallons(roughness: str) -> float:
        return mixing.volume_for(Q(300, "ft2"), Q(100, "ft2/gal"), roughness=roughness).magnitude

    assert gallons("smooth") < gallons("weathered") < gallons("rough")


def test_one_batch_for_all_sections() -> None:
    areas = [Q(192, "ft2"), Q(100, "ft2"), Q(2, "m2")]
    one = mixing.volume_for_sections(areas, Q(100, "ft2/gal")).magnitude
    each = sum(mixing.volume_for(area, Q(100, "ft2/gal")).magnitude for area in areas)
    assert one == pytest.approx(each)


def test_enough_says_what_is_over_or_short() -> None:
    assert mixing.enough(Q(4, "gal"), Q(2.6, "gal")).over.magnitude == pytest.approx(1.4)
    short = mixing.enough(Q(2.5, "gal"), Q(2.6, "gal"))
    assert not short.enough
    assert short.over.magnitude == pytest.approx(-0.1)
    assert mixing.enough(Q(4, "gal"), Q(16, "quart")).enough


@pytest.mark.parametrize(
    ("volume", "ratio"),
    [
        (Q(0, "gal"), FOUR),
        (Q(-4, "gal"), FOUR),
        (Q(4, "gal"), Q(-1, "oz/gal")),
        (Q(4, "lb"), FOUR),
        (Q(4, "gal"), Q(4, "floz/gal")),
        (Q(40_000, "gal"), FOUR),
        (Q(float("nan"), "gal"), FOUR),
        (Q(4, "gal"), Q(40, "lb/gal")),
    ],
    ids=str,
)
def test_nonsense_has_a_name(volume: Q, ratio: Q) -> None:
    with pytest.raises(Nonsense):
        mixing.batch(volume, ratio)


def test_nonsense_in_the_rest() -> None:
    with pytest.raises(Nonsense, match="no_vessel"):
        mixing.split(mixing.batch(Q(4, "gal"), FOUR), [])
    with pytest.raises(Nonsense, match="area_job_impossible"):
        mixing.volume_for(Q(300, "ft2"), Q(100, "ft2/gal"), passes=0)
    with pytest.raises(Nonsense, match="roughness_unknown"):
        mixing.volume_for(Q(300, "ft2"), Q(100, "ft2/gal"), roughness="hairy")

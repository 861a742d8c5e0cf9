"""Water supply. Examples worked by hand or published: worked_water.csv."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import water
from bot.trade.units import Q

rates = st.floats(0.2, 20)


def gpm(value: float) -> Q:
    return Q(value, "gallon/minute")


def gal(value: float) -> Q:
    return Q(value, "gallon")


@given(rates, rates, st.floats(0, 2000))
def test_a_store_lasts_just_as_long_as_it_says(draw: float, recovery: float, stored: float) -> None:
    minutes = water.lasts(gpm(draw), gpm(recovery), gal(stored))
    if minutes is None:
        assert draw <= recovery * (1 + 1e-6)
    else:
        gone = minutes.to("minute").magnitude * (draw - recovery)
        assert gone == pytest.approx(stored, rel=1e-6, abs=1e-6)


@given(rates, rates)
def test_a_washer_is_never_starved(supply: float, need: float) -> None:
    assert (water.judge(gpm(supply), gpm(need)).verdict == "washer") == (supply >= need * (1 - 1e-9))


@given(rates, st.floats(0, 500), st.floats(10, 1000))
def test_a_tank_carries_the_washer_to_the_end(supply: float, stored: float, feet: float) -> None:
    got = water.judge(gpm(supply), gpm(4), gal(stored), Q(feet, "ft2"))
    if got.verdict == "washer" and supply < 4:
        drawn = feet * 0.5
        given_meanwhile = drawn / 4 * supply
        assert stored + given_meanwhile >= drawn * (1 - 1e-6)


def test_plain_verdicts() -> None:
    assert water.judge(gpm(5)).verdict == "washer"
    hose = water.judge(gpm(3), area=Q(300, "ft2"))
    assert (hose.verdict, hose.rinse_minutes.to("minute").magnitude) == ("hose", pytest.approx(50))
    tank = water.judge(gpm(3), stored=gal(100), area=Q(300, "ft2"))
    assert (tank.verdict, tank.lasts.to("minute").magnitude) == ("washer", pytest.approx(100))
    stage = water.judge(gpm(1), area=Q(300, "ft2"))
    assert (stage.verdict, stage.wait.to("minute").magnitude) == ("stage", pytest.approx(150))


def test_less_water_a_foot_is_done_sooner() -> None:
    light = water.judge(gpm(5), area=Q(300, "ft2"), per_area=Q(0.25, "gallon/ft2"))
    assert light.rinse_minutes.to("minute").magnitude == pytest.approx(300 * 0.25 / 4)
    assert light.lasts is None


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: water.flow(gal(5), Q(0, "second")),
        lambda: water.flow(gal(5), Q(0.1, "second")),
        lambda: water.flow(Q(5, "lb"), Q(40, "second")),
        lambda: water.judge(gpm(-1)),
        lambda: water.storage(Q(-6, "inch"), Q(80, "foot")),
        lambda: water.refill(gal(100), gpm(0)),
    ],
)
def test_nonsense_has_a_name(wrong) -> None:
    with pytest.raises(Nonsense):
        wrong()

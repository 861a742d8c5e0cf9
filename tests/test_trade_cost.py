"""Buying. The figures of the trade: worked_cost.csv."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import cost
from bot.trade.units import Q

masses = st.floats(0.1, 5000).map(lambda value: Q(value, "ounce"))


@given(masses, masses)
def test_bags_never_run_short_and_never_one_too_many(need: Q, pack: Q) -> None:
    count = cost.bags(need, pack)
    assert count * pack.magnitude >= need.magnitude * (1 - 1e-9)
    assert (count - 1) * pack.magnitude < need.magnitude


def test_what_is_in_stock_is_not_bought_again() -> None:
    assert cost.bags(Q(1, "lb"), Q(10, "lb"), in_stock=Q(2, "lb")) == 0
    assert cost.bags(Q(12, "lb"), Q(10, "lb"), in_stock=Q(1, "lb")) == 2


def test_cost_of_a_job_is_the_powder_not_the_bag() -> None:
    assert cost.of(Q(16, "ounce"), cost.Pack(Q(10, "lb"), 30)) == pytest.approx(3)


@given(st.floats(0, 1000), st.floats(1, 50), st.floats(1, 32))
def test_twice_the_price_twice_the_gallon(price: float, pounds: float, ounces: float) -> None:
    once, twice = (
        cost.per_mixed(cost.Pack(Q(pounds, "lb"), one), Q(ounces, "oz/gal")) for one in (price, 2 * price)
    )
    assert twice == pytest.approx(2 * once)


def test_packs_compared_by_what_the_job_costs() -> None:
    small, large = cost.Pack(Q(1, "lb"), 5), cost.Pack(Q(10, "lb"), 30)
    assert [one.pack for one in cost.compare([large, small], Q(2, "lb"))] == [small, large]
    best = cost.compare([small, large], Q(8, "lb"), Q(4, "oz/gal"))[0]
    assert (best.pack, best.count, best.price) == (large, 1, 30)
    assert best.left.to("pound").magnitude == pytest.approx(2)
    assert best.per_gallon == pytest.approx(0.75)


@pytest.mark.parametrize("price", [-1, float("nan"), float("inf"), True, "30"])
def test_prices_that_cannot_be(price: object) -> None:
    with pytest.raises(Nonsense, match="price_impossible"):
        cost.per_mass(cost.Pack(Q(10, "lb"), price))


def test_nonsense_has_a_name() -> None:
    with pytest.raises(Nonsense, match="not_positive"):
        cost.bags(Q(1, "lb"), Q(0, "lb"))
    with pytest.raises(Nonsense, match="passes_impossible"):
        cost.per_area(cost.Pack(Q(10, "lb"), 30), Q(4, "oz/gal"), Q(150, "ft2/gal"), passes=0)

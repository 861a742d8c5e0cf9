"""What is refused, with the reason's key, and what is only said or asked.

Sources: 29 CFR 1910.1200 and GHS for the hazards, EPA on CCA and lead, ICSC 0360 for caustic;
each stands at its refusal in bot/trade/cautions.py.
"""

import itertools

import pytest

from bot.errors import Refused
from bot.trade import cautions
from bot.trade.cautions import Request, check

REFUSED = [
    (Request(vessel=("brightener", "bleach")), "acid_with_bleach"),
    (Request(vessel=("bleach", "water", "Citric")), "acid_with_bleach"),
    (Request(vessel=("stripper", "brightener")), "caustic_with_acid"),
    (Request(vessel=("gel", "citric")), "caustic_with_acid"),
    (Request(vessel=("brightener", "cleaner")), "acid_with_oxidiser"),
    (Request(vessel=("bleach", "ammonia")), "ammonia_with_bleach"),
    (Request(vessel=("stripper",), vessel_made_of="Aluminum"), "caustic_in_aluminium"),
    (Request(vessel=("stripper",), vessel_made_of="galvanised"), "caustic_in_aluminium"),
    (Request(vessel=("stripper",), vessel_made_of="tin"), "caustic_in_aluminium"),
    (Request(vessel=("stripper",), water_onto_powder=True), "water_onto_caustic"),
    (Request(onto_wood=("stripper",), treated=True, year_built=1998), "old_treated_wood"),
    (Request(onto_wood=("brightener",), treated=True, year_built=2003), "old_treated_wood"),
    (Request(onto_wood=("cleaner",), treated=True, deck_built=2000, year_built=2010), "old_treated_wood"),
    (Request(step="strip", year_built=1977), "lead_unchecked"),
    (Request(step="patch", year_built=1925), "lead_unchecked"),
    (Request(step="sand", year_built=1977), "lead_unchecked"),
    (Request(step="strip", year_built=2010, lead_checked=True, lead_found=True), "lead_found"),
]
ALLOWED = [
    Request(vessel=("brightener",)),
    Request(vessel=("brightener",), vessel_made_of="aluminium"),
    Request(vessel=("stripper",), vessel_made_of="plastic"),
    Request(onto_wood=("stripper",), treated=True, year_built=2004),
    Request(onto_wood=("stripper",), treated=True, year_built=1960, deck_built=2015),
    Request(onto_wood=("stripper",), treated=False, year_built=1990),
    Request(onto_wood=("oil",), treated=True, year_built=1998),
    Request(step="strip", year_built=1978),
    Request(step="strip", year_built=1925, lead_checked=True),
    Request(step="rinse", year_built=1925),
]


@pytest.mark.parametrize(("request_", "key"), REFUSED, ids=lambda value: str(value)[:60])
def test_refused_with_the_reason(request_: Request, key: str) -> None:
    with pytest.raises(Refused) as caught:
        check(request_)
    assert caught.value.key == key


@pytest.mark.parametrize("request_", ALLOWED, ids=lambda value: str(value)[:60])
def test_allowed(request_: Request) -> None:
    check(request_)


@pytest.mark.parametrize("order", list(itertools.permutations(["stripper", "oil", "brightener"])))
def test_the_order_of_the_bucket_does_not_matter(order: tuple[str, ...]) -> None:
    with pytest.raises(Refused, match="caustic_with_acid"):
        check(Request(vessel=order))


def test_what_is_not_told_is_asked_and_never_assumed() -> None:
    assert check(Request(step="strip", onto_wood=("stripper",))).ask == ("year_built", "treated")
    assert check(Request(onto_wood=("brightener",), treated=True)).ask == ("deck_built",)
    assert check(Request(onto_wood=("brightener",), year_built=1990)).ask == ("treated",)
    assert check(Request(step="strip", onto_wood=("stripper",), year_built=2010)).ask == ()


@pytest.mark.parametrize("product", sorted(cautions.KINDS))
def test_every_product_has_its_cautions(product: str) -> None:
    assert cautions.of(product)


def test_acid_is_kept_from_bleach_and_caustic_from_aluminium() -> None:
    assert "never_with_bleach" in cautions.of("brightener")
    assert {"no_aluminium", "powder_into_cold_water"} <= set(cautions.of("stripper"))
    assert "oily_rags_burn" in cautions.of("oil")


def test_cautions_are_said_once() -> None:
    said = check(Request(vessel=("brightener", "citric"))).cautions
    assert len(said) == len(set(said))


def test_an_unknown_product_is_not_called_safe() -> None:
    assert cautions.kind("mystery") is None
    assert cautions.of("mystery") == ()

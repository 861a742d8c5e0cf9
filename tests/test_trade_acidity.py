"""pH and neutralising; judged by PHREEQC in deviations_chemistry.py, properties here."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade import acidity
from bot.trade.units import Q
from tests import aqueous

FOUR = Q(4, "ounce/gallon")


def test_brightener_and_stripper_stand_where_phreeqc_puts_them() -> None:
    grams = FOUR.to("gram/liter").magnitude / aqueous.WATER
    assert acidity.ph({"brightener": FOUR}) == pytest.approx(aqueous.ph({"oxalic": grams}), abs=0.05)
    assert acidity.ph({"stripper": FOUR}) == pytest.approx(aqueous.ph({"caustic": grams}), abs=0.3)


def test_clean_water_is_neutral() -> None:
    assert acidity.ph({"oxalic": Q(0, "gram/liter")}) == pytest.approx(7.0, abs=0.01)


@settings(max_examples=30)
@given(st.floats(0.05, 100), st.floats(1.05, 3), st.floats(0, 50))
def test_more_caustic_is_never_less_alkaline(grams: float, times: float, celsius: float) -> None:
    def ph(name: str, mass: float) -> float:
        return acidity.ph({name: Q(mass, "gram/liter")}, Q(celsius, "degC"))

    assert ph("caustic", grams * times) > ph("caustic", grams) > 7
    assert ph("oxalic", grams * times) < ph("oxalic", grams) < 7


@given(st.floats(0.1, 1000), st.sampled_from(["oxalic", "citric", "oxalic anhydrous", "citric monohydrate"]))
def test_acid_for_is_linear_and_just_covers(grams: float, acid: str) -> None:
    caustic = Q(grams, "gram")
    needed = acidity.acid_for(caustic, acid)
    assert needed.magnitude == pytest.approx(acidity.acid_for(Q(1, "gram"), acid).magnitude * grams)
    assert acidity.covers(acid, needed, caustic).covers
    assert not acidity.covers(acid, needed * 0.99, caustic).covers


def test_a_gallon_of_brightener_against_the_film_left() -> None:
    """4 oz/gal carries enough for 19.0 g of caustic a litre (worked by hand)."""
    caustic = Q(19.0 * 3.785411784, "gram")
    assert acidity.covers("oxalic", Q(4, "ounce"), caustic).share == pytest.approx(1, abs=0.01)
    assert acidity.covers("oxalic", Q(4, "ounce"), Q(0, "gram")).covers


def test_nonsense_has_a_name() -> None:
    with pytest.raises(Nonsense, match="not_an_acid"):
        acidity.acid_for(Q(1, "gram"), "stripper")
    with pytest.raises(Nonsense, match="substance_unknown"):
        acidity.ph({"moon dust": FOUR})
    with pytest.raises(Nonsense, match="ph_unknown"):
        acidity.ph({"cleaner": FOUR})
    with pytest.raises(Nonsense, match="water_temp_impossible"):
        acidity.ph({"oxalic": FOUR}, Q(90, "degC"))
    with pytest.raises(Nonsense, match="negative"):
        acidity.covers("oxalic", Q(-1, "gram"), Q(1, "gram"))

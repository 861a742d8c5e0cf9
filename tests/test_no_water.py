"""No water while stripper stands on wood: a hold that names what must be rinsed, and the owner hears."""

from __future__ import annotations

import pytest

from tests.conftest import Crew
from tests.test_attack import words

NO_WATER = ["no water", "we ran out of water", "water is off", "lost water", "hose broke", "pump died", "washer died",
            "no tenemos agua", "se rompio la manguera"]  # fmt: skip


@pytest.mark.parametrize("text", NO_WATER)
def test_no_water_over_wet_wood_is_heard(heron: Crew, text: str) -> None:
    """ "se fue el agua" was a hold; these were "nothing written down"."""
    heron.says("Ana", "started B")
    heron.later(20)
    out = heron.says("Ana", text)
    assert "B" in words(out, "Ana").replace("started B", "") and "B" in words(out, "Dana"), words(out, "Ana")


OTHER_WATER = ["no hay agua para tomar", "se acabo el agua del garrafon", "ran out of water to drink",
               "no water left in the cooler",
               "no water here at the store", "the neighbor has no water", "no water in the shower", "no hay agua fria",
               "no water at my house", "ya no hay agua para beber", "no hay agua en mi casa"]  # fmt: skip


@pytest.mark.parametrize("text", OTHER_WATER)
def test_water_to_drink_or_of_another_place_holds_nothing(heron: Crew, text: str) -> None:
    heron.says("Ana", "started B")
    heron.later(20)
    out = heron.says("Ana", text)
    assert not [r for r in heron.standing() if r["kind"] == "hold"], words(out, "Ana")
    assert "stopped work" not in words(out, "Dana")


@pytest.mark.parametrize(
    ("held", "said", "lifted"),
    [
        ("stopped because it started raining", "ya comi", False), ("stopped work for lightning", "done eating", False),
        ("paramos por lluvia", "lunch is over", False), ("no water, hose is dead", "done with lunch", False),
        ("breaking for lunch", "done eating", True), ("a comer", "ya comimos", True),
        ("stopped work for rain", "back at it", True), ("paramos por tormenta", "seguimos", True),
    ],
)  # fmt: skip
def test_a_meal_ends_no_stop_for_the_weather(heron: Crew, held: str, said: str, lifted: bool) -> None:
    heron.says("Ana", "started B")
    heron.says("Ana", held)
    out = heron.says("Ana", said)
    kinds = [r["kind"] for r in heron.standing() if r["kind"] in ("hold", "resume")]
    assert kinds == (["hold", "resume"] if lifted else ["hold"]), words(out, "Ana")

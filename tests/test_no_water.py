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

"""Lethal and wood-wrecking wishes: a refusal with its reason, loudly, and no quantity. Reasons and sources stand
in bot/trade/cautions.py."""

from __future__ import annotations

import pytest

from bot.understand.danger import danger
from tests.conftest import Crew

WISHES = [
    ("mix 4 gal brightener with bleach", "acid_with_bleach"),
    ("can i add bleach to the brightener", "acid_with_bleach"),
    ("mix bleech and oxalic together 2 gal", "acid_with_bleach"),
    ("le echo cloro al abrillantador?", "acid_with_bleach"),
    ("pour some ammonia in the bleach", "ammonia_with_bleach"),
    ("put the brightener in the stripper bucket", "caustic_with_acid"),
    ("mezcla 2 gal de decapante con acido oxalico", "caustic_with_acid"),
    ("mix the stripper and the brightener together", "caustic_with_acid"),
    ("le echo acido a la sosa", "caustic_with_acid"),
    ("mix 4 gal stripper in the aluminum bucket", "caustic_in_aluminium"),
    ("preparo el decapante en la cubeta de aluminio", "caustic_in_aluminium"),
    ("can i pour water on the stripper powder", "water_onto_caustic"),
    ("echo el agua sobre el polvo del decapante", "water_onto_caustic"),
]
HARMLESS = [
    "never mix bleach with the brightener",
    "A stripped rinsed and brightened",
    "mix 4 gal stripper and 3 gal brightener",
    "started A with stripper, B is ready for brightener",
    "mix 4 gal stripper",
    "mix 4 gal brightener with 45 F water",
    "how much stripper for A and how much brightener for B",
    "plastic on the aluminum windows, stripper on B",
    "water on the plants, then stripper on A",
    "mezcla 3 gal de decapante y 2 de abrillantador",
]


@pytest.mark.parametrize(("text", "reason"), WISHES)
def test_a_lethal_wish_is_refused_with_its_reason(crew: Crew, text: str, reason: str) -> None:
    assert danger(text) == reason
    out = crew.says("Ana", text)
    mine = [x for x in out if x["to"] == "Ana"]
    assert len(mine) == 1 and mine[0]["loud"] and mine[0]["text"].startswith("NO.") and not mine[0]["figures"]
    assert any(x["to"] == "Dana" and x["kind"] == "ping" for x in out)
    assert [r["data"]["reason"] for r in crew.timeline() if r["kind"] == "refused"] == [reason]


@pytest.mark.parametrize("text", HARMLESS)
def test_what_is_no_such_wish(text: str) -> None:
    assert danger(text) is None

"""Lethal and wood-wrecking wishes: a refusal with its reason, loudly, and no quantity. Reasons and sources stand
in bot/trade/cautions.py."""

from __future__ import annotations

from typing import Any

import pytest

from bot.understand.danger import danger
from tests.conftest import Crew
from tests.test_attack import raw

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
    # a "no", a "not" or a "rinsed" elsewhere forbids nothing
    ("why not mix bleach with the brightener", "acid_with_bleach"),
    ("mix bleach with brightener, no problem?", "acid_with_bleach"),
    ("B rinsed, mix brightener with bleach", "acid_with_bleach"),
    ("not enough brightener so i add bleach to the acid", "acid_with_bleach"),
    ("no brightener left, can i mix bleach with citric", "acid_with_bleach"),
    ("can i mix bleach with brightener or not", "acid_with_bleach"),
    ("rinsed the bucket, now mixing bleach and oxalic", "acid_with_bleach"),
    ("dont have ammonia, mixing bleach with acid", "acid_with_bleach"),
    ("dont forget to mix bleach with the brightener", "acid_with_bleach"),
    ("dont use water just mix bleach with acid", "acid_with_bleach"),
    ("acid and bleach in a bucket without stirring", "acid_with_bleach"),
    ("bleach and acid are separate now pour them together", "acid_with_bleach"),
    ("por que no mezclamos cloro con acido", "acid_with_bleach"),
    ("mezcla cloro con acido, no?", "acid_with_bleach"),
    ("no hay agua, mezcla cloro con acido", "acid_with_bleach"),
    ("pool shock with brightener", "acid_with_bleach"),
    ("no bucket, mixing lye in an aluminum pot", "caustic_in_aluminium"),
    ("stripper without gloves in aluminum pan", "caustic_in_aluminium"),
    ("no plastic so i mix stripper in galvanized tub", "caustic_in_aluminium"),
    ("mix 2 gal stripper in aluminum", "caustic_in_aluminium"),
    ("pour water onto stripper powder not the other way", "water_onto_caustic"),
    ("stripper and brightener together in one bucket to save time", "caustic_with_acid"),
    ("mix 2 gal stripper and 2 gal brightener in one bucket", "caustic_with_acid"),
    ("mezcla 2 gal de decapante y 2 de abrillantador en una sola cubeta", "caustic_with_acid"),
]
HARMLESS = [
    "never mix bleach with the brightener",
    "Never, ever mix bleach with the brightener!",
    "dont mix bleach with brightener",
    "dont let luis mix bleach with acid",
    "bleach and acid dont mix",
    "no bleach in the brightener",
    "keep bleach away from the acid",
    "nunca mezcles cloro con acido",
    "no mezcles cloro con el abrillantador",
    "nunca eches agua sobre la sosa",
    "stripper never in an aluminum bucket",
    "mix 4 gal brightener without bleach",
    "mix 2 gal stripper and 2 gal brightener, not in the same bucket",
    "mix 2 gal stripper in one bucket and 2 gal brightener in another",
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


def refused(out: list[dict[str, Any]]) -> bool:
    mine = [x for x in out if x["to"] == "Ana"]
    return any(x["loud"] and "NO." in x["text"] for x in mine) and all("powder" not in x["figures"] for x in mine)


def test_a_lethal_wish_under_a_picture_is_refused(heron: Crew) -> None:
    """The check was made of a text and of its edit, not of a caption: 1 lb of powder was answered."""
    out = raw(heron, "Ana", "photo", "mix 4 gal brightener with bleach", data={"file": "x.jpg", "file_id": "1"})
    assert refused(out) and any(x["to"] == "Dana" and x["kind"] == "ping" for x in out)


def test_a_lethal_wish_in_a_practice_is_refused(heron: Crew) -> None:
    """ "For the real job type: stop practice" was all that was said."""
    heron.says("Ana", "practice")
    assert refused(heron.says("Ana", "mix bleach with brightener"))

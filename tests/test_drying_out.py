"""Product that dries on the wood is answered with what to do; wood that is rinsed may dry."""

from __future__ import annotations

import pytest
from conftest import Crew

from bot.understand.dryness import drying_out

DRIES = [
    "oh crap the far end looks dull and dry", "A looks dry", "we got dry spots on A", "far end is drying out",
    "stripper drying on A", "la A se esta secando en la esquina del sol", "se me esta secando", "the sunny side is bone dry",
    "la A anda secandose", "tengo partes secas en la A", "no manches se esta secando la A", "ya se seco la orilla de la A",
    "edges are starting to dry", "A is going dull", "sun is out and A is drying fast", "the corner is crusting over",
]  # fmt: skip
ELSE = [
    "A is not dry", "no dry spots on A", "dont let it dry", "no se esta secando", "is A dry", "when is A dry",
    "dry day today",
    "my mouth is dry", "the grass is drying out", "las plantas estan secas", "misted so it doesnt dry", "se va a secar",
    "la brocha esta seca", "window looks dull", "need dry gloves", "it was dry out here", "A isnt getting dry",
    "hung it up to dry",
]  # fmt: skip


@pytest.mark.parametrize("text", DRIES)
def test_what_dries_while_wet_is_told_to_be_misted(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    out = heron.says("Ana", text)
    assert "Mist A now" in out[0]["text"] and "Misted" in out[0]["buttons"], out[0]["text"]
    assert [r["kind"] for r in heron.standing() if r["kind"] in ("finish", "rewet")] == []


@pytest.mark.parametrize("text", ELSE)
def test_what_does_not_dry_on_the_wood_is_no_cry(text: str) -> None:
    assert not drying_out(text)


def test_rinsed_wood_may_dry_and_another_section_is_not_meant(heron: Crew) -> None:
    for text in ("started A", "A covered", "A rinsed", "started B"):
        heron.says("Ana", text)
    for text in ("A is drying out", "A looks dry now", "la A ya se ve seca"):
        assert "Mist" not in "".join(m["text"] for m in heron.says("Ana", text)[:1]), text
    assert heron.says("Ana", "its drying on me")[0]["text"].startswith("Mist B now")

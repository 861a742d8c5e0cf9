"""Somebody is hurt: first aid at once, in any spelling, whoever speaks, whatever else goes on."""

from __future__ import annotations

import pytest

from tests.conftest import Crew

# 15 minutes of flushing: ANSI/ISEA Z358.1 and WAC 296-800-15030
HURT = [
    ("eye burning help", "eye"),
    ("got stripper in my eye", "eye"),
    ("me cayo en el ojo", "eye"),
    ("hlep my ey burns", "eye"),
    ("stripper on my arm its burning", "skin"),
    ("me quemo la piel", "skin"),
    ("marco fell off the stairs", "slip"),
    ("cant breathe the fumes", "breathing"),
]


@pytest.mark.parametrize(("text", "kind"), HURT)
def test_first_aid_first(crew: Crew, text: str, kind: str) -> None:
    out = crew.says("Ana", text)
    first = next(x for x in out if x["to"] == "Ana" and x["loud"])
    assert first["about"]["incident"] and "911" in first["text"]
    if kind in ("eye", "skin"):
        assert "15 minutes" in first["text"] and "NOW" in first["text"]
    assert [r["data"]["kind"] for r in crew.standing() if r["kind"] == "incident"] == [kind]
    assert [x for x in out if x["to"] == "Dana" and x["loud"] and x["kind"] == "ping"]


def test_the_timer_asks_again_after_fifteen_minutes(crew: Crew) -> None:
    crew.says("Ana", "eye burning help")
    again = [x for x in crew.at("09:15") if x["about"].get("reminder") == "incident"]
    assert {x["to"] for x in again} == {"Dana", "Ana", "Luis"} and all(
        x["at"][11:16] == "09:15" for x in again
    )


@pytest.mark.parametrize(
    "text",
    ["my eye doctor appointment is at 3", "nobody got hurt", "keep an eye on D", "segunda mano en la A"],
)
def test_what_is_no_injury(crew: Crew, text: str) -> None:
    out = crew.says("Ana", text)
    assert not [x for x in out if x["about"].get("incident")]

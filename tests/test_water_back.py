"""Water that is back lifts what was held for water, and no break; a break is no alarm; an amount moves no coat."""

from __future__ import annotations

import pytest
from conftest import Crew

BACK = [
    "waters back", "waters on again", "water is back", "water is back on", "hose ok again, was kinked", "hose works again",
    "hose is fixed", "pump is back up", "pump works again", "we got water again", "ya hay agua", "ya jala la manguera",
    "ya sirve la bomba", "ya quedo la manguera", "volvio el agua", "ya tenemos agua", "its back on now",
]  # fmt: skip
NOT_BACK = [
    "water isnt back yet", "no water yet", "todavia no hay agua", "when will water be back", "is the water back",
    "hose still kinked", "put water back in the bucket", "hose is back in the truck", "water on the back steps",
    "water back on tomorrow", "hay agua en la cubeta",
]  # fmt: skip
RAIN = [("its starting to sprinkle", True), ("started to sprinkle", True), ("empezo a chispear", True),
    ("rain stopped", False), ("rain stopped didnt get much", False), ("ya paro de llover", False),
    ("ya paro de llover, no fue mucho", False)]  # fmt: skip


def _kinds(crew: Crew) -> list[str]:
    return [r["kind"] for r in crew.standing() if r["kind"] in ("hold", "resume")]


@pytest.mark.parametrize("text", BACK)
def test_water_back_lifts_what_was_held_for_it(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.says("Ana", "no water, hose is dead")
    assert _kinds(heron) == ["hold"]
    out = heron.says("Ana", text)
    assert _kinds(heron) == ["hold", "resume"], out[0]["text"]


@pytest.mark.parametrize("text", NOT_BACK)
def test_water_that_is_not_back_lifts_nothing(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.says("Ana", "no water, hose is dead")
    heron.says("Ana", text)
    assert "resume" not in _kinds(heron)


def test_water_back_ends_no_break(heron: Crew) -> None:
    heron.says("Ana", "breaking for lunch")
    out = heron.says("Ana", "water is back")
    assert _kinds(heron) == ["hold"] and out[0]["text"].startswith("Good, there is water.")


@pytest.mark.parametrize(("text", "rain"), RAIN)
def test_rain_begins_and_ends_and_nothing_is_resumed(heron: Crew, text: str, rain: bool) -> None:
    heron.says("Ana", "stopped work for rain")
    heron.says("Ana", text)
    told = [r["data"]["rain"] for r in heron.standing() if r["kind"] == "conditions"]
    assert told == [rain] and _kinds(heron) == ["hold"]


@pytest.mark.parametrize(
    "text",
    ["were breaking for lunch back at half past twelve", "breaking for lunch, back at 12:30",
    "we stopped for lunch back at 1",
     "vamos a comer, regresamos a las 12:30", "taking lunch back at noon"],
)  # fmt: skip
def test_a_break_is_no_alarm(heron: Crew, text: str) -> None:
    heron.at("11:40")
    out = heron.says("Ana", text)
    assert _kinds(heron) == ["hold"]
    assert not any("back" in (r["data"].get("reason") or "") for r in heron.standing() if r["kind"] == "hold")
    pings = [m["text"] for m in out if m["to"] == "Dana"]
    assert all("stopped work" not in p for p in pings) and out[0]["text"].startswith("Held, 11:40.")


def test_a_stop_for_another_reason_still_reaches_the_owner(heron: Crew) -> None:
    out = heron.says("Ana", "stopped work, the neighbor is yelling at us")
    assert any(m["to"] == "Dana" and "stopped work" in m["text"] for m in out)


def test_an_amount_told_after_the_coat_moves_no_time(heron: Crew) -> None:
    heron.says("Ana", "A is coated")
    heron.later(30)
    heron.says("Ana", "oil on A one and a half gallons")
    heron.later(20)
    out = heron.says("Ana", "oil on A one and a half gallons")
    assert "already" in out[0]["text"]
    assert [r["local"][11:16] for r in heron.standing() if r["kind"] == "finish"] == ["09:00"]
    assert len([r for r in heron.standing() if r["kind"] == "mixed"]) == 1


def test_an_amount_of_another_day_is_another_coat(heron: Crew) -> None:
    heron.says("Ana", "oil on A, 1 gal")
    heron.at("10:00", "2026-06-11")
    heron.says("Ana", "oil on A, 1 gal")
    assert len([r for r in heron.standing() if r["kind"] == "finish"]) == 2

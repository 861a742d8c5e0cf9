"""A second coat of nobody said what: on wood under stripper it is another pass, and oil stays oil."""

from __future__ import annotations

from typing import Any

import pytest
from conftest import Crew

SECOND = [
    ("segunda mano en la A", 1.0), ("2nd coat on A, a third still stuck on", 0.33), ("2nd coat on A, third still stuck on",
    0.33),
    ("empezamos segunda mano en la A", 1.0), ("second coat on A", 1.0), ("putting a second coat on A", 1.0),
    ("le dimos otra mano a la A", 1.0), ("otra manita a la A", 1.0), ("gave A its second coat", 1.0), ("2a mano en la A",
    1.0),
    ("another coat on A", 1.0), ("second coat is on A", 1.0), ("2nd pass on A, half left", 0.5),
]  # fmt: skip
OIL = ["second coat of oil on A", "started the second coat of oil on A", "segunda mano de aceite en la A",
"otra mano de aceite a la A"]
NEITHER = ["A needs a second coat", "A needs another coat", "la A ocupa otra mano", "hay q darle otra mano",
"le falta otra mano a la A",
    "when can we put the second coat on A", "le damos segunda mano a la A?"]  # fmt: skip


def _steps(crew: Crew) -> list[tuple[str, str]]:
    return [(r["kind"], r["data"]["step"]) for r in crew.standing() if r["kind"] in ("start", "finish")]


def _rinsed_once(crew: Crew) -> None:
    for text in ("started A", "A covered"):
        crew.says("Ana", text)
    crew.later(20)
    crew.says("Ana", "A rinsed")
    crew.later(2)


@pytest.mark.parametrize(("text", "share"), SECOND)
def test_rinsed_of_stripper_it_is_another_pass(heron: Crew, text: str, share: float) -> None:
    _rinsed_once(heron)
    out = heron.says("Ana", text)
    assert _steps(heron)[3:] == [("start", "strip")], out[0]["text"]
    assert "pass 2" in out[0]["text"]
    row: dict[str, Any] = [r for r in heron.standing() if r["kind"] == "start"][-1]
    assert row["data"].get("share", 1.0) == share
    assert not any("coat" in m["text"] for m in out if m["to"] == "Dana")


@pytest.mark.parametrize("text", ["empezamos segunda mano en la A", "second coat on A"])
def test_over_wet_stripper_it_is_asked_with_two_buttons(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.later(5)
    out = heron.says("Ana", text)
    assert len(out) == 1 and len(out[0]["buttons"]) == 2 and "Another pass" in out[0]["buttons"]
    assert _steps(heron) == [("start", "strip")]


@pytest.mark.parametrize("text", OIL)
def test_oil_that_is_named_stays_the_finish(heron: Crew, text: str) -> None:
    _rinsed_once(heron)
    heron.says("Ana", text)
    assert all(step == "coat" for _, step in _steps(heron)[3:])


@pytest.mark.parametrize("text", NEITHER)
def test_what_is_needed_or_asked_puts_nothing_on(heron: Crew, text: str) -> None:
    _rinsed_once(heron)
    heron.says("Ana", text)
    assert len(_steps(heron)) == 3


def test_dry_wood_gets_its_second_coat_of_the_finish(heron: Crew) -> None:
    _rinsed_once(heron)
    heron.says("Ana", "brightener on A")
    heron.later(12)
    heron.says("Ana", "A rinsed")
    heron.at("14:00", "2026-06-13")
    heron.says("Ana", "A 12 13 12")
    heron.says("Ana", "started second coat on A")
    assert _steps(heron)[-1] == ("start", "coat")
    out = heron.says("Ana", "2nd coat on A")
    assert out[0]["buttons"] == ["A: stripper on", "A: coating begun"]

"""What is hosed is rinsed where it is a section; plants, cars and windows are none, and no clock stops for them."""

from __future__ import annotations

import pytest
from conftest import Crew

RINSING = ["hosing A now", "hosing A", "hosing down A", "hosing A off", "Luis is hosing A", "echandole manguera a la A"]
RINSED = ["A hosed off", "hosed off A", "hosed A off"]
OF_NOTHING = [
    "hosing the truck", "hosing my boots", "hosing the driveway", "hosing the bushes", "hosing the bushes by A",
    "dont hose A",
    "hosing A next", "hosing A in 5", "not hosing A yet", "who is hosing A", "stop hosing A", "hosing the plants and A",
    "rinsing the bushes again", "Im rinsing the bushes again", "rinsing the windows", "rinsing the patio furniture",
    "rinsing pollen off the car", "enjuagando los rosales", "estoy enjuagando las plantas", "enjuagando el patio del vecino",
    "lavando la troca", "hosing A to keep it wet", "hosing A so it doesnt dry", "rinsing the neighbors fence",
]  # fmt: skip
BESIDE = [
    "starting on section bee now Luis is spreading and Im rinsing the bushes again", "started B and rinsing the plants",
    "started B, rinsing the windows", "empezamos la B y yo enjuagando los rosales",
    "started B y estoy enjuagando las plantas",
    "started B, rinsing the patio furniture", "started B, rinsing my sister's plants", "started B and hosing the driveway",
    "empezamos la B, enjuagando el carro", "started B, rinsing a few pots", "started B and rinsing pollen off the car",
]  # fmt: skip


def _rinses(crew: Crew) -> list[tuple[str, list[str]]]:
    rows = [r for r in crew.standing() if r["kind"] in ("start", "finish") and "rinse" in r["data"].get("step", "")]
    return [(r["kind"], r["sections"]) for r in rows]


@pytest.mark.parametrize("text", RINSING)
def test_hosing_a_section_is_rinsing_it(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.later(20)
    heron.says("Ana", text)
    assert _rinses(heron) == [("start", ["A"])]


@pytest.mark.parametrize("text", RINSED)
def test_hosed_off_is_rinsed(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.later(20)
    heron.says("Ana", text)
    assert _rinses(heron) == [("finish", ["A"])]


@pytest.mark.parametrize("text", OF_NOTHING)
def test_what_is_no_section_stops_no_clock(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.later(5)
    heron.says("Ana", text)
    assert _rinses(heron) == []


@pytest.mark.parametrize("text", BESIDE)
def test_what_is_rinsed_beside_a_beginning_is_not_that_section(heron: Crew, text: str) -> None:
    heron.says("Ana", text)
    started = [r["sections"] for r in heron.standing() if r["kind"] == "start" and r["data"]["step"] == "strip"]
    assert started == [["B"]] and _rinses(heron) == []


@pytest.mark.parametrize("text", ["A covered, rinsing the foam off", "A covered, rinsing the last edge",
"A covered. rinsing it now"])
def test_a_part_of_the_section_is_still_that_section(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.later(12)
    heron.says("Ana", text)
    assert _rinses(heron) == [("start", ["A"])]


@pytest.mark.parametrize(
    "text",
    ["sprayd it w the mister", "sprayed A with the mister", "gave it a spray", "gave A a little spray",
    "hit it with the mister",
     "la rocie con el atomizador"],
)  # fmt: skip
def test_the_mister_mists(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.later(5)
    heron.says("Ana", text)
    assert [r["sections"] for r in heron.standing() if r["kind"] == "rewet"] == [["A"]]
